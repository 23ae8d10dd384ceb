"""The walls round a box: two equal L walls round a rectangle, two half shells with lap joints round anything else."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.prints.joints import SMALL_TAIL, Cut
from pourwright.catalogue.moulds.prints.stiffening import post, ribs, strap_width_mm, tail_mm
from pourwright.catalogue.moulds.stand.frame import Frame, cut
from pourwright.catalogue.moulds.stand.plan import Point
from pourwright.engines.geometry.tree import Box, Node, Prism, polygon, union

Way = tuple[float, float, float]
_DIAGONAL = math.sqrt(0.5)
_FAR_MM = 30.0
_SAME_MM = 1e-6
_OVER_MM = 1.0  # cutting tools overlap by this, inside the hollow of the frame
_HALF_TURN = ((0.0, 0.0, 0.0, 0.0), (0.0, 0.0, 0.0, 180.0))
_AS_IT_IS = ((0.0, 0.0, 0.0, 0.0),)


@dataclass(frozen=True, kw_only=True)
class Wall:
    """One kind of wall: its solid, where its copies stand, the way along which each leaves, where it is cut."""

    name: str
    solid: Node
    places_mm: tuple[tuple[float, float, float, float], ...]
    leaves: tuple[Way, ...]
    cuts: tuple[Cut, ...] = ()


def walls(frame: Frame, notches: Sequence[Box] = (), holes: Sequence[Node] = ()) -> tuple[Wall, ...]:
    """All walls of a frame; they stand on their ends, open at both.

    Beyond the fill lines the inner face steps back: a line that can be seen and felt.

    Parameters
    ----------
    notches : cut out of their rims, right across the box.
    holes : through one wall only, so that the two are no longer alike.
    """
    west, east = _l_walls(frame, notches) if frame.plan.is_rectangle else _shells(frame, notches)
    way = (_DIAGONAL, _DIAGONAL, 0.0) if frame.plan.is_rectangle else (1.0, 0.0, 0.0)
    back = (-way[0], -way[1], 0.0)
    alike = frame.plan.point_symmetric and _alike_turned(notches) and not frame.ticked
    if alike and not holes:
        return (Wall(name="wall", solid=west, places_mm=_HALF_TURN, leaves=(back, way), cuts=_cuts(frame, -1)),)
    west, east = cut(west, *holes), cut(east, *holes)
    return (
        Wall(name="west wall", solid=west, places_mm=_AS_IT_IS, leaves=(back,), cuts=_cuts(frame, -1)),
        Wall(name="east wall", solid=east, places_mm=_AS_IT_IS, leaves=(way,), cuts=_cuts(frame, 1)),
    )


def _alike_turned(notches: Sequence[Box]) -> bool:
    """Whether half a turn brings every notch onto another."""
    here = {(round(one.y0_mm, 6), round(one.y1_mm, 6)) for one in notches}
    return here == {(round(-one.y1_mm, 6) + 0.0, round(-one.y0_mm, 6) + 0.0) for one in notches}


def lap_mm(frame: Frame) -> float:
    """How far two walls lie over each other at a joint."""
    if frame.plan.is_rectangle:
        return frame.wall_mm
    return min(sizes.LAP_MM, 0.4 * frame.plan.round_mm)


def seam_path_mm(frame: Frame) -> float:
    """The way that silicone has to go through a joint: the inner half of the wall, then along the lap."""
    if frame.plan.is_rectangle:
        return frame.wall_mm / 2 + lap_mm(frame)
    return min(_face_mm(frame, 1.0), _face_mm(frame, -1.0)) + lap_mm(frame)


def _face_mm(frame: Frame, up: float) -> float:
    """How far from the inner face the level face of a lap lies at its joint: half the wall where that runs straight.

    A wall that curves away over the lap would leave a tongue that ends in a feather: there the face lies deeper by
    what the wall falls off, but leaves both halves as thick as can be.
    """
    x, y = frame.plan.ends_mm[0 if up > 0 else 1]
    half, grow, far = frame.wall_mm / 2, frame.wall_mm - sizes.STRAP_DEPTH_MM, x + up * (lap_mm(frame) - frame.fit_mm)
    inner, outer = 0.0, y + up * grow
    if frame.plan.inside_mm(far, outer) >= -grow - _SAME_MM:
        return half
    for _ in range(60):
        middle = (inner + outer) / 2
        inner, outer = (inner, middle) if frame.plan.inside_mm(far, middle) < -grow else (middle, outer)
    drop = abs(y + up * grow - outer)
    return max(half - drop, (grow - frame.fit_mm - drop) / 2)


def _hollows(frame: Frame) -> list[Node]:
    """What is cut from the walls besides the box itself: the steps beyond the fill lines."""
    step = sizes.FILL_STEP_MM
    return [
        frame.block(frame.low_mm - 1, frame.fill_lower_mm, grow_mm=step),
        frame.block(frame.fill_upper_mm, frame.high_mm + 1, grow_mm=step),
    ]


def _strap_grooves(frame: Frame) -> list[Node]:
    """Two band grooves round the walls, near their ends, clear of the middle where a band pinches the cavity."""
    width = strap_width_mm(frame.high_mm - frame.low_mm)
    deep = sizes.STRAP_DEPTH_MM
    found: list[Node] = []
    for z in (frame.low_mm + sizes.FREEBOARD_MM, frame.high_mm - sizes.FREEBOARD_MM - width):
        around = frame.block(z, z + width, grow_mm=frame.wall_mm + _FAR_MM)
        found.append(cut(around, frame.block(z - 1, z + width + 1, grow_mm=frame.wall_mm - deep)))
    return found


# ---------------------------------------------------------------- L walls


def _l_walls(frame: Frame, notches: Sequence[Box]) -> tuple[Node, Node]:
    block, tools = _l_block(frame), [*_hollows(frame), *notches]
    if frame.seam_mm > 0:
        tools.append(frame.block(frame.low_mm - 1, frame.high_mm + 1))
    outside = _outside(frame)
    if not outside:
        tools = [*tools, *_strap_grooves(frame)]
        return cut(block, *tools), cut(block.at(turn_deg=180.0), *tools)
    # Straps run over the posts, in grooves of their own.
    block = union(cut(block, *_strap_grooves(frame)), *outside)
    return cut(block, *tools), cut(block.at(turn_deg=180.0), *tools)


def _outside(frame: Frame) -> list[Node]:
    """Ribs and posts on the south-western L."""
    form, low, high = frame.form, frame.low_mm, frame.high_mm
    found = [] if form is None else ribs(form, frame.plan.half_mm, low, high)
    x, y = frame.outer_mm
    for one in _cuts(frame, -1):
        at, out = ((one.at_mm, -y), (0, -1)) if one.axis == 0 else ((-x, one.at_mm), (-1, 0))
        found.append(post(at, out, frame.wall_mm, low, high))
    return found


def _cuts(frame: Frame, side: int) -> tuple[Cut, ...]:
    """Where the wall in the south-west (-1) or the north-east (1), or half a shell there, is cut, and its joints."""
    if not frame.walls_cut:
        return ()
    tail, seal = tail_mm(frame.wall_mm), sizes.SEAL_IN_MM
    if not frame.plan.is_rectangle:
        x, y = _outermost(frame, side)
        joint = {"tails_mm": (x + side * tail,), "channels_mm": (x + side * seal,)}
        return (Cut(axis=1, at_mm=y, tail=SMALL_TAIL, **joint),)
    found = []
    for one in frame.cuts:
        far = side * frame.plan.half_mm[1 - one.axis]
        joint = {"tails_mm": (far + side * tail,), "channels_mm": (far + side * seal,)}
        found.append(Cut(axis=one.axis, at_mm=-side * one.at_mm, tail=SMALL_TAIL, **joint))
    return tuple(found)


def _outermost(frame: Frame, side: int) -> Point:
    """The middle of the outermost stretch of the outline at its least (-1) or largest (1) x."""
    reach = max(side * x for x, _ in frame.plan.corners_mm)
    ys = [y for x, y in frame.plan.corners_mm if side * x > reach - _SAME_MM]
    return side * (reach + frame.plan.round_mm), (min(ys) + max(ys)) / 2


def _l_block(frame: Frame) -> Node:
    """One L, in the south-west; the other is the same turned half round."""
    x, y, w, c, s = frame.half_x_mm, frame.half_y_mm, frame.wall_mm, frame.fit_mm, frame.seam_mm
    plan = polygon(
        [
            (-x - w, -y - w),
            (x + w, -y - w),
            (x + w, -y - w / 2 - c),
            (x - c, -y - w / 2 - c),
            (x - c, -y),
            *_inner_side(x, y, c, s),
            (-x, y + w / 2),
            (-x - w, y + w / 2),
        ]
    )
    return Prism(plan, frame.low_mm, frame.high_mm)


def _inner_side(x: float, y: float, c: float, s: float) -> list[tuple[float, float]]:
    """The inner corner; with a bead so much further in that the box cut from it leaves the bead, mitred at its ends.

    The bead ends `c` short of the other wall, on which it would rub.
    """
    if s == 0.0:
        return [(-x, -y)]
    deep = 2 * s
    foot = [(x - s - c, -y), (x - s - c, -y + deep), (-x + deep, -y + deep)]
    return [*foot, (-x + deep, y - deep), (-x + s, y - deep), (-x + s, y - c), (-x, y - c)]


# ---------------------------------------------------------------- half shells


def _shells(frame: Frame, notches: Sequence[Box]) -> tuple[Node, Node]:
    return _shell(frame, -1.0, notches), _shell(frame, 1.0, notches)


def _shell(frame: Frame, side: float, notches: Sequence[Box]) -> Node:
    """The shell at the west (-1) or at the east (1). It is pulled off along x.

    The joints lie where the outline is level, at its largest and its least y. The west shell's tongue lies outside
    at the upper joint, the east shell's at the lower one; the faces of the laps are level too, so that they slide.
    """
    ring = frame.block(frame.low_mm, frame.high_mm, grow_mm=frame.wall_mm)
    hole = frame.block(frame.low_mm - 1, frame.high_mm + 1)
    tools = [hole, *_hollows(frame), *_other_side(frame, side), *notches]
    if not frame.walls_cut:
        return cut(ring, *tools, *_strap_grooves(frame))
    x, y = _outermost(frame, int(side))
    joint = post((x + side * frame.wall_mm, y), (int(side), 0), frame.wall_mm, frame.low_mm, frame.high_mm)
    return cut(union(cut(ring, *_strap_grooves(frame)), joint), *tools)


def _other_side(frame: Frame, side: float) -> list[Node]:
    """What belongs to the other shell, and the clearances. `out` points to it, along x, from a shell's own side."""
    (top_x, top_y), (foot_x, foot_y) = frame.plan.ends_mm
    lap, c = lap_mm(frame), frame.fit_mm
    top_face, foot_face = top_y + _face_mm(frame, 1.0), foot_y - _face_mm(frame, -1.0)
    tongue_above = side < 0
    return [
        *_beyond(frame, -side, top_x, top_face, up=1.0, lap_mm=lap, fit_mm=c, tongue=tongue_above),
        *_beyond(frame, -side, foot_x, foot_face, up=-1.0, lap_mm=lap, fit_mm=c, tongue=not tongue_above),
    ]


def _beyond(
    frame: Frame, out: float, x_mm: float, y_mm: float, *, up: float, lap_mm: float, fit_mm: float, tongue: bool
) -> list[Node]:
    """Beyond one joint: a block up to the lap's face, and one beyond the lap (or its outer half, without tongue).

    Parameters
    ----------
    out : 1 towards larger x, -1 towards smaller: where the other shell stands.
    x_mm, y_mm : where the inner halves meet, and the height of the lap's face.
    up : 1 for the joint at the largest y, -1 at the least.
    tongue : whether this shell reaches over the other's inner half.
    """
    far_x, far_y = frame.outer_mm[0] + _FAR_MM, up * (frame.outer_mm[1] + _FAR_MM)
    low, high = frame.low_mm - 1, frame.high_mm + 1
    middle = -up * _OVER_MM
    if tongue:
        inner_x, outer_x = x_mm - out * fit_mm, x_mm + out * (lap_mm - fit_mm)
        face = y_mm + up * fit_mm
        return [
            _box(inner_x, out * far_x, middle, face, low, high),
            _box(outer_x, out * far_x, middle, far_y, low, high),
        ]
    return [
        _box(x_mm, out * far_x, middle, far_y, low, high),
        _box(x_mm - out * lap_mm, out * far_x, y_mm, far_y, low, high),
    ]


def _box(x0: float, x1: float, y0: float, y1: float, low: float, high: float) -> Node:
    (a, b), (c, d) = sorted((x0, x1)), sorted((y0, y1))
    return Box(a, c, low, b, d, high)
