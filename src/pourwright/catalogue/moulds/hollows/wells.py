"""Overflow wells over the vents: their places, sizes and solids, and the channels that join them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.vents import Vents
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.stand.plan import Point
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.engines.geometry.tree import Box, Node, Op, Prism, Revolve, cylinder, polygon, union
from pourwright.engines.process.mould_physics import wells_needed

_DRAFT = math.tan(math.radians(sizes.WELL_DRAFT_DEG))
_CLEAR_OF_ROD_MM = 0.6  # silicone or plastic left between a well and a core rod
_DEPTH_STEPS = 21  # half millimetres, to 12 mm deep
_NARROWEST_MM = 2.5  # an island less wide would not stand
_HALF_BAR_MM = sizes.BAR_MM[0] / 2 + 0.5  # the bar over the wells of a row leaves room for the next row's
_BETWEEN_WELLS_MM = 1.0
_INTO_DISC_MM = 0.1
_ROUND_ISLAND_MM = 1.0  # of a disc left round the island in which a rod stands


@dataclass(frozen=True, kw_only=True)
class Well:
    """One ring (inner 0: a disc) over a cell's vents, drafted, from its floor to the top face, mm.

    `spots_mm` are where it stands about the cell's axis: once for a ring, a disc for each vent. `keep_out_mm` is the
    radius of what passes through the middle of the cell, `rods_mm` are rods that stand beside discs or in them: x, y,
    radius.
    """

    inner_mm: float
    outer_mm: float
    floor_mm: float
    top_mm: float
    draft_inner: bool
    spots_mm: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    keep_out_mm: float = 0.0
    rods_mm: tuple[tuple[float, float, float], ...] = ()

    @property
    def on_axis(self) -> bool:
        """Whether it stands once, about the cell's axis, so that channels can join it to the next cell's."""
        return self.spots_mm == ((0.0, 0.0),)

    @property
    def depth_mm(self) -> float:
        """From floor to top."""
        return self.top_mm - self.floor_mm

    @property
    def top_radii_mm(self) -> tuple[float, float]:
        """Inner and outer radius at the top face, widened by the draft."""
        widen = self.depth_mm * _DRAFT
        inner = self.inner_mm - (widen if self.draft_inner else 0.0)
        return max(0.0, inner), self.outer_mm + widen

    @property
    def volume_mm3(self) -> float:
        """Of one cell, without channels."""
        inner, outer = self.top_radii_mm
        hole = _frustum(self.depth_mm, self.inner_mm, inner) if self.inner_mm > 0 else 0.0
        islands = math.fsum(math.pi * radius**2 * self.depth_mm for _, _, radius in self.islands_mm)
        return len(self.spots_mm) * (_frustum(self.depth_mm, self.outer_mm, outer) - hole) - islands

    @property
    def islands_mm(self) -> tuple[tuple[float, float, float], ...]:
        """What is left standing in discs round the rods that pass through them: x, y, radius."""
        return tuple(
            (x, y, r + _CLEAR_OF_ROD_MM)
            for x, y, r in self.rods_mm
            if any(math.dist(spot, (x, y)) < self.outer_mm for spot in self.spots_mm)
        )

    def solid(self, *, collar_mm: float | None = None) -> Node:
        """The hollow; with `collar_mm` the former that leaves it, going straight on up to that height."""
        inner, outer = self.top_radii_mm
        side = [(self.outer_mm, self.floor_mm), (outer, self.top_mm)]
        back = [(inner, self.top_mm), (self.inner_mm, self.floor_mm)]
        if collar_mm is not None:
            side.append((outer, collar_mm))
            back.insert(0, (inner, collar_mm))
        if self.inner_mm == 0.0:
            back = [(0.0, side[-1][1]), (0.0, self.floor_mm)]
        ring = Revolve(polygon([*side, *back]))
        whole, high = union(*(ring.at(x, y) for x, y in self.spots_mm)), side[-1][1] + 1.0
        islands = [cylinder(radius_mm=r, z0_mm=self.floor_mm - 1, z1_mm=high).at(x, y) for x, y, r in self.islands_mm]
        return Op("cut", (whole, *islands)) if islands else whole


def _frustum(height: float, a: float, b: float) -> float:
    return math.pi * height * (a * a + a * b + b * b) / 3


def needed_mm3(wish: StyleWish, part_mm3: float) -> float:
    """Overflow that one cell needs: overfill, and what the gas gives back when the pot squeezes it.

    Parameters
    ----------
    part_mm3 : mm3 of one scaled part.

    Examples
    --------
    >>> round(needed_mm3(StyleWish(pressure_ratio=4.062068), 4738.749939), 3)
    344.102
    """
    # Every term is a volume, so that mm3 in gives mm3 out.
    return wells_needed(
        part_volume=part_mm3,
        pressure_ratio=wish.pressure_ratio,
        overfill=wish.overfill,
        entrained_gas=wish.entrained,
        trapped_volume=wish.trapped_mm3,
    )


# ---------------------------------------------------------------- wells over them


def well_over(
    vents: Vents,
    *,
    floor_mm: float,
    need_mm3: float,
    keep_out_mm: float,
    most_outer_mm: float,
    cell_mm: tuple[float, float] | None = None,
    rods_mm: tuple[tuple[float, float, float], ...] = (),
) -> Well:
    """The shallowest ring over a cell's vents that holds what is needed.

    Parameters
    ----------
    floor_mm : height of the well's floor.
    need_mm3 : mm3 for this cell.
    keep_out_mm : radius of a rod or core that passes through the middle, 0 without.
    most_outer_mm : as far as the well may widen.
    rods_mm : x, y and radius of rods that stand beside discs or, with an island round them, in them.
    cell_mm : for a part that is not round: half sizes within which its wells must stay; each vent then gets a disc
        over it, moved towards the middle of the cell as it widens. None: one ring for all vents.
    """
    ring = max(math.hypot(x, y) for x, y in vents.points_mm) if cell_mm is None else 0.0
    half = vents.radius_mm + sizes.WELL_BESIDE_ROD_MM
    inner = ring - half
    least = 0.0 if keep_out_mm == 0.0 else keep_out_mm + _CLEAR_OF_ROD_MM
    if keep_out_mm > 0 and cell_mm is None:
        inner = max(inner, least)
    elif inner < _NARROWEST_MM:
        inner = 0.0
    for inner_mm, outer_mm in _widening(inner, ring + half, least, max(most_outer_mm, ring + half)):
        for steps in range(_DEPTH_STEPS):
            depth = sizes.WELL_LEAST_DEPTH_MM + 0.5 * steps
            top = outer_mm + depth * _DRAFT
            spots = _spots(vents, outer_mm, top, half, cell_mm)
            if spots is None or _clips(spots, (outer_mm, top), rods_mm):
                continue
            well = Well(
                inner_mm=inner_mm,
                outer_mm=outer_mm,
                floor_mm=floor_mm,
                top_mm=floor_mm + depth,
                draft_inner=keep_out_mm == 0.0 and inner_mm > 0,
                spots_mm=spots,
                keep_out_mm=keep_out_mm,
                rods_mm=rods_mm,
            )
            if well.volume_mm3 >= sizes.WELL_RESERVE * need_mm3:
                return well
    raise CannotBuild(
        f"the overflow wells would have to hold {need_mm3:.0f} mm³ a cavity",
        advice="pour with less overfill, ask for less pressure, or leave more silicone beside and between the cavities",
    )


def _spots(
    vents: Vents, outer_mm: float, top_mm: float, half_mm: float, cell_mm: tuple[float, float] | None
) -> tuple[tuple[float, float], ...] | None:
    """Where discs of this size stand; None when they would leave the cell, their vent or each other's room."""
    if cell_mm is None:
        return ((0.0, 0.0),)
    room_x, room_y = cell_mm[0] - top_mm, cell_mm[1] - max(top_mm, _HALF_BAR_MM)
    if min(room_x, room_y) < 0:
        return None
    spots = tuple((_within(x, room_x), _within(y, room_y)) for x, y in vents.points_mm)
    off = max(math.dist(spot, vent) for spot, vent in zip(spots, vents.points_mm, strict=True))
    apart = min((math.dist(a, b) for a, b in combinations(spots, 2)), default=math.inf)
    return spots if off <= outer_mm - half_mm + 1e-9 and apart >= 2 * top_mm + _BETWEEN_WELLS_MM else None


def _clips(
    spots: tuple[Point, ...], radii_mm: tuple[float, float], rods_mm: tuple[tuple[float, float, float], ...]
) -> bool:
    """Whether the edge of a disc (its radius at the floor and at the top) would come too near a rod."""
    return any(
        radii_mm[0] - _ROUND_ISLAND_MM < math.dist(spot, (x, y)) + r + _CLEAR_OF_ROD_MM
        and math.dist(spot, (x, y)) - r - _CLEAR_OF_ROD_MM < radii_mm[1]
        for spot in spots
        for x, y, r in rods_mm
    )


def _within(place: float, room: float) -> float:
    return max(-room, min(room, place))


def _widening(inner: float, outer: float, least: float, most: float) -> Iterator[tuple[float, float]]:
    """Wider and wider wells: first outwards as far as the cell, then inwards as far as a rod allows."""
    yield inner, outer
    while outer < most:
        outer = min(most, outer + 1.0)
        yield inner, outer
    while inner > least:
        inner = max(least, inner - 1.0)
        yield (0.0 if least == 0.0 and inner < _NARROWEST_MM else inner), outer


def lies_inside(layout: Layout, well: Well) -> bool:
    """Whether the wells of every cell leave some silicone, or cover, between them and the walls."""
    radius = well.top_radii_mm[1] + _BETWEEN_WELLS_MM
    spots = [(cx + x, cy + y) for cx, cy in layout.centres_mm for x, y in well.spots_mm]
    return min(layout.plan.inside_mm(x, y) for x, y in spots) >= radius - 1e-9


def joins(layout: Layout, well: Well) -> tuple[tuple[Point, Point], ...]:
    """Between which points channels run so that all wells hang together, the shortest ways first and none too many.

    Levels equalise through them, and the cured overflow peels off as one piece. No channel runs through a core rod.
    """
    places = [(cx + x, cy + y) for cx, cy in layout.centres_mm for x, y in well.spots_mm]
    group = list(range(len(places)))
    inset = (well.inner_mm + well.outer_mm) / 2 if well.on_axis else 0.0
    if well.rods_mm:  # from the edge of a disc, for a rod may stand in its middle
        half = sizes.CHANNEL_WIDTH_MM / 2
        inset = math.sqrt(well.outer_mm**2 - half**2) - _INTO_DISC_MM
    found = []
    for one, other in sorted(combinations(range(len(places)), 2), key=lambda pair: _order(places, pair)):
        if group[one] == group[other]:
            continue
        way = _shortened(places[one], places[other], inset)
        if _meets_rod(layout, well, way):
            continue
        gone = group[other]
        group = [group[one] if name == gone else name for name in group]
        found.append(way)
    return tuple(found)


def hanging(layout: Layout, well: Well) -> int:
    """In how many pieces the resin comes off: one, unless core rods stand in the way of a channel."""
    return len(layout.centres_mm) * len(well.spots_mm) - len(joins(layout, well))


def _meets_rod(layout: Layout, well: Well, way: tuple[Point, Point]) -> bool:
    middle = () if well.keep_out_mm == 0.0 or well.on_axis else ((0.0, 0.0, well.keep_out_mm),)
    return any(
        _beside(way, (cx + x, cy + y)) < r + _CLEAR_OF_ROD_MM
        for cx, cy in layout.centres_mm
        for x, y, r in (*middle, *well.rods_mm)
    )


def _beside(way: tuple[Point, Point], point: Point) -> float:
    """How far a point lies from a channel, which is as wide as channels are and has square ends."""
    (ax, ay), (bx, by) = way
    length = math.dist(*way)
    ux, uy = (bx - ax) / length, (by - ay) / length
    along = (point[0] - ax) * ux + (point[1] - ay) * uy
    aside = abs((point[1] - ay) * ux - (point[0] - ax) * uy) - sizes.CHANNEL_WIDTH_MM / 2
    return math.hypot(max(0.0, -along, along - length), max(0.0, aside))


def _order(places: list[Point], pair: tuple[int, int]) -> tuple[float, float, int, int]:
    """Nearest first; of equal ways those along a row, then as they are numbered."""
    (ax, ay), (bx, by) = places[pair[0]], places[pair[1]]
    return (round(math.hypot(bx - ax, by - ay), 6), round(abs(by - ay), 6), *pair)


def _shortened(one: Point, other: Point, by_mm: float) -> tuple[Point, Point]:
    share = by_mm / math.dist(one, other)
    (ax, ay), (bx, by) = one, other
    dx, dy = share * (bx - ax), share * (by - ay)
    return ((ax + dx, ay + dy), (bx - dx, by - dy))


def channels(layout: Layout, well: Well) -> list[Node]:
    """The joining channels in the top face."""
    return [channel(one, other, well.top_mm, well.top_mm) for one, other in joins(layout, well)]


def channel(one: Point, other: Point, top_mm: float, up_to_mm: float) -> Node:
    """One channel from point to point under the top face; its former goes on up to `up_to_mm`."""
    return strip(one, other, sizes.CHANNEL_WIDTH_MM / 2, top_mm - sizes.CHANNEL_DEPTH_MM, up_to_mm)


def strip(one: Point, other: Point, half_mm: float, low_mm: float, high_mm: float) -> Node:
    """A bar of that half width from point to point, between two heights."""
    (ax, ay), (bx, by) = one, other
    if abs(by - ay) < 1e-9:
        return Box(min(ax, bx), ay - half_mm, low_mm, max(ax, bx), ay + half_mm, high_mm)
    if abs(bx - ax) < 1e-9:
        return Box(ax - half_mm, min(ay, by), low_mm, ax + half_mm, max(ay, by), high_mm)
    # Its corners are drawn where they stand: turning a box moves its top a rounding error off the face it opens in.
    length = math.dist(one, other)
    aside_x, aside_y = -half_mm * (by - ay) / length, half_mm * (bx - ax) / length
    corners = [
        (ax - aside_x, ay - aside_y),
        (bx - aside_x, by - aside_y),
        (bx + aside_x, by + aside_y),
        (ax + aside_x, ay + aside_y),
    ]
    return Prism(polygon(corners), low_mm, high_mm)
