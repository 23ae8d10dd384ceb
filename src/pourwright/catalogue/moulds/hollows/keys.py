"""Keys that let the halves meet one way only: frustums on the base, so placed that no turn of the lid fits them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.stand.facts import Standing
from pourwright.catalogue.moulds.stand.ground import LEVEL, Ground
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.stand.plan import Plan, Point
from pourwright.engines.geometry.tree import Node, frustum, union

Floats = NDArray[np.float64]
_TO_WALL_MM = sizes.KEY_TO_WALL_MM + sizes.SEAM_MM  # the walls may have a bead
_GRID_MM = 2.0  # how finely places are looked for in a box without corners
_SPOTS = 10  # of them, as far apart as can be, from which keys are chosen
_LEAST_MISFIT = 0.5  # of a key, in every turn
_MOST_KEYS = 3
_STEPS = 33  # heights over which the overlap of two frustums is summed


@dataclass(frozen=True, kw_only=True)
class Keys:
    """Frustums under the base's face: root radius and places, mm; the turns that would bring the box onto itself.

    `heights_mm` are the heights of that face at the keys, where it is not level all over.
    """

    radius_mm: float
    points_mm: tuple[Point, ...]
    to_cavity_mm: float
    to_wall_mm: float
    turns_deg: tuple[float, ...]
    middle_mm: Point
    heights_mm: tuple[float, ...] = ()

    @property
    def volume_mm3(self) -> float:
        """Of one key."""
        tip = sizes.KEY_TIP
        return math.pi * self.radius_mm**3 * (1 + tip + tip * tip) / 3

    @property
    def area_mm2(self) -> float:
        """Side and tip of all keys."""
        r, tip = self.radius_mm, sizes.KEY_TIP
        side = math.pi * r * (1 + tip) * r * math.hypot(1.0, 1 - tip)
        return len(self.points_mm) * (side + math.pi * (tip * r) ** 2)

    def solid(self) -> Node:
        """All keys, pointing down from the face."""
        heights = self.heights_mm or (0.0,) * len(self.points_mm)
        return union(*(self._key().at(x, y, z) for (x, y), z in zip(self.points_mm, heights, strict=True)))

    def levelled(self) -> Node:
        """All keys, pointing down from z = 0."""
        return union(*(self._key().at(x, y) for x, y in self.points_mm))

    def _key(self) -> Node:
        r = self.radius_mm
        return frustum(lower_mm=sizes.KEY_TIP * r, upper_mm=r, z0_mm=-r, z1_mm=0.0)

    def misfit_mm3(self) -> float:
        """Least volume by which the lid's keys miss their hollows, in every turn but the right one."""
        if not self.turns_deg:
            return len(self.points_mm) * self.volume_mm3
        spots = np.array(self.points_mm) - self.middle_mm
        every = np.arange(len(spots))[None, :]
        return float(_misfits(spots, every, self.turns_deg, self.radius_mm)[0]) * self.volume_mm3


# ---------------------------------------------------------------- placing


def place_keys(layout: Layout, standing: Standing, ground: Ground = LEVEL) -> Keys | None:
    """The largest keys that keep clear of cavities and walls and fit one way only; None when none do.

    They stand where the parting is level.
    """
    half = (standing.radius_mm, 0.0) if standing.outline is not None else standing.half_size_mm
    keys = _placed(layout.plan, layout.centres_mm, half, standing.outline is not None)
    if keys is None or ground.level:
        return keys
    return _on_level_places(layout, half, ground)


def _on_level_places(layout: Layout, half: tuple[float, float], ground: Ground) -> Keys | None:
    """Corner keys on a face that is not level: as large as its level places allow."""
    for radius in sizes.KEY_RADII_MM:
        keys = _of_radius(layout.plan, layout.centres_mm, half, False, radius)
        if keys is None:
            continue
        heights = [ground.level_at(point, radius, layout) for point in keys.points_mm]
        if None not in heights:
            return replace(keys, heights_mm=tuple(z for z in heights if z is not None))
    return None


@lru_cache(maxsize=256)
def _placed(plan: Plan, centres: tuple[Point, ...], half: tuple[float, float], rounded: bool) -> Keys | None:
    for radius in sizes.KEY_RADII_MM:
        keys = _of_radius(plan, centres, half, rounded, radius)
        if keys is not None:
            return keys
    return None


def _of_radius(
    plan: Plan, centres: tuple[Point, ...], half: tuple[float, float], rounded: bool, radius: float
) -> Keys | None:
    points = _in_corners(plan, radius) if plan.is_rectangle else _free(plan, centres, half, rounded, radius)
    if not points:
        return None
    gap = float(_to_cavities(np.array(points), centres, half, rounded).min()) - radius
    wall = min(plan.inside_mm(x, y) for x, y in points) - radius
    keys = Keys(
        radius_mm=radius,
        points_mm=points,
        to_cavity_mm=gap,
        to_wall_mm=wall,
        turns_deg=plan.turns_deg,
        middle_mm=plan.middle_mm,
    )
    fits = gap >= sizes.KEY_TO_CAVITY_MM - 1e-9 and keys.misfit_mm3() >= _LEAST_MISFIT * keys.volume_mm3
    return keys if fits else None


def _in_corners(plan: Plan, radius: float) -> tuple[Point, ...]:
    """Three corners, and one left blank."""
    inset = radius + _TO_WALL_MM
    x, y = plan.half_mm[0] - inset, plan.half_mm[1] - inset
    return ((-x, -y), (x, -y), (-x, y))


def _free(
    plan: Plan, centres: tuple[Point, ...], half: tuple[float, float], rounded: bool, radius: float
) -> tuple[Point, ...]:
    """Up to three of the places that are free, far apart and not alike in any turn; fewer where no three are."""
    x, y = (np.arange(-reach, reach + 1e-9, _GRID_MM) for reach in plan.half_mm)
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    clear = _to_cavities(grid, centres, half, rounded) >= radius + sizes.KEY_TO_CAVITY_MM
    grid = grid[clear]
    grid = grid[plan.inside_all_mm(grid) >= radius + _TO_WALL_MM]
    if not len(grid):
        return ()
    spots = _far_apart(grid, plan.middle_mm)
    around = spots - np.array(plan.middle_mm)
    for count in range(min(_MOST_KEYS, len(spots)), 0, -1):
        sets = np.array(list(combinations(range(len(spots)), count)))
        apart = _least_apart(spots, sets)
        usable = apart >= 2 * radius + sizes.KEY_TO_WALL_MM
        sets, apart = sets[usable], apart[usable]
        if not len(sets):
            continue
        misfit = _misfits(around, sets, plan.turns_deg, radius)
        # A whole key out of place is as good as more; then the widest stance holds best.
        best = int(np.argmax(np.minimum(np.round(misfit, 6), 1.0) * 1e6 + np.round(np.minimum(apart, 1e5), 6)))
        if misfit[best] >= _LEAST_MISFIT:
            return tuple((float(px), float(py)) for px, py in spots[sets[best]])
    return ()


def _to_cavities(points: Floats, centres: tuple[Point, ...], half: tuple[float, float], rounded: bool) -> Floats:
    """Distance of points from the nearest cavity."""
    away = np.abs(points[:, None, :] - np.array(centres)[None, :, :])
    beyond = away if rounded else np.maximum(away - np.array(half), 0.0)
    found: Floats = np.hypot(beyond[..., 0], beyond[..., 1]).min(axis=1) - (half[0] if rounded else 0.0)
    return found


def _far_apart(grid: Floats, middle: Point) -> Floats:
    """So many of the places, each as far as can be from those before it, the first from the middle."""
    away = np.hypot(*(grid - np.array(middle)).T)
    chosen = [int(np.argmax(np.round(away, 6)))]
    nearest = np.hypot(*(grid - grid[chosen[0]]).T)
    while len(chosen) < min(_SPOTS, len(grid)):
        chosen.append(int(np.argmax(np.round(nearest, 6))))
        nearest = np.minimum(nearest, np.hypot(*(grid - grid[chosen[-1]]).T))
    found: Floats = grid[chosen]
    return found


def _least_apart(spots: Floats, sets: NDArray[np.int64]) -> Floats:
    """Least distance within each set; far for a single key."""
    least = np.full(len(sets), np.inf)
    for i, j in combinations(range(sets.shape[1]), 2):
        between = spots[sets[:, i]] - spots[sets[:, j]]
        least = np.minimum(least, np.hypot(between[:, 0], between[:, 1]))
    return least


# ---------------------------------------------------------------- turned the wrong way


def _misfits(spots: Floats, sets: NDArray[np.int64], turns_deg: tuple[float, ...], radius: float) -> Floats:
    """For each set of spots the least share of a key that is out of place, over all turns about the origin."""
    if not turns_deg:
        return np.full(len(sets), float(sets.shape[1]))
    angles = np.radians(np.array(turns_deg))
    turn = np.stack(
        [np.stack([np.cos(angles), np.sin(angles)], -1), np.stack([-np.sin(angles), np.cos(angles)], -1)], 1
    )
    turned = spots @ turn
    apart = np.linalg.norm(turned[:, :, None, :] - spots[None, None, :, :], axis=-1)
    distances, shares = _overlap_table()
    outside = 1.0 - np.interp(apart / radius, distances, shares)
    each = outside[:, sets[:, :, None], sets[:, None, :]].min(axis=3)
    found: Floats = each.sum(axis=2).min(axis=0)
    return found


@cache
def _overlap_table() -> tuple[Floats, Floats]:
    """Share of a frustum key that an equal one covers, by their distance in root radii."""
    distances = np.linspace(0.0, 2.0, 401)
    at, weights = np.polynomial.legendre.leggauss(_STEPS)
    radii = sizes.KEY_TIP + (1 - sizes.KEY_TIP) * (at + 1) / 2
    half = np.clip(distances[:, None] / (2 * radii[None, :]), 0.0, 1.0)
    lens = 2 * radii**2 * (np.arccos(half) - half * np.sqrt(1 - half**2))
    return distances, (lens @ weights) / float((math.pi * radii**2) @ weights)
