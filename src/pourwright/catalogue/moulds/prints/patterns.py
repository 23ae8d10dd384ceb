"""Patterns: what is printed of the part, the sealing rims it stands on, the screws that hold it to the base."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Fastener
from pourwright.catalogue.moulds.stand.facts import Standing
from pourwright.catalogue.moulds.stand.frame import cut
from pourwright.engines.geometry.tree import Box, Node, cylinder, tube

_FAR_MM = 1.0  # how far a cutting tool reaches beyond the face it cuts


@dataclass(frozen=True)
class Screw:
    """A metal screw: core hole for its thread, clear hole in the base, radius of its head, mm."""

    name: str
    core_mm: float
    clear_mm: float
    head_mm: float


# Core hole: thread less about 0.5 mm; clear hole: thread plus 0.4 mm (common practice).
SCREWS = (Screw("M3", 1.25, 1.7, 3.5), Screw("M2", 0.8, 1.2, 2.5))
_DEPTHS_MM = (8.0, 6.0, 5.0, 4.0)
_OVER_SCREW_MM = 1.5
_PLAY_MM, _HEAD_SHARE, _HEAD_HIGH_MM = 0.03, 0.9, 2.5  # how a screw is drawn in its hole


@dataclass(frozen=True, kw_only=True)
class Holding:
    """How one pattern is held to the base: screws at points about its axis, or tape where none has room.

    `tops_mm` are the heights of its face at the screws, where that is not level.
    """

    screw: Screw | None
    points_mm: tuple[tuple[float, float], ...]
    depth_mm: float
    first_mm: float = 0.0
    first_radius_mm: float = 0.0
    tops_mm: tuple[float, ...] = ()

    @property
    def words(self) -> str:
        """For a person."""
        if self.screw is None:
            return "thin double-sided tape on the sealing rim"
        return f"{len(self.points_mm)} screw{'s' if len(self.points_mm) > 1 else ''} {self.screw.name} from below"

    def holes(self, top_mm: float) -> list[Node]:
        """The holes in the pattern, from its face at `top_mm` downwards."""
        if self.screw is None:
            return []
        if self.tops_mm:
            return self._holes_from_slants(self.screw, top_mm)
        deep = cylinder(radius_mm=self.screw.core_mm, z0_mm=top_mm - self.depth_mm, z1_mm=top_mm + _FAR_MM)
        if self.first_mm > 0:
            wide = cylinder(radius_mm=self.first_radius_mm, z0_mm=top_mm - self.first_mm, z1_mm=top_mm + _FAR_MM)
            deep = deep | wide
        return [deep.at(x, y) for x, y in self.points_mm]

    def _holes_from_slants(self, screw: Screw, top_mm: float) -> list[Node]:
        return [
            cylinder(radius_mm=screw.core_mm, z0_mm=top - self.depth_mm, z1_mm=top_mm + _FAR_MM).at(x, y)
            for (x, y), top in zip(self.points_mm, self.tops_mm, strict=True)
        ]

    def probes(self, top_mm: float) -> list[Node]:
        """The room each hole needs inside the part."""
        if self.screw is None:
            return []
        if self.tops_mm:
            radius = self.screw.core_mm + sizes.COVER_MM
            return [
                cylinder(radius_mm=radius, z0_mm=top - self.depth_mm, z1_mm=top - 0.01).at(x, y)
                for (x, y), top in zip(self.points_mm, self.tops_mm, strict=True)
            ]
        radius = max(self.screw.core_mm, self.first_radius_mm) + sizes.COVER_MM
        probe = cylinder(radius_mm=radius, z0_mm=top_mm - self.depth_mm, z1_mm=top_mm - 0.01)
        return [probe.at(x, y) for x, y in self.points_mm]


def hold(
    standing: Standing,
    *,
    rim_mm: float,
    seat_mm: float = 0.0,
    seat_radius_mm: float = 0.0,
    given_mm: tuple[tuple[float, float], ...] = (),
    given_depth_mm: float = math.inf,
) -> Holding:
    """Screws for a pattern whose face stands `rim_mm` below the parting.

    Parameters
    ----------
    seat_mm, seat_radius_mm : the first stretch of the hole, wide enough to seat a rod or dowel too.
    given_mm, given_depth_mm : proven points of a solid without an outline, and how deep they are proven.
    """
    room_mm = min(-standing.low_mm - rim_mm - _OVER_SCREW_MM, given_depth_mm)
    for screw in SCREWS:
        for thread_mm in _DEPTHS_MM:
            depth = seat_mm + thread_mm
            radius = max(screw.core_mm, seat_radius_mm) + sizes.COVER_MM
            points = given_mm or (_points(standing, radius, -rim_mm - depth, 0.0) if depth <= room_mm else ())
            if points and depth <= room_mm:
                return Holding(
                    screw=screw, points_mm=points, depth_mm=depth, first_mm=seat_mm, first_radius_mm=seat_radius_mm
                )
    return Holding(screw=None, points_mm=(), depth_mm=0.0)


def _points(standing: Standing, radius: float, low: float, high: float) -> tuple[tuple[float, float], ...]:
    if standing.outline is None:
        return ()
    inner, outer = standing.body_widths.between(low, high)
    if inner == 0.0:
        return ((0.0, 0.0),) if outer >= radius else ()
    middle = (inner + outer) / 2
    return ((middle, 0.0), (-middle, 0.0)) if outer - inner >= 2 * radius else ()


# ---------------------------------------------------------------- pieces


def below(cell: Node, z_mm: float, reach_mm: float) -> Node:
    """The part of a cell below a height."""
    return cut(cell, Box(-reach_mm, -reach_mm, z_mm, reach_mm, reach_mm, z_mm + reach_mm))


def above(cell: Node, z_mm: float, reach_mm: float) -> Node:
    """The part of a cell above a height."""
    return cut(cell, Box(-reach_mm, -reach_mm, z_mm - reach_mm, reach_mm, reach_mm, z_mm))


def reach_of(standing: Standing) -> float:
    """A length beyond every corner of the cell."""
    low, high = standing.low_mm, standing.high_mm
    if standing.body_ends_mm is not None:
        low, high = min(low, standing.body_ends_mm[0]), max(high, standing.body_ends_mm[1])
    return 2 * (standing.radius_mm + high - low) + 10


def sealing_rim(standing: Standing, body: Node, rim_mm: float) -> Node:
    """A low ring on the base under a pattern's edge; its outer face is the part's own side, so no step is left.

    Inside it a gap stays open: the screw presses on little area, and the gap breathes through the screw hole.
    """
    reach = reach_of(standing)
    band = body & Box(-reach, -reach, -rim_mm, reach, reach, 0.0)
    inner, outer = standing.body_widths.between(-rim_mm, 0.0)
    gap_inner = inner + sizes.RIM_WIDTH_MM if inner > 0 else 0.0
    gap_outer = outer - sizes.RIM_WIDTH_MM
    if gap_outer - gap_inner < 1.0:
        return band
    low, high = -rim_mm - _FAR_MM, _FAR_MM
    if gap_inner > 0:
        return cut(band, tube(inner_mm=gap_inner, outer_mm=gap_outer, z0_mm=low, z1_mm=high))
    return cut(band, cylinder(radius_mm=gap_outer, z0_mm=low, z1_mm=high))


def base_holes(holding: Holding, centres_mm: tuple[tuple[float, float], ...], down_mm: float) -> list[Node]:
    """Clear holes for the screws through plate and rims, or through whatever reaches `down_mm` below it."""
    if holding.screw is None:
        return []
    hole = cylinder(radius_mm=holding.screw.clear_mm, z0_mm=-down_mm - _FAR_MM, z1_mm=sizes.PLATE_MM + _FAR_MM)
    return [hole.at(cx + x, cy + y) for cx, cy in centres_mm for x, y in holding.points_mm]


def screw_bodies(
    screw: Screw | None,
    points_mm: Sequence[tuple[float, float]],
    centres_mm: Sequence[tuple[float, float]],
    *,
    tip_mm: float,
    head_mm: float = sizes.PLATE_MM,
) -> tuple[Fastener, ...]:
    """The screws of all cells, from their tips at that height to their heads, mostly under the base plate."""
    if screw is None or not points_mm:
        return ()
    thread = cylinder(radius_mm=screw.core_mm - _PLAY_MM, z0_mm=tip_mm + _PLAY_MM, z1_mm=head_mm + 1.0)
    low = head_mm + _PLAY_MM
    head = cylinder(radius_mm=_HEAD_SHARE * screw.head_mm, z0_mm=low, z1_mm=low + _HEAD_HIGH_MM)
    places = tuple((cx + x, cy + y, 0.0, 0.0) for cx, cy in centres_mm for x, y in points_mm)
    return (Fastener(name="screw", solid=thread | head, places_mm=places),)


def body_of(standing: Standing) -> Node:
    """What the pattern copies: the part, together with the hard core that it is cast around."""
    return standing.cell if standing.body is None else standing.body
