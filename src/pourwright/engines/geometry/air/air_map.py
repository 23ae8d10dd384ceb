"""Ask many sets of vents of one cavity where air stays: the cavity is scanned once for every tilt. Millimetres.

A tree remembers at which height which parts of the cavity join; a set of vents is then judged by two walks through
it. Same picture as in air_paths: slow filling, no surface tension.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numba
import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild
from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.air.air_paths import (
    AZIMUTHS,
    TILTS_DEG,
    Point,
    Tilt,
    Trap,
    heights_along,
    tilted,
    under_vent,
)
from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, scan, unit
from pourwright.engines.geometry.air.filling import sums_of, touching_pairs

BESIDE_EDGE_MM = 3.0  # so far inside an edge a vent stands: a mould that leans keeps air beyond it
DEEP_MM = 0.2  # a level pocket deeper than this shows on the part (judgement)
LEAST_POCKET_MM3 = 1.0  # a smaller one is a bubble of little more than a millimetre (judgement)
_SAME_MM = 1e-9


@dataclass(frozen=True)
class Left:
    """Air left by one set of vents, mm3: at every tilt (in the order of `AirMap.poses`), level, and the worst.

    `deep_mm3` is what of the air, level or in the first pose, lies in pockets that are worth a vent of their own: deep
    and not tiny.
    `beyond_mm3` is, at every tilt, what no vent reaches.
    """

    volumes_mm3: Floats
    level_mm3: float
    worst_mm3: float
    deep_mm3: float
    beyond_mm3: Floats

    def over(self, limit_mm3: float) -> float:
        """What vents could let out and is above a limit, added up over all tilts: what one more vent should lower."""
        most = np.maximum(limit_mm3, self.beyond_mm3 + limit_mm3 / 2)
        return float(np.maximum(self.volumes_mm3 - most, 0.0).sum()) + self.deep_mm3


@dataclass(frozen=True, eq=False)
class _Pose:
    """One tilt: its scan, and which intervals join at which height (children before their parents)."""

    tilt_deg: float
    azimuth_deg: float
    turn_deg: float  # how far the vents turn with the mould; the scan of a body of revolution serves all azimuths
    columns: Columns
    parent: Ints
    level: Floats
    beyond_mm3: float


class AirMap:
    """Where air would stay in a cavity, for any vents, at every small tilt.

    Parameters
    ----------
    vertices : mm, (n, 3), of the space that fills.
    triangles : (m, 3), outward
    columns : across the wider side of the shadow.
    tilts_deg : deg, tilts to look at.
    azimuths : number of directions of each tilt.
    poses : deg, (tilt, azimuth) of each pose to look at, in place of all those.
    up : direction that points up when the mould stands level.
    vents_above_mm : height along `up` above which vents may leave the cavity; air under a ceiling that lies lower is
        beyond their reach.
    parting : height of the parting at points (n, 2), from which `vents_above_mm` counts where it is not level; for an
        upright `up` only.
    round_about_z : whether it is a body of revolution about z: then one scan a tilt is enough.
    """

    def __init__(
        self,
        vertices: Floats,
        triangles: Ints,
        *,
        columns: int = 128,
        tilts_deg: Sequence[float] = TILTS_DEG,
        azimuths: int = AZIMUTHS,
        poses: Sequence[tuple[float, float]] | None = None,
        up: object = (0.0, 0.0, 1.0),
        vents_above_mm: float = -math.inf,
        parting: Callable[[Floats], Floats] | None = None,
        round_about_z: bool = False,
        report: Report = silent,
    ) -> None:
        if poses is None:
            poses = [(tilt, 360.0 / azimuths * k) for tilt in tilts_deg for k in range(azimuths if tilt else 1)]
        self._poses: list[_Pose] = []
        self._up, self._vents_above_mm, self._parting = up, vents_above_mm, parting
        made: dict[tuple[float, float], _Pose] = {}
        for done, (tilt, azimuth) in enumerate(poses):
            report(done / len(poses), f"looking for air, tilted {tilt:g}°")
            turn = azimuth if round_about_z else 0.0
            scanned = (tilt, azimuth - turn)
            if scanned not in made:
                cols = scan(vertices, triangles, direction=tilted(up, *scanned), columns=columns)
                parent, level = _joined(cols)
                beyond = _beyond(cols, parent, level, self._within_reach(cols))
                made[scanned] = _Pose(*scanned, 0.0, cols, parent, level, beyond)
            self._poses.append(replace(made[scanned], azimuth_deg=azimuth, turn_deg=turn))

    @property
    def poses(self) -> tuple[tuple[float, float], ...]:
        """(tilt, azimuth) deg of everything that is looked at."""
        return tuple((pose.tilt_deg, pose.azimuth_deg) for pose in self._poses)

    def left(self, vents: Sequence[Point], *, fold: int = 1) -> Left:
        """Air left with these vents.

        Parameters
        ----------
        fold : how often vents and cavity come to lie on themselves in one turn about z; saves work.

        Raises
        ------
        CannotBuild
            A vent that does not touch the cavity.
        """
        known: dict[tuple[float, float], float] = {}
        volumes = np.empty(len(self._poses))
        for k, pose in enumerate(self._poses):
            same = (pose.tilt_deg, round(pose.azimuth_deg % (360.0 / fold), 6) if fold > 1 else pose.azimuth_deg)
            if same not in known:
                known[same] = self._volume(pose, vents)
            volumes[k] = known[same]
        level = [k for k, pose in enumerate(self._poses) if pose.tilt_deg == 0.0]
        meant = level[0] if level else 0
        return Left(
            volumes_mm3=volumes,
            level_mm3=float(volumes[level[0]]) if level else float("nan"),
            worst_mm3=float(volumes.max()),
            deep_mm3=self._deep(meant, vents) if volumes[meant] > LEAST_POCKET_MM3 else 0.0,
            beyond_mm3=np.array([pose.beyond_mm3 for pose in self._poses]),
        )

    def _deep(self, meant: int, vents: Sequence[Point]) -> float:
        pose = self._poses[meant]
        deep = DEEP_MM + BESIDE_EDGE_MM * math.tan(math.radians(pose.tilt_deg))
        found = self._pockets(pose, vents, LEAST_POCKET_MM3)
        here = [trap for trap in found if self._reached(trap.peak_mm)]
        return sum(trap.volume_mm3 for trap in here if trap.depth_mm > deep)

    def _within_reach(self, columns: Columns) -> NDArray[np.bool_]:
        """Which intervals end where vents may leave the cavity."""
        heights = heights_along(columns, columns.top_mm, self._up)
        if self._parting is None:
            return np.asarray(heights >= self._vents_above_mm)
        x, y = (heights_along(columns, columns.top_mm, way) for way in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
        return np.asarray(heights >= self._vents_above_mm + self._parting(np.column_stack((x, y))))

    def _reached(self, point: Point) -> bool:
        height = float(np.asarray(point) @ unit(self._up))
        level = 0.0 if self._parting is None else float(self._parting(np.array([point[:2]]))[0])
        return height >= self._vents_above_mm + level

    def per_tilt(self, left: Left) -> tuple[Tilt, ...]:
        """The volumes with their tilts."""
        return tuple(Tilt(t, a, float(v)) for (t, a), v in zip(self.poses, left.volumes_mm3, strict=True))

    def pockets(self, vents: Sequence[Point], *, least_mm3: float = 0.0) -> list[Trap]:
        """Every pocket at every tilt that holds more than `least_mm3`, largest first."""
        found = [trap for pose in self._poses for trap in self._pockets(pose, vents, least_mm3)]
        return sorted(found, key=lambda trap: (-trap.volume_mm3, trap.tilt_deg, trap.azimuth_deg, trap.peak_mm))

    def pockets_at(self, number: int, vents: Sequence[Point]) -> list[Trap]:
        """The pockets of one tilt, by its place in `poses`, largest first."""
        found = self._pockets(self._poses[number], vents, 0.0)
        return sorted(found, key=lambda trap: (-trap.volume_mm3, trap.peak_mm))

    def _pockets(self, pose: _Pose, vents: Sequence[Point], least_mm3: float) -> list[Trap]:
        cols, reach = pose.columns, self._reach(pose, vents)
        group, depth = _pocketed(pose.parent, pose.level, reach, cols.bottom_mm, cols.top_mm)
        volume, deepest, peak = sums_of(group, depth, cols.top_mm, cols.starts, cols.counts[0])
        found = []
        for g in np.flatnonzero(volume * cols.cell_mm2 > least_mm3):
            point = cols.point_mm(int(peak[g]), float(cols.top_mm[peak[g]]))
            held, deep = float(volume[g]) * cols.cell_mm2, float(deepest[g])
            found.append(Trap(held, deep, _turned(point, pose.turn_deg), pose.tilt_deg, pose.azimuth_deg))
        return found

    def _volume(self, pose: _Pose, vents: Sequence[Point]) -> float:
        cols = pose.columns
        return float(_held(self._reach(pose, vents), cols.bottom_mm, cols.top_mm)) * cols.cell_mm2

    def _reach(self, pose: _Pose, vents: Sequence[Point]) -> Floats:
        cols = pose.columns
        points = np.array([_turned(vent, -pose.turn_deg) for vent in vents]).reshape(-1, 3) @ cols.frame.T
        leaves, levels, missed = _opened(points, cols.origin_mm, cols.cell_mm, cols.counts, cols.starts,
                                         cols.bottom_mm, cols.top_mm)  # fmt: skip
        for k in missed:
            leaf, height = under_vent(cols, _turned(vents[k], -pose.turn_deg), 2.0 * max(cols.cell_mm))
            leaves, levels = np.append(leaves, leaf), np.append(levels, height)
        return _reached(pose.parent, pose.level, leaves, levels)


def _beyond(columns: Columns, parent: Ints, level: Floats, ventable: NDArray[np.bool_]) -> float:
    """Air that would stay if there were a vent at every place that may have one."""
    if ventable.all():
        return 0.0
    leaves = np.flatnonzero(ventable)
    leaves = leaves[np.argsort(-columns.top_mm[leaves], kind="stable")]
    reach = _reached(parent, level, leaves, columns.top_mm[leaves])
    return float(_held(reach, columns.bottom_mm, columns.top_mm)) * columns.cell_mm2


def _turned(point: Point, angle_deg: float) -> Point:
    """A point turned about the z axis."""
    if angle_deg == 0.0:
        return point
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    x, y, z = point
    return float(c * x - s * y), float(s * x + c * y), z


def _joined(columns: Columns) -> tuple[Ints, Floats]:
    """The tree of one scan: parents, and for each the height above which its children lie apart."""
    if len(columns.top_mm) == 0:
        raise CannotBuild("there is no cavity to look at")
    one, other, weight = touching_pairs(columns.starts, columns.bottom_mm, columns.top_mm, *columns.counts)
    return _tree(one, other, weight, np.argsort(-weight, kind="stable"), columns.top_mm)


# ---------------------------------------------------------------- compiled


@numba.njit(cache=True)
def _opened(points, origin, cell, counts, starts, bottom, top):
    """The intervals of the four samples round each vent (in the frame of the scan), the levels at which it opens them.

    Also the numbers of the vents that meet none.
    """
    many = points.shape[0]
    leaves, levels = np.empty(0, np.int64), np.empty(0)
    missed = np.zeros(many, np.bool_)
    near = 2.0 * max(cell[0], cell[1])
    for write in (False, True):
        kept = 0
        for p in range(many):
            height, before = points[p, 2], kept
            place = int(np.floor((points[p, 0] - origin[0]) / cell[0]))
            row = int(np.floor((points[p, 1] - origin[1]) / cell[1]))
            for j in range(max(0, row), min(counts[1], row + 2)):
                for i in range(max(0, place), min(counts[0], place + 2)):
                    for k in range(starts[j * counts[0] + i], starts[j * counts[0] + i + 1]):
                        if max(bottom[k] - height, height - top[k]) <= near:
                            if write:
                                leaves[kept], levels[kept] = k, max(bottom[k], min(top[k], height))
                            kept += 1
            missed[p] = kept == before
        if not write:
            leaves, levels = np.empty(kept, np.int64), np.empty(kept)
    return leaves, levels, np.flatnonzero(missed)


@numba.njit(cache=True)
def _tree(one, other, weight, order, top):
    """Join intervals by the highest passages first; each joining is a new node, numbered after its children."""
    leaves = top.shape[0]
    group = np.arange(leaves)
    size = np.ones(leaves, np.int64)
    node = np.arange(leaves)
    parent = np.full(2 * leaves - 1, -1, np.int64)
    level = np.full(2 * leaves - 1, np.inf)
    new = leaves
    for k in order:
        a, b = one[k], other[k]
        while group[a] != a:
            group[a] = group[group[a]]
            a = group[a]
        while group[b] != b:
            group[b] = group[group[b]]
            b = group[b]
        if a == b:
            continue
        if size[a] < size[b]:
            a, b = b, a
        parent[node[a]] = new
        parent[node[b]] = new
        level[new] = weight[k]
        group[b] = a
        size[a] += size[b]
        node[a] = new
        new += 1
    return parent[:new], level[:new]


@numba.njit(cache=True)
def _reached(parent, level, leaves, outlets):
    """For every node the height down to which resin must fall before its air finds an outlet; -inf without one."""
    best = np.full(parent.shape[0], -np.inf)
    for k in range(leaves.shape[0]):
        node = leaves[k]
        while node >= 0 and best[node] < outlets[k]:
            best[node] = outlets[k]
            node = parent[node]
    reach = np.empty(parent.shape[0])
    for node in range(parent.shape[0] - 1, -1, -1):
        own = min(level[node], best[node])
        up = parent[node]
        reach[node] = own if up < 0 else max(own, reach[up])
    return reach


@numba.njit(cache=True)
def _held(reach, bottom, top):
    """Depth of air of all intervals together."""
    total = 0.0
    for k in range(top.shape[0]):
        depth = top[k] - max(reach[k], bottom[k])
        if depth > 0.0:
            total += depth
    return total


@numba.njit(cache=True)
def _pocketed(parent, level, reach, bottom, top):
    """One number for all intervals whose air is one pocket, -1 where none is; and the depth of air in each."""
    leaves = top.shape[0]
    pocket = np.full(parent.shape[0], -1, np.int64)
    for node in range(parent.shape[0] - 1, leaves - 1, -1):
        up = parent[node]
        if up >= 0 and pocket[up] >= 0:
            pocket[node] = pocket[up]
        elif level[node] > reach[node] + _SAME_MM:
            pocket[node] = node
    first = np.full(parent.shape[0], -1, np.int64)
    group, depth = np.full(leaves, -1, np.int64), np.zeros(leaves)
    for k in range(leaves):
        air = top[k] - max(reach[k], bottom[k])
        if air <= _SAME_MM:
            continue
        depth[k] = air
        name = pocket[parent[k]] if parent[k] >= 0 else -1
        if name < 0:
            group[k] = k
        else:
            if first[name] < 0:
                first[name] = k
            group[k] = first[name]
    return group, depth
