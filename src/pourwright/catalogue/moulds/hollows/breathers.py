"""Breathers: the ways by which air inside a sparsely filled pattern keeps the pot's pressure, away from all silicone.

In the first pour a hole in the pattern's foot goes on through the base. In the second no face of a pattern meets the
air: there its vent rods are tubes, that stand in the pattern and open over the bridge bar. A pattern that no way leads
out of is printed solid.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Breather, Piece
from pourwright.catalogue.moulds.hollows.lidded_vents import Seating
from pourwright.catalogue.moulds.hollows.vents import Vents
from pourwright.catalogue.moulds.prints.patterns import Holding
from pourwright.catalogue.moulds.prints.pieces import Centres, rim_mm
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.stand.frame import Frame, repeated
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.engines.geometry.tree import Node, cylinder, tube, union

Point = tuple[float, float]

DEEP_MM = 4.0  # of a breather's hole
_TUBE_BORES_MM = {1.5: 1.0, 1.0: 0.5}  # radii of tubes that are sold: outside, inside (common practice)
_CLEAR_MM = 1.5  # between a breather and what else is in the pattern (judgement)
_FLUSH_MM = 0.01
_SHORT_MM = 0.05  # by which a way is drawn narrower and shorter than its holes
_ANGLES = 24


@dataclass(frozen=True, kw_only=True)
class Airing:
    """How the patterns of one cell breathe.

    Parameters
    ----------
    mouth_mm : mm, where air leaves the pattern's foot for the base; None: nowhere.
    own_hole : whether a hole is made for it, and not the seat of a vent.
    linked : whether that hole goes on into the upper piece.
    bore_mm : mm, radius of the bore of the tubes that stand in for vent rods; 0 for rods.
    lower, upper : whether the lower (or only) and the upper piece breathe; else they are printed solid.
    """

    mouth_mm: Point | None = None
    own_hole: bool = False
    linked: bool = False
    bore_mm: float = 0.0
    lower: bool = False
    upper: bool = False

    @property
    def mouths_mm(self) -> tuple[Point, ...]:
        """Where the base is drilled for them, about the cell's axis."""
        return () if self.mouth_mm is None else (self.mouth_mm,)

    def foot_holes(self, top_mm: float) -> list[Node]:
        """The hole in the face at `top_mm`, downwards."""
        if self.mouth_mm is None or not self.own_hole:
            return []
        return [_hole(top_mm - DEEP_MM, top_mm + 1.0).at(*self.mouth_mm)]

    def linked_holes(self, low_mm: float) -> list[Node]:
        """Its other half in the face of the upper piece, upwards."""
        if self.mouth_mm is None or not self.linked:
            return []
        return [_hole(low_mm - 1.0, low_mm + DEEP_MM).at(*self.mouth_mm)]


NOTHING = Airing()


def _hole(low_mm: float, high_mm: float) -> Node:
    return cylinder(radius_mm=sizes.BREATHER_RADIUS_MM, z0_mm=low_mm, z1_mm=high_mm)


# ---------------------------------------------------------------- where


def open_airing(setup: Setup, holding: Holding, solid: SolidFacts | None) -> Airing:
    """For a pattern that is there in one pour only: a hole through foot and base."""
    if not setup.wish.breathers:
        return NOTHING
    mouth = _mouth(setup, holding, None, above_mm=0.0)
    if setup.standing.outline is None and solid is not None:
        mouth = next(iter(solid.breathers(setup.wish.scale)), None)
    return Airing(mouth_mm=mouth, own_hole=True, lower=mouth is not None)


def lidded_airing(setup: Setup, seating: Seating) -> Airing:
    """For patterns that stay for a second pour: tubes for vent rods, and a hole through foot and base."""
    if not setup.wish.breathers or not setup.ground.level:
        return NOTHING
    vents, holding = seating.vents, seating.holding
    bore = _TUBE_BORES_MM.get(vents.radius_mm, 0.0)
    if bore == 0.0:
        return NOTHING
    into_lower = vents.start_mm < -rim_mm(setup) - 1.0
    if setup.whole:
        first = vents.places[0]
        flush = abs(first.top_mm) < _FLUSH_MM
        mouth = (first.x_mm, first.y_mm) if flush else None
        return Airing(mouth_mm=mouth, bore_mm=bore, lower=flush)
    if seating.dowelled:
        mouth = _mouth(setup, holding, vents, above_mm=DEEP_MM)
        return Airing(
            mouth_mm=mouth, own_hole=True, linked=True, bore_mm=bore, lower=mouth is not None, upper=True
        )  # fmt: skip
    if not into_lower:
        return Airing(bore_mm=bore, upper=True)
    seat = next((p for p in vents.points_mm if all(math.dist(p, q) > _CLEAR_MM for q in holding.points_mm)), None)
    if seat is not None:
        return Airing(mouth_mm=seat, bore_mm=bore, lower=True)
    mouth = _mouth(setup, holding, vents, above_mm=0.0)
    return Airing(mouth_mm=mouth, own_hole=True, bore_mm=bore, lower=mouth is not None)


def _mouth(setup: Setup, holding: Holding, vents: Vents | None, *, above_mm: float) -> Point | None:
    """Room for a hole in the foot of a round pattern, and `above_mm` over it, clear of screws and vents."""
    standing, rim = setup.standing, rim_mm(setup)
    if standing.outline is None:
        return None
    high = max(0.0, -rim + above_mm + (1.0 if above_mm > 0 else 0.0))
    inner, outer = standing.body_widths.between(-rim - DEEP_MM - 1.0, high)
    room = sizes.BREATHER_RADIUS_MM + sizes.COVER_MM
    if outer - inner < 2 * room or -standing.low_mm < rim + DEEP_MM + 1.0:
        return None
    middle = (inner + outer) / 2 if inner > 0 else outer / 2
    taken = [(x, y, 3.0 if holding.first_mm > 0 else 2.0) for x, y in holding.points_mm]
    taken += [] if vents is None else [(x, y, vents.radius_mm) for x, y in vents.points_mm]
    for step in range(_ANGLES):
        angle = math.pi / 2 + 2 * math.pi * step / _ANGLES
        point = (middle * math.cos(angle), middle * math.sin(angle))
        if all(math.dist(point, (x, y)) >= r + sizes.BREATHER_RADIUS_MM + _CLEAR_MM for x, y, r in taken):
            return point
    return None


# ---------------------------------------------------------------- pieces and ways


def breathing(piece: Piece, breathes: bool, airing: bool) -> Piece:
    """A pattern that breathes, or one that is to be printed solid because it cannot; as it is where none was asked."""
    if not airing:
        return piece
    note = "drill the breather on through its skin" if breathes else "solid: no air leads out of it"
    words = "; ".join(words for words in (piece.print_note.removesuffix(", solid"), note) if words)
    return replace(piece, breather=breathes, solid_print=not breathes, print_note=words)


def tube_words(vents: Vents, airing: Airing) -> str:
    """The tube to buy."""
    return f"{2 * vents.radius_mm:g} mm tube with a bore of {2 * airing.bore_mm:g} mm, open at both ends"


def tube_solid(vents: Vents, airing: Airing, low_mm: float, high_mm: float) -> Node:
    """A rod, or a tube, between two heights."""
    if airing.bore_mm == 0.0:
        return cylinder(radius_mm=vents.radius_mm, z0_mm=low_mm, z1_mm=high_mm)
    return tube(inner_mm=airing.bore_mm, outer_mm=vents.radius_mm, z0_mm=low_mm, z1_mm=high_mm)


def ways(
    setup: Setup, frame: Frame, centres: Centres, airing: Airing, *, vents: Vents | None = None, top_mm: float = 0.0
) -> tuple[Breather, ...]:
    """The air's ways of all cells, each from inside a pattern out of the mould.

    Parameters
    ----------
    vents : of one cell, where these are tubes.
    top_mm : over which the tubes are open.
    """
    rim, found = rim_mm(setup), []
    end = frame.high_mm + sizes.FLANGE_MM + 1.0
    radius = sizes.BREATHER_RADIUS_MM - _SHORT_MM
    if airing.mouth_mm is not None and airing.lower:
        way = cylinder(radius_mm=radius, z0_mm=-rim - 1.0, z1_mm=end).at(*airing.mouth_mm)
        found.append(Breather(pour=1, way=repeated(way, centres)))
    if airing.linked and airing.mouth_mm is not None:
        way = cylinder(radius_mm=radius, z0_mm=-rim - DEEP_MM + _SHORT_MM, z1_mm=-rim + DEEP_MM - _SHORT_MM)
        found.append(Breather(pour=2, way=repeated(way.at(*airing.mouth_mm), centres)))
    if airing.bore_mm > 0 and vents is not None and (airing.lower or airing.upper):
        bore = airing.bore_mm - _SHORT_MM
        tubes = [
            cylinder(radius_mm=bore, z0_mm=vent.start_mm + _SHORT_MM, z1_mm=top_mm + 1.0).at(vent.x_mm, vent.y_mm)
            for vent in vents.places
        ]
        found.append(Breather(pour=2, way=repeated(union(*tubes), centres)))
    return tuple(found)
