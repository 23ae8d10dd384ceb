"""The outline of a part whose outside is a parabola: wider or narrower at half height than at its ends.

r(z) = r_end + (r_middle - r_end)(1 - (2z/h - 1)^2). The edge arcs touch the flat face and the parabola.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pourwright.catalogue.families.drawing import edge_too_large, edged, largest_that_fits
from pourwright.engines.geometry.profiles.rounding import Corner
from pourwright.engines.geometry.tree import Arc, Bow, Edge, Line, Outline

_SAME_MM = 1e-9


@dataclass(frozen=True, kw_only=True)
class Side:
    """The parabola of one part: radius at the ends, radius at half height, height, mm."""

    end_mm: float
    middle_mm: float
    height_mm: float

    @property
    def swell_mm(self) -> float:
        """How much wider the middle is than the ends."""
        return self.middle_mm - self.end_mm

    def radius(self, above_mm: float) -> float:
        """Radius at a distance from half height."""
        return self.middle_mm - self.swell_mm * (2 * above_mm / self.height_mm) ** 2

    def slope(self, above_mm: float) -> float:
        """dr/dz at a distance above half height."""
        return -8 * self.swell_mm * above_mm / self.height_mm**2


@dataclass(frozen=True)
class Touch:
    """Where the upper edge's arc touches the parabola (above half height), and where it leaves the face."""

    above_mm: float
    radius_mm: float
    rim_mm: float


def bowed_outline(side: Side, *, bore_mm: float, edge_mm: float) -> Outline:
    """The outline with a straight bore of radius `bore_mm` and both outer edges rounded by `edge_mm`.

    Raises
    ------
    CannotBuild
        The edge radius does not fit; the message says the largest that does.
    """
    half_mm = side.height_mm / 2
    if side.swell_mm == 0.0:
        return _straight(side, bore_mm, edge_mm)
    if not _fits(side, bore_mm, edge_mm):
        high = max(side.height_mm, side.end_mm)
        raise edge_too_large(edge_mm, largest_that_fits(lambda edge: _fits(side, bore_mm, edge), high))
    touch = _touch(side, edge_mm) or Touch(half_mm, side.end_mm, side.end_mm)
    top, low_z, high_z = side.height_mm, half_mm - touch.above_mm, half_mm + touch.above_mm
    # Both tangents of a parabola meet above the middle of its chord.
    control = touch.radius_mm - side.slope(touch.above_mm) * touch.above_mm
    edges: list[tuple[Edge, float]] = [
        (Line(touch.rim_mm, 0.0), touch.rim_mm - bore_mm),
        (Arc(touch.radius_mm, low_z, touch.rim_mm, edge_mm), edge_mm),
        (Bow(touch.radius_mm, high_z, control, half_mm), high_z - low_z),
        (Arc(touch.rim_mm, top, touch.rim_mm, top - edge_mm), edge_mm),
        (Line(bore_mm, top), touch.rim_mm - bore_mm),
        (Line(bore_mm, 0.0), top),
    ]
    return Outline((bore_mm, 0.0), tuple(edge for edge, length_mm in edges if length_mm > _SAME_MM))


def _straight(side: Side, bore_mm: float, edge_mm: float) -> Outline:
    top = side.height_mm
    corners = (
        Corner(bore_mm, 0.0),
        Corner(side.end_mm, 0.0, edge_mm),
        Corner(side.end_mm, top, edge_mm),
        Corner(bore_mm, top),
    )
    return edged(corners, edge_mm)


def _fits(side: Side, bore_mm: float, edge_mm: float) -> bool:
    touch = _touch(side, edge_mm)
    return touch is not None and touch.rim_mm >= bore_mm - _SAME_MM


def _touch(side: Side, edge_mm: float) -> Touch | None:
    """The arc of the upper edge; None when no circle of this radius touches both.

    Its centre lies `edge_mm` below the face and `edge_mm` inside the parabola; that fixes the height of
    the touching point, found by halving to the last digit.
    """
    half_mm = side.height_mm / 2

    def too_high(above_mm: float) -> float:
        slope = side.slope(above_mm)
        return above_mm + edge_mm * slope / math.hypot(1.0, slope) - (half_mm - edge_mm)

    low, high = _turning_point(side, edge_mm), half_mm
    if low > half_mm or too_high(low) > _SAME_MM:
        return None
    while low < (middle := (low + high) / 2) < high:
        low, high = (low, middle) if too_high(middle) > 0 else (middle, high)
    slope, radius = side.slope(high), side.radius(high)
    return Touch(high, radius, radius - edge_mm / math.hypot(1.0, slope))


def _turning_point(side: Side, edge_mm: float) -> float:
    """Height above the middle below which a circle of this radius no longer lies inside a belly."""
    curvature = 8 * side.swell_mm / side.height_mm**2
    steepness = (edge_mm * curvature) ** (2 / 3) - 1 if curvature > 0 else 0.0
    return math.sqrt(steepness) / curvature if steepness > 0 else 0.0
