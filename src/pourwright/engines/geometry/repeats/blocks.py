"""Upright blocks out of which moulds are cut, and what of one lies in a window. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.profiles.outline_math import sampled
from pourwright.engines.geometry.repeats.rods import straight_rod
from pourwright.engines.geometry.repeats.windows import Window
from pourwright.engines.geometry.tree import Box, Node, Op, Placed, Prism

_ALIKE = 11  # decimals of a millimetre to which two windows may stand alike
_CLEAR_MM = 0.05  # from a window to the outline of a block that holds it: polygons stand in for its curves
_CHORDS = 32


@dataclass(frozen=True, eq=False)
class Block:
    """A node that is an upright block: its heights, and its convex plan, or the four sides of a rectangle."""

    node: Node
    z_mm: tuple[float, float]
    plan_mm: NDArray[np.float64]
    box: Box | None
    bulge_mm: float = 0.0  # how far it may reach beyond its plan
    clear_mm: tuple[NDArray[np.float64], ...] = ()  # plans of hollow rings cut out of it: inside them it is whole

    @cached_property
    def _walls(self) -> tuple[tuple[NDArray[np.float64], NDArray[np.float64]], ...]:
        """Of the plan and of every clear room: the directions inwards of its edges, and where they stand."""
        return tuple(_edges(plan) for plan in (self.plan_mm, *self.clear_mm))

    @property
    def sides_mm(self) -> tuple[list[float], list[float]]:
        """Where upright faces may lie, along x and along y."""
        return self.plan_mm[:, 0].tolist(), self.plan_mm[:, 1].tolist()

    def clipped(self, x: float, y: float, window: Window, beyond: float) -> Node | None:
        """What of it lies in a window, seen from (x, y); with `beyond` more of it may be left, for cutting with."""
        if min(self.z_mm[1], window.z1_mm) <= max(self.z_mm[0], window.z0_mm):
            return None
        z0, z1 = max(self.z_mm[0], window.z0_mm - beyond), min(self.z_mm[1], window.z1_mm + beyond)
        around = window.box
        grown = Box(around.x0_mm - beyond, around.y0_mm - beyond, z0, around.x1_mm + beyond, around.y1_mm + beyond, z1)
        if self.box is not None:
            part = _clipped_box(self.box, x, y, around, grown)
            return part if part is None or beyond > 0 else _in_window(part, grown, window)
        shape = grown if beyond > 0 else window.between(z0, z1)
        if not len(self.plan_mm):
            return Op("common", (self.node.at(-x, -y), shape))
        corners = [(u, v) for u in (grown.x0_mm, grown.x1_mm) for v in (grown.y0_mm, grown.y1_mm)]
        points = np.add(window.corners_mm if beyond == 0 else corners, (x, y))
        depths, *clear = (inwards @ points.T - stand for inwards, stand in self._walls)
        if min(depths.min(), *(depth.min() for depth in clear), math.inf) > _CLEAR_MM:
            return shape
        away = depths.max(axis=1).min() < -_CLEAR_MM - self.bulge_mm  # all of it beyond one and the same edge
        return None if away else Op("common", (self.node.at(-x, -y), shape))

    def within(self, window: Window, beyond: float) -> Block | None:
        """The same block, no farther than a window."""
        part = self.clipped(0.0, 0.0, window, beyond)
        if part is None:
            return None
        if isinstance(part, Box):
            return _rectangle(part, part)
        z = max(self.z_mm[0], window.z0_mm - beyond), min(self.z_mm[1], window.z1_mm + beyond)
        return Block(part, z, self.plan_mm, None, self.bulge_mm, self.clear_mm)


def any_block(node: Node, heights_mm: tuple[float, float]) -> Block:
    """A wide solid whose plan is not known: no window lies in it for sure, none beside it."""
    return Block(node, heights_mm, np.empty((0, 2)), None)


@lru_cache(maxsize=1024)
def block_of(node: Node, *, wide_mm: float) -> Block | None:
    """The node as a block, if it is one: any upright cuboid, and convex prisms and cylinders wider than `wide_mm`.

    Examples
    --------
    >>> block_of(Box(0, 0, 0, 1, 2, 3).at(5, 0), wide_mm=9.0).plan_mm.tolist()
    [[5.0, 0.0], [6.0, 0.0], [6.0, 2.0], [5.0, 2.0]]
    >>> from pourwright.engines.geometry.tree import cylinder
    >>> block_of(cylinder(radius_mm=4, z0_mm=0, z1_mm=1), wide_mm=9.0) is None
    True
    """
    if isinstance(node, Placed) and node.turn_deg == 0.0 and isinstance(node.solid, Box):
        x, y, z, box = node.x_mm, node.y_mm, node.z_mm, node.solid
        moved = Box(box.x0_mm + x, box.y0_mm + y, box.z0_mm + z, box.x1_mm + x, box.y1_mm + y, box.z1_mm + z)
        return _rectangle(node, moved)
    if isinstance(node, Box):
        return _rectangle(node, node)
    if isinstance(node, Op):
        return _ringed(node, wide_mm)
    if isinstance(node, Prism):
        plan = sampled(node.outline, segments=_CHORDS, tolerance_mm=0.01, weighted=False, corrected=False)
        heights, bulge = (node.z0_mm, node.z1_mm), 0.01
    else:
        rod = straight_rod(node)
        if rod is None:
            return None
        angles = 2 * math.pi * np.arange(_CHORDS) / _CHORDS
        plan = rod.radius_mm * np.column_stack((np.cos(angles), np.sin(angles))) + (rod.x_mm, rod.y_mm)
        heights, bulge = (rod.low_mm, rod.high_mm), 0.01 * rod.radius_mm
    if np.ptp(plan, axis=0).min() <= wide_mm or not _is_convex(plan):
        return None
    return Block(node, heights, plan, None, bulge)


def _ringed(node: Op, wide_mm: float) -> Block | None:
    """A block with grooves all round it: inside of them it is as whole as any."""
    if node.kind != "cut":
        return None
    block = block_of(node.solids[0], wide_mm=wide_mm)
    hollows = [_hollow_of(tool) for tool in node.solids[1:]]
    if block is None or any(hollow is None for hollow in hollows):
        return None
    clear = (*block.clear_mm, *(hollow for hollow in hollows if hollow is not None))
    return Block(node, block.z_mm, block.plan_mm, None, block.bulge_mm, clear)


def _hollow_of(node: Node) -> NDArray[np.float64] | None:
    """The plan inside an upright ring; None for anything else."""
    if not isinstance(node, Op) or node.kind != "cut" or len(node.solids) != 2:
        return None
    outer, inner = (block_of(solid, wide_mm=0.0) for solid in node.solids)
    if outer is None or inner is None or inner.clear_mm:
        return None
    through = inner.z_mm[0] <= outer.z_mm[0] and inner.z_mm[1] >= outer.z_mm[1]
    return inner.plan_mm if through else None


def _rectangle(node: Node, box: Box) -> Block:
    corners = [(box.x0_mm, box.y0_mm), (box.x1_mm, box.y0_mm), (box.x1_mm, box.y1_mm), (box.x0_mm, box.y1_mm)]
    return Block(node, (box.z0_mm, box.z1_mm), np.array(corners, dtype=np.float64), box)


def _clipped_box(box: Box, x: float, y: float, around: Box, grown: Box) -> Box | None:
    x0, x1 = _span(box.x0_mm - x, box.x1_mm - x, grown.x0_mm, grown.x1_mm)
    y0, y1 = _span(box.y0_mm - y, box.y1_mm - y, grown.y0_mm, grown.y1_mm)
    inside = x0 < around.x1_mm and x1 > around.x0_mm and y0 < around.y1_mm and y1 > around.y0_mm
    return Box(x0, y0, grown.z0_mm, x1, y1, grown.z1_mm) if inside and x1 > x0 and y1 > y0 else None


def _in_window(part: Box, whole: Box, window: Window) -> Node:
    """A clipped block with the window's slanting sides."""
    shape = window.between(part.z0_mm, part.z1_mm)
    return shape if part == whole else Op("common", (part, shape))


def _span(low: float, high: float, floor: float, ceiling: float) -> tuple[float, float]:
    return max(round(low, _ALIKE), floor), min(round(high, _ALIKE), ceiling)


def _edges(plan: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Directions inwards of the edges of a convex plan (n, 2), and how far along them each edge stands (n, 1)."""
    along = np.roll(plan, -1, axis=0) - plan
    along = along / np.linalg.norm(along, axis=1)[:, None]
    inwards = np.column_stack((-along[:, 1], along[:, 0]))
    return inwards, np.einsum("ij,ij->i", inwards, plan)[:, None]


def _is_convex(plan: NDArray[np.float64]) -> bool:
    inwards, stand = _edges(plan)
    return bool((inwards @ plan.T - stand).min() > -1e-6)
