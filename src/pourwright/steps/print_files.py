"""The files to print from: STL and 3MF of every piece, laid with the right face down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.prints.fit_button import fit_button
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.write import PrintPiece, stl_bytes, three_mf_bytes
from pourwright.engines.geometry.imported import Library

_GAP_MM = 6.0
# A pattern with all the triangles of a large part goes through four solids, each of a quarter gigabyte.
_MOST_TRIANGLES = 1_500_000
_FIT_MM = 0.15  # where a design does not say
Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]

# How a piece is turned before printing, by the mark that its mould style gave it.
_TURNS: Mapping[str, tuple[float, float, float]] = {"": (1.0, 1.0, 1.0), "x 180": (1.0, -1.0, -1.0)}


@dataclass(frozen=True, kw_only=True, eq=False)
class LaidPiece:
    """A piece as it lies on the bed: mesh with its lowest point on z = 0 and the middle of its box on z."""

    piece: Piece
    mesh: Mesh
    size_mm: tuple[float, float, float]


def file_stem(name: str) -> str:
    """A piece's name as a file name.

    Examples
    --------
    >>> file_stem("upper pattern piece")
    'upper-pattern-piece'
    """
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def print_files(
    design: MouldDesign,
    evaluator: Evaluator,
    *,
    bed_mm: tuple[float, float, float],
    metadata: Mapping[str, str],
    report: Report = silent,
) -> dict[str, bytes]:
    """Every printed piece as STL, a fit button, and all pieces on their beds in one 3MF.

    Parameters
    ----------
    design : a proven mould.
    evaluator : a mesh kernel with plain circles to a chord tolerance: corrected ones would print too large.
    bed_mm : mm, the printer's bed; pieces that do not fit beside the others go on to the next one.
    metadata : for the 3MF, never a date.

    Returns
    -------
    Bytes by path inside `out/`, the same bytes for the same design.
    """
    laid = lay_pieces(design, evaluator, report=span(report, 0.0, 0.7))
    files = {**stl_files(design, evaluator, laid), **bed_file(laid, bed_mm=bed_mm, metadata=metadata)}
    report(1.0, "print files ready")
    return files


def lay_pieces(design: MouldDesign, evaluator: Evaluator, *, report: Report = silent) -> list[LaidPiece]:
    """Every printed piece as it lies on the bed."""
    printed = [piece for piece in design.made if piece.printed]
    laid = []
    for index, piece in enumerate(printed):
        report(index / len(printed), f"meshing the {piece.name}")
        laid.append(lay(piece, evaluator))
    return laid


def stl_files(design: MouldDesign, evaluator: Evaluator, laid: list[LaidPiece]) -> dict[str, bytes]:
    """An STL of every piece, and of the fit button."""
    files = {f"print/{file_stem(one.piece.name)}.stl": stl_bytes(one.mesh) for one in laid}
    button = evaluator.mesh(fit_button(design.figures.get("fit_mm", _FIT_MM)))
    files["print/fit-button.stl"] = stl_bytes(button)
    return files


def bed_file(
    laid: list[LaidPiece], *, bed_mm: tuple[float, float, float], metadata: Mapping[str, str]
) -> dict[str, bytes]:
    """All pieces on their beds in one 3MF."""
    return {"print/kit.3mf": three_mf_bytes(_on_beds(laid, bed_mm), metadata)}


def printing_evaluator(design: MouldDesign, library: Library) -> Evaluator:
    """The mesh kernel for what is printed or drawn: plain circles, to a tolerance, and little memory."""
    from pourwright.engines.geometry.kernels.mesh import MeshKernel, segments_for_kit

    segments = segments_for_kit([piece.solid for piece in design.pieces])
    kernel = MeshKernel(segments=segments, library=library, corrected=False)
    return Evaluator(kernel, memory=_MOST_TRIANGLES)


def lay(piece: Piece, evaluator: Evaluator) -> LaidPiece:
    """A piece turned as it is printed, standing on z = 0."""
    vertices, triangles = evaluator.mesh(piece.solid)
    vertices = vertices * np.array(_TURNS[piece.print_turn])
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    shift = np.array([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, low[2]])
    x, y, z = (high - low).tolist()
    return LaidPiece(piece=piece, mesh=(vertices - shift + 0.0, triangles), size_mm=(x, y, z))


def _on_beds(laid: list[LaidPiece], bed_mm: tuple[float, float, float]) -> list[PrintPiece]:
    """Rows along x, then the next row, then the next bed beside the first."""
    places = _rows([one for one in laid for _ in one.piece.places_mm], bed_mm)
    found = []
    for one in laid:
        mine = tuple(places.pop(0) for _ in one.piece.places_mm)
        found.append(PrintPiece(name=one.piece.name, key=one.piece.solid.key, mesh=one.mesh, places_mm=mine))
    return found


def _rows(copies: list[LaidPiece], bed_mm: tuple[float, float, float]) -> list[tuple[float, float, float]]:
    places: list[tuple[float, float, float]] = []
    bed, x, y, deepest = 0, 0.0, 0.0, 0.0
    for copy in copies:
        width, depth, _ = copy.size_mm
        if x > 0 and x + width > bed_mm[0]:
            x, y, deepest = 0.0, y + deepest + _GAP_MM, 0.0
        if y > 0 and y + depth > bed_mm[1]:
            bed, x, y, deepest = bed + 1, 0.0, 0.0, 0.0
        places.append((round(bed * (bed_mm[0] + 20.0) + x + width / 2, 6), round(y + depth / 2, 6), 0.0))
        x, deepest = x + width + _GAP_MM, max(deepest, depth)
    return places
