"""Measure and draw a solid of upright shapes layer by layer, almost without booleans.

Between two heights between which no wall begins or ends, walls that do not meet each other are the solid's own
surface or none of it, each as a whole: one look at both its sides tells. What is level lies between the layers. Only
walls that meet are made by booleans, and only within their layer. By the divergence theorem the walls alone give
the volume. Millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.layered.bands import Band, Nesting, Strips, nesting
from pourwright.engines.geometry.layered.knots import Knot, knot_of
from pourwright.engines.geometry.layered.upright import Formula, Shape, Truth, Upright, value

_MOST_KNOTTED = 40  # shapes in knots, in all layers; with more a solid is better made whole


@dataclass(frozen=True, eq=False)
class Layer:
    """What bounds the solid between two heights: bands with the material inside (1) or outside them (-1), and knots."""

    z0_mm: float
    z1_mm: float
    bands: tuple[tuple[Band, int], ...]
    knots: tuple[Knot, ...] = ()


@dataclass(frozen=True, eq=False)
class Layered:
    """A solid as layers, lowest first, with its volume."""

    shapes: tuple[Shape, ...]
    layers: tuple[Layer, ...] = field(default=())

    @property
    def volume_mm3(self) -> float:
        """What its walls enclose."""
        return float(
            sum(side * band.strip.volume_mm3 for layer in self.layers for band, side in layer.bands)
            + sum(knot.side * knot.volume_mm3 for layer in self.layers for knot in layer.knots)
        )


def layered(solid: Upright, strips: Strips, evaluator: Evaluator, report: Report) -> Layered | None:
    """The layers of a solid; None where its walls meet in too many places.

    Parameters
    ----------
    solid : of upright shapes.
    strips : with what is known from before.
    evaluator : makes what has to be made, in a mesh kernel with corrected radii.
    """
    drafts, knotted = [], 0
    for z0, z1 in pairwise(solid.levels_mm):
        draft = _draft(solid, strips.bands(solid.shapes, z0, z1), (z0, z1))
        knotted += sum(len(group) for group in draft.groups)
        if knotted > _MOST_KNOTTED or any(fixed is None for fixed in draft.fixed):
            return None
        drafts.append(draft)
    return Layered(solid.shapes, tuple(_layer(solid, draft, evaluator, report) for draft in drafts))


@dataclass(frozen=True, eq=False)
class _Draft:
    """A layer before anything is made: how its bands lie, the shapes that meet, and in which others they lie."""

    heights: tuple[float, float]
    bands: list[Band]
    order: Nesting
    groups: list[set[int]]
    fixed: list[list[bool | None] | None]


def _draft(solid: Upright, bands: list[Band], heights: tuple[float, float]) -> _Draft:
    order = nesting(bands)
    groups = _groups(bands, order)
    if not groups:
        return _Draft(heights, bands, order, [], [])
    owner = np.array([band.shape for band in bands])
    _, outside = _membership(owner, order, len(solid.shapes))
    fixed = [
        _fixed(outside[:, [band.shape in group for band in bands]], group, set(owner.tolist())) for group in groups
    ]
    return _Draft(heights, bands, order, groups, fixed)


def _layer(solid: Upright, draft: _Draft, evaluator: Evaluator, report: Report) -> Layer:
    bands, order, groups = draft.bands, draft.order, draft.groups
    if not bands:
        return Layer(*draft.heights, ())
    owner = np.array([band.shape for band in bands])
    active, knotted = set(owner.tolist()), {shape for group in groups for shape in group}
    inside, outside = _membership(owner, order, len(solid.shapes))
    free = [k for k, band in enumerate(bands) if band.shape not in knotted and k == int(np.argmax(order.same[k]))]
    sides = _sides(solid.formula, inside[:, free], outside[:, free], active)
    kept = tuple((bands[k], int(side)) for k, side in zip(free, sides, strict=True) if side)
    knots = []
    for group, fixed in zip(groups, draft.fixed, strict=True):
        knot = knot_of(solid, sorted(group), fixed or [], draft.heights, evaluator, report)
        if knot is not None:
            knots.append(knot)
    return Layer(*draft.heights, kept, tuple(knots))


def _groups(bands: Sequence[Band], order: Nesting) -> list[set[int]]:
    """Shapes whose walls meet, together with those that share a wall with one of them."""
    meets = order.unclear | (order.same & ~np.eye(len(bands), dtype=bool))
    if not order.unclear.any():
        return []
    groups: list[set[int]] = []
    for i, j in zip(*np.nonzero(np.triu(meets)), strict=True):
        joined = {bands[i].shape, bands[j].shape}
        apart = [group for group in groups if not group & joined]
        groups = [*apart, joined.union(*(group for group in groups if group & joined))]
    crossing = {bands[k].shape for k in np.flatnonzero(order.unclear.any(axis=1)).tolist()}
    return [group for group in groups if group & crossing]


def _membership(owner: NDArray[np.int64], order: Nesting, shapes: int) -> tuple[Truth, Truth]:
    """For each shape and band whether a point just inside the band lies in the shape, and one just outside it."""
    owns = np.zeros((shapes, len(owner)), dtype=np.int64)
    owns[owner, np.arange(len(owner))] = 1
    outside = owns @ order.inside.T
    inside = outside + owns @ order.same.T
    return inside % 2 == 1, outside % 2 == 1


def _sides(formula: Formula, inside: Truth, outside: Truth, active: set[int]) -> NDArray[np.int64]:
    """1 where the solid lies inside a band and not outside, -1 the other way round, 0 where it is no surface."""
    count = inside.shape[1]
    both = np.hstack((inside, outside))
    found = value(formula, [both[k] if k in active else None for k in range(len(both))])
    if found is None:
        return np.zeros(count, dtype=np.int64)
    return found[:count].astype(np.int64) - found[count:]


def _fixed(outside: Truth, group: set[int], active: set[int]) -> list[bool | None] | None:
    """Whether the knot lies in each of the other shapes, None for its own; None where only a part of it does."""
    fixed: list[bool | None] = []
    for shape, row in enumerate(outside):
        if shape in group:
            fixed.append(None)
        elif shape not in active:
            fixed.append(False)
        elif row.all() or not row.any():
            fixed.append(bool(row[0]))
        else:
            return None
    return fixed
