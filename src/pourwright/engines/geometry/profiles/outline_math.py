"""What can be said exactly of an outline of lines, arcs and bows: its area, moment and length, and its points.

An outline lies in a plane with axes a and b: (r, z) for a body of revolution, (x, y) for a prism.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.tree import Arc, Bow, Line, Outline

Points = NDArray[np.float64]
_GAUSS3 = np.polynomial.legendre.leggauss(3)  # exact up to degree 5: area and moment of a bow
_GAUSS64 = np.polynomial.legendre.leggauss(64)
_HALF_TURN = math.pi * (1 + 1e-7)


@dataclass(frozen=True)
class Curve:
    """A stretch of an edge, t from 0 to 1: straight, an arc or a parabola."""

    begin_mm: tuple[float, float]
    end_mm: tuple[float, float]
    centre_mm: tuple[float, float] = (0.0, 0.0)
    radius_mm: float = 0.0
    start_rad: float = 0.0
    sweep_rad: float = 0.0
    control_mm: tuple[float, float] | None = None

    @property
    def straight(self) -> bool:
        """Neither an arc nor a parabola."""
        return self.radius_mm == 0.0 and self.control_mm is None

    @property
    def turn_rad(self) -> float:
        """Angle between the directions at its two ends, rad."""
        if self.control_mm is None:
            return abs(self.sweep_rad)
        p, c, q = (np.array(point) for point in (self.begin_mm, self.control_mm, self.end_mm))
        first, last = c - p, q - c
        return abs(math.atan2(first[0] * last[1] - first[1] * last[0], float(first @ last)))

    def points(self, at: Points) -> Points:
        """The points at the parameters `at`, mm (n, 2); the ends are met exactly."""
        t = np.asarray(at, dtype=np.float64)[:, None]
        p, q = np.array(self.begin_mm), np.array(self.end_mm)
        if self.straight:
            found = p + t * (q - p)
        elif self.control_mm is None:
            angle = self.start_rad + t * self.sweep_rad
            found = np.array(self.centre_mm) + self.radius_mm * np.hstack((np.cos(angle), np.sin(angle)))
        else:
            found = (1 - t) ** 2 * p + 2 * t * (1 - t) * np.array(self.control_mm) + t**2 * q
        return np.where(t == 0, p, np.where(t == 1, q, found))

    def slopes(self, at: Points) -> Points:
        """The derivative of `points` by t, mm (n, 2)."""
        t = np.asarray(at, dtype=np.float64)[:, None]
        p, q = np.array(self.begin_mm), np.array(self.end_mm)
        if self.straight:
            return np.broadcast_to(q - p, (len(t), 2))
        if self.control_mm is None:
            angle = self.start_rad + t * self.sweep_rad
            return self.radius_mm * self.sweep_rad * np.hstack((-np.sin(angle), np.cos(angle)))
        c = np.array(self.control_mm)
        return 2 * (1 - t) * (c - p) + 2 * t * (q - c)


def curves(outline: Outline) -> list[Curve]:
    """The edges of an outline as curves, in order."""
    return [_curve(begin, edge) for begin, edge in outline.pieces()]


def _curve(begin: tuple[float, float], edge: Line | Arc | Bow) -> Curve:
    end = (edge.a_mm, edge.b_mm)
    if isinstance(edge, Bow):
        return Curve(begin, end, control_mm=(edge.control_a_mm, edge.control_b_mm))
    if isinstance(edge, Line):
        return Curve(begin, end)
    centre = (edge.centre_a_mm, edge.centre_b_mm)
    start = math.atan2(begin[1] - centre[1], begin[0] - centre[0])
    sweep = (math.atan2(end[1] - centre[1], end[0] - centre[0]) - start) % (2 * math.pi)
    sweep = sweep if edge.anticlockwise else sweep - 2 * math.pi
    if abs(sweep) > _HALF_TURN or abs(sweep) < 1e-12:
        raise CannotBuild(
            f"an arc of {math.degrees(abs(sweep)):g}° about ({centre[0]:g}, {centre[1]:g}) mm",
            advice="an arc turns by more than nothing and at most a half turn: split it",
        )
    return Curve(begin, end, centre, math.dist(begin, centre), start, sweep)


# ---------------------------------------------------------------- exact figures


def moment_mm3(curve: Curve) -> float:
    r"""Its share of the first moment about the b axis, :math:`\int \tfrac12 a^2\,db`, mm3."""
    p, q = curve.begin_mm, curve.end_mm
    if curve.straight:
        return (q[1] - p[1]) * (p[0] ** 2 + p[0] * q[0] + q[0] ** 2) / 6
    if curve.control_mm is None:
        return _arc_moment(curve)
    at, weight = (_GAUSS3[0] + 1) / 2, _GAUSS3[1] / 2
    return float(np.sum(weight * curve.points(at)[:, 0] ** 2 * curve.slopes(at)[:, 1]) / 2)


def _arc_moment(curve: Curve) -> float:
    # By quadrature, exact to the last digits: the primitive loses as many as (radius / part)^3 has on a flat arc.
    at, weight = (_GAUSS64[0] + 1) / 2, _GAUSS64[1] / 2
    return float(np.sum(weight * curve.points(at)[:, 0] ** 2 * curve.slopes(at)[:, 1]) / 2)


def area_share_mm2(curve: Curve) -> float:
    r"""Its share of the enclosed area, :math:`\tfrac12\int (a\,db - b\,da)`, mm2."""
    p, q = curve.begin_mm, curve.end_mm
    triangle = (p[0] * q[1] - p[1] * q[0]) / 2
    if curve.straight:
        return triangle
    if curve.control_mm is None:
        # The segment between the arc and its chord.
        return triangle + curve.radius_mm**2 * (curve.sweep_rad - math.sin(curve.sweep_rad)) / 2
    c = curve.control_mm
    return triangle + ((c[0] - p[0]) * (q[1] - p[1]) - (c[1] - p[1]) * (q[0] - p[0])) / 3


def length_mm(curve: Curve) -> float:
    """Its length, mm."""
    if curve.straight:
        return math.dist(curve.begin_mm, curve.end_mm)
    if curve.control_mm is None:
        return curve.radius_mm * abs(curve.sweep_rad)
    return _along(curve, lambda points: np.ones(len(points)))


def swept_area_mm2(curve: Curve) -> float:
    r"""Area swept in a full turn about the b axis, :math:`2\pi\int a\,ds`, mm2."""
    p, q = curve.begin_mm, curve.end_mm
    if curve.straight:
        return math.pi * (p[0] + q[0]) * math.dist(p, q)
    if curve.control_mm is None:
        rise = math.sin(curve.start_rad + curve.sweep_rad) - math.sin(curve.start_rad)
        way = curve.centre_mm[0] * curve.sweep_rad + curve.radius_mm * rise
        return 2 * math.pi * curve.radius_mm * abs(way)
    return 2 * math.pi * _along(curve, lambda points: points[:, 0])


def _along(curve: Curve, value: Callable[[Points], Points]) -> float:
    at, weight = (_GAUSS64[0] + 1) / 2, _GAUSS64[1] / 2
    speed = np.linalg.norm(curve.slopes(at), axis=1)
    return float(np.sum(weight * speed * value(curve.points(at))))


def enclosed_area_mm2(outline: Outline) -> float:
    """Area inside an outline, mm2; negative when it runs clockwise.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> enclosed_area_mm2(polygon([(0, 0), (2, 0), (2, 3), (0, 3)]))
    6.0
    """
    return math.fsum(area_share_mm2(curve) for curve in curves(outline))


# ---------------------------------------------------------------- points along an outline


def sampled(outline: Outline, *, segments: int, tolerance_mm: float, weighted: bool, corrected: bool) -> Points:
    """The outline as a closed polygon, mm (n, 2), without repeating its first point.

    Parameters
    ----------
    segments : chords that a full turn of a curve gets at least (only when corrected).
    tolerance_mm : mm, largest distance of a chord from its curve, before correction.
    weighted : keep the moment about the b axis (body of revolution) instead of the area (prism).
    corrected : move inner points off the end chord of each curve, so that moment or area are exact.
    """
    chains = []
    for curve in curves(outline):
        if curve.straight:
            chains.append(np.array((curve.begin_mm,)))
            continue
        for piece in stretches(curve):
            points = piece.points(
                np.linspace(0.0, 1.0, _chords(piece, segments, tolerance_mm, weighted, corrected) + 1)
            )
            chains.append((_kept(points, piece, weighted) if corrected else points)[:-1])
    polygon = np.vstack(chains)
    apart = np.any(np.abs(polygon - np.roll(polygon, 1, axis=0)) > 1e-12, axis=1)
    return polygon[apart]


def _chords(curve: Curve, segments: int, tolerance_mm: float, weighted: bool, corrected: bool) -> int:
    if curve.straight:
        return 1
    if corrected and not weighted and curve.control_mm is None:
        # The wall of a prism, as fine as the circles: its area is exact all the same. One chord could not be moved.
        return max(2, math.ceil(segments * curve.turn_rad / (2 * math.pi) - 1e-9))
    if curve.control_mm is None:
        step = 2 * math.acos(max(-1.0, 1 - tolerance_mm / curve.radius_mm))
        close = math.ceil(abs(curve.sweep_rad) / step)
    else:
        p, c, q = (np.array(point) for point in (curve.begin_mm, curve.control_mm, curve.end_mm))
        close = math.ceil(math.sqrt(float(np.linalg.norm(p - 2 * c + q)) / (4 * tolerance_mm)))
    # Half as fine as the circles: the volume is exact all the same, and a fillet has few chords in a preview.
    least = max(6, math.ceil(segments * curve.turn_rad / (4 * math.pi) - 1e-9)) if corrected else 1
    return max(close, least)


def stretches(curve: Curve) -> Iterator[Curve]:
    """The curve split where it turns back in a or b: its widest and highest points then are ends."""
    cuts = [0.0, *(t for t in _turning_points(curve) if 1e-9 < t < 1 - 1e-9), 1.0]
    for t0, t1 in pairwise(cuts):
        yield curve if (t0, t1) == (0.0, 1.0) else _stretch(curve, t0, t1)


def _turning_points(curve: Curve) -> list[float]:
    if curve.straight:
        return []
    if curve.control_mm is None:
        quarter = math.pi / 2
        low, high = sorted((curve.start_rad, curve.start_rad + curve.sweep_rad))
        angles = (k * quarter for k in range(math.ceil(low / quarter), math.floor(high / quarter) + 1))
        return sorted((angle - curve.start_rad) / curve.sweep_rad for angle in angles)
    found = []
    for p, c, q in zip(curve.begin_mm, curve.control_mm, curve.end_mm, strict=True):
        bend = p - 2 * c + q
        if abs(bend) > 1e-12:
            found.append((p - c) / bend)
    return sorted(set(found))


def _stretch(curve: Curve, t0: float, t1: float) -> Curve:
    begin, end = ((float(a), float(b)) for a, b in curve.points(np.array([t0, t1])))
    if curve.control_mm is None:
        start, sweep = curve.start_rad + t0 * curve.sweep_rad, (t1 - t0) * curve.sweep_rad
        return Curve(begin, end, curve.centre_mm, curve.radius_mm, start, sweep)
    slope = curve.slopes(np.array([t0]))[0] * (t1 - t0) / 2
    return Curve(begin, end, control_mm=(begin[0] + float(slope[0]), begin[1] + float(slope[1])))


def _kept(points: Points, curve: Curve, weighted: bool) -> Points:
    """Inner points moved off the end chord by one factor, so that area or moment are the curve's own."""
    if curve.straight:
        return points
    along = points[-1] - points[0]
    along = along / np.linalg.norm(along)
    feet = points[0] + np.outer((points - points[0]) @ along, along)
    off = points - feet
    wanted = moment_mm3(curve) if weighted else area_share_mm2(curve)
    factor = _factor(_moment_by_factor(feet, off) if weighted else _area_by_factor(feet, off), wanted)
    # Only the inner points: the ends stay where they are, and one on the axis may come out as -1e-16.
    moved = (feet + factor * off)[1:-1]
    usable = 0.5 < factor < 2.0 and not (weighted and np.any(moved[:, 0] < min(0.0, points[:, 0].min())))
    return np.vstack((points[:1], moved, points[-1:])) if usable else points


def _factor(powers: Sequence[float], wanted: float) -> float:
    """Where near 1 a polynomial, by rising powers, has a value; by Newton's method."""
    factor = 1.0
    for _ in range(12):
        miss = sum(power * factor**k for k, power in enumerate(powers)) - wanted
        rate = sum(k * power * factor ** (k - 1) for k, power in enumerate(powers) if k)
        if rate == 0.0 or abs(miss) <= 1e-15 * abs(rate):
            break
        factor -= miss / rate
    return factor


def _moment_by_factor(feet: Points, off: Points) -> list[float]:
    """The moment of the polyline feet + factor * off, by rising powers of the factor."""
    a, da, rise, lift = feet[:, 0], off[:, 0], np.diff(feet[:, 1]), np.diff(off[:, 1])
    plain = a[:-1] ** 2 + a[:-1] * a[1:] + a[1:] ** 2
    mixed = 2 * a[:-1] * da[:-1] + a[:-1] * da[1:] + da[:-1] * a[1:] + 2 * a[1:] * da[1:]
    twice = da[:-1] ** 2 + da[:-1] * da[1:] + da[1:] ** 2
    return [
        float(rise @ plain) / 6,
        float(lift @ plain + rise @ mixed) / 6,
        float(lift @ mixed + rise @ twice) / 6,
        float(lift @ twice) / 6,
    ]


def _area_by_factor(feet: Points, off: Points) -> list[float]:
    """Its area, likewise."""
    return [
        _crossed(feet, feet) / 2,
        (_crossed(feet, off) + _crossed(off, feet)) / 2,
        _crossed(off, off) / 2,
    ]


def _crossed(one: Points, other: Points) -> float:
    return float(one[:-1, 0] @ other[1:, 1] - one[1:, 0] @ other[:-1, 1])


def crosses_itself(polygon: Points) -> bool:
    """Whether two edges of a closed polygon that are not neighbours cross.

    Examples
    --------
    >>> crosses_itself(np.array([(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)]))
    True
    """
    start, end = polygon, np.roll(polygon, -1, axis=0)
    d0, d1 = _side(start, end, start), _side(start, end, end)
    scale = float(np.ptp(polygon, axis=0).max()) ** 2 * 1e-12
    split = (d0 > scale) & (d1 < -scale) | (d0 < -scale) & (d1 > scale)
    return bool(np.any(split & split.T))


def _side(start: Points, end: Points, point: Points) -> Points:
    """Twice the area of (start_i, end_i, point_j), signed."""
    along = (end - start)[:, None, :]
    to = point[None, :, :] - start[:, None, :]
    return along[..., 0] * to[..., 1] - along[..., 1] * to[..., 0]
