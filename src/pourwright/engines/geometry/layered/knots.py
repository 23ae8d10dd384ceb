"""Knots: upright shapes whose walls meet within a layer, made by booleans there and nowhere else. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, reduce

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.layered.upright import Formula, Points, Shape, Upright, node_between
from pourwright.engines.geometry.tree import Node, Op, union

_LEVEL_MM = 1e-7
_ALIKE = 11  # decimals of a millimetre to which two knots may lie alike

# A solid, or (-1) all but a solid, or everything (True) or nothing (False).
Known = bool | tuple[int, Node]


@dataclass(frozen=True, eq=False)
class Knot:
    """What a boolean made of shapes that meet, seen from a place; the material lies in it (1) or all round it (-1)."""

    key: str
    side: int
    size: int
    x_mm: float
    y_mm: float
    volume_mm3: float
    vertices_mm: Points
    walls: NDArray[np.int64]
    floors: tuple[NDArray[np.int64], NDArray[np.int64]]  # the triangles at the lower and at the upper height

    @cached_property
    def rims(self) -> tuple[list[list[int]], list[list[int]]]:
        """Their rims, as numbers of vertices."""
        return loops(self.floors[0]), loops(self.floors[1])


def knot_of(
    solid: Upright,
    group: Sequence[int],
    fixed: Sequence[bool | None],
    heights: tuple[float, float],
    evaluator: Evaluator,
    report: Report,
) -> Knot | None:
    """The shapes of a group between two heights, joined as the solid's formula says; None where nothing is left.

    Parameters
    ----------
    group : numbers of the shapes that meet.
    fixed : for every other shape whether the group lies in it.
    """
    first = solid.shapes[group[0]]
    parts: list[Known] = [False if one is None else one for one in fixed]
    for number in group:
        parts[number] = (1, node_between(_from(solid.shapes[number], first), *heights))
    known = _simplified(solid.formula, parts)
    if isinstance(known, bool):
        return None
    side, node = known
    vertices, triangles = evaluator.mesh(node, report=report)
    if not len(triangles):
        return None
    at = vertices[:, 2][triangles]
    lower, upper = (np.all(np.abs(at - z) <= _LEVEL_MM, axis=1) for z in heights)
    return Knot(
        key=node.key,
        side=side,
        size=len(group),
        x_mm=first.x_mm,
        y_mm=first.y_mm,
        volume_mm3=evaluator.volume(node, report=report),
        vertices_mm=vertices,
        walls=triangles[~lower & ~upper],
        floors=(triangles[lower], triangles[upper]),
    )


def _from(shape: Shape, first: Shape) -> Shape:
    x, y = round(shape.x_mm - first.x_mm, _ALIKE), round(shape.y_mm - first.y_mm, _ALIKE)
    return Shape(shape.key, x, y, shape.walls)


def _simplified(formula: Formula, parts: Sequence[Known]) -> Known:
    if isinstance(formula, int):
        return parts[formula]
    kind, inner = formula
    found = [_simplified(part, parts) for part in inner]
    if kind == "union":
        return _either(found)
    if kind == "cut":
        return _not(_either([_not(found[0]), *found[1:]]))
    return _not(_either([_not(one) for one in found]))


def _not(known: Known) -> Known:
    return not known if isinstance(known, bool) else (-known[0], known[1])


def _either(some: Sequence[Known]) -> Known:
    if any(one is True for one in some):
        return True
    solids = [one for one in some if not isinstance(one, bool)]
    with_, without = ([node for side, node in solids if side == wanted] for wanted in (1, -1))
    if not without:
        return (1, union(*with_)) if with_ else False
    # What is outside of one or inside another is outside of what the first has less the other.
    left = reduce(lambda a, b: Op("common", (a, b)), without)
    return -1, Op("cut", (left, *with_)) if with_ else left


def loops(triangles: NDArray[np.int64]) -> list[list[int]]:
    """The closed rims of some triangles, as numbers of vertices.

    Examples
    --------
    >>> loops(np.array([[0, 1, 2], [0, 2, 3]]))
    [[0, 1, 2, 3]]
    """
    after: dict[int, list[int]] = {}
    begins, ends = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    count = int(triangles.max(initial=0)) + 1
    rim = ~np.isin(begins * count + ends, ends * count + begins, assume_unique=True)
    for a, b in sorted(zip(begins[rim].tolist(), ends[rim].tolist(), strict=True)):
        after.setdefault(a, []).append(b)
    found = []
    while after:
        start = next(iter(after))
        loop, here = [start], _next(after, start)
        while here != start and here in after:
            loop.append(here)
            here = _next(after, here)
        found.append(loop)
    return found


def _next(after: dict[int, list[int]], here: int) -> int:
    there = after[here].pop()
    if not after[here]:
        del after[here]
    return there
