"""Cut an (r, z) outline by a level plane: what lies below it and what lies above it, exactly."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.profiles.outline_math import Curve, curves
from pourwright.engines.geometry.profiles.outlines import SAME_MM, Point, bounds_mm, crossings, point_at, turned_over
from pourwright.engines.geometry.tree import Arc, Bow, Edge, Line, Outline

_THIN_MM = 1e-6
Stretch = tuple[Point, Edge, float]  # begin, edge, height of its middle above the plane
Run = tuple[Point, list[Edge]]


def split_at(outline: Outline, z_mm: float) -> tuple[tuple[Outline, ...], tuple[Outline, ...]]:
    """The outlines below and above the plane z = z_mm.

    Parameters
    ----------
    outline : anticlockwise.
    z_mm : mm

    Returns
    -------
    those below, those above : innermost first. One each for most parts; none on a side where nothing lies;
        several where the plane cuts through a groove or a ring. A slice thinner than 1e-6 mm is nothing.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> below, above = split_at(polygon([(0, 0), (4, 0), (2, 8), (0, 8)]), 4.0)
    >>> [len(pieces) for pieces in (below, above)]
    [1, 1]
    >>> above[0].start_mm
    (0.0, 4.0)
    """
    z_mm = float(z_mm)
    _, low_mm, _, high_mm = bounds_mm(outline)
    if z_mm <= low_mm + _THIN_MM:
        return (), (outline,)
    if z_mm >= high_mm - _THIN_MM:
        return (outline,), ()
    above = tuple(turned_over(piece) for piece in _kept_below(turned_over(outline), -z_mm))
    return _kept_below(outline, z_mm), above


def below(outline: Outline, z_mm: float) -> Outline:
    """The one outline below a height; CannotBuild when there is none or more than one."""
    return _only(split_at(outline, z_mm)[0], f"below {z_mm:g} mm")


def above(outline: Outline, z_mm: float) -> Outline:
    """The one outline above a height; CannotBuild when there is none or more than one."""
    return _only(split_at(outline, z_mm)[1], f"above {z_mm:g} mm")


def _only(pieces: tuple[Outline, ...], where: str) -> Outline:
    if len(pieces) != 1:
        raise CannotBuild(f"{len(pieces)} separate pieces lie {where}", advice="choose another height")
    return pieces[0]


def _kept_below(outline: Outline, z_mm: float) -> tuple[Outline, ...]:
    stretches = [stretch for curve in curves(outline) for stretch in _stretches(curve, z_mm)]
    if all(rise <= SAME_MM for _, _, rise in stretches):
        return (outline,)
    runs = _runs(stretches, z_mm)
    # Walking anticlockwise, a run begins on the inner side of its piece and ends on the outer: along the
    # plane the k-th begin and the k-th end bound the k-th piece of the section.
    begins = sorted(range(len(runs)), key=lambda n: runs[n][0][0])
    ends = sorted(range(len(runs)), key=lambda n: runs[n][1][-1].a_mm)
    follower = dict(zip(ends, begins, strict=True))
    pieces, left = [], list(begins)
    while left:
        loop = [left[0]]
        while follower[loop[-1]] != loop[0]:
            loop.append(follower[loop[-1]])
        left = [n for n in left if n not in loop]
        pieces.append(_closed([runs[n] for n in loop]))
    return tuple(pieces)


def _stretches(curve: Curve, z_mm: float) -> list[Stretch]:
    """A curve broken where it meets the plane."""
    at = [0.0, *(t for t in crossings(curve, z_mm) if 0.0 < t < 1.0), 1.0]
    found = []
    for t0, t1 in pairwise(at):
        begin = point_at(curve, t0) if t0 == 0.0 else (point_at(curve, t0)[0], z_mm)
        end = point_at(curve, t1) if t1 == 1.0 else (point_at(curve, t1)[0], z_mm)
        found.append((begin, _sub_edge(curve, t0, t1, end), point_at(curve, (t0 + t1) / 2)[1] - z_mm))
    return found


def _sub_edge(curve: Curve, t0: float, t1: float, end: Point) -> Edge:
    if curve.straight:
        return Line(*end)
    if curve.control_mm is None:
        return Arc(*end, *curve.centre_mm, anticlockwise=curve.sweep_rad > 0)
    weights = (1 - t0) * (1 - t1), t0 * (1 - t1) + t1 * (1 - t0), t0 * t1
    corners = curve.begin_mm, curve.control_mm, curve.end_mm
    r, z = (sum(weight * corner[axis] for weight, corner in zip(weights, corners, strict=True)) for axis in (0, 1))
    return Bow(*end, r, z)


def _runs(stretches: list[Stretch], z_mm: float) -> list[Run]:
    """Unbroken walks below the plane, each from the plane back to it."""
    is_below = [rise < -SAME_MM for _, _, rise in stretches]
    count = len(stretches)
    found = []
    for first in (n for n in range(count) if is_below[n] and not is_below[n - 1]):
        last = next(n for n in range(first, first + count) if not is_below[(n + 1) % count])
        edges = [stretches[n % count][1] for n in range(first, last + 1)]
        edges[-1] = replace(edges[-1], b_mm=z_mm)
        found.append(((stretches[first][0][0], z_mm), edges))
    return found


def _closed(runs: list[Run]) -> Outline:
    edges: list[Edge] = []
    for (_, walk), (begin, _) in zip(runs, [*runs[1:], runs[0]], strict=True):
        edges.extend(walk)
        if abs(walk[-1].a_mm - begin[0]) > SAME_MM:
            edges.append(Line(*begin))
    return Outline(runs[0][0], tuple(edges))
