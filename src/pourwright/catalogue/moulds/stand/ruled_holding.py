"""How patterns are split, held and centred on a parting face that is not level. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Piece
from pourwright.catalogue.moulds.prints.patterns import SCREWS, Holding
from pourwright.catalogue.moulds.prints.pieces import Centres
from pourwright.catalogue.moulds.stand.facts import ShapedFacts
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.engines.geometry.tree import Node, cylinder

PIN_RADIUS_MM = 1.5  # 3 mm stock
PIN_HOLE_MM = 1.6
_PLAY_MM = 0.25  # of a pin's length, so that it never holds the pieces apart
_FAR_MM = 1.0


@dataclass(frozen=True, kw_only=True)
class Pins:
    """Short rods across the cut that centre the upper piece on the lower one: (x, y, z) of the cut there, half length.

    None where the part is too thin for them.
    """

    places_mm: tuple[tuple[float, float, float], ...] = ()
    half_mm: float = 0.0

    def holes(self) -> list[Node]:
        """Their holes, in both pieces."""
        return [
            cylinder(radius_mm=PIN_HOLE_MM, z0_mm=z - self.half_mm, z1_mm=z + self.half_mm).at(x, y)
            for x, y, z in self.places_mm
        ]

    def probes(self) -> list[Node]:
        """The room they need inside the part."""
        radius = PIN_HOLE_MM + sizes.COVER_MM
        return [
            cylinder(radius_mm=radius, z0_mm=z - self.half_mm, z1_mm=z + self.half_mm).at(x, y)
            for x, y, z in self.places_mm
        ]


NO_PINS = Pins()


def shaped_holding(setup: Setup, shaped: ShapedFacts) -> Holding:
    """Screws from below into the lower piece, from its slanted face on; tape where none has room."""
    scale, screw = setup.wish.scale, SCREWS[0]
    points = tuple((x * scale, y * scale) for x, y in shaped.screws_mm)
    if not points:
        return Holding(screw=None, points_mm=(), depth_mm=0.0)
    tops = tuple(setup.ground.height_mm(x, y) for x, y in points)
    return Holding(screw=screw, points_mm=points, depth_mm=shaped.screw_depth_mm, tops_mm=tops)


def shaped_pins(setup: Setup, shaped: ShapedFacts) -> Pins:
    """Where pins centre the upper piece."""
    scale = setup.wish.scale
    points = [(x * scale, y * scale) for x, y in shaped.pins_mm]
    places = tuple((x, y, setup.ground.height_mm(x, y)) for x, y in points)
    return Pins(places_mm=places, half_mm=shaped.pin_half_mm if places else 0.0)


def pin_pieces(pins: Pins, centres: Centres) -> tuple[Piece, ...]:
    """The pins, cut from stock."""
    if not pins.places_mm:
        return ()
    half = pins.half_mm - _PLAY_MM
    pin = cylinder(radius_mm=PIN_RADIUS_MM, z0_mm=-half, z1_mm=half)
    return (
        Piece(
            name="dowel",
            role="vent rod",
            solid=pin,
            places_mm=tuple((cx + x, cy + y, z, 0.0) for cx, cy in centres for x, y, z in pins.places_mm),
            printed=False,
            held_by="holes across the cut",
            print_note=f"3 mm rod, {2 * half:g} mm long",
        ),
    )


def ruled_notes(setup: Setup, pins: Pins) -> list[str]:
    """What a person must know of a parting that follows the part."""
    way = "along the box" if setup.ground.axis == 0 else "across the box"
    found = [
        f"the parting is {setup.ground.kind}: it rises and falls {way}, up to {setup.ground.steepest_deg:.0f}° steep, "
        "and the base has a face to match, on which the cut patterns lie; seal the edge of each with a thin bead",
        "there is no groove for a cord along a parting that rises and falls: without its walls the mould is held by "
        "straps alone, so cast it in them",
    ]
    if len(pins.places_mm) == 1:
        found.append(
            "one pin across the cut lets the upper piece turn: set its sides flush with those of the lower one"
        )
    if not pins.places_mm:
        found.append(
            "the pattern is too thin for pins across its cut: set the upper piece by eye, sides flush, and hold it "
            "with thin double-sided tape"
        )
    return found
