"""Round rods on one axis, one through or on top of the other, drawn as one stepped rod."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourwright.engines.geometry.tree import Line, Node, Op, Outline, Placed, Revolve, polygon


@dataclass(frozen=True)
class Rod:
    """A straight round rod on an upright axis, mm."""

    x_mm: float
    y_mm: float
    radius_mm: float
    low_mm: float
    high_mm: float


def stepped(solids: Sequence[Node]) -> list[Node]:
    """The same solids, with rods that stand on one axis and meet drawn as one.

    Two turned solids on one axis have many edges in common, which booleans take long over. What comes of them
    all together is the same.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import cylinder
    >>> wide, narrow = cylinder(radius_mm=3, z0_mm=0, z1_mm=2), cylinder(radius_mm=1, z0_mm=-5, z1_mm=4)
    >>> len(stepped([wide.at(7, 0), narrow.at(7, 0), narrow]))
    2
    """
    others: list[Node] = []
    axes: dict[tuple[float, float], list[Rod]] = {}
    for solid in solids:
        rods = _rods(solid)
        if rods is None:
            others.append(solid)
            continue
        for rod in rods:
            axes.setdefault((rod.x_mm, rod.y_mm), []).append(rod)
    drawn = [_drawn(stack).at(*axis) for axis, rods in axes.items() for stack in _stacks(rods)]
    return [*others, *drawn]


def straight_rod(node: Node) -> Rod | None:
    """The node as one straight rod, if it is one.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import cylinder
    >>> straight_rod(cylinder(radius_mm=3, z0_mm=0, z1_mm=2).at(7, 0)).x_mm
    7.0
    """
    rods = _rods(node) if not isinstance(node, Op) else None
    return rods[0] if rods is not None and len(rods) == 1 else None


def _rods(node: Node) -> list[Rod] | None:
    """The node as rods; None when it is something else too."""
    if isinstance(node, Revolve):
        found = _rod_of(node.outline)
        return None if found is None else [found]
    if isinstance(node, Placed) and node.turn_deg == 0.0:
        inner = _rods(node.solid)
        return None if inner is None else [_moved(rod, node.x_mm, node.y_mm, node.z_mm) for rod in inner]
    if isinstance(node, Op) and node.kind == "union":
        parts = [_rods(solid) for solid in node.solids]
        if all(part is not None for part in parts):
            return [rod for part in parts if part is not None for rod in part]
    return None


def _rod_of(outline: Outline) -> Rod | None:
    corners = [outline.start_mm, *((edge.a_mm, edge.b_mm) for edge in outline.edges[:-1])]
    if len(corners) != 4 or not all(isinstance(edge, Line) for edge in outline.edges):
        return None
    (a, low), (radius, b), (c, high), (d, e) = corners
    if a == d == 0.0 and radius == c > 0.0 and low == b and high == e and high > low:
        return Rod(0.0, 0.0, radius, low, high)
    return None


def _moved(rod: Rod, x: float, y: float, z: float) -> Rod:
    return Rod(rod.x_mm + x, rod.y_mm + y, rod.radius_mm, rod.low_mm + z, rod.high_mm + z)


def _stacks(rods: Sequence[Rod]) -> list[list[Rod]]:
    """Rods of one axis that meet, together."""
    stacks: list[list[Rod]] = []
    for rod in sorted(rods, key=lambda one: one.low_mm):
        if stacks and rod.low_mm <= max(one.high_mm for one in stacks[-1]):
            stacks[-1].append(rod)
        else:
            stacks.append([rod])
    return stacks


def _drawn(stack: Sequence[Rod]) -> Node:
    levels = sorted({level for rod in stack for level in (rod.low_mm, rod.high_mm)})
    side: list[tuple[float, float]] = []
    for low, high in pairwise(levels):
        radius = max(rod.radius_mm for rod in stack if rod.low_mm <= low and rod.high_mm >= high)
        if side and side[-1][0] == radius:
            side[-1] = (radius, high)
        else:
            side += [(radius, low), (radius, high)]
    return Revolve(polygon([(0.0, levels[0]), *side, (0.0, levels[-1])]))
