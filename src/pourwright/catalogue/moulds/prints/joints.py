"""Where pieces that are too long for the printer's bed are cut, and the dovetails that join their parts again.

All is seen from above and runs straight up through a piece: part slides onto part along z, and a dovetail then holds
them together in the plane. Between the parts there is a gap, so that they go together at all.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from pourwright.catalogue.moulds import sizes
from pourwright.engines.geometry.tree import Box, Node, Prism, cylinder, polygon

Point = tuple[float, float]
MOST_PARTS = 4  # along x, and along y
_FAR_MM = sizes.FAR_MM
_SPARE_MM = 1.0  # left free on the bed
_END_MM = 16.0  # of a wall's end, where its lap is
_FOOT_MM = 8.0  # beside a hole in the middle of an edge
_AXIS_MM = 12.0  # beside a cell's axis, where its screw stands
_BESIDE_CELL_MM = 3.0
_STEP_MM = 1.0
_PLAY_MM = 1.0  # more than any fit between prints


@dataclass(frozen=True, kw_only=True)
class Tail:
    """A dovetail seen from above: its width at the neck and at the head, its depth, mm."""

    neck_mm: float
    head_mm: float
    deep_mm: float


PLATE_TAIL = Tail(neck_mm=7.0, head_mm=13.0, deep_mm=6.0)
SMALL_TAIL = Tail(neck_mm=3.0, head_mm=7.0, deep_mm=4.0)
TAILS = (PLATE_TAIL, SMALL_TAIL)


@dataclass(frozen=True, kw_only=True)
class Cut:
    """One cut through a piece: across x (axis 0) or y (axis 1), with dovetails towards the larger x or y.

    Parameters
    ----------
    at_mm : where along the axis.
    tails_mm : middles of the dovetails along the cut.
    channels_mm : where along the cut a hole runs upwards, half in each part, that is filled to seal the joint.
    """

    axis: int
    at_mm: float
    tails_mm: tuple[float, ...] = ()
    tail: Tail = PLATE_TAIL
    channels_mm: tuple[float, ...] = ()

    def room(self) -> Node:
        """All in which the joint of this cut may take plastic away: the gap, dovetails with their play, channels."""
        beside = max(sizes.SEAL_RADIUS_MM if self.channels_mm else 0.0, sizes.EDGE_GAP_MM)
        u0, u1 = self.at_mm - beside, self.at_mm + self.tail.deep_mm + _PLAY_MM
        far = _FAR_MM
        return Box(u0, -far, -far, u1, far, far) if self.axis == 0 else Box(-far, u0, -far, far, u1, far)


# ---------------------------------------------------------------- how many parts, and where


@dataclass(frozen=True, kw_only=True)
class Grid:
    """Into how many parts a plate is cut along x and y, and how long each may be there, mm."""

    parts: tuple[int, int]
    most_mm: Point

    @property
    def count(self) -> int:
        """All parts."""
        return self.parts[0] * self.parts[1]


def fits(size_mm: Sequence[float], bed_mm: Sequence[float]) -> bool:
    """Whether a piece lies on the bed as it is, or turned by a right angle."""
    (short, long), (narrow, wide) = sorted(size_mm[:2]), sorted(bed_mm[:2])
    return short <= narrow and long <= wide


def grid(size_mm: Point, bed_mm: Point) -> Grid | None:
    """The fewest parts of a plate that each fit the bed; None when even many do not.

    Examples
    --------
    >>> grid((300.0, 200.0), (220.0, 220.0)).parts
    (2, 1)
    """
    tried = sorted(product(range(1, MOST_PARTS + 1), repeat=2), key=lambda n: (n[0] * n[1], abs(n[0] - n[1])))
    for parts in tried:
        for bed in (bed_mm, (bed_mm[1], bed_mm[0])):
            most = [side - (PLATE_TAIL.deep_mm + _SPARE_MM) * (n > 1) for side, n in zip(bed, parts, strict=True)]
            if all(size <= n * one for size, n, one in zip(size_mm, parts, most, strict=True)):
                return Grid(parts=parts, most_mm=(most[0], most[1]))
    return None


def plan_cuts(size_mm: Point, found: Grid, centres_mm: Sequence[Point], half_cell_mm: Point) -> tuple[Cut, ...]:
    """Cuts through a plate about the origin: clear of cells, their screws and the feet, near even parts.

    Parameters
    ----------
    size_mm : of the plate.
    found : its parts.
    centres_mm, half_cell_mm : where cells stand, and half their size.
    """
    cuts: list[Cut] = []
    for axis in (0, 1):
        at = -size_mm[axis] / 2
        for k in range(1, found.parts[axis]):
            left = found.parts[axis] - k
            low = max(size_mm[axis] / 2 - left * found.most_mm[axis], at + 2 * _END_MM)
            high = min(at + found.most_mm[axis], size_mm[axis] / 2 - _END_MM)
            even = size_mm[axis] * (k / found.parts[axis] - 0.5)
            axes = [centre[axis] for centre in centres_mm]
            at = _best(low, max(low, high), even, axes, half_cell_mm[axis])
            cuts.append(Cut(axis=axis, at_mm=at))
    return tuple(cuts)


def _best(low: float, high: float, even: float, axes: Sequence[float], half: float) -> float:
    """Of all places between low and high: clear of axes and feet, of cells where it can be, near even parts."""

    def rank(at: float) -> tuple[float, float, float]:
        beside = min((abs(at - axis) for axis in axes), default=_FAR_MM)
        clear = min(beside - _AXIS_MM, abs(at) - _FOOT_MM, 0.0)
        return clear, float(beside >= half + _BESIDE_CELL_MM), -abs(at - even)

    steps = max(1, math.ceil((high - low) / _STEP_MM))
    places = [round(low + (high - low) * i / steps, 6) for i in range(steps + 1)]
    return max([*places, *([even] if low <= even <= high else [])], key=rank)


# ---------------------------------------------------------------- parts


def parts_of(solid: Node, cuts: Sequence[Cut], *, fit_mm: float, low_mm: float, high_mm: float) -> tuple[Node, ...]:
    """What a solid falls into, row by row; some of it may be empty.

    Parameters
    ----------
    cuts : through it, with their dovetails.
    fit_mm : between a dovetail and its seat.
    low_mm, high_mm : heights between which the solid lies.
    """
    low, high = low_mm - 1, high_mm + 1
    strips = [_strips([cut for cut in cuts if cut.axis == axis], axis, fit_mm, low, high) for axis in (0, 1)]
    whole = solid
    channels = [channel for cut in cuts for channel in _channels(cut, low, high)]
    for channel in channels:
        whole = whole - channel
    found = []
    for x_strip, y_strip in product(*strips):
        part = whole if x_strip is None else whole & x_strip
        found.append(part if y_strip is None else part & y_strip)
    return tuple(found)


def _strips(cuts: list[Cut], axis: int, fit: float, low: float, high: float) -> list[Node | None]:
    if not cuts:
        return [None]
    ordered = sorted(cuts, key=lambda cut: cut.at_mm)
    found: list[Node | None] = []
    for before, after in zip([None, *ordered], [*ordered, None], strict=True):
        start = _side(before, fit, seat=True) if before is not None else [(-_FAR_MM, -_FAR_MM), (-_FAR_MM, _FAR_MM)]
        end = _side(after, fit, seat=False) if after is not None else [(_FAR_MM, -_FAR_MM), (_FAR_MM, _FAR_MM)]
        around = [*end, *reversed(start)]
        points = around if axis == 0 else [(v, u) for u, v in reversed(around)]
        found.append(Prism(polygon(points), low, high))
    return found


def _side(cut: Cut, fit: float, *, seat: bool) -> list[Point]:
    """One side of a joint as (along the axis, along the cut), from the far low end up: tails, or their seats."""
    tail = cut.tail
    slope = (tail.head_mm - tail.neck_mm) / 2 / tail.deep_mm
    gap = sizes.EDGE_GAP_MM if seat else 0.0
    wider = fit * math.hypot(1.0, slope) if seat else 0.0
    deep = tail.deep_mm + (fit if seat else 0.0)
    neck, head = tail.neck_mm / 2 + wider + slope * gap, tail.neck_mm / 2 + wider + slope * deep
    u, end = cut.at_mm + gap, cut.at_mm + deep
    points = [(u, -_FAR_MM)]
    for v in sorted(cut.tails_mm):
        points += [(u, v - neck), (end, v - head), (end, v + head), (u, v + neck)]
    return [*points, (u, _FAR_MM)]


def _channels(cut: Cut, low: float, high: float) -> list[Node]:
    hole = cylinder(radius_mm=sizes.SEAL_RADIUS_MM, z0_mm=low, z1_mm=high)
    u = cut.at_mm + sizes.EDGE_GAP_MM / 2
    return [hole.at(*((u, v) if cut.axis == 0 else (v, u))) for v in cut.channels_mm]


def seal_path_mm(wall_mm: float, post_mm: float) -> float:
    """The way that silicone would have to go through a wall's joint: past the channel, round the dovetail, out."""
    tail = SMALL_TAIL
    straight = wall_mm + post_mm - tail.neck_mm
    return straight + 2 * math.hypot(tail.deep_mm, (tail.head_mm - tail.neck_mm) / 2) + tail.head_mm
