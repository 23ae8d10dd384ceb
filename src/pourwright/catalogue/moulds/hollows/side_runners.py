"""Feed, vent and pouring basin of a side-parted block: round channels in the parting that reach its upper end. mm."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.stand.side_lain import Lain, Spot
from pourwright.engines.geometry.tree import Mirrored, Node, Prism, Revolve, Turned, cylinder, polygon, union

NECK_MM = 4.0  # channel between the part and the basin
_BESIDE_MM = 1.0  # of basin beside the feed, at its floor
_CLEAR_MM = 2.5  # silicone between the basin and the vent or the rod
_HALF_HIGH_MM = 8.0  # half the basin's height at most
_FLARE = 0.5  # how much a basin widens to each side for each mm of its depth
_DEPTHS_MM = tuple(6.0 + 0.5 * step for step in range(61))


@dataclass(frozen=True, kw_only=True)
class Basin:
    """The basin of one cell, from its floor to the block's end: from above a trapezium, `half_high_mm` up and down.

    `floor_mm` is (lowest y, highest y) at the floor, `end_mm` the same at the block's end, both about the axis.
    """

    depth_mm: float
    half_high_mm: float
    floor_mm: tuple[float, float]
    end_mm: tuple[float, float]

    @property
    def volume_mm3(self) -> float:
        """Of one cell."""
        wide = (self.floor_mm[1] - self.floor_mm[0] + self.end_mm[1] - self.end_mm[0]) / 2
        return 2 * self.half_high_mm * wide * self.depth_mm

    def solid(self, x_end_mm: float) -> Node:
        """The hollow, up to the block's end."""
        x = x_end_mm - self.depth_mm
        plan = [(x, self.floor_mm[0]), (x_end_mm, self.end_mm[0]), (x_end_mm, self.end_mm[1]), (x, self.floor_mm[1])]
        return Prism(polygon(plan), -self.half_high_mm, self.half_high_mm)


def basin_for(lain: Lain, need_mm3: float) -> Basin:
    """The shallowest basin over the feed that holds what is needed, clear of the vent and of the rod.

    Raises
    ------
    CannotBuild
        None within 36 mm.
    """
    feed, vent = lain.feed, lain.vent
    nearest = max(vent.y_mm + vent.radius_mm, lain.bore_mm) + _CLEAR_MM
    low = max(min(feed.y_mm - feed.radius_mm, nearest), feed.y_mm - feed.radius_mm - _BESIDE_MM)
    high = max(lain.half_y_mm, feed.y_mm + feed.radius_mm + _BESIDE_MM)
    floor = (low, min(high, feed.y_mm + feed.radius_mm + _BESIDE_MM))
    half_high = max(feed.radius_mm, min(_HALF_HIGH_MM, -lain.low_mm, lain.high_mm))
    for depth in _DEPTHS_MM:
        flare = _FLARE * depth
        end = (max(min(low, nearest), low - flare), min(high, floor[1] + flare))
        basin = Basin(depth_mm=depth, half_high_mm=half_high, floor_mm=floor, end_mm=end)
        if basin.volume_mm3 >= sizes.WELL_RESERVE * need_mm3:
            return basin
    raise CannotBuild(
        f"the pouring basin would have to hold {need_mm3:.0f} mm³",
        advice="pour with less overfill, or ask for less pressure",
    )


@dataclass(frozen=True, kw_only=True)
class Runners:
    """The channels and the basin of one cell whose part has its foot at `foot_mm`; the block ends at `end_mm`."""

    lain: Lain
    basin: Basin
    foot_mm: float
    end_mm: float

    def channels(self) -> Node:
        """Feed up to the basin, vent up to the block's end."""
        floor = self.end_mm - self.basin.depth_mm
        return union(self._along(self.lain.feed, floor), self._along(self.lain.vent, self.end_mm))

    def well(self) -> Node:
        """The basin."""
        return self.basin.solid(self.end_mm)

    def outlets(self) -> tuple[tuple[float, float, float], ...]:
        """Where air leaves the part, about the cell's middle."""
        return tuple((self.foot_mm + s.surface_mm, s.y_mm, 0.0) for s in (self.lain.vent, self.lain.feed))

    def _along(self, spot: Spot, end_mm: float) -> Node:
        return lying(radius_mm=spot.radius_mm, x0_mm=self.foot_mm + spot.start_mm, x1_mm=end_mm).at(y_mm=spot.y_mm)


def rod_through(lain: Lain, foot_mm: float, ends_mm: tuple[float, float]) -> Node:
    """The metal rod through a part's bore.

    Lying facets that meet without sharing their corners leave hairline slivers. So the rod has corners where the
    bore has them, and is a mirror image, since the bore's facets are divided the other way round.
    """
    r, (low, high) = lain.bore_mm, ends_mm
    side = [(r, -high), (r, -foot_mm - lain.length_mm), (r, -foot_mm), (r, -low)]
    return Turned(Mirrored(Revolve(polygon([(0.0, -high), *side, (0.0, -low)]))), "y", 90.0)


def lying(*, radius_mm: float, x0_mm: float, x1_mm: float) -> Node:
    """A round rod about the x axis."""
    return Turned(cylinder(radius_mm=radius_mm, z0_mm=x0_mm, z1_mm=x1_mm), "y", 90.0)
