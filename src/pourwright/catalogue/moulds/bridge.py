"""The bridge bar: across the walls, with the well formers hanging from it and the vent rods held in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.frame import Frame, cut
from pourwright.catalogue.moulds.layout import Layout
from pourwright.catalogue.moulds.plan import Point
from pourwright.catalogue.moulds.vents import Vents
from pourwright.catalogue.moulds.wells import Well, channel
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
    """One bar: the rows of cells that it carries (about its middle), its size, where its copies lie, mm.

    `cells_mm` are the cells' axes, `joined_mm` the pairs that a channel joins, both seen from the bar's middle.
    """

    cells_mm: tuple[Point, ...]
    joined_mm: tuple[tuple[Point, Point], ...]
    ends_mm: tuple[float, float]
    half_mm: float
    ys_mm: tuple[float, ...]


def bars(frame: Frame, layout: Layout, well: Well, least_half_mm: float = 0.0) -> tuple[Bar, ...]:
    """One bar for each row, or for rows so near each other that their bars would touch; equal bars are one kind."""
    half = half_width_mm(well, least_half_mm)
    kinds: dict[tuple[object, ...], Bar] = {}
    for group in _groups(layout.rows_mm, 2 * (half + frame.fit_mm) + _BETWEEN_BARS_MM):
        middle = (group[0] + group[-1]) / 2
        cells = tuple(sorted((x, y - middle) for x, y in layout.centres_mm if y in group))
        joined = tuple(
            ((left, y - middle), (right, y - middle)) for (left, y), (right, _) in layout.neighbours_mm if y in group
        )
        low, high = frame.plan.span_mm(middle, grow_mm=frame.wall_mm)
        bar = Bar(
            cells_mm=cells,
            joined_mm=joined,
            ends_mm=(round(low, 6), round(high, 6)),
            half_mm=half + (group[-1] - group[0]) / 2,
            ys_mm=(middle,),
        )
        key = (tuple((round(x, 6), round(y, 6)) for x, y in cells), bar.ends_mm, bar.joined_mm == ())
        known = kinds.get(key)
        kinds[key] = bar if known is None else replace(known, ys_mm=(*known.ys_mm, middle))
    return tuple(kinds.values())


def _groups(rows: tuple[float, ...], apart: float) -> list[list[float]]:
    groups: list[list[float]] = []
    for row in rows:
        if groups and row - groups[-1][-1] < apart:
            groups[-1].append(row)
        else:
            groups.append([row])
    return groups


def bridge(frame: Frame, bar: Bar, well: Well, vents: Vents, fit_mm: float, *, pockets: Sequence[Node] = ()) -> Node:
    """The bar about y = 0, with a collar over each cell and formers of the joining channels.

    `pockets` are what is cut out over each cell besides the holes for the vent rods.
    """
    low, high = bar_low_mm(frame), bar_high_mm(frame)
    beam = Box(bar.ends_mm[0], -bar.half_mm, low, bar.ends_mm[1], bar.half_mm, high)
    collar = well.solid(collar_mm=high)
    found: list[Node] = [beam, *(collar.at(x, y) for x, y in bar.cells_mm)]
    if well.on_axis:
        across = (well.inner_mm + well.outer_mm) / 2
        found += [
            channel(left + across, right - across, y, frame.fill_upper_mm, low + 1.0)
            for (left, y), (right, _) in bar.joined_mm
        ]
    hole = cylinder(radius_mm=vents.radius_mm + fit_mm, z0_mm=well.floor_mm - 1, z1_mm=rod_top_mm(frame))
    holes = [hole.at(cx + x, cy + y) for cx, cy in bar.cells_mm for x, y in vents.points_mm]
    holes += [pocket.at(cx, cy) for cx, cy in bar.cells_mm for pocket in pockets]
    return cut(union(*found), *holes)


def notches(frame: Frame, layout: Layout, well: Well, least_half_mm: float = 0.0) -> list[Box]:
    """What is cut from the walls' rims for the bars, right across the box."""
    low, high = bar_low_mm(frame), frame.high_mm + 1
    far = frame.outer_mm[0] + 1
    return [
        Box(-far, y - bar.half_mm - frame.fit_mm, low, far, y + bar.half_mm + frame.fit_mm, high)
        for bar in bars(frame, layout, well, least_half_mm)
        for y in bar.ys_mm
    ]
