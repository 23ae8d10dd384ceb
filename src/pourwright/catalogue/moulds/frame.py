"""Walls, base and interior of a mould: two equal L walls, a base on ribs, the fill lines and the leak and bulge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.engines.geometry.tree import Box, Node, Op, Prism, cylinder, polygon, union
from pourwright.engines.process.mould_physics import wall_bulge


@dataclass(frozen=True, kw_only=True)
class Frame:
    """The box: half inner sizes, the two fill lines, wall thickness, and the fit clearance between prints, mm."""

    half_x_mm: float
    half_y_mm: float
    fill_lower_mm: float
    fill_upper_mm: float
    wall_mm: float
    fit_mm: float

    @property
    def low_mm(self) -> float:
        """Lower end of the walls."""
        return self.fill_lower_mm - sizes.FREEBOARD_MM

    @property
    def high_mm(self) -> float:
        """Upper end of the walls."""
        return self.fill_upper_mm + sizes.FREEBOARD_MM

    @property
    def outer_mm(self) -> tuple[float, float]:
        """Half outer sizes of the walls."""
        return self.half_x_mm + self.wall_mm, self.half_y_mm + self.wall_mm

    @property
    def flange_mm(self) -> tuple[float, float]:
        """Half sizes of the base's flange and of the boards: the widest thing on the bed and in the pot."""
        return self.outer_mm[0] + sizes.FLANGE_MM, self.outer_mm[1] + sizes.FLANGE_MM

    def block(self, low_mm: float, high_mm: float, *, grow_mm: float = 0.0) -> Box:
        """The inner outline, grown (or, negative, shrunk), between two heights."""
        x, y = self.half_x_mm + grow_mm, self.half_y_mm + grow_mm
        return Box(-x, -y, low_mm, x, y, high_mm)


def cut(first: Node, *tools: Node) -> Node:
    """The first without the others; a union among them is cut piece by piece, which kernels do faster."""
    flat: list[Node] = []
    for tool in tools:
        flat.extend(tool.solids if isinstance(tool, Op) and tool.kind == "union" else (tool,))
    if not flat:
        return first
    return Op("cut", (first, *flat))


def repeated(solid: Node, centres_mm: Sequence[tuple[float, float]]) -> Node:
    """One solid at every cell."""
    return union(*(solid.at(x, y) for x, y in centres_mm))


# ---------------------------------------------------------------- walls


def wall_piece(frame: Frame, notches: Sequence[Node] = ()) -> Node:
    """One L wall; the second is the same turned half round. It stands on its end, open at both.

    Beyond the fill lines the inner face steps back: a line that can be seen and felt.
    """
    x, y, w, c = frame.half_x_mm, frame.half_y_mm, frame.wall_mm, frame.fit_mm
    plan = polygon(
        [
            (-x - w, -y - w),
            (x + w, -y - w),
            (x + w, -y - w / 2 - c),
            (x - c, -y - w / 2 - c),
            (x - c, -y),
            (-x, -y),
            (-x, y + w / 2),
            (-x - w, y + w / 2),
        ]
    )
    step = sizes.FILL_STEP_MM
    return cut(
        Prism(plan, frame.low_mm, frame.high_mm),
        frame.block(frame.low_mm - 1, frame.fill_lower_mm, grow_mm=step),
        frame.block(frame.fill_upper_mm, frame.high_mm + 1, grow_mm=step),
        *_strap_grooves(frame),
        *notches,
    )


def _strap_grooves(frame: Frame) -> list[Node]:
    """Two band grooves round the walls, near their ends, clear of the middle where a band pinches the cavity."""
    width = min(sizes.STRAP_MM, (frame.high_mm - frame.low_mm) / 6)
    deep = sizes.STRAP_DEPTH_MM
    found: list[Node] = []
    for z in (frame.low_mm + sizes.FREEBOARD_MM, frame.high_mm - sizes.FREEBOARD_MM - width):
        around = frame.block(z, z + width, grow_mm=frame.wall_mm + 5)
        found.append(cut(around, frame.block(z - 1, z + width + 1, grow_mm=frame.wall_mm - deep)))
    return found


def wall_thickness_mm(half_x_mm: float, half_y_mm: float, depth_mm: float) -> float:
    """The thinnest wall that bulges no more than allowed; the thickest when none does."""
    for wall in sizes.WALL_THICKNESSES_MM:
        if bulge_mm(2 * max(half_x_mm, half_y_mm), wall, depth_mm) <= sizes.LARGEST_BULGE_MM:
            return wall
    return sizes.WALL_THICKNESSES_MM[-1]


def bulge_mm(free_length_mm: float, wall_mm: float, depth_mm: float) -> float:
    """Most that a wall bows out under liquid silicone: a beam held at its ends under the full head.

    Examples
    --------
    >>> round(bulge_mm(93.0, 3.0, 36.0), 2)
    0.07
    """
    return 1e3 * wall_bulge(
        liquid_density=sizes.SILICONE_KG_M3,
        depth=depth_mm * 1e-3,
        free_length=free_length_mm * 1e-3,
        thickness=wall_mm * 1e-3,
        modulus=sizes.PLASTIC_STIFFNESS_MPA * 1e6,
    )


# ---------------------------------------------------------------- base


def base_plate(
    frame: Frame,
    *,
    raised: Sequence[Node],
    holes: Sequence[Node],
    screws_mm: Sequence[tuple[float, float]],
    access_mm: float,
) -> Node:
    """The base, face at z = 0: plate inside the walls, ribs below it, a flange on which the walls' ends stand.

    Parameters
    ----------
    raised : rims, keys and the like on its face.
    holes : what is drilled through the plate.
    screws_mm : where a driver must reach the plate from below; access_mm its radius.
    """
    end = frame.high_mm + sizes.FLANGE_MM
    land = frame.block(0.0, sizes.EDGE_LAND_MM, grow_mm=-sizes.EDGE_GAP_MM)
    block = frame.block(sizes.EDGE_LAND_MM / 2, end, grow_mm=-sizes.BODY_GAP_MM)
    fx, fy = frame.flange_mm
    flange = Box(-fx, -fy, frame.high_mm, fx, fy, end)
    access = [cylinder(radius_mm=access_mm, z0_mm=sizes.PLATE_MM, z1_mm=end + 1).at(x, y) for x, y in screws_mm]
    return cut(union(land, block, flange, *raised), *_pockets(frame, end), *access, *holes, *_jack_holes(frame, end))


def _pockets(frame: Frame, end_mm: float) -> list[Node]:
    """Hollows between the ribs under the plate, narrow enough to print without support."""
    found: list[Node] = []
    spans = [_spans(half - sizes.BODY_GAP_MM - sizes.RIB_MM) for half in (frame.half_x_mm, frame.half_y_mm)]
    for x0, x1 in spans[0]:
        for y0, y1 in spans[1]:
            found.append(Box(x0, y0, sizes.PLATE_MM, x1, y1, end_mm + 1))
    return found


def _spans(half_mm: float) -> list[tuple[float, float]]:
    count = max(1, math.ceil((2 * half_mm + sizes.RIB_MM) / (sizes.LONGEST_BRIDGE_MM + sizes.RIB_MM)))
    width = (2 * half_mm - (count - 1) * sizes.RIB_MM) / count
    starts = [-half_mm + i * (width + sizes.RIB_MM) for i in range(count)]
    return [(start, start + width) for start in starts]


def _jack_holes(frame: Frame, end_mm: float) -> list[Node]:
    """Four M4 threads in the flange: screws there press on the walls' ends and lift the base evenly."""
    x, y = frame.half_x_mm + frame.wall_mm / 2, frame.half_y_mm + frame.wall_mm / 2
    hole = cylinder(radius_mm=sizes.M4_THREAD_RADIUS_MM, z0_mm=frame.high_mm - 1, z1_mm=end_mm + 1)
    return [hole.at(sx * x, sy * y) for sx, sy in ((1, 1), (-1, 1), (-1, -1), (1, -1))]
