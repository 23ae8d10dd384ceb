"""Witness ticks: small upright ribs on the walls that show, in the silicone, how the halves go together again.

One on the west wall, two on the east, so that a turned lid shows; longer above the parting than below, so that their
long ends point to the side that resin is poured into. Ribs so blunt leave sideways with the walls that carry them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.joints import Cut
from pourwright.catalogue.moulds.plan import Plan
from pourwright.engines.geometry.tree import Node, Prism, polygon

LOW_MM, HIGH_MM = -sizes.TICK_BELOW_MM, sizes.TICK_ABOVE_MM
_INTO_WALL_MM = 1.0
_SIDES = ((-1, (0.0,)), (1, (-sizes.TICK_APART_MM / 2, sizes.TICK_APART_MM / 2)))
_BESIDE_CUT_MM = 12.0
_SAME_MM = 1e-6
_PARTS = 2000  # of a tick's width, to sum its section against a round wall


def ticks(plan: Plan, cuts: Sequence[Cut] = (), *, grow_mm: float = 0.0) -> list[Node]:
    """The ticks on the walls of a box, reaching into the walls.

    Parameters
    ----------
    plan : the box.
    cuts : joints of the walls, which ticks keep clear of.
    grow_mm : how much larger all round, for notches in what passes them; these are open downwards.
    """
    found: list[Node] = []
    for side, places in _SIDES:
        middle = _middle_mm(plan, side, cuts)
        low, high = (0.0 - _INTO_WALL_MM, HIGH_MM + grow_mm) if grow_mm else (LOW_MM, HIGH_MM)
        found += [_tick(plan, side, middle + place, grow_mm, low, high) for place in places]
    return found


def _tick(plan: Plan, side: int, y: float, grow: float, low: float, high: float) -> Node:
    face = plan.span_mm(y)[0 if side < 0 else 1]
    half, tip, root = sizes.TICK_HALF_MM + grow, face - side * (sizes.TICK_DEEP_MM + grow), face + side * _INTO_WALL_MM
    corners = [(tip, y), (face, y - half), (root, y - half), (root, y + half), (face, y + half)]
    return Prism(polygon(corners if side > 0 else corners[::-1]), low, high)


def _middle_mm(plan: Plan, side: int, cuts: Sequence[Cut]) -> float:
    """Where on a wall its ticks stand: in the middle of its outermost stretch, or as far beside it as joints ask."""
    if plan.is_rectangle:
        low, high = -plan.half_mm[1], plan.half_mm[1]
    else:
        reach = max(side * x for x, _ in plan.corners_mm)
        ys = [y for x, y in plan.corners_mm if side * x > reach - _SAME_MM]
        low, high = min(ys), max(ys)
    middle = (low + high) / 2
    joints = [cut.at_mm for cut in cuts if cut.axis == 1]
    places = [middle + step for step in (0.0, _BESIDE_CUT_MM, -_BESIDE_CUT_MM)]
    return max(places, key=lambda y: min((min(abs(y - joint), _BESIDE_CUT_MM) for joint in joints), default=0.0))


def ticks_mm3(plan: Plan, bead_mm: float, cuts: Sequence[Cut] = ()) -> float:
    """What the ticks take from the box beside the bead, which is as deep as `bead_mm` and twice as high.

    Examples
    --------
    >>> from pourwright.catalogue.moulds.plan import rectangle
    >>> round(ticks_mm3(rectangle(30.0, 20.0), 1.0), 3)  # three of half a width times a depth, 9 mm of their length
    13.5
    """
    length = HIGH_MM - LOW_MM - 2 * bead_mm
    area = 0.0
    for side, places in _SIDES:
        middle = _middle_mm(plan, side, cuts)
        area += math.fsum(_section_mm2(plan, side, middle + place) for place in places)
    return area * length


def _section_mm2(plan: Plan, side: int, y: float) -> float:
    """Of one tick, inside the box."""
    ends = plan.span_mm(y)
    face = ends[0 if side < 0 else 1]
    if plan.is_rectangle:
        return sizes.TICK_HALF_MM * sizes.TICK_DEEP_MM
    width = 2 * sizes.TICK_HALF_MM / _PARTS
    found = 0.0
    for k in range(_PARTS):
        off = (k + 0.5) * width - sizes.TICK_HALF_MM
        wall = plan.span_mm(y + off)[0 if side < 0 else 1]
        rib = sizes.TICK_DEEP_MM * (1 - abs(off) / sizes.TICK_HALF_MM)
        found += width * max(0.0, rib - side * (face - wall))
    return found
