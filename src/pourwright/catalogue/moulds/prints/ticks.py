"""Witness ticks: small upright ribs on the walls that show, in the silicone, how the halves go together again.

One on the west wall, two on the east, so that a turned lid shows; longer above the parting than below, so that their
long ends point to the side that resin is poured into. Ribs so blunt leave sideways with the walls that carry them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.prints.joints import Cut
from pourwright.catalogue.moulds.stand.plan import Plan
from pourwright.engines.geometry.tree import Edge, Line, Node, Outline, Prism, polygon

LOW_MM, HIGH_MM = -sizes.TICK_BELOW_MM, sizes.TICK_ABOVE_MM
_INTO_WALL_MM = 1.0
_SIDES = ((-1, (0.0,)), (1, (-sizes.TICK_APART_MM / 2, sizes.TICK_APART_MM / 2)))
_BESIDE_CUT_MM = 12.0
_SAME_MM = 1e-6
_STRAIGHT_MM = 1e-12  # an outline that bulges nowhere inwards is straight between two places so level
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


def notched(plan: Plan, cuts: Sequence[Cut], low_mm: float, high_mm: float) -> Node:
    """A box between two heights within those of its ticks, drawn round them; all of them on straight walls."""
    outline = plan.outline()
    points = [begin for begin, _ in outline.pieces()]
    edges: list[Edge] = []
    for begin, edge in outline.pieces():
        end = (edge.a_mm, edge.b_mm)
        if isinstance(edge, Line) and abs(begin[0] - end[0]) < _SAME_MM:
            edges += [Line(*corner) for corner in _corners(plan, 1 if end[1] > begin[1] else -1, cuts)]
        edges.append(edge)
    return Prism(Outline(points[0], tuple(edges)), low_mm, high_mm)


def _corners(plan: Plan, side: int, cuts: Sequence[Cut]) -> list[tuple[float, float]]:
    """Round the ticks of one wall, anticlockwise round the box: up its east, down its west."""
    places, middle = dict(_SIDES)[side], _middle_mm(plan, side, cuts)
    half, deep = sizes.TICK_HALF_MM, sizes.TICK_DEEP_MM
    found: list[tuple[float, float]] = []
    for place in sorted(places, reverse=side < 0):
        y = middle + place
        face = plan.span_mm(y)[0 if side < 0 else 1]
        found += [(face, y - side * half), (face - side * deep, y), (face, y + side * half)]
    return found


def _tick(plan: Plan, side: int, y: float, grow: float, low: float, high: float) -> Node:
    face = plan.span_mm(y)[0 if side < 0 else 1]
    half, tip, root = sizes.TICK_HALF_MM + grow, face - side * (sizes.TICK_DEEP_MM + grow), face + side * _INTO_WALL_MM
    corners = [(tip, y), (face, y - half), (root, y - half), (root, y + half), (face, y + half)]
    return Prism(polygon(corners if side > 0 else corners[::-1]), low, high)


def on_flats(plan: Plan, cuts: Sequence[Cut] = ()) -> bool:
    """Whether every tick stands on a straight wall."""
    reach = sizes.TICK_APART_MM / 2 + sizes.TICK_HALF_MM
    stretches = [(_stretch_mm(plan, side), _middle_mm(plan, side, cuts)) for side, _ in _SIDES]
    return all(low <= middle - reach and middle + reach <= high for (low, high), middle in stretches)


def _stretch_mm(plan: Plan, side: int) -> tuple[float, float]:
    """From where to where along y a wall is straight, where it is outermost."""
    reach = max(side * x for x, _ in plan.corners_mm)
    ys = [y for x, y in plan.corners_mm if side * x > reach - _SAME_MM]
    return min(ys), max(ys)


def _middle_mm(plan: Plan, side: int, cuts: Sequence[Cut]) -> float:
    """Where on a wall its ticks stand: in the middle of its outermost stretch, or as far beside it as joints ask."""
    low, high = _stretch_mm(plan, side)
    middle = (low + high) / 2
    joints = [cut.at_mm for cut in cuts if cut.axis == 1]
    places = [middle + step for step in (0.0, _BESIDE_CUT_MM, -_BESIDE_CUT_MM)]
    return max(places, key=lambda y: min((min(abs(y - joint), _BESIDE_CUT_MM) for joint in joints), default=0.0))


def ticks_mm3(plan: Plan, bead_mm: float, cuts: Sequence[Cut] = ()) -> float:
    """What the ticks take from the box beside the bead, which is as deep as `bead_mm` and twice as high.

    Examples
    --------
    >>> from pourwright.catalogue.moulds.stand.plan import rectangle
    >>> round(ticks_mm3(rectangle(30.0, 20.0), 1.0), 3)  # 3 ticks of 0.8 × 0.6 mm2, 8 mm of their length
    11.52
    """
    area = 0.0
    for side, places in _SIDES:
        stretch, middle = _stretch_mm(plan, side), _middle_mm(plan, side, cuts)
        area += math.fsum(_section_mm2(plan, stretch, middle + place) for place in places)
    return area * (HIGH_MM - LOW_MM - 2 * bead_mm)


def _section_mm2(plan: Plan, stretch: tuple[float, float], y: float) -> float:
    """Of one tick, inside the box: less what a round wall takes of it."""
    half = sizes.TICK_HALF_MM
    off = half * (2 * np.arange(_PARTS) + 1 - _PARTS) / _PARTS

    def behind(at: np.ndarray) -> np.ndarray:
        """How far the wall lies inside its outermost stretch."""
        beside = np.maximum(0.0, np.maximum(stretch[0] - at, at - stretch[1]))
        return plan.round_mm - np.sqrt(np.maximum(plan.round_mm**2 - beside**2, 0.0))

    rib = sizes.TICK_DEEP_MM * (1 - np.abs(off) / half)
    lost = behind(y + off) - behind(np.array([y]))
    return float(np.maximum(0.0, rib - lost).sum() * 2 * half / _PARTS)
