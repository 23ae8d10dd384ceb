"""Which way to pull a part out of its mould, where to part it, and which other ways come next. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, frame_along, scan
from pourwright.engines.geometry.partings.sharp import folded_edges, sharp_edges
from pourwright.engines.geometry.pulls.held import Held, burden, held_silicone
from pourwright.engines.geometry.pulls.pull import Parting, PullReport, best_parting, gap_volume, report_of
from pourwright.engines.geometry.pulls.pull_ways import half_sphere, named_ways
from pourwright.engines.geometry.pulls.recesses import (
    LidHold,
    Recess,
    filled_along,
    find_recess,
    lid_hold,
    upright,
    with_lid,
)
from pourwright.engines.geometry.repeats.twin import coarse_twin

_TWIN_TRIANGLES = 6000
_COARSE_SHARE, _FINE_SHARE = 0.02, 0.008
_SHORT_LIST = 8
# Parts of the volume, and of 1, below which two directions count as equal: the grid tells them no better apart.
_SAME_VOLUME, _SAME_STRETCH, _SAME_MOVED = 4e-3, 5e-3, 4e-3
_ROUNDING = 1e-3
_RINGS_DEG = (6.0, 3.0, 1.5)
_ASKEW = 2.0  # how much worse a way counts that is no axis and no face's normal (judgement)
FLAT_SHARE = 0.98  # of the shadow that a face at the top must cover to lie under a cover plate (judgement)
_PARTINGS = 3  # heights of each direction at which bars through the part are looked for
_RUNNERS_UP, _APART_DEG = 4, 15.0

Mesh = tuple[Floats, Ints]


@dataclass(frozen=True, eq=False)
class PullWay:
    """One direction and its best parting; `through_mm3` is silicone that would run through the part as a bar.

    `moved_mm4` is the volume of the other silicone that is held, times how far it must move aside. `recess` are hollows
    of the face at the top that the lid fills, `held_in_recess` what they hold of it; `report` is then of the part with
    them filled.
    """

    direction: tuple[float, float, float]
    parting: Parting
    report: PullReport
    through_mm3: float
    moved_mm4: float
    recess: Recess | None = None
    held_in_recess: tuple[Held, ...] = ()

    @property
    def parting_height_mm(self) -> float:
        """Height of the parting above the lowest point of the part along the pull."""
        return float(self.parting.z_mm - self.report.z_mm[0])

    @property
    def height_mm(self) -> float:
        """Height of the part along the pull."""
        return float(self.report.z_mm[-1] - self.report.z_mm[0])

    @property
    def halves_mm3(self) -> tuple[float, float]:
        """Undercut of the lower half, and of the lid, at the parting."""
        k = self.report.at(self.parting.z_mm)
        return float(self.report.u_low_mm3[k]), float(self.report.u_up_mm3[k])

    @property
    def stretches(self) -> tuple[float, float]:
        """Stretch of the lower half, and of the lid, at the parting."""
        k = self.report.at(self.parting.z_mm)
        return float(self.report.stretch_low[k]), float(self.report.stretch_up[k])

    @property
    def flat_top(self) -> float:
        """How much of the shadow the section at the top covers."""
        return float(self.report.area_mm2[-1]) / max(self.report.shadow_mm2, 1e-300)

    @property
    def flat_share(self) -> float:
        """How much of the shadow the larger of the two ends covers."""
        area = max(self.report.area_mm2[0], self.report.area_mm2[-1])
        return float(area) / max(self.report.shadow_mm2, 1e-300)


@dataclass(frozen=True, eq=False, kw_only=True)
class BestPull(PullWay):
    """The best way; `held` every piece of silicone that blocks it, `runners_up` the next best, `tried` directions."""

    tried: int
    held: tuple[Held, ...]
    runners_up: tuple[PullWay, ...]
    columns: Columns


def best_pull(vertices: Floats, triangles: Ints, *, allowed_stretch: float, report: Report = silent) -> BestPull:
    """The direction in which a part leaves its mould most easily, and the next best that are truly others.

    Compared are the axes, the normals of the largest flat faces, the principal axes of inertia, and those of 200
    directions of a half sphere that leave the smallest gap volume (what no parting can avoid): first by the
    silicone that would run through the part as a bar, then whether the silicone stands the stretch, then by how much
    silicone must move how far aside, the undercut at the best flat parting, its stretch, and the flat area across
    the pull. Of the two ways along a direction the one is given that has a flat face at its top, else the one that
    puts the parting in the upper half.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    allowed_stretch : -, at least 1
    report : told the progress.

    Notes
    -----
    Directions are compared on a coarser copy of a large mesh; the figures of the best are those of the mesh
    itself, the figures of the runners-up those of the copy.
    """
    mesh = np.asarray(vertices, dtype=np.float64), np.asarray(triangles, dtype=np.int64)
    search = _Search(mesh, allowed_stretch)
    named, others = named_ways(*mesh), half_sphere()
    gaps = []
    for done, way in enumerate(others):
        report(0.3 * done / len(others), "looking for the best way to pull")
        gaps.append(gap_volume(scan(*search.coarse, direction=way, columns=64)))
    ways = [*named, *(others[k] for k in np.argsort(gaps, kind="stable")[:_SHORT_LIST])]
    scored = []
    for done, way in enumerate(ways):
        report(0.3 + 0.3 * done / len(ways), "comparing the best ways to pull")
        scored.append(search.score(way, own=done < len(named)))
    ranked = sorted(range(len(ways)), key=lambda k: (*scored[k], k))
    best = ways[ranked[0]]
    if ranked[0] >= len(named):
        report(0.6, "turning the best way a little")
        best = search.refined(best)
    report(0.7, "measuring undercut and stretch")
    way, columns = _Parter(mesh, allowed_stretch).parted(search.upward(best), 256, 400)
    report(0.9, "measuring the next best ways")
    return BestPull(
        direction=way.direction,
        parting=way.parting,
        report=way.report,
        through_mm3=way.through_mm3,
        moved_mm4=way.moved_mm4,
        tried=len(named) + len(others),
        recess=way.recess,
        held_in_recess=way.held_in_recess,
        held=held_on(way, columns),
        runners_up=search.runners_up([(ways[k], k < len(named)) for k in ranked], best),
        columns=columns,
    )


def held_on(way: PullWay, columns: Columns) -> tuple[Held, ...]:
    """Every piece of silicone that blocks a way, largest first.

    Parameters
    ----------
    way : as it was parted.
    columns : along it, those of the part with hollows filled where the lid fills them.
    """
    found = (*held_silicone(columns, way.parting.z_mm), *way.held_in_recess)
    return tuple(sorted(found, key=lambda piece: -piece.volume_mm3))


class _Parter:
    """A mesh that is parted along one direction after the other."""

    def __init__(self, mesh: Mesh, allowed_stretch: float) -> None:
        self._mesh, self._allowed = mesh, allowed_stretch
        self._edges = folded_edges(*mesh)
        self._hollows: dict[tuple[float, ...], tuple[Recess, Mesh, LidHold] | None] = {}

    def parted(self, way: Floats, columns: int, slices: int) -> tuple[PullWay, Columns]:
        """The best parting that leaves no bar of silicone through the part; the one with least of it, if all do.

        Where the part is parted at a face with hollows in it, the lid may fill them: so it does if that is easier.
        """
        found, cols = _parted(self._mesh, way, self._allowed, self._edges, columns, slices)
        if found.report.gap_mm3 + found.parting.undercut_mm3 <= _SAME_VOLUME * found.report.volume_mm3:
            return found, cols
        other = self._with_hollows(way, found.report, columns, slices)
        return (found, cols) if other is None or _worse(other[0], found) else other

    def _with_hollows(self, way: Floats, own: PullReport, columns: int, slices: int) -> tuple[PullWay, Columns] | None:
        """Parted at the face at the top, whose hollows the lid fills; None where it has none."""
        hollow = self._hollow(way)
        if hollow is None:
            return None
        recess, plugged, hold = hollow
        cols = scan(*plugged, direction=way, columns=columns)
        pull = with_lid(report_of(*plugged, cols, slices=slices), own, hold)
        through, moved = burden(cols, float(pull.z_mm[-1]))
        parting = Parting(
            z_mm=float(pull.z_mm[-1]),
            undercut_mm3=float(pull.u_mm3[-1]),
            stretch=float(pull.stretch[-1]),
            sharp_share=1.0,
            marked=False,
            allowed=bool(pull.stretch[-1] <= self._allowed + _ROUNDING),
        )
        through, moved = through + hold.through_mm3, moved + hold.moved_mm4
        return PullWay(pull.direction, parting, pull, through, moved, recess, hold.held), cols

    def _hollow(self, way: Floats) -> tuple[Recess, Mesh, LidHold] | None:
        """The hollows of the face at the top, the part with them filled, and how they hold; looked for once."""
        key = tuple(np.round(way, 9).tolist())
        if key not in self._hollows:
            mesh = upright(*self._mesh, way)
            recess = find_recess(*mesh)
            self._hollows[key] = None
            if recess is not None:
                plugged = filled_along(*self._mesh, recess, way)
                self._hollows[key] = recess, plugged, lid_hold(*mesh, recess, direction=way)
        return self._hollows[key]


def _parted(mesh: Mesh, way: Floats, allowed: float, edges: Ints, columns: int, slices: int) -> tuple[PullWay, Columns]:
    cols = scan(*mesh, direction=way, columns=columns)
    pull = report_of(*mesh, cols, slices=slices)
    partings = best_parting(pull, sharp_edges(*mesh, pull, edges), allowed_stretch=allowed, count=_PARTINGS)
    burdens = []
    for parting in partings:
        burdens.append(burden(cols, parting.z_mm))
        if burdens[-1][0] <= _SAME_VOLUME * pull.volume_mm3:
            break
    k = min(range(len(burdens)), key=lambda k: (burdens[k][0], k))
    return PullWay(pull.direction, partings[k], pull, *burdens[k]), cols


def _worse(other: PullWay, found: PullWay) -> bool:
    """Whether a way is no better than another by what the grid can tell apart."""
    return _burdens(other, 1.0) >= _burdens(found, 1.0)


def _burdens(found: PullWay, weight: float) -> tuple[float, ...]:
    """How hard a way is on the silicone, the gravest first, in steps that the grid can tell apart."""
    volume, parting = found.report.volume_mm3, found.parting
    through = found.through_mm3 / volume
    return (
        float(through > _SAME_VOLUME),
        float(not parting.allowed),
        math.floor(weight * through / _SAME_VOLUME),
        math.floor(weight * found.moved_mm4 / volume ** (4 / 3) / _SAME_MOVED),
        math.floor(parting.undercut_mm3 / volume / _SAME_VOLUME),
        math.floor((parting.stretch - 1) / _SAME_STRETCH),
    )


class _Search:
    """Directions compared on coarser copies of a mesh."""

    def __init__(self, mesh: Mesh, allowed_stretch: float) -> None:
        large = len(mesh[1]) > _TWIN_TRIANGLES
        self.coarse = coarse_twin(*mesh, share=_COARSE_SHARE) if large else mesh
        self._fine = coarse_twin(*mesh, share=_FINE_SHARE) if large else mesh
        self._parter = _Parter(self._fine, allowed_stretch)

    def score(self, way: Floats, *, own: bool) -> tuple[float, ...]:
        """Less is better; what the grid cannot tell apart is equal.

        A way that is none of the part's own must be much better: it parts the part askew to its faces.
        """
        found, _ = self._parter.parted(way, 128, 100)
        return (*_burdens(found, 1.0 if own else _ASKEW), -round(found.flat_share, 1))

    def upward(self, way: Floats) -> Floats:
        """The way or its opposite: the one with a flat face at the top, else the one parted in its upper half."""
        scored = []
        for sign in (1.0, -1.0):
            found, _ = self._parter.parted(sign * way, 128, 100)
            z = found.report.z_mm
            at_top = found.parting.z_mm > z[-2] and found.flat_top >= FLAT_SHARE
            lower = found.parting.z_mm < 0.5 * (z[0] + z[-1]) - 1e-9
            scored.append((*_burdens(found, 1.0), not at_top, lower, -sign))
        return way if scored[0] < scored[1] else -way

    def refined(self, way: Floats) -> Floats:
        """Rings of directions round the best one, narrower and narrower; kept only where they gain."""
        best = self._cost(way)
        for tilt in np.radians(_RINGS_DEG):
            u, v, d = frame_along(way)
            for turn in 2 * math.pi * np.arange(12) / 12:
                leaned = math.cos(tilt) * d + math.sin(tilt) * (math.cos(turn) * u + math.sin(turn) * v)
                cost = self._cost(leaned)
                if cost < best:
                    best, way = cost, leaned
        return way

    def _cost(self, way: Floats) -> tuple[float, float]:
        found, _ = self._parter.parted(way, 128, 100)
        return found.through_mm3, found.moved_mm4

    def runners_up(self, ranked: list[tuple[Floats, bool]], best: Floats) -> tuple[PullWay, ...]:
        """The best of the others that lie well apart from the best way and from one another; one askew is enough."""
        near = math.cos(math.radians(_APART_DEG))
        kept, askew = [best], 0
        for way, own in ranked:
            if len(kept) > _RUNNERS_UP:
                break
            if (own or not askew) and all(abs(float(way @ other)) < near for other in kept):
                kept.append(way)
                askew += not own
        return tuple(self._parter.parted(self.upward(way), 256, 400)[0] for way in kept[1:])
