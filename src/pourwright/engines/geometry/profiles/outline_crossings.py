"""Find where an outline of lines and arcs crosses or touches itself."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from pourwright.engines.geometry.profiles.outline_math import Curve, curves
from pourwright.engines.geometry.profiles.outlines import Point, arc_parameter, bounds_of
from pourwright.engines.geometry.tree import Outline

_TOUCH_MM = 1e-6
_NEIGHBOUR_MM = 1e-3  # nearer to a shared corner than this, two smoothly joined edges are one line


def self_crossing(outline: Outline) -> tuple[int, int, Point] | None:
    """The first two edges that meet away from a shared corner, and where; None for a simple outline.

    Bows are taken for their chords.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> self_crossing(polygon([(0, 0), (2, 2), (2, 0), (0, 2)]))
    (0, 2, (1.0, 1.0))
    """
    drawn = curves(outline)
    boxes = [bounds_of(curve) for curve in drawn]
    for first, second in combinations(range(len(drawn)), 2):
        if not _apart(boxes[first], boxes[second]):
            shared = _shared(first, second, drawn)
            for point in _common_points(drawn[first], drawn[second]):
                if all(math.dist(point, corner) > _NEIGHBOUR_MM for corner in shared):
                    return first, second, point
    return None


def _apart(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return any(one[n] > other[n + 2] + _TOUCH_MM or other[n] > one[n + 2] + _TOUCH_MM for n in (0, 1))


def _shared(first: int, second: int, drawn: list[Curve]) -> list[Point]:
    found = [drawn[first].end_mm] if second == first + 1 else []
    return [*found, drawn[first].begin_mm] if (second + 1) % len(drawn) == first else found


def _common_points(one: Curve, other: Curve) -> Iterator[Point]:
    ends = (one.begin_mm, one.end_mm, other.begin_mm, other.end_mm)
    for point in (*_meetings(one, other), *ends):
        if _is_on(one, point) and _is_on(other, point):
            yield point


def _meetings(one: Curve, other: Curve) -> list[Point]:
    """Where the whole lines or circles of two edges meet."""
    if one.radius_mm > 0 and other.radius_mm > 0:
        return _two_circles(one, other)
    if one.radius_mm > 0:
        return _line_and_circle(other, one)
    return _line_and_circle(one, other) if other.radius_mm > 0 else _two_lines(one, other)


def _two_lines(one: Curve, other: Curve) -> list[Point]:
    (p, q), (u, v) = one.begin_mm, _along(one)
    (r, s), (x, y) = other.begin_mm, _along(other)
    twist = u * y - v * x
    if abs(twist) <= 1e-12:
        return []
    way = ((r - p) * y - (s - q) * x) / twist
    return [(p + way * u, q + way * v)]


def _line_and_circle(line: Curve, circle: Curve) -> list[Point]:
    (p, q), (u, v), (a, b) = line.begin_mm, _along(line), circle.centre_mm
    foot = (a - p) * u + (b - q) * v
    off = (a - p) * v - (b - q) * u
    return [(p + way * u, q + way * v) for way in _both(foot, circle.radius_mm**2 - off**2)]


def _two_circles(one: Curve, other: Curve) -> list[Point]:
    (a, b), (c, d) = one.centre_mm, other.centre_mm
    between = math.dist(one.centre_mm, other.centre_mm)
    if between <= _TOUCH_MM:
        return []
    u, v = (c - a) / between, (d - b) / between
    foot = (between**2 + one.radius_mm**2 - other.radius_mm**2) / (2 * between)
    sides = _both(0.0, one.radius_mm**2 - foot**2)
    return [(a + foot * u - side * v, b + foot * v + side * u) for side in sides]


def _both(middle: float, square: float) -> tuple[float, ...]:
    """The two places at the root of `square` from the middle; one where they just touch."""
    if square < -_TOUCH_MM:
        return ()
    root = math.sqrt(max(0.0, square))
    return middle - root, middle, middle + root


def _along(curve: Curve) -> Point:
    length = math.dist(curve.begin_mm, curve.end_mm)
    return (curve.end_mm[0] - curve.begin_mm[0]) / length, (curve.end_mm[1] - curve.begin_mm[1]) / length


def _is_on(curve: Curve, point: Point) -> bool:
    if min(math.dist(point, curve.begin_mm), math.dist(point, curve.end_mm)) <= _TOUCH_MM:
        return True
    if curve.radius_mm > 0:
        away = point[0] - curve.centre_mm[0], point[1] - curve.centre_mm[1]
        inside = arc_parameter(curve, math.atan2(away[1], away[0])) <= 1.0
        return inside and abs(math.hypot(*away) - curve.radius_mm) <= _TOUCH_MM
    (p, q), (u, v) = curve.begin_mm, _along(curve)
    way, off = (point[0] - p) * u + (point[1] - q) * v, (point[0] - p) * v - (point[1] - q) * u
    return 0.0 <= way <= math.dist(curve.begin_mm, curve.end_mm) and abs(off) <= _TOUCH_MM
