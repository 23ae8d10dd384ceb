"""Upright windows with up to eight sides, through which a repeating solid is looked at piece by piece. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from pourwright.engines.geometry import tree
from pourwright.engines.geometry.profiles.outlines import bounds_mm
from pourwright.engines.geometry.repeats.enclosing import Corners
from pourwright.engines.geometry.tree import Box, Node, Prism, polygon

_SQUARE = math.sqrt(0.5)
# The directions in which a window is bounded: along x, along y, and both ways aslant.
AXES = ((1.0, 0.0), (0.0, 1.0), (_SQUARE, _SQUARE), (_SQUARE, -_SQUARE))
_SAME_MM = 1e-9

Spans = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Window:
    """What lies between two limits in each of the four directions, and between two heights."""

    spans: Spans
    z0_mm: float
    z1_mm: float

    @property
    def box(self) -> Box:
        """The block around it."""
        (x0, x1), (y0, y1) = self.spans[:2]
        return Box(x0, y0, self.z0_mm, x1, y1, self.z1_mm)

    @cached_property
    def corners_mm(self) -> tuple[tuple[float, float], ...]:
        """Its plan, anticlockwise: a rectangle with corners cut off aslant."""
        (x0, x1), (y0, y1) = self.spans[:2]
        plan = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        for axis, (low, high) in zip(AXES[2:], self.spans[2:], strict=True):
            plan = _kept(plan, axis, high)
            plan = _kept(plan, (-axis[0], -axis[1]), -low)
        return tuple(plan)

    def between(self, z0_mm: float, z1_mm: float) -> Node:
        """The window as a solid between two heights."""
        return _prism(self.corners_mm, z0_mm, z1_mm)

    def moved(self, x_mm: float, y_mm: float) -> Window:
        """The same window elsewhere."""
        shifts = [x_mm * a + y_mm * b for a, b in AXES]
        spans = tuple((low + by, high + by) for (low, high), by in zip(self.spans, shifts, strict=True))
        return replace(self, spans=spans)

    @property
    def key(self) -> str:
        """Equal for equal windows."""
        return self.between(self.z0_mm, self.z1_mm).key


@lru_cache(maxsize=4096)
def _prism(corners: tuple[tuple[float, float], ...], z0_mm: float, z1_mm: float) -> Node:
    return Prism(polygon(list(corners)), z0_mm, z1_mm)


def _kept(plan: Sequence[tuple[float, float]], axis: tuple[float, float], limit: float) -> list[tuple[float, float]]:
    """What of a convex plan lies on the near side of a line."""
    found: list[tuple[float, float]] = []
    for (x, y), (u, v) in zip(plan, [*plan[1:], plan[0]], strict=True):
        here, there = x * axis[0] + y * axis[1] - limit, u * axis[0] + v * axis[1] - limit
        if here <= _SAME_MM:
            found.append((x, y))
        if (here < -_SAME_MM and there > _SAME_MM) or (here > _SAME_MM and there < -_SAME_MM):
            share = here / (here - there)
            found.append((x + share * (u - x), y + share * (v - y)))
    return found


def spans_of(node: Node, bounds: Callable[[Node], Corners], *, swell: float = 1.01) -> Spans:
    """How far a solid reaches in each direction; exact enough for round solids about an axis of their own.

    Parameters
    ----------
    bounds : a box that surely holds a solid.
    swell : by how much a kernel may make radii larger than drawn, and some more.
    """
    (x0, y0, _), (x1, y1, _) = bounds(node)
    x, y = (node.x_mm, node.y_mm) if isinstance(node, tree.Placed) else (0.0, 0.0)
    reach = swell * _reach(node.solid if isinstance(node, tree.Placed) else node)
    found = [(x0, x1), (y0, y1)]
    for a, b in AXES[2:]:
        corners = [u * a + v * b for u in (x0, x1) for v in (y0, y1)]
        middle = x * a + y * b
        found.append((max(min(corners), middle - reach), min(max(corners), middle + reach)))
    return tuple(found)


def _reach(node: Node) -> float:
    """The farthest that a solid may be from the z axis; without end where that is not known."""
    match node:
        case tree.Revolve():
            return bounds_mm(node.outline)[2]
        case tree.Placed():
            return math.hypot(node.x_mm, node.y_mm) + _reach(node.solid)
        case tree.Mirrored():
            return _reach(node.solid)
        case tree.Op(kind="cut"):
            return _reach(node.solids[0])
        case tree.Op(kind="common"):
            return min(_reach(solid) for solid in node.solids)
        case tree.Op():
            return max(_reach(solid) for solid in node.solids)
    return math.inf
