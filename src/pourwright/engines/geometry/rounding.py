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
    """A corner at (a_mm, b_mm), rounded by `radius_mm` (0: sharp)."""

    a_mm: float
    b_mm: float
    radius_mm: float = 0.0


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
        A rounding that does not fit (see `room_for_rounding`).

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
            edges.append(Line(*come))
        if centre is not None:
            edges.append(Arc(*leave, *centre, anticlockwise=_turn(corners, n)[0] > 0))
        here = leave
    return Outline(start, tuple(edges))


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
