"""The fewest vents that leave little air in a cavity, level and at every small tilt. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import combinations
from typing import Protocol, TypeVar

from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.air.air_map import AirMap, Left
from pourwright.engines.geometry.air.air_paths import Point, Trap

_TRIED = 5  # of the heaviest groups of peaks
_MOST_RINGS = 3
_WORTH_A_LOOK_MM3 = 1e-3


class Outlet(Protocol):
    """A vent: where it stands and where air leaves the cavity."""

    @property
    def x_mm(self) -> float:
        """Place."""

    @property
    def y_mm(self) -> float:
        """Place."""

    @property
    def top_mm(self) -> float:
        """Height at which air leaves the cavity."""


V = TypeVar("V", bound=Outlet)


def outlets(vents: Sequence[Outlet]) -> list[Point]:
    """The points at which air leaves."""
    return [(vent.x_mm, vent.y_mm, vent.top_mm) for vent in vents]


def fewest_vents(
    air: AirMap,
    seat_near: Callable[[Point], V | None],
    *,
    limit_mm3: float,
    apart_mm: float,
    gain: float,
    most: int,
    first: Sequence[V] = (),
    report: Report = silent,
) -> list[V]:
    """Vents added where most air stays, until little is left or one more gains nothing; then those that do nothing go.

    Parameters
    ----------
    air : the cavity.
    seat_near : the vent that stands nearest to a peak, None where none has room.
    limit_mm3 : mm3 that may stay at any tilt.
    apart_mm : least distance of two vents.
    gain : share of what is over the limit that one more vent must save.
    most : how many at most.
    first : vents to begin with.
    """
    vents = list(first)
    over = air.left(outlets(vents)).over(limit_mm3) if vents else math.inf
    while over > 0.0 and len(vents) < most:
        report(min(0.9, len(vents) / most), "looking for places for vents")
        best = _best(air, vents, _candidates(air, vents, seat_near, apart_mm), limit_mm3)
        if best is None or best[0] > (1.0 - gain) * over:
            break
        over, vents = best[0], [*vents, best[1]]
    return _thinned(air, vents, over, limit_mm3, gain)


def _candidates(air: AirMap, vents: list[V], seat_near: Callable[[Point], V | None], apart_mm: float) -> list[V]:
    """Seats at the heaviest groups of peaks, clear of the vents that are there."""
    found: list[V] = []
    pockets = air.pockets(outlets(vents), least_mm3=_WORTH_A_LOOK_MM3)
    for peak in _clusters(pockets, 2 * apart_mm)[: 2 * _TRIED]:
        seat = seat_near(peak)
        if seat is not None and _away(seat, [*vents, *found]) >= apart_mm:
            found.append(seat)
        if len(found) == _TRIED:
            break
    return found


def _away(vent: Outlet, others: Sequence[Outlet]) -> float:
    return min((math.dist((vent.x_mm, vent.y_mm), (o.x_mm, o.y_mm)) for o in others), default=math.inf)


def _clusters(pockets: Sequence[Trap], radius_mm: float) -> list[Point]:
    """The peaks of all tilts gathered round the heaviest of them, heaviest group first."""
    peaks: list[Point] = []
    weights: list[float] = []
    for trap in pockets:
        near = next((k for k, peak in enumerate(peaks) if math.dist(peak, trap.peak_mm) <= radius_mm), None)
        if near is None:
            peaks.append(trap.peak_mm)
            weights.append(trap.volume_mm3)
        else:
            weights[near] += trap.volume_mm3
    order = sorted(range(len(peaks)), key=lambda k: (-weights[k], peaks[k]))
    return [peaks[k] for k in order]


def _best(air: AirMap, vents: list[V], candidates: list[V], limit_mm3: float) -> tuple[float, V] | None:
    tried = [(air.left(outlets([*vents, one])).over(limit_mm3), k) for k, one in enumerate(candidates)]
    if not tried:
        return None
    over, k = min(tried)
    return over, candidates[k]


def _thinned(air: AirMap, vents: list[V], over: float, limit_mm3: float, gain: float) -> list[V]:
    """Without the vents that the others make needless, the most needless first."""
    while len(vents) > 1:
        tried = []
        for k in range(len(vents)):
            rest = outlets([*vents[:k], *vents[k + 1 :]])
            tried.append((air.left(rest).over(limit_mm3), k))
        least, k = min(tried)
        if least > (1.0 + gain) * over:
            break
        over, vents = least, [*vents[:k], *vents[k + 1 :]]
    return vents


# ---------------------------------------------------------------- bodies of revolution


def fewest_on_rings(
    air: AirMap,
    ring_of: Callable[[float, int], Sequence[V]],
    *,
    first_mm: float,
    radii_mm: Sequence[float],
    counts: Sequence[int],
    limit_mm3: float,
    apart_mm: float,
    gain: float,
    most: int,
) -> list[V]:
    """Vents evenly round one ring or a few, so that every tilt of a body of revolution finds the same.

    Parameters
    ----------
    ring_of : the vents of a ring by radius and number; none where they have no room.
    first_mm : radius of the first ring, 0 for one vent on the axis.
    radii_mm : radii that a further ring may have.
    counts : numbers that may stand round a ring, ascending.
    """
    rings: list[tuple[float, Sequence[V]]] = []
    over, radius = math.inf, first_mm
    for _ in range(_MOST_RINGS):
        before = [vent for _, ring in rings for vent in ring]
        found = _ring(air, before, ring_of, radius, counts, limit_mm3, apart_mm, gain, most)
        if found is None or found[0] > (1.0 - gain) * over:
            break
        over = found[0]
        rings.append((radius, found[1]))
        if over <= 0.0:
            break
        peaks = _clusters(air.pockets(outlets([vent for _, ring in rings for vent in ring])), 1.0)
        free = [r for r in radii_mm if all(abs(r - other) >= apart_mm for other, _ in rings)]
        if not peaks or not free:
            break
        wanted = math.hypot(peaks[0][0], peaks[0][1])
        radius = min(free, key=lambda r: (abs(r - wanted), r))
    return [vent for _, ring in rings for vent in ring]


def _ring(
    air: AirMap,
    before: list[V],
    ring_of: Callable[[float, int], Sequence[V]],
    radius: float,
    counts: Sequence[int],
    limit_mm3: float,
    apart_mm: float,
    gain: float,
    most: int,
) -> tuple[float, Sequence[V]] | None:
    """The fewest vents on one ring beyond which more of them gain little."""
    best: tuple[float, Sequence[V]] | None = None
    for count in counts if radius > 0 else (1,):
        ring = ring_of(radius, count)
        crowded = any(_away(a, (b,)) < apart_mm for a, b in combinations(ring, 2))
        if not ring or crowded or len(before) + len(ring) > most:
            continue
        left: Left = air.left(outlets([*before, *ring]), fold=count if not before else 1)
        over = left.over(limit_mm3)
        if best is None or over <= best[0] * (1.0 - gain * (len(ring) - len(best[1]))):
            best = (over, ring)
        if over <= 0.0:
            break
    return best
