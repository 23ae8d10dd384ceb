"""The inside of a box seen from above: a rectangle, a circle, or the hull of its parts grown by the silicone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.layouts.packing import convex_hull
from pourwright.engines.geometry.tree import Arc, Box, Edge, Line, Node, Outline, Prism, cylinder, polygon

Point = tuple[float, float]
_SAME_MM = 1e-6
_TURNED_MM = 0.5  # an outline that comes back to within this after a turn would let a half in turned
_TURN_STEP_DEG = 5  # how finely turns are tried on a box that is round


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A convex outline: the polygon through `corners_mm`, grown by `round_mm`.

    One corner makes a circle; `round_mm` 0 leaves the corners sharp, which only a rectangle about the origin may be.

    Parameters
    ----------
    corners_mm : mm, (n, 2), anticlockwise, none of them on the line between its neighbours.
    round_mm : mm, radius of the corners.
    """

    corners_mm: tuple[Point, ...]
    round_mm: float = 0.0

    @property
    def is_round(self) -> bool:
        """A circle about the origin."""
        return len(self.corners_mm) == 1

    @property
    def is_rectangle(self) -> bool:
        """Sharp corners."""
        return self.round_mm == 0.0

    @cached_property
    def half_mm(self) -> Point:
        """Half the size along x and y; the box round the outline lies about the origin."""
        reach = [max(abs(corner[axis]) for corner in self.corners_mm) + self.round_mm for axis in (0, 1)]
        return reach[0], reach[1]

    @cached_property
    def area_mm2(self) -> float:
        """Inside the walls: a + p r + pi r2, with a and p of the polygon."""
        inner = math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in self._sides()) / 2
        return inner + self._straight_mm() * self.round_mm + math.pi * self.round_mm**2

    @property
    def perimeter_mm(self) -> float:
        """Length of the outline."""
        return self._straight_mm() + 2 * math.pi * self.round_mm

    def _straight_mm(self) -> float:
        return math.fsum(math.dist(a, b) for a, b in self._sides())

    def grown_area_mm2(self, grow_mm: float) -> float:
        """Area of the outline grown, or shrunk."""
        if self.is_rectangle:
            return 4 * (self.half_mm[0] + grow_mm) * (self.half_mm[1] + grow_mm)
        return Plan(corners_mm=self.corners_mm, round_mm=self.round_mm + grow_mm).area_mm2

    @cached_property
    def free_length_mm(self) -> float:
        """The longest straight stretch of wall, which liquid silicone can bow out; arcs hold themselves."""
        return max(math.dist(a, b) for a, b in self._sides())

    def circle_mm(self, grow_mm: float = 0.0) -> float:
        """Radius of the smallest circle round the outline, grown; a mitred corner counts for a rectangle."""
        if self.is_rectangle:
            return math.hypot(self.half_mm[0] + grow_mm, self.half_mm[1] + grow_mm)
        return smallest_circle(self.corners_mm)[1] + self.round_mm + grow_mm

    # ------------------------------------------------------------ solids

    def block(self, low_mm: float, high_mm: float, *, grow_mm: float = 0.0) -> Node:
        """The outline, grown (or, negative, shrunk), between two heights."""
        if self.is_rectangle:
            x, y = self.half_mm[0] + grow_mm, self.half_mm[1] + grow_mm
            return Box(-x, -y, low_mm, x, y, high_mm)
        if self.round_mm + grow_mm <= 0:
            raise CannotBuild(f"a box whose corners of {self.round_mm:g} mm shrink by {-grow_mm:g} mm")
        if self.is_round:
            return cylinder(radius_mm=self.round_mm + grow_mm, z0_mm=low_mm, z1_mm=high_mm)
        return Prism(self._rounded(self.round_mm + grow_mm), low_mm, high_mm)

    def outline(self) -> Outline:
        """The outline itself, of a box with straight walls."""
        return polygon(list(self.corners_mm)) if self.is_rectangle else self._rounded(self.round_mm)

    def _rounded(self, radius: float) -> Outline:
        """Straight sides and the arcs between them, from the first side on."""
        sides = self._sides()
        start = _set_off(sides[0], radius)[0]
        edges: list[Edge] = []
        for side, after in zip(sides, [*sides[1:], sides[0]], strict=True):
            _, end = _set_off(side, radius)
            begin, _ = _set_off(after, radius)
            edges += [Line(*end), Arc(*begin, *side[1])]
        return Outline(start, tuple(edges))

    def _sides(self) -> list[tuple[Point, Point]]:
        return list(pairwise((*self.corners_mm, self.corners_mm[0])))

    # ------------------------------------------------------------ places

    def inside_mm(self, x_mm: float, y_mm: float) -> float:
        """How far inside the outline a point lies; negative outside."""
        if len(self.corners_mm) < 3:
            return self.round_mm - min(_to_side((x_mm, y_mm), a, b) for a, b in self._sides())
        depth = min(_beside((x_mm, y_mm), a, b) for a, b in self._sides())
        if depth >= 0:
            return self.round_mm + depth
        away = min(_to_side((x_mm, y_mm), a, b) for a, b in self._sides())
        return self.round_mm - away

    def inside_all_mm(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """`inside_mm` of many points at once, mm (n, 2)."""
        a = np.array(self.corners_mm)
        along = np.roll(a, -1, axis=0) - a
        to = points[:, None, :] - a[None, :, :]
        square = np.maximum((along**2).sum(axis=1), 1e-300)
        share = np.clip((to * along).sum(axis=2) / square, 0.0, 1.0)
        away = np.linalg.norm(to - share[..., None] * along, axis=2).min(axis=1)
        if len(a) < 3:
            return self.round_mm - np.asarray(away)
        left = along[:, 0] * to[..., 1] - along[:, 1] * to[..., 0]
        return self.round_mm + np.where((left >= 0).all(axis=1), away, -away)

    def span_mm(self, y_mm: float, *, grow_mm: float = 0.0) -> tuple[float, float]:
        """Least and largest x of the grown outline at one y."""
        radius = self.round_mm + grow_mm
        if self.is_rectangle:
            return -self.half_mm[0] - grow_mm, self.half_mm[0] + grow_mm
        ends: list[float] = []
        for side in self._sides():
            ends += _crossing(*_set_off(side, radius), y_mm)
        for x, y in self.corners_mm:
            if abs(y_mm - y) <= radius:
                run = math.sqrt(radius**2 - (y_mm - y) ** 2)
                ends += [x - run, x + run]
        return min(ends), max(ends)

    def ray_mm(self, angle_deg: float, *, grow_mm: float = 0.0) -> Point:
        """Where a ray from the middle leaves the grown outline."""
        x, y = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
        radius = self.round_mm + grow_mm
        # The outline is that of its polygon, of a strip along each side and of a disc about each corner, together.
        reach = [_out_of_strip(side, radius, (x, y)) for side in self._sides()]
        reach += [_out_of_disc(corner, radius, (x, y)) for corner in self.corners_mm]
        far = max(reach)
        return far * x, far * y

    @cached_property
    def ends_mm(self) -> tuple[Point, Point]:
        """The middle of the outermost stretch of the outline at its largest and at its least y."""
        found = []
        for sign in (1.0, -1.0):
            reach = max(sign * y for _, y in self.corners_mm)
            xs = [x for x, y in self.corners_mm if sign * y > reach - _SAME_MM]
            found.append(((min(xs) + max(xs)) / 2, sign * (reach + self.round_mm)))
        return found[0], found[1]

    # ------------------------------------------------------------ symmetry

    @cached_property
    def turns_deg(self) -> tuple[float, ...]:
        """Every turn, but none, that brings the outline back onto itself, or nearly so."""
        if self.is_round:
            return tuple(float(turn) for turn in range(30, 331, _TURN_STEP_DEG))
        # A polygon of so many corners has no more turns than corners.
        orders = [n for n in range(2, 9) if n <= len(self.corners_mm)]
        found = {360.0 * k / n for n in orders for k in range(1, n)}
        return tuple(sorted(turn for turn in found if self.off_after_mm(turn) < _TURNED_MM))

    @cached_property
    def middle_mm(self) -> Point:
        """About which it would turn: the middle of the smallest circle round it."""
        return smallest_circle(self.corners_mm)[0]

    def off_after_mm(self, turn_deg: float) -> float:
        """How far the outline lies beside itself after a turn about its middle, at the most."""
        corners = np.array(self.corners_mm) - self.middle_mm
        angles = np.radians(np.arange(0.0, 360.0, 9.0))
        directions = np.column_stack((np.cos(angles), np.sin(angles)))
        c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
        turned = corners @ np.array([[c, s], [-s, c]])
        return float(np.abs((directions @ corners.T).max(axis=1) - (directions @ turned.T).max(axis=1)).max())

    @property
    def point_symmetric(self) -> bool:
        """Whether half a turn changes nothing at all."""
        turned = {(round(-x, 9) + 0.0, round(-y, 9) + 0.0) for x, y in self.corners_mm}
        return turned == {(round(x, 9) + 0.0, round(y, 9) + 0.0) for x, y in self.corners_mm}


# ---------------------------------------------------------------- making one


def rectangle(half_x_mm: float, half_y_mm: float) -> Plan:
    """A rectangle about the origin.

    Examples
    --------
    >>> rectangle(3.0, 2.0).area_mm2
    24.0
    """
    x, y = half_x_mm, half_y_mm
    return Plan(corners_mm=((-x, -y), (x, -y), (x, y), (-x, y)))


def circle(radius_mm: float) -> Plan:
    """A circle about the origin."""
    return Plan(corners_mm=((0.0, 0.0),), round_mm=radius_mm)


def hull(points_mm: Sequence[Point], round_mm: float) -> Plan:
    """The convex hull of points, grown; its box lies about the origin if that of the points does.

    Examples
    --------
    >>> round(hull([(-16.07, 0.0), (16.07, 0.0)], 22.07).area_mm2)
    2949
    """
    found = convex_hull(np.array(points_mm))
    return Plan(corners_mm=tuple((float(x), float(y)) for x, y in found), round_mm=round_mm)


def smallest_circle(points_mm: Sequence[Point]) -> tuple[Point, float]:
    """Middle and radius of the smallest circle round points.

    Examples
    --------
    >>> smallest_circle([(0.0, 0.0), (2.0, 0.0), (1.0, 0.5)])
    ((1.0, 0.0), 1.0)
    """
    found = ((points_mm[0][0], points_mm[0][1]), 0.0)
    for i, p in enumerate(points_mm):
        if _outside(p, found):
            found = (p, 0.0)
            for j, q in enumerate(points_mm[:i]):
                if _outside(q, found):
                    found = _through_two(p, q)
                    for r in points_mm[:j]:
                        if _outside(r, found):
                            found = _through_three(p, q, r)
    return found


def _outside(point: Point, circle_: tuple[Point, float]) -> bool:
    return math.dist(point, circle_[0]) > circle_[1] * (1 + 1e-12) + 1e-12


def _through_two(p: Point, q: Point) -> tuple[Point, float]:
    return ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2), math.dist(p, q) / 2


def _through_three(p: Point, q: Point, r: Point) -> tuple[Point, float]:
    ax, ay, bx, by = q[0] - p[0], q[1] - p[1], r[0] - p[0], r[1] - p[1]
    cross = 2 * (ax * by - ay * bx)
    if abs(cross) < 1e-12:
        return max((_through_two(a, b) for a, b in ((p, q), (q, r), (p, r))), key=lambda one: one[1])
    u = (by * (ax * ax + ay * ay) - ay * (bx * bx + by * by)) / cross
    v = (ax * (bx * bx + by * by) - bx * (ax * ax + ay * ay)) / cross
    return (p[0] + u, p[1] + v), math.hypot(u, v)


# ---------------------------------------------------------------- lines


def _normal(a: Point, b: Point) -> Point:
    """Outward, of a side of an anticlockwise polygon."""
    length = math.dist(a, b)
    return (b[1] - a[1]) / length, (a[0] - b[0]) / length


def _set_off(side: tuple[Point, Point], by_mm: float) -> tuple[Point, Point]:
    """A side moved outwards; a side without length, of a circle, stays."""
    a, b = side
    x, y = _normal(a, b) if a != b else (0.0, 0.0)
    return (a[0] + by_mm * x, a[1] + by_mm * y), (b[0] + by_mm * x, b[1] + by_mm * y)


def _out_of_strip(side: tuple[Point, Point], by_mm: float, way: Point) -> float:
    """How far along a ray from the origin it passes a side moved outwards; 0 where it misses it."""
    (a, b), (c, d) = _set_off(side, by_mm)
    along = (c - a, d - b)
    turn = way[0] * along[1] - way[1] * along[0]
    if turn <= 0.0:
        return 0.0
    share = (b * way[0] - a * way[1]) / -turn
    return (a * along[1] - b * along[0]) / turn if 0.0 <= share <= 1.0 else 0.0


def _out_of_disc(centre: Point, radius: float, way: Point) -> float:
    """How far along a ray from the origin it leaves a disc; 0 where it misses it."""
    ahead = centre[0] * way[0] + centre[1] * way[1]
    beside = centre[0] * way[1] - centre[1] * way[0]
    left = radius**2 - beside**2
    return ahead + math.sqrt(left) if left >= 0.0 else 0.0


def _beside(point: Point, a: Point, b: Point) -> float:
    """How far a point lies to the inner side of a line."""
    out = _normal(a, b)
    return (a[0] - point[0]) * out[0] + (a[1] - point[1]) * out[1]


def _to_side(point: Point, a: Point, b: Point) -> float:
    """Distance from a stretch."""
    along = (b[0] - a[0], b[1] - a[1])
    square = along[0] ** 2 + along[1] ** 2
    share = 0.0 if square == 0 else ((point[0] - a[0]) * along[0] + (point[1] - a[1]) * along[1]) / square
    share = max(0.0, min(1.0, share))
    return math.dist(point, (a[0] + share * along[0], a[1] + share * along[1]))


def _crossing(a: Point, b: Point, y: float) -> list[float]:
    """Where a stretch meets one y."""
    if min(a[1], b[1]) > y or max(a[1], b[1]) < y:
        return []
    return [a[0], b[0]] if a[1] == b[1] else [a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])]
