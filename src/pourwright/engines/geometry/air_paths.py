"""Where air stays in a cavity that is filled slowly from below, and which way up it is least. Millimetres.

Air at a point escapes if some path to an open vent never dips below that point. Surface tension and the speed
of filling are left out: thin films and fast pours trap more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numba
import numpy as np

from pourwright.basics.errors import CannotBuild
from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.dexels import Columns, Floats, Ints, frame_along, scan

Point = tuple[float, float, float]

# A flat ceiling traps nothing only by luck, so the mould is judged as a person sets it down.
TILTS_DEG = (0.0, 1.0, 2.0, 3.0, 5.0)
AZIMUTHS = 12
MOST_TRAPS = 100
SAME_HEIGHT_MM = 1e-6


@dataclass(frozen=True)
class Trap:
    """One pocket of air: its volume, its greatest depth and its highest point, with the tilt at which it lies."""

    volume_mm3: float
    depth_mm: float
    peak_mm: Point
    tilt_deg: float = 0.0
    azimuth_deg: float = 0.0


@dataclass(frozen=True)
class Tilt:
    """Trapped volume when the mould is tilted by `tilt_deg` towards `azimuth_deg`."""

    tilt_deg: float
    azimuth_deg: float
    volume_mm3: float


@dataclass(frozen=True)
class TrapReport:
    """Air trapped in every tilt tried.

    Parameters
    ----------
    worst_mm3 : mm3, of the worst tilt.
    level_mm3 : mm3, standing level.
    per_tilt : volume at every tilt.
    traps : the pockets of the worst tilt, largest first, at most a hundred.
    peaks : the largest pocket's peak in every tilt that traps air: where a vent would help.
    best_tilt : the tilt that traps least; level when that is as good.
    cell_mm : mm, (2,), the grid on which the volumes rest.
    bad_columns : columns in which the surface did not close, in the worst scan.
    """

    worst_mm3: float
    level_mm3: float
    per_tilt: tuple[Tilt, ...]
    traps: tuple[Trap, ...]
    peaks: tuple[Trap, ...]
    best_tilt: Tilt
    cell_mm: tuple[float, float]
    bad_columns: int


def trapped(
    vertices: Floats,
    triangles: Ints,
    *,
    up: object = (0.0, 0.0, 1.0),
    vents: Sequence[Point] = (),
    columns: int = 256,
    open_level: float | None = None,
    tilts_deg: Sequence[float] = TILTS_DEG,
    azimuths: int = AZIMUTHS,
    report: Report = silent,
) -> TrapReport:
    """Air trapped in a cavity, the worst over small tilts.

    Parameters
    ----------
    vertices : mm, (n, 3), of the space that fills: the cavity, or the room for silicone.
    triangles : (m, 3), outward
    up : direction that points up when the mould stands level.
    vents : mm, points on or in the cavity where air leaves: outlets of vents and feeds.
    columns : across the wider side of the shadow.
    open_level : mm, height along `up` above which the space is open to the air, for an open pour; else None.
    tilts_deg : deg, tilts to try.
    azimuths : number of directions of each tilt.

    Returns
    -------
    TrapReport
        Heights are exact; volumes are within 5e-3 at 512 columns. On tilted ceilings they read low by about
        half a cell times the tangent of the tilt times the ceiling's area.

    Raises
    ------
    CannotBuild
        A vent that does not touch the cavity.
    """
    poses = [(t, 360.0 / azimuths * k) for t in tilts_deg for k in range(azimuths if t else 1)]
    per_tilt, peaks, worst = [], [], None
    for done, (tilt, azimuth) in enumerate(poses):
        report(done / len(poses), f"looking for trapped air, tilted {tilt:g}°")
        cols = scan(vertices, triangles, direction=tilted(up, tilt, azimuth), columns=columns)
        volume, traps = _pockets(cols, vents, up, open_level, (tilt, azimuth))
        per_tilt.append(Tilt(tilt, azimuth, volume))
        peaks.extend(traps[:1])
        if worst is None or volume > worst[0]:
            worst = (volume, traps, cols)
    if worst is None:
        raise CannotBuild("no tilt to look at", advice="give at least one, 0 for level")
    level = [pose.volume_mm3 for pose in per_tilt if pose.tilt_deg == 0.0]
    return TrapReport(
        worst_mm3=worst[0],
        level_mm3=level[0] if level else math.nan,
        per_tilt=tuple(per_tilt),
        traps=worst[1],
        peaks=tuple(peaks),
        best_tilt=min(per_tilt, key=lambda pose: (pose.volume_mm3, pose.tilt_deg, pose.azimuth_deg)),
        cell_mm=worst[2].cell_mm,
        bad_columns=worst[2].bad,
    )


def tilted(up: object, tilt_deg: float, azimuth_deg: float) -> tuple[float, float, float]:
    """The direction that points up when the mould leans by a tilt.

    Examples
    --------
    >>> [round(x, 6) for x in tilted((0, 0, 1), 30.0, 0.0)]
    [0.5, 0.0, 0.866025]
    """
    u, v, d = frame_along(up)
    tilt, azimuth = math.radians(tilt_deg), math.radians(azimuth_deg)
    x, y, z = math.sin(tilt) * (math.cos(azimuth) * u + math.sin(azimuth) * v) + math.cos(tilt) * d
    return float(x), float(y), float(z)


def _pockets(
    columns: Columns, vents: Sequence[Point], up: object, open_level: float | None, pose: tuple[float, float]
) -> tuple[float, tuple[Trap, ...]]:
    """Trapped volume of one scan, and its pockets, largest first."""
    top, bottom = columns.top_mm.copy(), columns.bottom_mm
    count = len(top)
    outlet = np.full(count, -np.inf)
    near = 2.0 * max(columns.cell_mm)
    for vent in vents:
        k, height = _under(columns, vent, near)
        # A vent in a slanted ceiling opens at its own height, not at that of the nearest sample.
        if abs(top[k] - height) <= near:
            top[k] = max(height, bottom[k])
        outlet[k] = max(outlet[k], min(height, top[k]))
    if open_level is not None:
        is_open = _heights_along(columns, columns.top_mm, up) >= open_level - 1e-6
        outlet[is_open] = top[is_open]
    one, other, weight = _neighbours(columns.starts, bottom, top, *columns.counts)
    out = np.flatnonzero(np.isfinite(outlet))
    reach = _reach(
        np.concatenate((one, out)),
        np.concatenate((other, np.full(len(out), count))),
        np.concatenate((weight, outlet[out])),
        count,
    )
    level = np.maximum(reach, bottom)
    depth = np.maximum(top - level, 0.0)
    group = _groups(one, other, top, level, depth)
    volume, deepest, peak = _sums(group, depth, top, columns.starts, columns.counts[0])
    cell = columns.cell_mm2
    largest = sorted(np.flatnonzero(volume > 0.0), key=lambda g: (-volume[g], g))[:MOST_TRAPS]
    traps = tuple(
        Trap(
            float(volume[g]) * cell,
            float(deepest[g]),
            columns.point_mm(int(peak[g]), float(top[peak[g]])),
            *pose,
        )
        for g in largest
    )
    return float(depth.sum()) * cell, traps


def _under(columns: Columns, vent: Point, near: float) -> tuple[int, float]:
    """The interval of the cavity nearest to a vent's point, and the point's height in the scan."""
    u, v, height = columns.frame @ np.asarray(vent, dtype=np.float64)
    n_u, n_v = columns.counts
    place = (u - columns.origin_mm[0]) / columns.cell_mm[0]
    row = (v - columns.origin_mm[1]) / columns.cell_mm[1]
    best = (math.inf, math.inf, -1)
    for j in range(max(0, math.floor(row) - 1), min(n_v, math.floor(row) + 3)):
        for i in range(max(0, math.floor(place) - 1), min(n_u, math.floor(place) + 3)):
            away = math.hypot(i - place, j - row)
            for k in range(columns.starts[j * n_u + i], columns.starts[j * n_u + i + 1]):
                off = max(columns.bottom_mm[k] - height, height - columns.top_mm[k])
                # In a tilted cavity the ceiling above the nearest sample lies a little beside the point.
                best = min(best, (max(float(off) - near, 0.0), away, k))
    if best[0] > 0.0 or best[2] < 0:
        raise CannotBuild(
            f"the vent at ({vent[0]:g}, {vent[1]:g}, {vent[2]:g}) mm does not touch the cavity",
            advice="move it, or give the point where it leaves the cavity",
        )
    return best[2], float(height)


def _heights_along(columns: Columns, heights: Floats, up: object) -> Floats:
    """Height along the level direction of the point at `heights` of each interval's column."""
    d = columns.frame @ frame_along(up)[2]
    column = np.repeat(np.arange(len(columns.starts) - 1), np.diff(columns.starts))
    row, place = np.divmod(column, columns.counts[0])
    u = columns.origin_mm[0] + place * columns.cell_mm[0]
    v = columns.origin_mm[1] + row * columns.cell_mm[1]
    return u * d[0] + v * d[1] + heights * d[2]


# ---------------------------------------------------------------- compiled


@numba.njit(cache=True)
def _overlaps(starts, bottom, top, a, b, one, other, weight, kept, write):
    """Pairs of intervals of columns a and b that share some height."""
    i, j = starts[a], starts[b]
    while i < starts[a + 1] and j < starts[b + 1]:
        if min(top[i], top[j]) > max(bottom[i], bottom[j]):
            if write:
                one[kept], other[kept], weight[kept] = i, j, min(top[i], top[j])
            kept += 1
        if top[i] < top[j]:
            i += 1
        else:
            j += 1
    return kept


@numba.njit(cache=True)
def _neighbours(starts, bottom, top, n_u, n_v):
    """All pairs of intervals that touch across a cell's side, with the highest level at which air can pass."""
    one, other, weight = np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0)
    for write in (False, True):
        kept = 0
        for row in range(n_v):
            for place in range(n_u):
                here = row * n_u + place
                if place + 1 < n_u:
                    kept = _overlaps(starts, bottom, top, here, here + 1, one, other, weight, kept, write)
                if row + 1 < n_v:
                    kept = _overlaps(starts, bottom, top, here, here + n_u, one, other, weight, kept, write)
        if not write:
            one, other, weight = np.empty(kept, np.int64), np.empty(kept, np.int64), np.empty(kept)
    return one, other, weight


@numba.njit(cache=True)
def _root(parent, k):
    while parent[k] != k:
        parent[k] = parent[parent[k]]
        k = parent[k]
    return k


def _reach(one: Ints, other: Ints, weight: Floats, outside: int) -> Floats:
    """For each interval, the lowest point of the best path to the outside; -inf where there is none."""
    return _climb(one, other, weight, np.argsort(-weight, kind="stable"), outside)[:outside]


@numba.njit(cache=True)
def _climb(one, other, weight, order, outside):
    """Join intervals by the highest passages first; when a group meets the outside, that passage is its reach."""
    count = outside + 1
    parent = np.arange(count)
    size = np.ones(count, np.int64)
    vented = np.zeros(count, np.bool_)
    vented[outside] = True
    # A group without a way out keeps its members in a linked list from its root to its tail.
    follows = np.full(count, -1, np.int64)
    tail = np.arange(count)
    reach = np.full(count, -np.inf)
    for k in order:
        a, b = _root(parent, one[k]), _root(parent, other[k])
        if a == b:
            continue
        if size[a] < size[b]:
            a, b = b, a
        if vented[a] != vented[b]:
            member = b if vented[a] else a
            while member >= 0:
                reach[member] = weight[k]
                member = follows[member]
        elif not vented[a]:
            follows[tail[a]] = b
            tail[a] = tail[b]
        parent[b] = a
        size[a] += size[b]
        vented[a] = vented[a] or vented[b]
    return reach


@numba.njit(cache=True)
def _groups(one, other, top, level, depth):
    """One number for all intervals whose trapped air is connected; -1 where none is trapped."""
    parent = np.arange(depth.shape[0])
    for k in range(one.shape[0]):
        i, j = one[k], other[k]
        if depth[i] > 0.0 and depth[j] > 0.0 and min(top[i], top[j]) > max(level[i], level[j]):
            a, b = _root(parent, i), _root(parent, j)
            parent[max(a, b)] = min(a, b)
    group = np.full(depth.shape[0], -1, np.int64)
    for k in range(depth.shape[0]):
        if depth[k] > 0.0:
            group[k] = _root(parent, k)
    return group


@numba.njit(cache=True)
def _sums(group, depth, top, starts, n_u):
    """Depth added up, greatest depth and peak of each group, at the index that names the group."""
    count = group.shape[0]
    volume, deepest, highest = np.zeros(count), np.zeros(count), np.full(count, -np.inf)
    for k in range(count):
        g = group[k]
        if g >= 0:
            volume[g] += depth[k]
            deepest[g] = max(deepest[g], depth[k])
            highest[g] = max(highest[g], top[k])
    # A flat ceiling has many highest points: the peak is the one nearest to their middle.
    middle, many = np.zeros((count, 2)), np.zeros(count)
    peak, best = np.full(count, -1, np.int64), np.full(count, np.inf)
    for choose in (False, True):
        for column in range(starts.shape[0] - 1):
            row, place = column // n_u, column % n_u
            for k in range(starts[column], starts[column + 1]):
                g = group[k]
                if g < 0 or top[k] < highest[g] - SAME_HEIGHT_MM:
                    continue
                if not choose:
                    middle[g, 0] += place
                    middle[g, 1] += row
                    many[g] += 1.0
                    continue
                away = (place - middle[g, 0] / many[g]) ** 2 + (row - middle[g, 1] / many[g]) ** 2
                if away < best[g]:
                    best[g], peak[g] = away, k
    return volume, deepest, peak
