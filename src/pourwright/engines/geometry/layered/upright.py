"""Solids put together from upright shapes (turned ones, blocks, prisms), read off a tree without making any of them.

An upright shape has walls, each round an axis or straight up, and level faces between them. What is common, cut or
united of such shapes has no other walls than theirs. Millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry import tree
from pourwright.engines.geometry.tree import Node, Outline, polygon

Points = NDArray[np.float64]
Truth = NDArray[np.bool_]
Sampled = Callable[[Outline, bool], Points]  # an outline as a polygon; for a body of revolution when true

SAME_MM = 1e-9
_MOST_SHAPES = 200


@dataclass(frozen=True, eq=False)
class Wall:
    """One wall of a shape, once round: `profile_mm` (r, z) with rising z, or straight up along `plan_mm` (x, y)."""

    low_mm: float
    high_mm: float
    profile_mm: Points | None = None
    plan_mm: Points | None = None


@dataclass(frozen=True, eq=False)
class Shape:
    """An upright shape at a place: a point is in it at some height when it is inside an odd number of its walls."""

    key: str
    x_mm: float
    y_mm: float
    walls: tuple[Wall, ...]

    @property
    def turned(self) -> bool:
        """Whether it is a body of revolution."""
        return self.walls[0].profile_mm is not None


Formula = int | tuple[str, tuple["Formula", ...]]  # the number of a shape, or what is done with several


@dataclass(frozen=True, eq=False)
class Upright:
    """A solid as a formula of upright shapes."""

    shapes: tuple[Shape, ...]
    formula: Formula

    @cached_property
    def levels_mm(self) -> list[float]:
        """Heights at which a wall begins or ends that can matter, in order: nothing matters beyond what is cut into."""
        ends: set[float] = set()
        self._collect(self.formula, self._reach(self.formula), ends)
        found: list[float] = []
        for z in sorted(ends):
            if not found or z > found[-1] + SAME_MM:
                found.append(z)
        return found

    def _reach(self, formula: Formula) -> tuple[float, float]:
        """Between which heights a part of the formula may be anything."""
        if isinstance(formula, int):
            walls = self.shapes[formula].walls
            return min(wall.low_mm for wall in walls), max(wall.high_mm for wall in walls)
        kind, parts = formula
        if kind == "cut":
            return self._reach(parts[0])
        lows, highs = zip(*map(self._reach, parts), strict=True)
        return (min(lows), max(highs)) if kind == "union" else (max(lows), min(highs))

    def _collect(self, formula: Formula, within: tuple[float, float], ends: set[float]) -> None:
        low, high = within
        if isinstance(formula, int):
            found = {z for wall in self.shapes[formula].walls for z in (wall.low_mm, wall.high_mm)}
            ends |= {z for z in found if low - SAME_MM <= z <= high + SAME_MM}
            return
        own = self._reach(formula)
        for part in formula[1]:
            self._collect(part, (max(low, own[0]), min(high, own[1])), ends)


def upright(node: Node, sampled: Sampled, known: dict[str, tuple[Wall, ...]] | None = None) -> Upright | None:
    """The solid as a formula of upright shapes; None where something in it is none.

    Parameters
    ----------
    node : any solid.
    sampled : an outline as the polygon that a kernel makes of it.
    known : walls of shapes seen before, by key; it grows.

    Examples
    --------
    >>> from pourwright.engines.geometry.profiles.outline_math import sampled
    >>> drawn = lambda outline, turned: sampled(
    ...     outline, segments=48, tolerance_mm=0.01, weighted=turned, corrected=True)
    >>> rod = tree.cylinder(radius_mm=1, z0_mm=0, z1_mm=9).at(5, 0)
    >>> found = upright(tree.Box(0, -5, 0, 10, 5, 3) - rod, drawn)
    >>> found.formula, found.levels_mm
    (('cut', (0, 1)), [0.0, 3.0])
    """
    reader = _Reader(sampled, {} if known is None else known)
    formula = reader.formula(node, _Move())
    if formula is None or len(reader.shapes) > _MOST_SHAPES:
        return None
    return Upright(tuple(reader.shapes), formula)


@dataclass(frozen=True)
class _Move:
    """Scaled, mirrored in z = 0 (flip -1), turned about z, then moved."""

    x: float = 0.0
    y: float = 0.0
    z: float = 0.0
    turn_deg: float = 0.0
    scale: float = 1.0
    flip: float = 1.0

    def of(self, x: float, y: float) -> tuple[float, float]:
        """Where a place in the plan comes to lie."""
        if self.turn_deg == 0.0:
            return self.scale * x + self.x, self.scale * y + self.y
        c, s = _cos_sin(self.turn_deg)
        return self.scale * (c * x - s * y) + self.x, self.scale * (s * x + c * y) + self.y

    def then(self, inner: Node) -> _Move:
        """The move of what is inside a moved node."""
        match inner:
            case tree.Placed():
                x, y = self.of(inner.x_mm, inner.y_mm)
                z = self.height(inner.z_mm)
                return replace(self, x=x, y=y, z=z, turn_deg=self.turn_deg + inner.turn_deg)
            case tree.Scaled():
                return replace(self, scale=self.scale * inner.factor)
            case _:
                return replace(self, flip=-self.flip)

    def height(self, z: float) -> float:
        """Where a height comes to lie."""
        return self.scale * self.flip * z + self.z

    @property
    def upright_key(self) -> str:
        """All of it that changes a shape seen from its place."""
        return f"{self.scale.hex()}{self.flip:+.0f}{(self.z + 0.0).hex()}"


class _Reader:
    """Walks a tree and keeps the shapes that it finds."""

    def __init__(self, sampled: Sampled, known: dict[str, tuple[Wall, ...]]) -> None:
        self._sampled = sampled
        self._walls = known
        self.shapes: list[Shape] = []

    def formula(self, node: Node, move: _Move) -> Formula | None:
        """What a node is, in shapes; None when it is not upright."""
        if isinstance(node, (tree.Placed, tree.Scaled, tree.Mirrored)):
            return self.formula(node.solid, move.then(node))
        if isinstance(node, tree.Op):
            parts = [self.formula(solid, move) for solid in node.solids]
            known = tuple(part for part in parts if part is not None)
            return (node.kind, known) if len(known) == len(parts) else None
        return self._shape(node, move)

    def _shape(self, node: Node, move: _Move) -> int | None:
        turn = "" if isinstance(node, tree.Revolve) else f"{move.turn_deg % 360.0:g}"
        key = f"{node.key}{move.upright_key}{turn}"
        if key not in self._walls:
            walls = _walls(node, replace(move, x=0.0, y=0.0), self._sampled)
            if walls is None:
                return None
            self._walls[key] = walls
        self.shapes.append(Shape(key, move.x, move.y, self._walls[key]))
        return len(self.shapes) - 1


def _walls(node: Node, move: _Move, sampled: Sampled) -> tuple[Wall, ...] | None:
    match node:
        case tree.Revolve():
            drawn = sampled(node.outline, True)
            return turned_walls(
                np.column_stack((drawn[:, 0] * move.scale, drawn[:, 1] * move.scale * move.flip + move.z))
            )
        case tree.Box():
            corners = [
                (node.x0_mm, node.y0_mm),
                (node.x1_mm, node.y0_mm),
                (node.x1_mm, node.y1_mm),
                (node.x0_mm, node.y1_mm),
            ]
            return _straight(np.array(corners), node.z0_mm, node.z1_mm, move)
        case tree.Prism():
            return _straight(sampled(node.outline, False), node.z0_mm, node.z1_mm, move)
    return None


def _straight(plan: Points, z0: float, z1: float, move: _Move) -> tuple[Wall, ...]:
    if move.turn_deg != 0.0:
        c, s = _cos_sin(move.turn_deg)
        plan = plan @ np.array([[c, s], [-s, c]])
    low, high = sorted((move.height(z0), move.height(z1)))
    return (Wall(low, high, plan_mm=plan * move.scale),)


def turned_walls(drawn: Points) -> tuple[Wall, ...]:
    """The walls of a closed (r, z) polygon turned about z: its stretches that only rise or only fall.

    Examples
    --------
    >>> ring = turned_walls(np.array([(2.0, 0.0), (5.0, 0.0), (5.0, 1.0), (4.0, 2.0), (2.0, 2.0)]))
    >>> [wall.profile_mm.tolist() for wall in ring]
    [[[5.0, 0.0], [5.0, 1.0], [4.0, 2.0]], [[2.0, 0.0], [2.0, 2.0]]]
    """
    after = np.roll(drawn, -1, axis=0)
    rise = after[:, 1] - drawn[:, 1]
    on_axis = np.maximum(drawn[:, 0], after[:, 0]) < SAME_MM
    way = np.where((np.abs(rise) <= SAME_MM) | on_axis, 0, np.sign(rise)).astype(int).tolist()
    count = len(way)
    first = next(k for k in range(count) if way[k] != way[k - 1])
    walls: list[Wall] = []
    k = first
    while k < first + count:
        stretch = [k % count]
        while k + 1 < first + count and way[(k + 1) % count] == way[k % count]:
            k += 1
            stretch.append(k % count)
        if way[stretch[0]]:
            points = np.vstack((drawn[stretch], after[stretch[-1:]]))[:: way[stretch[0]]]
            walls.append(
                Wall(float(points[0, 1]), float(points[-1, 1]), profile_mm=np.maximum(points, (0.0, -math.inf)))
            )
        k += 1
    return tuple(walls)


def node_between(shape: Shape, z0_mm: float, z1_mm: float) -> Node:
    """A shape between two heights between which no wall of it begins or ends, as a solid at its place."""
    rings = [wall for wall in shape.walls if wall.low_mm <= z0_mm + SAME_MM and wall.high_mm >= z1_mm - SAME_MM]
    if not shape.turned:
        plan = rings[0].plan_mm
        corners = [] if plan is None else plan.tolist()
        return tree.Prism(polygon([(x + shape.x_mm, y + shape.y_mm) for x, y in corners]), z0_mm, z1_mm)
    profiles = sorted((between(wall.profile_mm, z0_mm, z1_mm) for wall in rings), key=_middle)
    if len(profiles) % 2:
        profiles.insert(0, np.array([(0.0, z0_mm), (0.0, z1_mm)]))
    solids = [
        tree.Revolve(polygon([(float(r), float(z)) for r, z in (*outer, *inner[::-1])])).at(shape.x_mm, shape.y_mm)
        for inner, outer in zip(profiles[::2], profiles[1::2], strict=True)
    ]
    return tree.union(*solids)


def between(profile: Points | None, z0_mm: float, z1_mm: float) -> Points:
    """What of a rising profile lies between two heights that it spans, ends included.

    Examples
    --------
    >>> between(np.array([(1.0, 0.0), (3.0, 2.0)]), 0.5, 2.0).tolist()
    [[1.5, 0.5], [3.0, 2.0]]
    """
    if profile is None:
        return np.empty((0, 2))
    heights = profile[:, 1]
    inner = profile[(heights > z0_mm + SAME_MM) & (heights < z1_mm - SAME_MM)]
    ends = np.interp((z0_mm, z1_mm), heights, profile[:, 0])
    return np.vstack(((ends[0], z0_mm), inner, (ends[1], z1_mm)))


def _middle(profile: Points) -> float:
    z = (profile[0, 1] + profile[-1, 1]) / 2
    return float(np.interp(z, profile[:, 1], profile[:, 0]))


def value(formula: Formula, within: Sequence[Truth | None]) -> Truth | None:
    """Whether points lie in the solid, from whether they lie in each shape; None stands for nowhere."""
    if isinstance(formula, int):
        return within[formula]
    kind, parts = formula
    return _JOINED[kind]([value(part, within) for part in parts])


def _united(found: Sequence[Truth | None]) -> Truth | None:
    some = [one for one in found if one is not None]
    if len(some) < 2:
        return some[0] if some else None
    joined: Truth = np.logical_or.reduce(some)
    return joined


def _cut(found: Sequence[Truth | None]) -> Truth | None:
    away = _united(found[1:])
    return found[0] if found[0] is None or away is None else found[0] & ~away


def _common(found: Sequence[Truth | None]) -> Truth | None:
    first, second = found
    return None if first is None or second is None else first & second


_JOINED: dict[str, Callable[[Sequence[Truth | None]], Truth | None]] = {
    "union": _united,
    "cut": _cut,
    "common": _common,
}


def _cos_sin(turn_deg: float) -> tuple[float, float]:
    return math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
