"""Where air stays in a cavity that is filled slowly from below, and which way up it is least. Millimetres.

Air at a point escapes if some path to an open vent never dips below that point. Surface tension and the speed
of filling are left out: thin films and fast pours trap more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild
from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, frame_along, scan
from pourwright.engines.geometry.air.filling import caught_at, groups_of, reach_of, sums_of

Point = tuple[float, float, float]

# A flat ceiling traps nothing only by luck, so the mould is judged as a person sets it down.
TILTS_DEG = (0.0, 1.0, 2.0, 3.0, 5.0)
AZIMUTHS = 12
MOST_TRAPS = 100
_ROUND_VENT = 1.5  # cells round its point on which a vent opens


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


def highest_places(
    vertices: Floats,
    triangles: Ints,
    *,
    up: object = (0.0, 0.0, 1.0),
    within_mm: float,
    columns: int = 256,
    most: int = 12,
) -> tuple[Point, ...]:
    """The places where a cavity is highest, each the middle of its own patch: where its first vents would stand.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    up : direction that points up.
    within_mm : mm, what lies no deeper below the very top counts as highest.
    columns : across the wider side of the shadow.
    most : how many to give, largest first.
    """
    cols = scan(vertices, triangles, direction=up, columns=columns)
    bottom, top = cols.bottom_mm, cols.top_mm
    level = np.maximum(bottom, cols.span_mm[1] - within_mm)
    depth = np.maximum(top - level, 0.0)
    group = groups_of(cols.starts, top, level, *cols.counts)
    volume, _, peak = sums_of(group, depth, top, cols.starts, cols.counts[0])
    largest = sorted(np.flatnonzero(volume > 0.0), key=lambda g: (-volume[g], g))[:most]
    return tuple(cols.point_mm(int(peak[g]), float(top[peak[g]])) for g in largest)


def trapped_at(
    vertices: Floats, triangles: Ints, points: Floats, *, up: object, open_level: float, columns: int = 256
) -> NDArray[np.bool_]:
    """Whether air stays at each point of a cavity that stands level and is vented above a level.

    Parameters
    ----------
    vertices : mm, (n, 3), of the cavity.
    triangles : (m, 3), outward
    points : mm, (k, 3), inside the cavity.
    up : direction that points up.
    open_level : mm, height along `up` above which the cavity is open to the air.
    columns : across the wider side of the shadow.
    """
    cols = scan(vertices, triangles, direction=up, columns=columns)
    filled = _filled(cols, (), up, open_level)
    u, v, height = cols.frame @ np.asarray(points, dtype=np.float64).T
    place = np.clip(np.rint((u - cols.origin_mm[0]) / cols.cell_mm[0]), 0, cols.counts[0] - 1).astype(np.int64)
    row = np.clip(np.rint((v - cols.origin_mm[1]) / cols.cell_mm[1]), 0, cols.counts[1] - 1).astype(np.int64)
    return caught_at(cols.starts, filled.level, filled.top, row * cols.counts[0] + place, height)


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
    filled = _filled(columns, vents, up, open_level)
    top, depth = filled.top, np.maximum(filled.top - filled.level, 0.0)
    group = groups_of(columns.starts, top, filled.level, *columns.counts)
    volume, deepest, peak = sums_of(group, depth, top, columns.starts, columns.counts[0])
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


@dataclass(frozen=True, eq=False)
class _Filled:
    """A cavity as it fills: the top of each interval, and the height above which air stays in it."""

    top: Floats
    level: Floats


def _filled(columns: Columns, vents: Sequence[Point], up: object, open_level: float | None) -> _Filled:
    top, bottom = columns.top_mm.copy(), columns.bottom_mm
    count = len(top)
    outlet = np.full(count, -np.inf)
    near = 2.0 * max(columns.cell_mm)
    for vent in vents:
        k, height = under_vent(columns, vent, near)
        # A vent in a slanted ceiling opens at its own height, not at that of the nearest sample.
        if abs(top[k] - height) <= near:
            top[k] = max(height, bottom[k])
        # At a sharp rim the nearest sample may be a splinter: a vent opens on all that lies round its point.
        for one in (k, *_opened(columns, vent)):
            outlet[one] = max(outlet[one], min(height, top[one]))
    if open_level is not None:
        is_open = heights_along(columns, columns.top_mm, up) >= open_level - 1e-6
        outlet[is_open] = top[is_open]
    reach = reach_of(columns.starts, bottom, top, outlet, *columns.counts)
    return _Filled(top, np.maximum(reach, bottom))


def under_vent(columns: Columns, vent: Point, near: float) -> tuple[int, float]:
    """The interval of the cavity nearest to a vent's point, and the point's height in the scan.

    Raises
    ------
    CannotBuild
        No interval lies within `near`, mm, of the point.
    """
    height, found = _round_vent(columns, vent)
    # In a tilted cavity the ceiling above the nearest sample lies a little beside the point.
    best = min(((max(off - near, 0.0), away, k) for off, away, k in found), default=(math.inf, math.inf, -1))
    if best[0] > 0.0:
        raise CannotBuild(
            f"the vent at ({vent[0]:g}, {vent[1]:g}, {vent[2]:g}) mm does not touch the cavity",
            advice="move it, or give the point where it leaves the cavity",
        )
    return best[2], height


def _opened(columns: Columns, vent: Point) -> list[int]:
    """The intervals close round a vent's point in which it lies."""
    return [k for off, away, k in _round_vent(columns, vent)[1] if off <= 0.0 and away <= _ROUND_VENT]


def _round_vent(columns: Columns, vent: Point) -> tuple[float, list[tuple[float, float, int]]]:
    """The height of a point in the scan; how far above or below it, how many cells beside it, intervals near it lie."""
    u, v, height = (float(part) for part in columns.frame @ np.asarray(vent, dtype=np.float64))
    n_u, n_v = columns.counts
    place = (u - columns.origin_mm[0]) / columns.cell_mm[0]
    row = (v - columns.origin_mm[1]) / columns.cell_mm[1]
    found = []
    for j in range(max(0, math.floor(row) - 1), min(n_v, math.floor(row) + 3)):
        for i in range(max(0, math.floor(place) - 1), min(n_u, math.floor(place) + 3)):
            away = math.hypot(i - place, j - row)
            for k in range(int(columns.starts[j * n_u + i]), int(columns.starts[j * n_u + i + 1])):
                off = max(float(columns.bottom_mm[k]) - height, height - float(columns.top_mm[k]))
                found.append((off, away, k))
    return height, found


def heights_along(columns: Columns, heights: Floats, up: object) -> Floats:
    """Height along the level direction of the point at `heights` of each interval's column."""
    d = columns.frame @ frame_along(up)[2]
    column = np.repeat(np.arange(len(columns.starts) - 1), np.diff(columns.starts))
    row, place = np.divmod(column, columns.counts[0])
    u = columns.origin_mm[0] + place * columns.cell_mm[0]
    v = columns.origin_mm[1] + row * columns.cell_mm[1]
    return u * d[0] + v * d[1] + heights * d[2]
