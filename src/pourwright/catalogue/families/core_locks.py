"""Locks drawn into a hard core: grooves, flats and blind holes in which rubber stands; not the bond alone holds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pourwright.catalogue.families.family import refusal
from pourwright.engines.geometry.tree import Node, Tapered, Turned, cylinder

NONE, GROOVES, FLATS, HOLES = "none", "grooves", "flats", "holes"
BOTH = "grooves and flats"
LOCKS = (NONE, GROOVES, FLATS, HOLES, BOTH)

_TO_END_MM = 2.0  # of core left smooth at both ends of the rubber, as a land for it (judgement)
_DEEPEST_MM, _SHALLOWEST_MM = 2.0, 0.3  # (judgement)
_OF_WALL = 0.25  # of the core's wall that a lock may take (judgement)
_FLATS, _HOLES = 3, 4
_HOLE_OF_HEIGHT, _LARGEST_HOLE_MM, _LEAST_HOLE_MM = 1 / 6, 2.0, 0.75
_BEYOND_MM = 1.0
Point = tuple[float, float]


@dataclass(frozen=True)
class Groove:
    """A groove round a core: from low_mm to high_mm at the core's surface, its sides at 45 degrees (air leaves it)."""

    low_mm: float
    high_mm: float
    deep_mm: float

    def points(self, core_mm: float) -> list[Point]:
        """From below."""
        floor = core_mm - self.deep_mm
        low, high = self.low_mm, self.high_mm
        return [(core_mm, low), (floor, low + self.deep_mm), (floor, high - self.deep_mm), (core_mm, high)]


@dataclass(frozen=True, kw_only=True)
class Locks:
    """What is drawn into a core: grooves round it, and cuts from the side; `least_mm` is the radius they reach."""

    grooves: tuple[Groove, ...] = ()
    cuts: tuple[Node, ...] = ()
    least_mm: float | None = None


def drawn_locks(kind: str, values: Mapping[str, float]) -> Locks:
    """Locks of a size that suits the core.

    Raises
    ------
    CannotBuild
        The core's wall or its length has no room for them.
    """
    if kind in ("", NONE):
        return Locks()
    core, height = values["core_diameter"] / 2, values["height"]
    wall = core - values["core_bore"] / 2
    deep = round(min(_DEEPEST_MM, _OF_WALL * wall, 0.1 * (height - 2 * _TO_END_MM)), 1)
    if deep < _SHALLOWEST_MM:
        raise refusal(
            "locks",
            None,
            f"{kind} need a wall of {_SHALLOWEST_MM / _OF_WALL:g} mm or more and rubber of 7 mm or more along it",
            "make the core's wall thicker, or leave locks out and drill it by hand",
        )
    grooves = _grooves(height, deep) if kind in (GROOVES, BOTH) else ()
    cuts: tuple[Node, ...] = ()
    if kind in (FLATS, BOTH):
        cuts = _flats(core, height, deep)
    if kind == HOLES:
        deep = min(2 * deep, wall / 2)
        cuts = _holes(core, height, deep)
    return Locks(grooves=grooves, cuts=cuts, least_mm=core - deep if cuts else None)


def _grooves(height: float, deep: float) -> tuple[Groove, ...]:
    """One at half height, two where there is room."""
    half = 3 * deep
    room = height - 2 * _TO_END_MM
    middles = (height / 2,) if room < 6 * half else (height / 2 - room / 4, height / 2 + room / 4)
    return tuple(Groove(middle - half, middle + half, deep) for middle in middles)


def _flats(core: float, height: float, deep: float) -> tuple[Node, ...]:
    """Flats round the core, sloping out at 45 degrees all round so that air leaves them."""
    long = height / 2 - _TO_END_MM + _BEYOND_MM
    wide = core + deep
    # Drawn with its base outwards, then turned onto its side: what is up becomes inwards.
    block = Tapered(-long, -wide, -core - _BEYOND_MM, long, wide, -core + deep, deep + _BEYOND_MM)
    flat = Turned(block, "y", -90.0)
    return tuple(flat.at(0.0, 0.0, height / 2, turn_deg=360.0 / _FLATS * k) for k in range(_FLATS))


def _holes(core: float, height: float, deep: float) -> tuple[Node, ...]:
    """Blind holes from the side at half height."""
    radius = max(_LEAST_HOLE_MM, min(_LARGEST_HOLE_MM, _HOLE_OF_HEIGHT * height))
    hole = Turned(cylinder(radius_mm=radius, z0_mm=core - deep, z1_mm=core + _BEYOND_MM), "y", 90.0)
    return tuple(hole.at(0.0, 0.0, height / 2, turn_deg=360.0 / _HOLES * (k + 0.5)) for k in range(_HOLES))
