"""Cut the pieces of a mould that are too long for the printer's bed into parts, and find room for their dovetails."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise, product

import numpy as np

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.prints.joints import TAILS, Cut, fits, parts_of
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.tree import Box, Node

_STEP_MM = 1.0  # how finely places for a dovetail are tried
_ROUND_MM = 1.0  # solid plastic wanted round a dovetail
_COLUMN_MM = 0.75  # how finely the plastic along a cut is looked at
_FLAT_MM = 0.01
_FLAT_MM = 0.01
_THIN_MM, _THICK_SHARE = 3.0, 0.6  # plastic that a dovetail needs: so much, and so much of what is usual along the cut
_APART_MM = 50.0  # from one dovetail to the next, about
_LEAST_MM3 = 1e-3  # less than this is no part
_UNCUT = ("pattern",)


def with_parts(
    design: MouldDesign, evaluator: Evaluator, *, bed_mm: tuple[float, float], report: Report = silent
) -> MouldDesign:
    """The same mould, each of its printed pieces that does not fit the bed with the parts that are printed for it.

    Parameters
    ----------
    design : the mould.
    evaluator : a mesh kernel.
    bed_mm : mm, what one part must lie on.
    """
    if not design.cuts:
        return design
    fit = design.figures["fit_mm"]
    pieces = []
    for index, piece in enumerate(design.pieces):
        report(index / len(design.pieces), f"does the {piece.name} fit the bed")
        pieces.append(_split(piece, piece.cuts or design.cuts, evaluator, bed_mm, fit))
    return replace(design, pieces=tuple(pieces))


def _split(piece: Piece, cuts: Sequence[Cut], evaluator: Evaluator, bed: tuple[float, float], fit: float) -> Piece:
    if not piece.printed or piece.role in _UNCUT:
        return piece
    low, high = evaluator.bounds(piece.solid)
    if fits(tuple(high - low), bed):
        return piece
    needed = _needed([cut for cut in cuts if low[cut.axis] < cut.at_mm < high[cut.axis]], low, high, bed)
    with_tails = [cut if cut.tails_mm else _with_tails(piece.solid, cut, needed, evaluator) for cut in needed]
    solids = parts_of(piece.solid, with_tails, fit_mm=fit, low_mm=float(low[2]), high_mm=float(high[2]))
    there = [solid for solid in solids if evaluator.volume(solid) > _LEAST_MM3]
    if len(there) < 2:
        return piece
    parts = tuple(_part(piece, n, len(there), solid, evaluator) for n, solid in enumerate(there, 1))
    return replace(piece, parts=parts, cuts=tuple(with_tails))


def _part(piece: Piece, number: int, of: int, solid: Node, evaluator: Evaluator) -> Piece:
    loose = evaluator.bodies(solid)
    words = "" if loose == 1 else f"{loose} loose pieces, as they lie in the file"
    note = "; ".join(one for one in (piece.print_note, words) if one)
    return replace(piece, name=f"{piece.name}, part {number} of {of}", solid=solid, print_note=note, bodies=loose)


def _needed(cuts: list[Cut], low: np.ndarray, high: np.ndarray, bed: tuple[float, float]) -> list[Cut]:
    """Only the cuts across x, or only those across y, where they are enough."""
    for axes in ((0,), (1,)):
        chosen = [cut for cut in cuts if cut.axis in axes]
        if chosen and fits([_longest(chosen, low, high, axis) for axis in (0, 1)], bed):
            return chosen
    return cuts


def _longest(cuts: list[Cut], low: np.ndarray, high: np.ndarray, axis: int) -> float:
    """The longest part along one axis, with its dovetails."""
    ends = [float(low[axis]), *sorted(cut.at_mm for cut in cuts if cut.axis == axis), float(high[axis])]
    deep = max((cut.tail.deep_mm for cut in cuts if cut.axis == axis), default=0.0)
    return max(b - a for a, b in pairwise(ends)) + deep


# ---------------------------------------------------------------- dovetails


def _with_tails(solid: Node, cut: Cut, cuts: Sequence[Cut], evaluator: Evaluator) -> Cut:
    """The cut with as many dovetails as find room, the larger kind if it does; without any the parts are butted."""
    deepest = max(tail.deep_mm for tail in TAILS)
    across = (cut.at_mm - _ROUND_MM, cut.at_mm + deepest + _ROUND_MM)
    slab = solid & _slab(cut.axis, across)
    along, least, most = _thickness(slab, cut.axis, evaluator)
    thick = max(_THIN_MM, _THICK_SHARE * float(np.median(least)))
    clear_of = [other.at_mm for other in cuts if other.axis != cut.axis]
    # First where all is flat: a rim or a key that a dovetail cuts leaves crumbs.
    for flat, tail in product((_FLAT_MM, math.inf), TAILS):
        half = tail.head_mm / 2 + _ROUND_MM
        places = np.arange(along[0] + half, along[-1] - half, _STEP_MM).round(3).tolist()
        around = [np.abs(along - place) <= half for place in places]
        found = [
            place
            for place, here in zip(places, around, strict=True)
            if least[here].min() >= thick
            and most[here].max() - least[here].min() < flat
            and all(abs(place - other) >= half + tail.deep_mm for other in clear_of)
        ]
        if found:
            return replace(cut, tails_mm=tuple(_spread(found)), tail=tail)
    return cut


def _thickness(slab: Node, axis: int, evaluator: Evaluator) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Places along a cut, and how thick the plastic is there at the least and the most, across a dovetail's depth."""
    from pourwright.engines.geometry.air.dexels import scan

    mesh = evaluator.mesh(slab)
    wide = float((mesh[0].max(axis=0) - mesh[0].min(axis=0))[:2].max())
    columns = scan(*mesh, columns=max(8, math.ceil(wide / _COLUMN_MM)))
    solid = np.zeros(columns.counts[0] * columns.counts[1])
    owner = np.repeat(np.arange(len(solid)), np.diff(columns.starts))
    np.maximum.at(solid, owner, columns.top_mm - columns.bottom_mm)
    table = solid.reshape(columns.counts[1], columns.counts[0])
    v, across = 1 - axis, 1 if axis == 0 else 0
    along = columns.origin_mm[v] + columns.cell_mm[v] * np.arange(columns.counts[v])
    return along, table.min(axis=across), table.max(axis=across)


def _slab(axis: int, across: tuple[float, float]) -> Node:
    far = sizes.FAR_MM
    if axis == 0:
        return Box(across[0], -far, -far, across[1], far, far)
    return Box(-far, across[0], -far, far, across[1], far)


def _spread(places: list[float]) -> list[float]:
    """Of all places, runs of neighbours: one in the middle of a short run, several along a long one."""
    runs: list[list[float]] = []
    for place in places:
        if runs and place - runs[-1][-1] < 1.5 * _STEP_MM:
            runs[-1].append(place)
        else:
            runs.append([place])
    found: list[float] = []
    for run in runs:
        count = max(1, round((run[-1] - run[0]) / _APART_MM))
        for k in range(count):
            wanted = run[0] + (run[-1] - run[0]) * (k + 0.5) / count
            place = min(run, key=lambda one: abs(one - wanted))
            if not found or place - found[-1] >= _APART_MM / 2:
                found.append(place)
    return found
