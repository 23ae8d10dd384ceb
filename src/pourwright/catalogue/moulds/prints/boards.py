"""Press board and levelling board: rigid plates that hold the closed mould true, stopped by the walls' ends."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.stand.frame import Frame, cut
from pourwright.engines.geometry.tree import Node, cylinder


def press_board(frame: Frame, openings: Sequence[Node]) -> Node:
    """A plate on the walls' upper ends with a boss down to the closing piece; open over wells and rods.

    The plate lands on the walls, so plastic and not the strap sets how hard the mould is closed.
    """
    plate = frame.block(frame.high_mm, frame.high_mm + sizes.BOARD_MM, grow_mm=frame.wall_mm)
    boss = frame.block(frame.fill_upper_mm, frame.high_mm + sizes.BOARD_MM / 2, grow_mm=-sizes.BODY_GAP_MM)
    return cut(plate | boss, *openings)


def board_opening(frame: Frame, radius_mm: float) -> Node:
    """A round opening through the press board, about the z axis."""
    return cylinder(radius_mm=radius_mm, z0_mm=frame.fill_upper_mm - 1, z1_mm=frame.high_mm + sizes.BOARD_MM + 1)


def levelling_board(frame: Frame, sockets: Sequence[Node] = ()) -> Node:
    """A plate on three screws; its boss fills the freeboard under the lower half, so that the half lies on it.

    Turned over (boss down, longer screws) it levels the base for the first pour. Spindles stand in its sockets.
    """
    foot = frame.low_mm - sizes.BOARD_MM
    plate = frame.block(foot, frame.low_mm, grow_mm=frame.wall_mm + sizes.FLANGE_MM)
    boss = frame.block(frame.low_mm - sizes.BOARD_MM / 2, frame.fill_lower_mm, grow_mm=-sizes.BODY_GAP_MM)
    hole = cylinder(radius_mm=sizes.M4_THREAD_RADIUS_MM, z0_mm=foot - 1, z1_mm=frame.low_mm + 1)
    return cut(plate | boss, *(hole.at(x, y) for x, y in frame.foot_spots_mm()), *sockets)
