"""The bridge bar: across the walls, with the well formers hanging from it and the vent rods held in it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.frame import Frame, cut
from pourwright.catalogue.moulds.layout import Layout
from pourwright.catalogue.moulds.wells import Vents, Well, channel
from pourwright.engines.geometry.tree import Box, Node, cylinder, union


def bar_low_mm(frame: Frame) -> float:
    """Underside of the bar: above the fill line, in notches of the walls' rims."""
    return frame.high_mm - sizes.NOTCH_MM


def bar_high_mm(frame: Frame) -> float:
    """Top of the bar and of the collars round the wells."""
    return bar_low_mm(frame) + sizes.BAR_MM[1]


def rod_top_mm(frame: Frame) -> float:
    """Upper end of a vent rod, under the bar's cap."""
    return bar_high_mm(frame) - sizes.ROD_CAP_MM


def half_width_mm(well: Well, least_mm: float = 0.0) -> float:
    """Half the bar's width; wide enough to carry wells that stand beside its middle, and the end of a spindle."""
    return max(sizes.BAR_MM[0] / 2 + max(abs(y) for _, y in well.spots_mm), least_mm)


def bridge(
    frame: Frame,
    xs_mm: tuple[float, ...],
    well: Well,
    vents: Vents,
    fit_mm: float,
    *,
    pockets: Sequence[Node] = (),
    least_half_mm: float = 0.0,
) -> Node:
    """The bar of one row of cells at y = 0, with a collar over each cell and formers of the joining channels.

    `pockets` are what is cut out over each cell besides the holes for the vent rods.
    """
    low, high = bar_low_mm(frame), bar_high_mm(frame)
    half = half_width_mm(well, least_half_mm)
    bar = Box(-frame.outer_mm[0], -half, low, frame.outer_mm[0], half, high)
    collar = well.solid(collar_mm=high)
    found: list[Node] = [bar, *(collar.at(x, 0.0) for x in xs_mm)]
    if well.on_axis:
        across = (well.inner_mm + well.outer_mm) / 2
        found += [
            channel(left + across, right - across, 0.0, frame.fill_upper_mm, low + 1.0)
            for left, right in pairwise(xs_mm)
        ]
    hole = cylinder(radius_mm=vents.radius_mm + fit_mm, z0_mm=well.floor_mm - 1, z1_mm=rod_top_mm(frame))
    holes = [hole.at(cx + x, y) for cx in xs_mm for x, y in vents.points_mm]
    holes += [pocket.at(cx, 0.0) for cx in xs_mm for pocket in pockets]
    return cut(union(*found), *holes)


def notches(frame: Frame, layout: Layout, well: Well, least_half_mm: float = 0.0) -> list[Node]:
    """What is cut from the west wall's rim for the bars; the half turn gives the east wall the same."""
    half = half_width_mm(well, least_half_mm) + frame.fit_mm
    x, outer = frame.half_x_mm, frame.outer_mm[0]
    low, high = bar_low_mm(frame), frame.high_mm + 1
    return [Box(-outer - 1, y - half, low, -x + 1, y + half, high) for y in layout.rows_mm]


def rows(layout: Layout) -> dict[tuple[float, ...], list[float]]:
    """Rows with the same cells along x share one kind of bar: the x of the cells, and the y of those rows."""
    kinds: dict[tuple[float, ...], list[float]] = {}
    for y in layout.rows_mm:
        xs = tuple(sorted(x for x, cy in layout.centres_mm if cy == y))
        kinds.setdefault(xs, []).append(y)
    return kinds
