"""Breathers of half patterns that lie on each other: a groove between them, along the feed, to a hole in the wall."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Breather
from pourwright.catalogue.moulds.hollows.side_runners import Runners, lying
from pourwright.catalogue.moulds.stand.facts import Widths
from pourwright.catalogue.moulds.stand.frame import Frame, repeated
from pourwright.engines.geometry.tree import Box, Node, cylinder, union

_DEEP_MM = 3.0  # of the holes into the halves
_BACK_MM = 2.5  # from the part's end to the middle of its holes
_HALF_WIDE_MM, _GROOVE_MM = 0.8, 1.2  # half the width and the depth of the groove
_WALL_RADIUS_MM, _WALL_DOWN_MM = 0.55, 0.6  # of the hole in the wall: its radius, and its axis under the parting
_LEAST_FEED_MM = _HALF_WIDE_MM + 1.2  # radius of a feed that has room for the groove (judgement)
_SHORT_MM = 0.05


def breather_height_mm(widths: Widths, feed_y_mm: float, feed_radius_mm: float) -> float | None:
    """How high above the foot of a round part the holes fit, at the feed's side; None where they do not."""
    height, room = widths.high_mm - _BACK_MM, sizes.BREATHER_RADIUS_MM + sizes.COVER_MM
    if feed_radius_mm < _LEAST_FEED_MM or height - room <= widths.low_mm:
        return None
    inner, outer = widths.between(height - room, widths.high_mm - 1e-3)
    reach = feed_y_mm + room
    if feed_y_mm - room < inner or reach >= outer or math.sqrt(outer**2 - reach**2) < _DEEP_MM + sizes.COVER_MM:
        return None
    return height


@dataclass(frozen=True, kw_only=True)
class SideAiring:
    """The ways of the air of one cell, from its halves along the feed out through the wall."""

    runners: Runners
    frame: Frame
    height_mm: float

    @property
    def _at(self) -> tuple[float, float]:
        return self.runners.foot_mm + self.height_mm, self.runners.lain.feed.y_mm

    def _hole(self, low_mm: float, high_mm: float, short_mm: float = 0.0) -> Node:
        hole = cylinder(radius_mm=sizes.BREATHER_RADIUS_MM - short_mm, z0_mm=low_mm, z1_mm=high_mm)
        return hole.at(*self._at)

    def lower_tools(self) -> list[Node]:
        """Groove and hole in the lower half."""
        x, y = self._at
        far = self.frame.outer_mm[0]
        groove = Box(x, y - _HALF_WIDE_MM, -_GROOVE_MM, far, y + _HALF_WIDE_MM, 1.0)
        return [groove, self._hole(-_DEEP_MM, 1.0)]

    def upper_tools(self) -> list[Node]:
        """The hole in the upper half, over the groove."""
        return [self._hole(-1.0, _DEEP_MM)]

    def wall_tool(self, short_mm: float = 0.0) -> Node:
        """The hole through the wall at the feed's end."""
        end, out = self.frame.half_x_mm, self.frame.outer_mm[0] + 1.0
        hole = lying(radius_mm=_WALL_RADIUS_MM - short_mm, x0_mm=end - 1.0, x1_mm=out)
        return hole.at(y_mm=self._at[1], z_mm=-_WALL_DOWN_MM)

    def ways(self, centres: tuple[tuple[float, float], ...]) -> tuple[Breather, ...]:
        """From the inside of both halves out of the mould, for all cells."""
        (x, y), end = self._at, self.frame.half_x_mm
        half = _HALF_WIDE_MM - _SHORT_MM
        groove = Box(x, y - half, -_GROOVE_MM + _SHORT_MM, end, y + half, -_SHORT_MM)
        lower = union(groove, self._hole(-_DEEP_MM + _SHORT_MM, -_SHORT_MM, _SHORT_MM), self.wall_tool(_SHORT_MM))
        both = union(lower, self._hole(-0.5, _DEEP_MM - _SHORT_MM, _SHORT_MM))
        return (
            Breather(pour=1, way=repeated(lower, centres)),
            Breather(pour=2, way=repeated(both, centres)),
        )
