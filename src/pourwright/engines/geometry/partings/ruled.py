"""A parting that follows a part along one way: the corridor in which it must run, and the flattest line through it. mm.

A parting z = g(u), the same all along the other way, lets a part go freely when it runs in every column between the
lowest and the highest point of the material there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pourwright.engines.geometry.air.dexels import Columns, Floats

Line = tuple[tuple[float, float], ...]

GRAZINGS = (0.35, 0.12)  # of the middling thickness: columns that are thinner do not count, at first and then
STEEPEST = 1.0  # rise over run that a ruled parting keeps to where it can: 45° (judgement)
STEP_DRAFT_DEG = 5.0  # from upright, of steps, and the least of any face: a steeper one rubs as it opens (judgement)
STEEPEST_STEP = 1 / math.tan(math.radians(STEP_DRAFT_DEG))
_EASY = math.tan(math.radians(35.0))  # so steep a line may be to run where both pieces of a pattern are thick
_INSETS = ((0.4, _EASY), (0.25, _EASY), (0.25, STEEPEST), (0.1, STEEPEST), (0.01, math.inf))
_INSET_MM = 4.0  # keeping off the corridor's edges by more makes pieces no sounder (judgement)
_STRAIGHT_MM = 0.05  # corners of the line that matter less are left out
_STEP_ROOM_MM = 10.0  # how far from the end of a level stretch its step may stand


@dataclass(frozen=True, eq=False)
class Corridor:
    """Where a ruled parting may run.

    Parameters
    ----------
    u_mm : mm, (k,), places along the way on which the line depends.
    low_mm, high_mm : mm, (k,), least and greatest height there; where no height would do, the middle of both.
    """

    u_mm: Floats
    low_mm: Floats
    high_mm: Floats


def corridor(columns: Columns, axis: int, *, grazing: float = GRAZINGS[-1]) -> Corridor:
    """The corridor along the scan's u (axis 0) or v (axis 1).

    Parameters
    ----------
    columns : of the part, scanned along the pull.
    axis : 0 or 1.
    grazing : of the middling thickness; thinner columns do not count.

    Notes
    -----
    Columns that only graze a rounded side are left out: where they begin and end is the facets' doing, and next to
    nothing is held there.
    """
    counts = np.diff(columns.starts)
    filled = np.flatnonzero(counts > 0)
    low = np.full(len(counts), -np.inf)
    high = np.full(len(counts), np.inf)
    low[filled] = columns.bottom_mm[columns.starts[filled]]
    high[filled] = columns.top_mm[columns.starts[filled + 1] - 1]
    thickness = high[filled] - low[filled]
    grazed = filled[thickness < grazing * np.median(thickness)]
    low[grazed], high[grazed] = -np.inf, np.inf
    across = (columns.counts[1], columns.counts[0])
    least = low.reshape(across).max(axis=axis)
    greatest = high.reshape(across).min(axis=axis)
    there = np.isfinite(least)
    u = columns.origin_mm[axis] + columns.cell_mm[axis] * np.arange(columns.counts[axis])
    # Where the least is above the greatest nothing lets go of all; half way least is held.
    least, greatest = least[there], greatest[there]
    middle = (least + greatest) / 2
    return Corridor(u[there], np.minimum(least, middle), np.maximum(greatest, middle))


def flattest_line(way: Corridor) -> Line | None:
    """The line through a corridor that rises and falls least, as few corners (u, z) as may be; None without one.

    Where there is room, and it does not grow too steep by it, it keeps off the corridor's edges: both pieces of a
    pattern that is cut along it are then thick, and it crosses the sides of a part and not the edges of its faces.

    Examples
    --------
    >>> u = np.linspace(-10.0, 10.0, 21)
    >>> line = flattest_line(Corridor(u, 0.5 * u - 3.0, 0.5 * u + 3.0))
    >>> line is not None and [round(z, 6) for _, z in line]
    [-4.4, 4.4]
    """
    if len(way.u_mm) < 2:
        return None
    lines: dict[float, Line] = {}
    for share, steep in _INSETS:
        if share not in lines:
            lines[share] = _few_corners(way, taut_heights(way, share))
        if steepest(lines[share]) <= steep:
            break
    return lines[share]


def stepped_line(way: Corridor) -> Line | None:
    """The line through a corridor with as few level stretches as may be, drafted steps between them; None if level.

    Every stretch is as long as one height does; the next begins where it ends.

    Examples
    --------
    >>> u = np.linspace(-10.0, 10.0, 201)
    >>> low, high = np.where(u < 1.0, 0.0, 6.0), np.where(u < -1.0, 4.0, 10.0)
    >>> line = stepped_line(Corridor(u, low, high))
    >>> [round(z, 3) for _, z in line], steepest(line) <= STEEPEST_STEP + 1e-9
    ([2.0, 2.0, 8.0, 8.0], True)
    """
    runs = _level_runs(way)
    if len(runs) < 2:
        return None
    points = [(float(way.u_mm[0]), runs[0][2])]
    for (_, end, z), (start, _, after) in pairwise(runs):
        # The step stands where both heights do, in the middle of it; else where one run goes over into the next.
        both = [u for u, low, high in _between(way) if low <= min(z, after) and high >= max(z, after)]
        near = [u for u in both if abs(u - (end + start) / 2) <= _STEP_ROOM_MM]
        middle = (min(near) + max(near)) / 2 if near else (end + start) / 2
        half = abs(after - z) / STEEPEST_STEP / 2
        points += [(middle - half, z), (middle + half, after)]
    points.append((float(way.u_mm[-1]), runs[-1][2]))
    if any(b[0] <= a[0] for a, b in pairwise(points)):
        return None
    return tuple((u, round(z, 3)) for u, z in points)


def _level_runs(way: Corridor) -> list[tuple[float, float, float]]:
    """(from, to, height) of the stretches over which one height will do."""
    runs: list[tuple[float, float, float]] = []
    start, low, high = 0, -math.inf, math.inf
    for k, (below, above) in enumerate(zip(way.low_mm, way.high_mm, strict=True)):
        if max(low, below) > min(high, above):
            runs.append((float(way.u_mm[start]), float(way.u_mm[k - 1]), float((low + high) / 2)))
            start, low, high = k, -math.inf, math.inf
        low, high = max(low, float(below)), min(high, float(above))
    runs.append((float(way.u_mm[start]), float(way.u_mm[-1]), float((low + high) / 2)))
    return runs


def _between(way: Corridor) -> list[tuple[float, float, float]]:
    return list(zip(way.u_mm.tolist(), way.low_mm.tolist(), way.high_mm.tolist(), strict=True))


def taut_heights(way: Corridor, share: float) -> Floats:
    """Heights of the least steep line that keeps off the edges by a share of their distance: a string drawn taut.

    Its ends are free, so that it begins and ends level.

    Examples
    --------
    >>> u = np.array([0.0, 1.0, 2.0, 3.0])
    >>> way = Corridor(u, np.array([0.0, 0.0, 2.0, 2.0]), np.array([1.0, 4.0, 4.0, 4.0]))
    >>> taut_heights(way, 0.0).tolist()
    [1.0, 1.5, 2.0, 2.0]
    """
    inset = np.minimum(share * (way.high_mm - way.low_mm), _INSET_MM)
    low, high = way.low_mm + inset, way.high_mm - inset
    first, last = _level_end(low, high), _level_end(low[::-1], high[::-1])
    if first is None or last is None:
        return np.full(len(low), (low.max() + high.min()) / 2)
    begin, end = first[0], len(low) - 1 - last[0]
    heights = np.concatenate(
        (
            np.full(begin, first[1]),
            _taut(way.u_mm[begin : end + 1], low[begin : end + 1], high[begin : end + 1], first[1], last[1]),
            np.full(len(low) - 1 - end, last[1]),
        )
    )
    found: Floats = np.clip(heights, low, high)
    return found


def _level_end(low: Floats, high: Floats) -> tuple[int, float] | None:
    """How far, and how high, a string goes level from the first end of a tube; None where it never need turn."""
    floor, ceiling = np.maximum.accumulate(low), np.minimum.accumulate(high)
    shut = np.flatnonzero(floor > ceiling)
    if not len(shut):
        return None
    turn = int(shut[0])
    if low[turn] > ceiling[turn - 1]:  # it must rise: from the place where it is held down lowest
        return int(np.argmin(high[:turn])), float(high[:turn].min())
    return int(np.argmax(low[:turn])), float(low[:turn].max())


def _taut(u: Floats, low: Floats, high: Floats, first: float, last: float) -> Floats:
    """Heights of a string drawn taut between two points through the gates of a tube."""
    low, high = low.copy(), high.copy()
    low[0] = high[0] = first
    low[-1] = high[-1] = last
    corners = [(0, first)]
    while corners[-1][0] < len(u) - 1:
        corners.append(_next_corner(u, low, high, *corners[-1]))
    places, heights = zip(*corners, strict=True)
    found: Floats = np.interp(u, u[list(places)], heights)
    return found


def _next_corner(u: Floats, low: Floats, high: Floats, at: int, z: float) -> tuple[int, float]:
    """Where the string from a corner must turn next."""
    run = u[at + 1 :] - u[at]
    least, most = (low[at + 1 :] - z) / run, (high[at + 1 :] - z) / run
    floor, ceiling = np.maximum.accumulate(least), np.minimum.accumulate(most)
    shut = np.flatnonzero(floor > ceiling)
    if not len(shut):
        return len(u) - 1, float(low[-1])
    turn = int(shut[0])
    if least[turn] > ceiling[turn]:
        held = int(np.argmin(most[: turn + 1]))
        return at + 1 + held, float(high[at + 1 + held])
    held = int(np.argmax(least[: turn + 1]))
    return at + 1 + held, float(low[at + 1 + held])


def _few_corners(way: Corridor, heights: Floats) -> Line:
    """Corners left out one stretch after the other, while the line stays within a hair of where it was."""
    points = np.column_stack((way.u_mm, heights))
    kept = _thinned(points, 0, len(points) - 1)
    # Heights in whole microns: what is meant to be level is then level to the last digit.
    return tuple((float(u), round(float(z), 3)) for u, z in points[kept])


def _thinned(points: Floats, first: int, last: int) -> list[int]:
    stack, kept = [(first, last)], {first, last}
    while stack:
        a, b = stack.pop()
        if b - a < 2:
            continue
        u, z = points[a + 1 : b].T
        straight = points[a, 1] + (u - points[a, 0]) * (points[b, 1] - points[a, 1]) / (points[b, 0] - points[a, 0])
        worst = int(np.argmax(np.abs(z - straight)))
        if abs(z[worst] - straight[worst]) > _STRAIGHT_MM:
            middle = a + 1 + worst
            kept.add(middle)
            stack += [(a, middle), (middle, b)]
    return sorted(kept)


def steepest(line: Line) -> float:
    """The greatest rise over run of a line.

    Examples
    --------
    >>> steepest(((0.0, 0.0), (4.0, 1.0), (5.0, 0.5)))
    0.5
    """
    return max((abs(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(line) if b[0] > a[0]), default=0.0)
