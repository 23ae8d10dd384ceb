"""Questions to an (r, z) outline of a round part: how wide, how wide a bore, what its end faces and edges are.

The outline runs anticlockwise (r to the right, z up). All lengths are millimetres; every answer is exact
on lines, arcs and bows up to the last digits of a float.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.profiles.outline_math import Curve, curves
from pourwright.engines.geometry.tree import Arc, Bow, Edge, Line, Outline

SAME_MM = 1e-9
_SMOOTH = 1e-6  # rad: a smaller turn between two edges is no corner
Point = tuple[float, float]
Move = Callable[[float, float], Point]


@dataclass(frozen=True, kw_only=True)
class EndFace:
    """The lower or the upper end of a round part, with the rounding of its outer edge.

    Parameters
    ----------
    height_mm : mm, height of the end.
    flat : whether it is a flat ring or disc (a dome or a cord is not).
    inner_mm, rim_mm : mm, radii between which it is flat; both the radius of the end's ring where it is not.
    edge_radius_mm : mm, radius of the rounding that leaves the face tangentially; 0 when the edge is sharp.
    tangent_mm : mm, height where that rounding ends on the side; the face's own height when sharp.
    widest_mm : mm, height where the rounding stands upright; `tangent_mm` unless the side leans inwards there.
    covers : share of the part's shadow along z that the flat face covers, 0 to 1.
    """

    height_mm: float
    flat: bool
    inner_mm: float
    rim_mm: float
    edge_radius_mm: float
    tangent_mm: float
    widest_mm: float
    covers: float


# ---------------------------------------------------------------- widths


def bounds_mm(outline: Outline) -> tuple[float, float, float, float]:
    """Least r, least z, largest r, largest z of an outline, mm.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> bounds_mm(polygon([(2, 0), (5, 0), (5, 7), (2, 7)]))
    (2.0, 0.0, 5.0, 7.0)
    """
    low_r, low_z, high_r, high_z = zip(*(bounds_of(curve) for curve in curves(outline)), strict=True)
    return min(low_r), min(low_z), max(high_r), max(high_z)


def radii_at(outline: Outline, z_mm: float) -> list[float]:
    """Every radius, mm, at which the outline meets the height z_mm, in rising order."""
    found = sorted(point_at(curve, t)[0] for curve in curves(outline) for t in crossings(curve, z_mm))
    if not found:
        _, low, _, high = bounds_mm(outline)
        raise CannotBuild(
            f"the part has nothing at the height {z_mm:g} mm", advice=f"it reaches from {low:g} to {high:g} mm"
        )
    return found


def outer_radius_mm(outline: Outline, z_mm: float) -> float:
    """Radius of the outside at a height, mm; the larger one where the outside has a step.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> outer_radius_mm(polygon([(2, 0), (5, 0), (4, 10), (2, 10)]), 5.0)
    4.5
    """
    return radii_at(outline, z_mm)[-1]


def bore_radius_mm(outline: Outline, z_mm: float) -> float:
    """Radius of the bore at a height, mm; 0 where the part is solid at its axis."""
    return max(0.0, radii_at(outline, z_mm)[0])


def narrowest_bore_mm(outline: Outline) -> float:
    """Radius of the narrowest place of a bore that goes right through, mm; 0 when none does."""
    least = bounds_mm(outline)[0]
    return least if least > SAME_MM else 0.0


def largest_section_heights_mm(outline: Outline) -> tuple[tuple[float, float], ...]:
    """Where the outside is widest: stretches (from, to) of height, mm, lowest first; from = to for a ridge.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> largest_section_heights_mm(polygon([(0, 0), (5, 0), (5, 6), (3, 6), (3, 9), (0, 9)]))
    ((0.0, 6.0),)
    """
    widest = bounds_mm(outline)[2]
    found: list[tuple[float, float]] = []
    for curve in curves(outline):
        heights = [z for r, z in extremes(curve) if r >= widest - SAME_MM]
        if not heights:
            continue
        upright = curve.straight and len(heights) == 2
        found.extend([(min(heights), max(heights))] if upright else [(z, z) for z in heights])
    merged: list[tuple[float, float]] = []
    for low, high in sorted(found):
        if merged and low <= merged[-1][1] + SAME_MM:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return tuple(merged)


# ---------------------------------------------------------------- edges and faces


def sharp_outer_heights_mm(outline: Outline) -> tuple[float, ...]:
    """Heights of the sharp outward edges on the outside (not the bore's), mm, lowest first.

    Where nothing is left of an end face, the rim of the bore is the outside.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> sharp_outer_heights_mm(polygon([(0, 0), (5, 0), (5, 6), (3, 6), (3, 9), (0, 9)]))
    (0.0, 6.0, 9.0)
    """
    drawn = curves(outline)
    found = set()
    for before, after in zip([drawn[-1], *drawn[:-1]], drawn, strict=True):
        r, z = after.begin_mm
        outward = turn_rad(_direction(before, 1.0), _direction(after, 0.0)) > _SMOOTH
        if outward and r > SAME_MM and r >= outer_radius_mm(outline, z) - SAME_MM:
            found.add(z)
    return tuple(sorted(found))


def end_faces(outline: Outline) -> tuple[EndFace, EndFace]:
    """The lower and the upper end face.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> lower, upper = end_faces(polygon([(2, 0), (5, 0), (4, 10), (2, 10)]))
    >>> lower.rim_mm, upper.rim_mm, upper.height_mm, upper.edge_radius_mm
    (5.0, 4.0, 10.0, 0.0)
    """
    above = _lower_face(turned_over(outline))
    upper = EndFace(
        height_mm=-above.height_mm,
        flat=above.flat,
        inner_mm=above.inner_mm,
        rim_mm=above.rim_mm,
        edge_radius_mm=above.edge_radius_mm,
        tangent_mm=-above.tangent_mm,
        widest_mm=-above.widest_mm,
        covers=above.covers,
    )
    return _lower_face(outline), upper


def _lower_face(outline: Outline) -> EndFace:
    least, low, widest, _ = bounds_mm(outline)
    drawn = curves(outline)
    flats = [n for n, curve in enumerate(drawn) if _is_flat(curve, low)]
    if flats:
        at = max(flats, key=lambda n: drawn[n].end_mm[0])
        inner, rim, side = drawn[at].begin_mm[0], drawn[at].end_mm[0], drawn[(at + 1) % len(drawn)]
    else:
        touching = [(r, n) for n, curve in enumerate(drawn) for r, z in extremes(curve)[:-1] if z <= low + SAME_MM]
        rim, at = max(touching)
        inner, side = rim, drawn[at]
    radius, tangent, upright = _rounding(side, low)
    shadow = widest**2 - max(least, 0.0) ** 2
    return EndFace(
        height_mm=low,
        flat=bool(flats),
        inner_mm=inner,
        rim_mm=rim,
        edge_radius_mm=radius,
        tangent_mm=tangent,
        widest_mm=upright,
        covers=(rim**2 - inner**2) / shadow,
    )


def _is_flat(curve: Curve, z_mm: float) -> bool:
    return curve.straight and max(abs(curve.begin_mm[1] - z_mm), abs(curve.end_mm[1] - z_mm)) <= SAME_MM


def _rounding(side: Curve, low_mm: float) -> tuple[float, float, float]:
    """Radius, height of its end on the side, height where it is upright; (0, low, low) for a sharp edge."""
    if side.radius_mm == 0.0 or side.sweep_rad <= 0.0:
        return 0.0, low_mm, low_mm
    # An arc leaves a level face smoothly exactly when the face lies at its own lowest point.
    if abs(side.centre_mm[1] - side.radius_mm - low_mm) > SAME_MM * (1 + side.radius_mm):
        return 0.0, low_mm, low_mm
    end = side.end_mm[1]
    upright = side.centre_mm[1] if crossing_upright(side) else end
    return side.radius_mm, end, upright


def crossing_upright(arc: Curve) -> bool:
    """Whether an arc passes its outermost point, level with its centre, before its end."""
    return any(abs(z - arc.centre_mm[1]) <= SAME_MM and r > arc.centre_mm[0] for r, z in extremes(arc)[1:-1])


# ---------------------------------------------------------------- moved, scaled, turned over


def shifted(outline: Outline, z_mm: float, *, r_mm: float = 0.0) -> Outline:
    """The outline moved up by z_mm (and outwards by r_mm)."""
    return _mapped(outline, 1.0, r_mm, z_mm)


def scaled_outline(outline: Outline, factor: float) -> Outline:
    """The outline scaled about the origin; the same object for 1."""
    return outline if factor == 1.0 else _mapped(outline, factor, 0.0, 0.0)


def turned_over(outline: Outline, *, about_mm: float = 0.0) -> Outline:
    """The mirror image in the plane z = about_mm, anticlockwise again.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> bounds_mm(turned_over(polygon([(0, 0), (5, 0), (0, 8)]), about_mm=4.0))
    (0.0, 0.0, 5.0, 8.0)
    """
    return _walked_back(outline, lambda r, z: (r, 2 * about_mm - z), turns_flip=False)


def walked_back(outline: Outline) -> Outline:
    """The same outline drawn the other way round."""
    return _walked_back(outline, lambda r, z: (r, z), turns_flip=True)


def _mapped(outline: Outline, factor: float, r_mm: float, z_mm: float) -> Outline:
    def move(r: float, z: float) -> Point:
        return r * factor + r_mm, z * factor + z_mm

    return Outline(
        move(*outline.start_mm), tuple(_redrawn(edge, (edge.a_mm, edge.b_mm), move) for edge in outline.edges)
    )


def _walked_back(outline: Outline, move: Move, *, turns_flip: bool) -> Outline:
    edges = [_redrawn(edge, begin, move, turns_flip=turns_flip) for begin, edge in reversed(outline.pieces())]
    return Outline(move(*outline.start_mm), tuple(edges))


def _redrawn(edge: Edge, end: Point, move: Move, *, turns_flip: bool = False) -> Edge:
    a, b = move(*end)
    if isinstance(edge, Arc):
        centre_a, centre_b = move(edge.centre_a_mm, edge.centre_b_mm)
        return Arc(a, b, centre_a, centre_b, edge.anticlockwise != turns_flip)
    if isinstance(edge, Bow):
        return Bow(a, b, *move(edge.control_a_mm, edge.control_b_mm))
    return Line(a, b)


# ---------------------------------------------------------------- along one curve


def point_at(curve: Curve, t: float) -> Point:
    """The point at the parameter t; its ends are met exactly."""
    if t <= 0.0 or t >= 1.0:
        return curve.begin_mm if t <= 0.0 else curve.end_mm
    (p, q), (r, s) = curve.begin_mm, curve.end_mm
    if curve.straight:
        return p + t * (r - p), q + t * (s - q)
    if curve.control_mm is None:
        angle = curve.start_rad + t * curve.sweep_rad
        return (
            curve.centre_mm[0] + curve.radius_mm * math.cos(angle),
            curve.centre_mm[1] + curve.radius_mm * math.sin(angle),
        )
    c, d = curve.control_mm
    first, middle, last = (1 - t) ** 2, 2 * t * (1 - t), t * t
    return first * p + middle * c + last * r, first * q + middle * d + last * s


def extremes(curve: Curve) -> list[Point]:
    """Its begin, its turning points in r and z in order, and its end."""
    if curve.straight:
        return [curve.begin_mm, curve.end_mm]
    inner = _arc_extremes(curve) if curve.control_mm is None else _bow_extremes(curve)
    return [curve.begin_mm, *inner, curve.end_mm]


def bounds_of(curve: Curve) -> tuple[float, float, float, float]:
    """Least r, least z, largest r, largest z of one curve."""
    radii, heights = zip(*extremes(curve), strict=True)
    return min(radii), min(heights), max(radii), max(heights)


def _arc_extremes(curve: Curve) -> list[Point]:
    (a, b), radius = curve.centre_mm, curve.radius_mm
    compass = ((a + radius, b), (a, b + radius), (a - radius, b), (a, b - radius))
    found = [(arc_parameter(curve, n * math.pi / 2), point) for n, point in enumerate(compass)]
    return [point for t, point in sorted(found) if 1e-12 < t < 1 - 1e-12]


def _bow_extremes(curve: Curve) -> list[Point]:
    found = []
    for p, c, q in zip(curve.begin_mm, curve.control_mm or (), curve.end_mm, strict=True):
        bend = p - 2 * c + q
        if abs(bend) > SAME_MM:
            found.append((p - c) / bend)
    return [point_at(curve, t) for t in sorted(found) if 1e-12 < t < 1 - 1e-12]


def arc_parameter(curve: Curve, angle_rad: float) -> float:
    """The parameter at which an arc looks this way from its centre; above 1 when it never does."""
    turned = (angle_rad - curve.start_rad) * math.copysign(1.0, curve.sweep_rad) % (2 * math.pi)
    return turned / abs(curve.sweep_rad)


def crossings(curve: Curve, z_mm: float) -> list[float]:
    """Parameters, 0 to 1 in order, where a curve meets a height; the two ends of one that lies in it."""
    ends = [t for t, point in ((0.0, curve.begin_mm), (1.0, curve.end_mm)) if abs(point[1] - z_mm) <= SAME_MM]
    near = [point_at(curve, t) for t in ends]
    inner = [t for t in _inner_crossings(curve, z_mm) if 0.0 < t < 1.0]
    return sorted({*ends, *(t for t in inner if all(math.dist(point_at(curve, t), end) > 1e-7 for end in near))})


def _inner_crossings(curve: Curve, z_mm: float) -> list[float]:
    begin, end = curve.begin_mm[1], curve.end_mm[1]
    if curve.straight:
        return [] if abs(end - begin) <= SAME_MM else [(z_mm - begin) / (end - begin)]
    if curve.control_mm is None:
        sine = (z_mm - curve.centre_mm[1]) / curve.radius_mm
        if abs(sine) > 1.0 + 1e-12:
            return []
        angle = math.asin(max(-1.0, min(1.0, sine)))
        return [arc_parameter(curve, turn) for turn in {angle, math.pi - angle}]
    return _quadratic(begin - 2 * curve.control_mm[1] + end, 2 * (curve.control_mm[1] - begin), begin - z_mm)


def _quadratic(square: float, linear: float, constant: float) -> list[float]:
    if abs(square) <= 1e-12 * max(abs(linear), abs(constant), 1e-30):
        return [] if linear == 0.0 else [-constant / linear]
    inside = linear * linear - 4 * square * constant
    if inside < 0.0:
        return []
    stable = -(linear + math.copysign(math.sqrt(inside), linear)) / 2
    roots = {stable / square}
    return sorted(roots | ({constant / stable} if stable != 0.0 else set()))


def _direction(curve: Curve, t: float) -> Point:
    (p, q), (r, s) = curve.begin_mm, curve.end_mm
    if curve.straight:
        return r - p, s - q
    if curve.control_mm is None:
        angle = curve.start_rad + t * curve.sweep_rad
        sense = math.copysign(1.0, curve.sweep_rad)
        return -math.sin(angle) * sense, math.cos(angle) * sense
    c, d = curve.control_mm
    return (1 - t) * (c - p) + t * (r - c), (1 - t) * (d - q) + t * (s - d)


def turn_rad(first: Point, second: Point) -> float:
    """Angle from one direction to the next, rad, positive to the left."""
    return math.atan2(first[0] * second[1] - first[1] * second[0], first[0] * second[0] + first[1] * second[1])
