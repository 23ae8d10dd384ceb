"""Bands: walls of upright shapes between two heights, and which of them go round which. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.layered.upright import SAME_MM, Points, Shape, Truth, Wall, between

# Circles are drawn with chords: two that come closer than this share of a radius are left to the booleans.
_SAG = 0.004
_CLEAR_MM = 1e-6


@dataclass(frozen=True, eq=False)
class Strip:
    """A wall between two heights, seen from its shape's place, with the volume inside it."""

    key: str
    z0_mm: float
    z1_mm: float
    volume_mm3: float
    profile_mm: Points | None = None
    plan_mm: Points | None = None

    @cached_property
    def reach_mm(self) -> tuple[float, float]:
        """Least and largest radius of a wall round an axis."""
        radii = self.profile_mm[:, 0] if self.profile_mm is not None else np.zeros(1)
        return float(radii.min()), float(radii.max())

    @cached_property
    def edges(self) -> tuple[Points, Points] | None:
        """Of a convex plan the directions inwards of its edges, and where they stand along them; else None."""
        return None if self.plan_mm is None else _convex(self.plan_mm)


@dataclass(frozen=True, eq=False)
class Band:
    """A strip in its place, of one shape by number."""

    shape: int
    x_mm: float
    y_mm: float
    strip: Strip

    @cached_property
    def plan_mm(self) -> Points:
        """The plan of a straight wall, in place."""
        plan = self.strip.plan_mm
        return np.empty((0, 2)) if plan is None else plan + np.array((self.x_mm, self.y_mm))


class Strips:
    """Strips of walls between heights, each worked out once."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, int, float, float], Strip] = {}

    def __len__(self) -> int:
        return len(self._known)

    def clear(self) -> None:
        """Forget all of them."""
        self._known.clear()

    def bands(self, shapes: Sequence[Shape], z0_mm: float, z1_mm: float) -> list[Band]:
        """Every wall that there is between two heights."""
        found = []
        for number, shape in enumerate(shapes):
            for index, wall in enumerate(shape.walls):
                if wall.low_mm <= z0_mm + SAME_MM and wall.high_mm >= z1_mm - SAME_MM:
                    strip = self.strip(shape, index, z0_mm, z1_mm)
                    found.append(Band(number, shape.x_mm, shape.y_mm, strip))
        return found

    def strip(self, shape: Shape, index: int, z0_mm: float, z1_mm: float) -> Strip:
        """One wall of a shape between two heights."""
        key = shape.key, index, z0_mm, z1_mm
        if key not in self._known:
            name = f"{shape.key}/{index}/{z0_mm.hex()}/{z1_mm.hex()}"
            self._known[key] = _strip(name, shape.walls[index], z0_mm, z1_mm)
        return self._known[key]


def _strip(key: str, wall: Wall, z0: float, z1: float) -> Strip:
    if wall.plan_mm is not None:
        x, y = wall.plan_mm.T
        area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
        return Strip(key, z0, z1, area * (z1 - z0), plan_mm=wall.plan_mm)
    points = between(wall.profile_mm, z0, z1)
    a, b = points[:-1, 0], points[1:, 0]
    volume = math.pi / 3 * float(np.sum(np.diff(points[:, 1]) * (a * a + a * b + b * b)))
    return Strip(key, z0, z1, volume, profile_mm=points)


# ---------------------------------------------------------------- which goes round which


@dataclass(frozen=True, eq=False)
class Nesting:
    """Of n bands of one layer: `inside[i, j]` where j goes round i, `same` where they lie on each other, `unclear`."""

    inside: Truth
    same: Truth
    unclear: Truth


def nesting(bands: Sequence[Band]) -> Nesting:
    """How bands of one layer lie to each other; unclear where two cross, touch, or come too close to tell.

    Parameters
    ----------
    bands : all between the same two heights.
    """
    count = len(bands)
    inside, same, unclear = (np.zeros((count, count), dtype=bool) for _ in range(3))
    round_ones = [k for k, band in enumerate(bands) if band.strip.plan_mm is None]
    straight = [k for k, band in enumerate(bands) if band.strip.plan_mm is not None]
    found = Nesting(inside, same, unclear)
    if round_ones:
        _circles(bands, np.array(round_ones), found)
    for k in straight:
        if round_ones:
            _plan_and_circles(bands, k, np.array(round_ones), found)
    for at, k in enumerate(straight):
        for other in straight[at + 1 :]:
            _two_plans(bands, k, other, found)
    np.fill_diagonal(same, True)
    return found


def _circles(bands: Sequence[Band], which: NDArray[np.int64], found: Nesting) -> None:
    x, y, low, high = _round(bands, which)
    apart = np.hypot(x[:, None] - x, y[:, None] - y)
    margin = np.where(apart < SAME_MM, 0.0, _SAG * np.maximum(high[:, None], high))
    within = apart + high[:, None] + margin <= low[None, :]
    within &= ~within.T  # what goes round each other is one and the same
    beside = apart >= high[:, None] + high + margin
    found.inside[np.ix_(which, which)] = within
    unclear = ~(within | within.T | beside)
    np.fill_diagonal(unclear, False)
    if not unclear.any():
        return
    for i, j in zip(*np.nonzero(np.triu(unclear)), strict=True):
        order = _on_one_axis(bands[which[i]].strip, bands[which[j]].strip) if apart[i, j] < SAME_MM else None
        if order is not None:
            unclear[i, j] = unclear[j, i] = False
            found.inside[which[i], which[j]] = order < 0
            found.inside[which[j], which[i]] = order > 0
            found.same[which[i], which[j]] = found.same[which[j], which[i]] = order == 0
    found.unclear[np.ix_(which, which)] = unclear


def _round(bands: Sequence[Band], which: NDArray[np.int64]) -> tuple[Points, Points, Points, Points]:
    rows = [(bands[k].x_mm, bands[k].y_mm, *bands[k].strip.reach_mm) for k in which.tolist()]
    x, y, low, high = np.array(rows).T
    return x, y, low, high


def _on_one_axis(one: Strip, other: Strip) -> int | None:
    """-1 when the first is the narrower one everywhere, 1 the wider one, 0 the same; None when they cross."""
    if one.profile_mm is None or other.profile_mm is None:
        return None
    heights = np.union1d(one.profile_mm[:, 1], other.profile_mm[:, 1])
    first, second = (np.interp(heights, strip.profile_mm[:, 1], strip.profile_mm[:, 0]) for strip in (one, other))
    gap = first - second
    if np.all(np.abs(gap) <= SAME_MM):
        return 0
    if np.all(gap <= SAME_MM):
        return -1
    return 1 if np.all(gap >= -SAME_MM) else None


def _plan_and_circles(bands: Sequence[Band], k: int, which: NDArray[np.int64], found: Nesting) -> None:
    """One straight wall and all round ones."""
    plan = bands[k].plan_mm
    x, y, low, high = _round(bands, which)
    centres = np.column_stack((x, y))
    near, within = _from_plan(bands[k], centres)
    margin = _SAG * high
    clear = near >= high + margin
    found.inside[which, k] = clear & within
    if clear.all():
        return
    far = np.hypot(plan[:, 0] - x[:, None], plan[:, 1] - y[:, None]).max(axis=1)
    holds = ~clear & (far <= low - margin)
    found.inside[k, which] = holds
    found.unclear[k, which] = found.unclear[which, k] = ~(clear | holds)


def _from_plan(band: Band, points: Points) -> tuple[Points, Truth]:
    """How far points surely are from a straight wall, and whether it goes round them."""
    edges = band.strip.edges
    if edges is None:
        return _from_edges(band.plan_mm, points), holds(band.plan_mm, points)
    inwards, stand = edges
    deep: Points = ((points - (band.x_mm, band.y_mm)) @ inwards.T - stand).min(axis=1)
    return np.abs(deep), deep > 0.0


def _two_plans(bands: Sequence[Band], one: int, other: int, found: Nesting) -> None:
    first, second = bands[one], bands[other]
    order = _order_of_plans(first, second)
    if order == "same":
        found.same[one, other] = found.same[other, one] = True
    elif order == "unclear":
        found.unclear[one, other] = found.unclear[other, one] = True
    else:
        found.inside[one, other] = order == "inside"
        found.inside[other, one] = order == "outside"


def _order_of_plans(one: Band, other: Band) -> str:
    """Whether the first lies inside the second, outside around it, beside it, on it, or none of that for sure."""
    first, second = one.plan_mm, other.plan_mm
    if first.shape == second.shape and np.abs(first - second).max() <= SAME_MM:
        return "same"
    (low, high), (other_low, other_high) = ((plan.min(axis=0), plan.max(axis=0)) for plan in (first, second))
    if np.any(low > other_high + _CLEAR_MM) or np.any(other_low > high + _CLEAR_MM):
        return "beside"
    near, within = _from_plan(other, first)
    if other.strip.edges is not None and within.all() and near.min() > _CLEAR_MM:
        return "inside"
    near, within = _from_plan(one, second)
    if one.strip.edges is not None and within.all() and near.min() > _CLEAR_MM:
        return "outside"
    if min(_from_edges(first, second).min(), _from_edges(second, first).min()) <= _CLEAR_MM:
        return "unclear"
    if _edges_cross(first, second):
        return "unclear"
    if holds(second, first[:1])[0]:
        return "inside"
    return "outside" if holds(first, second[:1])[0] else "beside"


def _convex(plan: Points) -> tuple[Points, Points] | None:
    along = np.roll(plan, -1, axis=0) - plan
    along = along / np.hypot(along[:, 0], along[:, 1])[:, None]
    inwards = np.column_stack((-along[:, 1], along[:, 0]))
    stand = (inwards * plan).sum(axis=1)
    return (inwards, stand) if (plan @ inwards.T - stand).min() > -_CLEAR_MM else None


def _from_edges(plan: Points, points: Points) -> Points:
    """Distance of each point from the nearest edge of a closed plan."""
    along = np.roll(plan, -1, axis=0) - plan
    to = points[:, None, :] - plan
    share = np.clip((to * along).sum(axis=2) / (along * along).sum(axis=1), 0.0, 1.0)
    nearest: Points = np.sqrt(((to - share[:, :, None] * along) ** 2).sum(axis=2)).min(axis=1)
    return nearest


def holds(plan: Points, points: Points) -> Truth:
    """Whether each point lies inside a closed plan.

    Examples
    --------
    >>> holds(np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]), np.array([(1.0, 1.0), (3.0, 1.0)])).tolist()
    [True, False]
    """
    after = np.roll(plan, -1, axis=0)
    x, y = points[:, 0][:, None], points[:, 1][:, None]
    spans = (plan[:, 1] > y) != (after[:, 1] > y)
    rise = np.where(spans, after[:, 1] - plan[:, 1], 1.0)
    crossing = plan[:, 0] + (y - plan[:, 1]) / rise * (after[:, 0] - plan[:, 0])
    odd: Truth = np.count_nonzero(spans & (x < crossing), axis=1) % 2 == 1
    return odd


def _edges_cross(first: Points, second: Points) -> bool:
    a, b = first[:, None, :], np.roll(first, -1, axis=0)[:, None, :]
    c, d = second[None, :, :], np.roll(second, -1, axis=0)[None, :, :]
    return bool(np.any((_turn(a, b, c) != _turn(a, b, d)) & (_turn(c, d, a) != _turn(c, d, b))))


def _turn(start: Points, end: Points, point: Points) -> Truth:
    along, to = end - start, point - start
    left: Truth = along[..., 0] * to[..., 1] > along[..., 1] * to[..., 0]
    return left


def radius_at(strip: Strip, z_mm: float) -> float:
    """Radius of a wall round an axis at a height."""
    profile = strip.profile_mm
    return 0.0 if profile is None else float(np.interp(z_mm, profile[:, 1], profile[:, 0]))
