"""Pictures of a kit without a screen: every piece, the pieces drawn apart, a cut through a row, the release map."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.tree import Node
from pourwright.engines.paper.callouts import exploded
from pourwright.engines.paper.cutting import Level, Plane, section
from pourwright.engines.paper.drawing import HATCHING, PALETTE, Drawn, picture
from pourwright.engines.paper.frame import VIEWS
from pourwright.engines.paper.touching import touching_faces

VERSION = 1
_TOLERANCE_MM = 0.05  # of curves in a picture

_PIECE_WIDTH = 640  # pixels

_CLOSED = ("wall", "cover plate", "press board", "levelling board", "core rod")  # roles that stand while the cast cures


@dataclass(frozen=True, kw_only=True)
class KitPictures:
    """SVG of the whole, and a PNG of each piece, of the silicone and of the cavity, by name."""

    overview: bytes
    section: bytes
    release: bytes | None
    pieces: dict[str, bytes]


def draw_kit(design: MouldDesign, evaluator: Evaluator, *, width: int = 900, report: Report = silent) -> KitPictures:
    """All pictures of a kit.

    Parameters
    ----------
    design : the mould.
    evaluator : a mesh kernel, best the one that proved it, for it remembers the solids.
    width : pixels.
    """
    report(0.0, "drawing the pieces")
    bodies = [_body(piece.name, _drawn_as(piece), evaluator.mesh(piece.solid, _TOLERANCE_MM)) for piece in design.made]
    bodies += [_solid(name, name, node, evaluator) for name, node in _of_mould(design).items()]
    pieces = {body.name: picture([body], width=_PIECE_WIDTH) for body in bodies}
    report(0.5, "drawing the kit")
    overview = draw_overview(design, evaluator, width=width)
    report(0.75, "cutting through a row of cells")
    cut = draw_section(design, evaluator, width=width)
    report(0.9, "drawing the release map")
    release = draw_release_map(design, evaluator, width=width)
    report(1.0, "pictures ready")
    return KitPictures(overview=overview, section=cut, release=release, pieces=pieces)


def _of_mould(design: MouldDesign) -> dict[str, Node]:
    """What is not printed but cast: the silicone and the hollow between."""
    lid = {"lid": design.closing} if design.closing_is_silicone else {}
    return {"lower half": design.lower, **lid, "cavity": design.resin}


# ---------------------------------------------------------------- drawn apart


def draw_overview(design: MouldDesign, evaluator: Evaluator, *, width: int = 900) -> bytes:
    """At the left the pieces of the first silicone pour as they stand for it, at the right those of the cast."""
    first = [_turned_over(body) for body in _bodies(design, evaluator, _is_first)]
    cast = [
        *_bodies(design, evaluator, _is_later),
        _solid("lower half", "lower half", design.lower, evaluator),
        *([_solid("lid", "lid", design.closing, evaluator)] if design.closing_is_silicone else []),
    ]
    gap = 0.28 * max(design.box_outside_mm[0], design.box_outside_mm[1])
    left = _stacked(first, _FIRST_ORDER, gap_mm=gap)
    right = _stacked(cast, _CAST_ORDER, gap_mm=gap)
    apart = 1.05 * math.hypot(*design.box_outside_mm[:2])
    across = np.array(_across_paper())
    moved = [*_shifted(left, -0.5 * apart * across), *_shifted(right, 0.5 * apart * across)]
    return exploded(moved, {}, width=width, text_size=width / 32.0, even=False)


_FIRST_ORDER = ("base", "pattern", "core rod", "vent rod", "wall")
_CAST_ORDER = (
    "levelling board",
    "lower half",
    "pattern",
    "hard core",
    "core rod",
    "vent rod",
    "lid",
    "cover plate",
    "well former",
    "bridge",
    "press board",
)


def _is_first(piece: Piece) -> bool:
    return 1 in piece.touches_silicone


def _is_later(piece: Piece) -> bool:
    return 1 not in piece.touches_silicone


def _stacked(bodies: Sequence[Drawn], order: Sequence[str], *, gap_mm: float) -> list[Drawn]:
    """One role above the other, in their order; the two walls step a little apart."""
    out: list[Drawn] = []
    top = 0.0
    for role in order:
        level = [body for body in bodies if _role(body) == role]
        if not level:
            continue
        low = min(float(body.vertices[:, 2].min()) for body in level)
        high = max(float(body.vertices[:, 2].max()) for body in level)
        for body in level:
            aside = 0.4 * gap_mm * np.sign(body.vertices.mean(axis=0)) if role == "wall" else np.zeros(3)
            out.append(replace(body, offset=(float(aside[0]), float(aside[1]), top - low)))
        top += high - low + gap_mm
    return out


def _role(body: Drawn) -> str:
    return next(role for role, colour in PALETTE.items() if colour == body.colour)


def _shifted(bodies: Iterable[Drawn], by: NDArray[np.float64]) -> list[Drawn]:
    def add(offset: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = np.asarray(offset) + by
        return float(x), float(y), float(z)

    return [replace(body, offset=add(body.offset)) for body in bodies]


def _turned_over(body: Drawn) -> Drawn:
    """Half round the x axis: the first pour is made with the base at the bottom."""
    return replace(body, vertices=body.vertices * np.array([1.0, -1.0, -1.0]))


def _across_paper() -> tuple[float, float, float]:
    angle = math.radians(VIEWS["above"][0])
    return -math.sin(angle), math.cos(angle), 0.0


# ---------------------------------------------------------------- cut


def _parting_name(design: MouldDesign) -> str:
    """What stands beside the line at z = 0, the highest place of a parting that is not level."""
    return "parting" if design.ground.level else "parting, highest"


def draw_section(design: MouldDesign, evaluator: Evaluator, *, width: int = 900) -> bytes:
    """The closed mould cut through the first row of cells."""
    closed = dict(design.states).get("cast closed")
    standing = [piece for piece in design.pieces if (piece.name in closed if closed else piece.role in _CLOSED)]
    bodies = [_merged(piece, evaluator) for piece in standing]
    bodies.append(_solid("lower half", "lower half", design.lower, evaluator))
    if design.closing_is_silicone:
        bodies.append(_solid("lid", "lid", design.closing, evaluator))
    bodies.append(_solid("resin", "cavity", design.resin, evaluator))
    row = min(y for _, y in design.centres_mm)
    levels = [Level(height=design.fill_lower_mm, name="fill line 1"), Level(height=0.0, name=_parting_name(design))]
    if design.closing_is_silicone:
        levels.append(Level(height=design.fill_upper_mm, name="fill line 2"))
    plane = Plane(origin=(0.0, row, 0.0))
    return section(bodies, plane=plane, levels=levels, width=width, text_size=width / 34.0)


# ---------------------------------------------------------------- release map


def draw_release_map(design: MouldDesign, evaluator: Evaluator, *, width: int = 900) -> bytes | None:
    """The lower half with the faces darkened that must be released; None where no silicone meets silicone."""
    if not design.closing_is_silicone:
        return None
    vertices, triangles = evaluator.mesh(design.lower, _TOLERANCE_MM)
    meets = touching_faces((vertices, triangles), evaluator.mesh(design.closing, _TOLERANCE_MM))
    lower = Drawn(name="", vertices=vertices, triangles=triangles[~meets], colour=PALETTE["lower half"])
    release = Drawn(name="", vertices=vertices, triangles=triangles[meets], colour=PALETTE["release"])
    return picture([lower, release], view="high", width=width)


# ---------------------------------------------------------------- bodies


def _bodies(design: MouldDesign, evaluator: Evaluator, wanted: object) -> list[Drawn]:
    chosen = [piece for piece in design.pieces if wanted(piece)]  # type: ignore[operator]
    return [body for piece in chosen for body in _copies(piece, evaluator)]


def _drawn_as(piece: Piece) -> str:
    """A hard core has a colour of its own beside its spindle."""
    return "hard core" if piece.in_cast else piece.role


def _copies(piece: Piece, evaluator: Evaluator) -> list[Drawn]:
    """Walls one by one, so that they can step aside each its own way; other pieces all copies together."""
    if piece.role != "wall":
        return [_merged(piece, evaluator)]
    mesh = evaluator.mesh(piece.solid, _TOLERANCE_MM)
    count = len(piece.places_mm)
    bodies = [_body(piece.name, _drawn_as(piece), _at(mesh, place)) for place in piece.places_mm]
    return [replace(bodies[0], count=count), *(replace(body, name="") for body in bodies[1:])]


def _merged(piece: Piece, evaluator: Evaluator) -> Drawn:
    mesh = evaluator.mesh(piece.solid, _TOLERANCE_MM)
    copies = [_at(mesh, place) for place in piece.places_mm]
    steps = len(mesh[0])
    vertices = np.concatenate([copy[0] for copy in copies])
    triangles = np.concatenate([copy[1] + k * steps for k, copy in enumerate(copies)])
    return replace(_body(piece.name, _drawn_as(piece), (vertices, triangles)), count=len(copies))


def _at(mesh: Mesh, place: tuple[float, float, float, float]) -> Mesh:
    x, y, z, turn_deg = place
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    return mesh[0] @ turn.T + np.array([x, y, z]), mesh[1]


def _solid(name: str, role: str, node: Node, evaluator: Evaluator) -> Drawn:
    return _body(name, role, evaluator.mesh(node, _TOLERANCE_MM))


def _body(name: str, role: str, mesh: Mesh) -> Drawn:
    return Drawn(
        name=name, vertices=mesh[0], triangles=mesh[1], colour=PALETTE[role], hatch=HATCHING.get(role, (45.0, 1.2))
    )
