"""The bridge bar: across the walls over every row, with the well formers hanging from it and the rods held in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.vents import Vents
from pourwright.catalogue.moulds.hollows.wells import Well, channel, joins
from pourwright.catalogue.moulds.stand.frame import Frame, cut
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.stand.plan import Point
from pourwright.engines.geometry.tree import Box, Node, cylinder, union

_BETWEEN_BARS_MM = 1.5  # wall left between the notches of two bars


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


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One bar across the walls: the axes of the cells that it carries, its size, the y of its middle, mm."""

    cells_mm: tuple[Point, ...]
    ends_mm: tuple[float, float]
    half_mm: float
    y_mm: float


def bars(frame: Frame, layout: Layout, well: Well, least_half_mm: float = 0.0) -> tuple[Bar, ...]:
    """One bar for each row, or for rows so near each other that their bars would touch."""
    half = half_width_mm(well, least_half_mm)
    found = []
    for group in _groups(layout.rows_mm, 2 * (half + frame.fit_mm) + _BETWEEN_BARS_MM):
        middle = (group[0] + group[-1]) / 2
        low, high = frame.plan.span_mm(middle, grow_mm=frame.wall_mm)
        found.append(
            Bar(
                cells_mm=tuple(sorted((x, y) for x, y in layout.centres_mm if y in group)),
                ends_mm=(round(low, 6), round(high, 6)),
                half_mm=half + (group[-1] - group[0]) / 2,
                y_mm=middle,
            )
        )
    return tuple(found)


def _groups(rows: tuple[float, ...], apart: float) -> list[list[float]]:
    groups: list[list[float]] = []
    for row in rows:
        if groups and row - groups[-1][-1] < apart:
            groups[-1].append(row)
        else:
            groups.append([row])
    return groups


def bridge(
    frame: Frame,
    layout: Layout,
    well: Well,
    vents: Vents,
    fit_mm: float,
    *,
    least_half_mm: float = 0.0,
    pockets: Sequence[Node] = (),
) -> Node:
    """All bars in one, with a collar over each cell; formers of the joining channels tie them to each other.

    `pockets` are what is cut out over each cell besides the holes for the vent rods.
    """
    low, high = bar_low_mm(frame), bar_high_mm(frame)
    collar = well.solid(collar_mm=high)
    found: list[Node] = []
    for bar in bars(frame, layout, well, least_half_mm):
        found.append(Box(bar.ends_mm[0], bar.y_mm - bar.half_mm, low, bar.ends_mm[1], bar.y_mm + bar.half_mm, high))
        found += [collar.at(x, y) for x, y in bar.cells_mm]
    found += [channel(one, other, frame.fill_upper_mm, high) for one, other in joins(layout, well)]
    hole = cylinder(radius_mm=vents.radius_mm + fit_mm, z0_mm=well.floor_mm - 1, z1_mm=rod_top_mm(frame))
    holes = [hole.at(cx + x, cy + y) for cx, cy in layout.centres_mm for x, y in vents.points_mm]
    holes += [pocket.at(cx, cy) for cx, cy in layout.centres_mm for pocket in pockets]
    return cut(union(*found), *holes)


def notches(frame: Frame, layout: Layout, well: Well, least_half_mm: float = 0.0) -> list[Box]:
    """What is cut from the walls' rims for the bars, right across the box."""
    low, high = bar_low_mm(frame), frame.high_mm + 1
    far = frame.outer_mm[0] + 1
    return [
        Box(-far, bar.y_mm - bar.half_mm - frame.fit_mm, low, far, bar.y_mm + bar.half_mm + frame.fit_mm, high)
        for bar in bars(frame, layout, well, least_half_mm)
    ]
