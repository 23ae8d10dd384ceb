"""Press board and levelling board: rigid plates that hold the closed mould true, stopped by the walls' ends."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.frame import Frame, cut
from pourwright.engines.geometry.tree import Box, Node, cylinder


def press_board(frame: Frame, openings: Sequence[Node]) -> Node:
    """A plate on the walls' upper ends with a boss down to the closing piece; open over wells and rods.

    The plate lands on the walls, so plastic and not the strap sets how hard the mould is closed.
    """
    x, y = frame.outer_mm
    top = frame.high_mm + sizes.BOARD_MM
    plate = Box(-x, -y, frame.high_mm, x, y, top)
    boss = frame.block(frame.fill_upper_mm, frame.high_mm + sizes.BOARD_MM / 2, grow_mm=-sizes.BODY_GAP_MM)
    return cut(plate | boss, *openings)


def board_opening(frame: Frame, radius_mm: float) -> Node:
    """A round opening through the press board, about the z axis."""
    return cylinder(radius_mm=radius_mm, z0_mm=frame.fill_upper_mm - 1, z1_mm=frame.high_mm + sizes.BOARD_MM + 1)


def levelling_board(frame: Frame, sockets: Sequence[Node] = ()) -> Node:
    """A plate on three screws; its boss fills the freeboard under the lower half, so that the half lies on it.

    Turned over (boss down, longer screws) it levels the base for the first pour. Spindles stand in its sockets.
    """
    x, y = frame.flange_mm
    foot = frame.low_mm - sizes.BOARD_MM
    plate = Box(-x, -y, foot, x, y, frame.low_mm)
    boss = frame.block(frame.low_mm - sizes.BOARD_MM / 2, frame.fill_lower_mm, grow_mm=-sizes.BODY_GAP_MM)
    hole = cylinder(radius_mm=sizes.M4_THREAD_RADIUS_MM, z0_mm=foot - 1, z1_mm=frame.low_mm + 1)
    edge = (sizes.FLANGE_MM + frame.wall_mm) / 2
    spots = [(-x + edge, -y + edge), (x - edge, -y + edge), (0.0, y - edge)]
    return cut(plate | boss, *(hole.at(sx, sy) for sx, sy in spots), *sockets)
