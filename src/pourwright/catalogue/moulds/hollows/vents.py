"""Vents of one cell: where they stand, how deep they sit in the part, where air leaves it; a first ring by rule."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.stand.facts import Standing, Widths
from pourwright.engines.geometry.tree import Node, Outline, cylinder

_UNDER_SEAT_MM = 0.5  # part left under a rod's seat
_SLACK_MM = 0.05  # polygons stand in for circles
_UNDER_SURFACE_MM = 0.05  # a probe starts just under the surface, whose height is found by sampling
_LEAST_SEAT_MM = 1.0


@dataclass(frozen=True, kw_only=True)
class Vent:
    """One vent about its cell's axis, mm: from `start_mm` up, with part all round it up to `inside_mm`.

    Air leaves the part at `top_mm`, the highest point of its surface under the vent.
    """

    x_mm: float
    y_mm: float
    start_mm: float
    inside_mm: float
    top_mm: float


@dataclass(frozen=True, kw_only=True)
class Lean:
    """How a closed mould leans while its air leaves, deg: how far, and which side is raised (from x towards y)."""

    tilt_deg: float
    towards_deg: float

    def poses(self) -> tuple[tuple[float, float], ...]:
        """(tilt, azimuth) deg as meant, and a little off, as a block under one edge lets it stand."""
        tilt, towards = self.tilt_deg, self.towards_deg
        off, aside = sizes.LEAN_OFF_SHARE * tilt, sizes.LEAN_ASIDE_DEG
        return (
            (tilt, towards),
            (tilt - off, towards),
            (tilt + off, towards),
            (tilt, (towards - aside) % 360.0),
            (tilt, (towards + aside) % 360.0),
        )


@dataclass(frozen=True, kw_only=True)
class Vents:
    """All vents of one cell, of one radius, mm."""

    radius_mm: float
    places: tuple[Vent, ...]

    @property
    def points_mm(self) -> tuple[tuple[float, float], ...]:
        """Where they stand."""
        return tuple((vent.x_mm, vent.y_mm) for vent in self.places)

    @property
    def start_mm(self) -> float:
        """The lowest foot."""
        return min(vent.start_mm for vent in self.places)

    @property
    def surface_mm(self) -> float:
        """Up to here every one lies inside the part."""
        return min(vent.inside_mm for vent in self.places)

    def by_length(self) -> list[list[Vent]]:
        """The vents whose feet stand equally high, the longest first: rods of one length each."""
        found: dict[float, list[Vent]] = {}
        for vent in sorted(self.places, key=lambda one: one.start_mm):
            found.setdefault(vent.start_mm, []).append(vent)
        return list(found.values())

    def outlets(self, centres_mm: Sequence[tuple[float, float]]) -> tuple[tuple[float, float, float], ...]:
        """Where air leaves the part, for every cell."""
        return tuple((cx + v.x_mm, cy + v.y_mm, v.top_mm) for cx, cy in centres_mm for v in self.places)

    def rods(self, top_mm: float, *, grow_mm: float = 0.0) -> list[Node]:
        """The vents as rods up to a height."""
        radius = self.radius_mm + grow_mm
        return [
            cylinder(radius_mm=radius, z0_mm=vent.start_mm, z1_mm=top_mm).at(vent.x_mm, vent.y_mm)
            for vent in self.places
        ]

    def probes(self) -> list[Node]:
        """The room each vent needs in the part below its surface."""
        radius, found = self.radius_mm + sizes.COVER_MM, []
        for vent in self.places:
            high, low = vent.inside_mm - _UNDER_SURFACE_MM, min(vent.start_mm, vent.inside_mm - _LEAST_SEAT_MM)
            found.append(cylinder(radius_mm=radius, z0_mm=low, z1_mm=high).at(vent.x_mm, vent.y_mm))
        return found


@dataclass(frozen=True, kw_only=True)
class Venting:
    """What a style asks of a vent of a part, so that more of them can be found.

    Parameters
    ----------
    vents : those that the mould has.
    foot_mm : height on which all rods stand, which go through the upper piece; None: each has a seat of `seat_mm`.
    seat_mm : depth of a seat under the surface; 0 for a hole in a cover plate.
    counts : how many may stand round a ring of a body of revolution, the first at `turn_deg`.
    turn_deg : angle of the first vent on a ring, None for half a step.
    clear_of_mm, clear_mm : places (of screws) that a vent keeps away from, and how far.
    outline : (r, z) of what is filled and of what a vent stands in, in place; None when it is no body of revolution.
    found : whether they were searched for, not only placed by rule.
    margin_mm : part that must be left beside a vent.
    """

    vents: Vents
    foot_mm: float | None
    seat_mm: float
    counts: tuple[int, ...]
    turn_deg: float | None
    clear_of_mm: tuple[tuple[float, float], ...] = ()
    clear_mm: float = 0.0
    outline: Outline | None = None
    found: bool = False
    margin_mm: float = sizes.COVER_MM

    @property
    def around_mm(self) -> float:
        """Radius that must be part round a vent."""
        return self.vents.radius_mm + self.margin_mm

    @property
    def apart_mm(self) -> float:
        """Least distance of two vents."""
        return 3 * self.vents.radius_mm + 1.5

    def alone_at(self, widths: Widths, low_mm: float, radius_mm: float, angle_deg: float) -> Vent | None:
        """One vent at a radius and an angle of a body of revolution; None where it has no room."""
        seat = seat_at(widths, low_mm, radius_mm, radius=self.vents.radius_mm, seat=self.seat_mm, foot=self.foot_mm)
        x, y = _on_ring(radius_mm, angle_deg)
        if seat is None or any(math.dist((x, y), other) < self.clear_mm for other in self.clear_of_mm):
            return None
        return Vent(x_mm=x, y_mm=y, start_mm=seat[0], inside_mm=seat[1], top_mm=seat[2])

    def on_ring(self, widths: Widths, low_mm: float, radius_mm: float, count: int) -> tuple[Vent, ...]:
        """So many vents evenly round a ring of a body of revolution; none where they have no room."""
        seat = seat_at(widths, low_mm, radius_mm, radius=self.vents.radius_mm, seat=self.seat_mm, foot=self.foot_mm)
        if seat is None:
            return ()
        start, inside, top = seat
        if radius_mm == 0.0:
            places: list[tuple[float, float]] = [(0.0, 0.0)]
        else:
            turn = 180.0 / count if self.turn_deg is None else self.turn_deg
            places = [_on_ring(radius_mm, turn + 360.0 * i / count) for i in range(count)]
        if any(math.dist(place, other) < self.clear_mm for place in places for other in self.clear_of_mm):
            return ()
        return tuple(Vent(x_mm=x, y_mm=y, start_mm=start, inside_mm=inside, top_mm=top) for x, y in places)


def seat_at(
    widths: Widths, low_mm: float, ring_mm: float, *, radius: float, seat: float, foot: float | None
) -> tuple[float, float, float] | None:
    """Foot, height up to which the part is all round, and top of a vent at a radius; None without room.

    Parameters
    ----------
    low_mm : lowest point of the part.
    radius, seat, foot : mm, of the vent: see `Venting`.
    """
    need = radius + sizes.COVER_MM + _SLACK_MM
    inside = widths.top(max(0.0, ring_mm - need), ring_mm + need)
    start = inside - seat if foot is None else foot
    inner, outer = widths.between(min(start, inside - _LEAST_SEAT_MM), inside)
    roomy = outer >= ring_mm + need - 1e-9 and (inner == 0.0 or inner <= ring_mm - need + 1e-9)
    deep = start >= low_mm + _UNDER_SEAT_MM or seat == 0.0
    if not roomy or not deep or start > inside:
        return None
    return start, inside, widths.crest(max(0.0, ring_mm - radius), ring_mm + radius)


# ---------------------------------------------------------------- the first ring, by rule


def place_vents(
    standing: Standing,
    *,
    radii_mm: Sequence[float],
    seat_mm: float,
    angles: Sequence[int],
    stand_off_mm: float,
) -> Vents:
    """Vents on the highest flat ring (or at the peak) of the part, near its outer edge, about 25 mm apart.

    Parameters
    ----------
    radii_mm : vent radii to try, largest first.
    seat_mm : how deep a rod sits in the part.
    angles : numbers of vents that may stand round the ring.
    stand_off_mm : angle of the first vent is half a step on when 1, at a quarter turn when 0.

    Raises
    ------
    CannotBuild
        No vent has room in the highest face.
    """
    for radius in radii_mm:
        found = _ring(standing, radius, seat_mm)
        if found is None:
            continue
        ring_mm, surface = found
        if seat_mm > 0 and surface - seat_mm < standing.low_mm + _UNDER_SEAT_MM:
            continue  # a thin part: the rod would come out below
        if ring_mm == 0.0:
            points: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
        else:
            count = _how_many(ring_mm, radius, angles)
            turn = 180.0 / count if stand_off_mm else 90.0
            points = tuple(_on_ring(ring_mm, turn + 360.0 * i / count) for i in range(count))
        top = standing.widths.crest(max(0.0, ring_mm - radius), ring_mm + radius)
        places = tuple(
            Vent(x_mm=x, y_mm=y, start_mm=surface - seat_mm, inside_mm=surface, top_mm=top) for x, y in points
        )
        return Vents(radius_mm=radius, places=places)
    raise CannotBuild(
        "there is no room for a vent in the part's highest face",
        advice=f"it takes a ring at least {2 * (radii_mm[-1] + sizes.COVER_MM):.1f} mm wide, or a peak on the axis",
    )


def _ring(standing: Standing, radius: float, seat: float) -> tuple[float, float] | None:
    """Radius of the vents' ring (0: on the axis) and the part's surface there."""
    widths, high = standing.widths, standing.high_mm
    need = radius + sizes.COVER_MM + _SLACK_MM
    points = widths.points[widths.points[:, 1] >= high - 1e-6, 0]
    face_inner, face_outer = float(points.min()), float(points.max())
    if face_inner < 1e-3 and face_outer < 2 * need:  # a peak on the axis, or a small disc
        surface = widths.top(0.0, need)
        inner, outer = widths.between(surface - max(seat, 1.0), surface)
        return (0.0, surface) if inner == 0.0 and outer >= need else None
    inner, outer = widths.between(high - max(seat, 1.0), high)
    inner, outer = max(inner, face_inner), max(outer, 0.0)
    if face_outer - face_inner < 1e-3:  # a rounded ring with its crest at one radius
        surface = widths.top(max(0.0, face_outer - need), face_outer + need)
        inner, outer = widths.between(surface - max(seat, 1.0), surface)
        return (face_outer, surface) if inner <= face_outer - need and outer >= face_outer + need else None
    outer = min(outer, face_outer)
    ring = outer - need
    return (ring, high) if ring - need >= inner - 1e-9 and ring > radius else None


def _how_many(ring: float, radius: float, allowed: Sequence[int]) -> int:
    """As many as stand about 25 mm apart, never closer than 1.5 diameters to each other or to a screw between."""
    wanted = 2 * math.pi * ring / sizes.VENT_EVERY_MM
    roomy = [n for n in allowed if fits_on(ring, radius, n) or n == allowed[0]]
    return next((n for n in roomy if n >= wanted), roomy[-1])


def fits_on(ring_mm: float, radius_mm: float, count: int) -> bool:
    """Whether so many vents on a ring leave each other, and a screw between two of them, enough room."""
    return 2 * ring_mm * math.sin(math.pi / (2 * count)) >= 3 * radius_mm + 1.5


def _on_ring(ring: float, angle_deg: float) -> tuple[float, float]:
    angle = math.radians(angle_deg)
    return ring * math.cos(angle), ring * math.sin(angle)
