"""Where the vent rods of a lidded mould stand, how deep they sit, and how the pattern is held under them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.vents import Vent, Venting, Vents, place_vents
from pourwright.catalogue.moulds.prints.patterns import Holding, hold
from pourwright.catalogue.moulds.prints.pieces import rim_mm
from pourwright.catalogue.moulds.prints.pocket import sunk_holding
from pourwright.catalogue.moulds.stand.facts import ShapedFacts, SolidFacts
from pourwright.catalogue.moulds.stand.ruled_holding import NO_PINS, Pins, shaped_holding, shaped_pins
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.engines.geometry.tree import Node, cylinder

DOWEL_RADIUS_MM = 1.5  # 3 mm stock
DOWEL_HOLE_MM = 1.6  # clears an M3 screw, leaves 0.1 mm round a 3 mm dowel
DOWEL_HALF_MM = 4.5
DOWEL_DEPTH_MM = 5.0
_THROUGH_MM = (4.0, 3.0, 2.0, 1.5)  # how deep a rod that goes through the upper piece sits in the lower one
_SEATS_MM = (sizes.ROD_SEAT_MM, 4.0, 3.0, 2.0)
_UNDER_SEAT_MM = 1.5
_EVEN, _ANY = (2, 4, 6, 8, 12), (3, 4, 6, 8, 12)
# When they are searched for, every number is tried; an even one leaves the screws on the x axis free.
_EVEN_SOUGHT, _ANY_SOUGHT = (2, 4, 6, 8, 10, 12), (2, 3, 4, 5, 6, 7, 8, 10, 12)


@dataclass(frozen=True, kw_only=True)
class Seating:
    """Vents and screws of one cell.

    `dowelled`: the upper piece is thick; rods end in it and press it down, dowels in the screw holes centre it.
    Otherwise the rods go through it into the lower piece and centre it. `pins` do so across a cut that is not level.
    """

    vents: Vents
    holding: Holding
    dowelled: bool
    foot_mm: float | None = None
    pins: Pins = NO_PINS

    def with_fewer_vents(self) -> Seating:
        """Without the vent of the smallest pocket."""
        return replace(self, vents=replace(self.vents, places=self.vents.places[:-1]))

    def with_places(self, places: tuple[Vent, ...]) -> Seating:
        """The same with vents where they were found to be needed; a screw that one would meet gives way to tape."""
        vents = replace(self.vents, places=places)
        return replace(self, vents=vents, holding=_beside(self.holding, vents))

    def venting(self, setup: Setup) -> Venting:
        """What more vents would have to keep to."""
        screw, seated = self.holding.screw, self.holding.first_mm > 0
        clear = 0.0 if screw is None or (seated and not self.dowelled) else screw.core_mm + self.vents.radius_mm + 1.0
        if self.dowelled or self.pins.places_mm:
            clear = max(clear, DOWEL_HOLE_MM + self.vents.radius_mm + 1.0)
        first = self.vents.places[0]
        return Venting(
            vents=self.vents,
            foot_mm=self.foot_mm,
            seat_mm=first.inside_mm - first.start_mm,
            counts=_EVEN_SOUGHT if setup.standing.bore_mm > 0 else _ANY_SOUGHT,
            turn_deg=None,
            clear_of_mm=(*self.holding.points_mm, *((x, y) for x, y, _ in self.pins.places_mm)),
            clear_mm=clear,
            outline=setup.standing.outline,
            found=setup.wish.vents is not None,
        )

    def dowel_probes(self, rim: float) -> list[Node]:
        """The room the dowels need in the upper piece."""
        radius = DOWEL_HOLE_MM + sizes.COVER_MM
        probe = cylinder(radius_mm=radius, z0_mm=-rim, z1_mm=-rim + DOWEL_DEPTH_MM)
        return [probe.at(x, y) for x, y in self.holding.points_mm]


def seat_vents(setup: Setup, solid: SolidFacts | None) -> Seating:
    """Vents and screws that do not meet each other, in a thick or a thin upper piece.

    Raises
    ------
    CannotBuild
        No rod has room in the part's highest face.
    """
    seating = _of_solid(setup, solid) if setup.standing.outline is None else _of_outline(setup)
    found = setup.wish.vents
    return seating if found is None else seating.with_places(found)


def _of_outline(setup: Setup) -> Seating:
    """A body of revolution: a ring of vents in its highest face, or one at its peak."""
    rim = rim_mm(setup)
    shallow = _first(setup, _SEATS_MM)
    if setup.in_pocket:
        return Seating(vents=shallow, holding=_beside(sunk_holding(setup, None), shallow), dowelled=False)
    if setup.whole:
        holding = hold(setup.standing, rim_mm=0.0)
        return Seating(vents=shallow, holding=_beside(holding, shallow), dowelled=False)
    on_axis = shallow.points_mm == ((0.0, 0.0),)
    thick = _dowelled(setup, shallow, on_axis=on_axis)
    if thick is not None:
        return thick
    through = _first(setup, [shallow.surface_mm + rim + deep for deep in _THROUGH_MM])
    seat = -rim - through.start_mm + 0.5 if on_axis else 0.0
    holding = hold(setup.standing, rim_mm=rim, seat_mm=seat, seat_radius_mm=through.radius_mm + 0.1 if on_axis else 0.0)
    return Seating(vents=through, holding=_beside(holding, through), dowelled=False, foot_mm=through.places[0].start_mm)


def _first(setup: Setup, seats_mm: Sequence[float]) -> Vents:
    """Vents with the deepest seat that the part has room for."""
    bored = setup.standing.bore_mm > 0
    for seat in seats_mm:
        try:
            return place_vents(
                setup.standing,
                radii_mm=setup.wish.rod_radii_mm,
                seat_mm=seat,
                angles=_EVEN if bored else _ANY,
                stand_off_mm=1.0,
            )
        except CannotBuild as fault:
            last = fault
    raise last


def _dowelled(setup: Setup, vents: Vents, *, on_axis: bool) -> Seating | None:
    """Rods that end in a thick upper piece; None when it is too thin, or has no room for dowels."""
    rim = rim_mm(setup)
    thickness = vents.surface_mm + rim
    least = sizes.ROD_SEAT_MM + _UNDER_SEAT_MM + (DOWEL_DEPTH_MM if on_axis else 0.0)
    if thickness < least or vents.surface_mm - vents.start_mm < sizes.ROD_SEAT_MM:
        return None
    holding = hold(setup.standing, rim_mm=rim, seat_mm=DOWEL_DEPTH_MM, seat_radius_mm=DOWEL_HOLE_MM)
    if holding.screw is None:
        return None
    inner, outer = setup.standing.body_widths.between(-rim, -rim + DOWEL_DEPTH_MM)
    at, need = holding.points_mm[0][0], DOWEL_HOLE_MM + sizes.COVER_MM
    if at + need > outer or (at > 0 and at - need < inner) or (at == 0 and inner > 0):
        return None
    return Seating(vents=vents, holding=holding, dowelled=True)


def _beside(holding: Holding, vents: Vents) -> Holding:
    """Screws that a rod would meet give way to tape; on the axis the rod sits in the screw's hole."""
    if holding.first_mm > 0 or holding.screw is None:
        return holding
    apart = holding.screw.core_mm + vents.radius_mm + 1.0
    clash = any(
        (sx - vx) ** 2 + (sy - vy) ** 2 < apart**2 for sx, sy in holding.points_mm for vx, vy in vents.points_mm
    )
    return replace(holding, screw=None, points_mm=()) if clash else holding


def _of_solid(setup: Setup, solid: SolidFacts | None) -> Seating:
    """A solid without an outline: vents at the peaks found for it, screws where they were proven."""
    if solid is not None and solid.hollows and not solid.vent_points_mm:
        least = 2 * (sizes.ROD_RADII_MM[-1] + sizes.COVER_MM)
        raise CannotBuild(
            f"the rim round the hollow of the part has no place for a vent rod: even a thin one needs {least:g} mm",
            advice=f"make the rim {least + 0.3:g} mm wide somewhere, or draw a boss there and cut it off the casts; "
            'else try another pull, or style = "two-part side-parted" under [mould]',
            field="mould.style",
        )
    if solid is None or not solid.vent_points_mm:
        raise CannotBuild(
            "the part has no place for a vent rod: nowhere below its top is it solid across "
            f"{2 * (sizes.ROD_RADII_MM[0] + 1.0):g} mm, as a rod with 1 mm of part round it needs",
            advice=f"thicken it, or draw a boss of {2 * (sizes.ROD_RADII_MM[0] + 1.0):g} mm where air ends and cut it "
            "off the casts; else try another pull",
            field="mould.style",
        )
    scale, low = setup.wish.scale, setup.standing.low_mm
    shaped = None if setup.ground.level else solid.parting(setup.wish.parting)
    if shaped is not None:
        return _of_shaped(setup, shaped)
    peaks = [(x * scale, y * scale, z * scale + low) for x, y, z in solid.vent_points_mm]
    inside = min((z * scale + low for z in solid.rod_inside_mm), default=min(z for _, _, z in peaks))
    split = setup.standing.high_mm > 0.05 and not setup.in_pocket
    start = -_THROUGH_MM[0] if split else inside - sizes.ROD_SEAT_MM
    if solid.rod_start_mm is not None:
        start = solid.rod_start_mm * scale + low
    places = tuple(Vent(x_mm=x, y_mm=y, start_mm=start, inside_mm=inside, top_mm=z) for x, y, z in peaks)
    vents = Vents(radius_mm=solid.rod_radius_mm, places=places)
    if setup.in_pocket:
        return Seating(vents=vents, holding=_beside(sunk_holding(setup, solid), vents), dowelled=False)
    points, depth = solid.screws(scale, cover=False)
    holding = hold(setup.standing, rim_mm=0.0, given_mm=points, given_depth_mm=depth)
    foot = start if split and start < 0.0 else None
    return Seating(vents=vents, holding=_beside(holding, vents), dowelled=False, foot_mm=foot)


def _of_shaped(setup: Setup, shaped: ShapedFacts) -> Seating:
    """A solid whose parting follows it: every rod has its own seat under the peak, pins centre the upper piece."""
    if not shaped.vent_points_mm:
        raise CannotBuild("no vent rod has room in the highest places of this part", advice='write parting = "flat"')
    scale, low = setup.wish.scale, setup.standing.low_mm
    inside = [z * scale + low for z in shaped.rod_inside_mm] or [z * scale + low for _, _, z in shaped.vent_points_mm]
    start = min(inside) - sizes.ROD_SEAT_MM
    if shaped.rod_start_mm is not None:
        start = shaped.rod_start_mm * scale + low
    places = tuple(
        Vent(x_mm=x * scale, y_mm=y * scale, start_mm=start, inside_mm=min(inside), top_mm=z * scale + low)
        for x, y, z in shaped.vent_points_mm
    )
    vents = Vents(radius_mm=sizes.ROD_RADII_MM[0], places=places)
    holding = _beside(shaped_holding(setup, shaped), vents)
    return Seating(vents=vents, holding=holding, dowelled=False, pins=shaped_pins(setup, shaped))
