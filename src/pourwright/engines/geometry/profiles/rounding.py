"""Draw an outline through corners, some of them rounded by arcs tangent to both sides."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.tree import Arc, Edge, Line, Outline

Point = tuple[float, float]
_SAME_MM = 1e-9
_STRAIGHT = 1e-12


@dataclass(frozen=True)
class Corner:
    """A corner at (a_mm, b_mm), rounded by `radius_mm` (0: sharp).

    The side from here to the next corner is straight, or an arc that rises `bulge_mm` to the right at its
    middle (outwards when the outline runs anticlockwise; negative: to the left).
    """

    a_mm: float
    b_mm: float
    radius_mm: float = 0.0
    bulge_mm: float = 0.0


def room_for_rounding(corners: Sequence[Corner]) -> float:
    """The factor by which every rounding could grow before two of them meet; below 1 when they do not fit.

    Examples
    --------
    >>> square = [Corner(0, 0), Corner(10, 0, 2.0), Corner(10, 10, 2.0), Corner(0, 10)]
    >>> room_for_rounding(square)
    2.5
    """
    room = math.inf
    for n, one in enumerate(corners):
        other = corners[n - 1]
        needed = _cut_mm(corners, n) + _cut_mm(corners, n - 1)
        if needed > 0.0:
            room = min(room, math.dist((one.a_mm, one.b_mm), (other.a_mm, other.b_mm)) / needed)
    return room


def rounded(corners: Sequence[Corner]) -> Outline:
    """The closed outline through the corners in order, the last joined to the first.

    Parameters
    ----------
    corners : mm, at least three, none twice.

    Raises
    ------
    CannotBuild
        A rounding that does not fit (see `room_for_rounding`), or that meets a bulged side; a bulge of more
        than half its side.

    Examples
    --------
    >>> outline = rounded([Corner(0, 0), Corner(10, 0, 2.0), Corner(10, 10), Corner(0, 10)])
    >>> outline.edges[1]
    Arc(a_mm=10.0, b_mm=2.0, centre_a_mm=8.0, centre_b_mm=2.0, anticlockwise=True)
    """
    if room_for_rounding(corners) < 1.0 - 1e-9:
        raise CannotBuild("a rounding does not fit between its neighbours", advice="make it smaller")
    edges: list[Edge] = []
    start = here = _ends(corners, 0)[1]
    for n in (*range(1, len(corners)), 0):
        come, leave, centre = _ends(corners, n)
        if math.dist(here, come) > _SAME_MM:
            edges.append(side(here, come, bulge_mm=corners[n - 1].bulge_mm))
        if centre is not None:
            edges.append(Arc(*leave, *centre, anticlockwise=_turn(corners, n)[0] > 0))
        here = leave
    return Outline(start, tuple(edges))


def side(begin: Point, end: Point, *, bulge_mm: float) -> Edge:
    """The straight edge between two points, or the arc that rises `bulge_mm` to the right of it.

    Examples
    --------
    >>> side((0.0, 0.0), (0.0, 8.0), bulge_mm=2.0)
    Arc(a_mm=0.0, b_mm=8.0, centre_a_mm=-3.0, centre_b_mm=4.0, anticlockwise=True)
    """
    if bulge_mm == 0.0:
        return Line(*end)
    chord, rise = math.dist(begin, end), abs(bulge_mm)
    if rise > chord / 2:
        raise CannotBuild(
            f"a bulge of {rise:.9g} mm on a side {chord:.9g} mm long",
            advice=f"at most half the side, {chord / 2:.9g} mm: a half circle",
        )
    # Distance of the centre from the side, to the left for a rise to the right.
    away = math.copysign((chord * chord / 4 - rise * rise) / (2 * rise), bulge_mm)
    along = (end[0] - begin[0]) / chord, (end[1] - begin[1]) / chord
    centre = (begin[0] + end[0]) / 2 - away * along[1], (begin[1] + end[1]) / 2 + away * along[0]
    return Arc(*end, *centre, anticlockwise=bulge_mm > 0)


def _turn(corners: Sequence[Corner], at: int) -> tuple[float, float, Point, Point]:
    """Sine and cosine of the turn at a corner, and the directions before and after it."""
    come = _towards(corners[at - 1], corners[at])
    leave = _towards(corners[at], corners[(at + 1) % len(corners)])
    return come[0] * leave[1] - come[1] * leave[0], come[0] * leave[0] + come[1] * leave[1], come, leave


def _towards(one: Corner, other: Corner) -> Point:
    length = math.dist((one.a_mm, one.b_mm), (other.a_mm, other.b_mm))
    if length == 0.0:
        raise CannotBuild(f"two corners at the same place, ({one.a_mm:g}, {one.b_mm:g}) mm", advice="leave one out")
    return (other.a_mm - one.a_mm) / length, (other.b_mm - one.b_mm) / length


def _cut_mm(corners: Sequence[Corner], at: int) -> float:
    """How much of each side the rounding takes."""
    corner = corners[at]
    if corner.radius_mm == 0.0:
        return 0.0
    if corner.bulge_mm != 0.0 or corners[at - 1].bulge_mm != 0.0:
        raise CannotBuild(
            f"a rounding at ({corner.a_mm:g}, {corner.b_mm:g}) mm beside a bulged side",
            advice="round only corners between two straight sides",
        )
    sine, cosine, _, _ = _turn(corners, at)
    if abs(sine) <= _STRAIGHT and cosine > 0:
        return 0.0
    return corner.radius_mm * abs(sine) / (1 + cosine) if cosine > -1.0 else math.inf


def _ends(corners: Sequence[Corner], at: int) -> tuple[Point, Point, Point | None]:
    """Where the rounding begins and ends, and its centre (None: no rounding)."""
    corner = corners[at]
    point = (corner.a_mm + 0.0, corner.b_mm + 0.0)
    cut = _cut_mm(corners, at)
    if cut == 0.0:
        return point, point, None
    sine, _, come, leave = _turn(corners, at)
    begin = point[0] - cut * come[0], point[1] - cut * come[1]
    end = point[0] + cut * leave[0], point[1] + cut * leave[1]
    inwards = math.copysign(corner.radius_mm, sine)
    return begin, end, (begin[0] - inwards * come[1], begin[1] + inwards * come[0])
