"""Pieces that only a lidded mould has: split patterns, bridge bars, vent rods and dowels."""

from __future__ import annotations

from pourwright.catalogue.moulds.design import Fastener, Piece
from pourwright.catalogue.moulds.hollows.breathers import Airing, breathing, tube_solid, tube_words
from pourwright.catalogue.moulds.hollows.core_pieces import bridge_half_width_mm, bridge_pockets
from pourwright.catalogue.moulds.hollows.lidded_vents import (
    DOWEL_DEPTH_MM,
    DOWEL_HALF_MM,
    DOWEL_HOLE_MM,
    DOWEL_RADIUS_MM,
    Seating,
)
from pourwright.catalogue.moulds.hollows.vents import Vents
from pourwright.catalogue.moulds.hollows.wells import Well
from pourwright.catalogue.moulds.prints.bridge import bar_high_mm, bridge, rod_top_mm
from pourwright.catalogue.moulds.prints.patterns import Holding, above, below, body_of, reach_of
from pourwright.catalogue.moulds.prints.pieces import Centres, at_cells, base_piece, fasteners, rim_mm, rod_clearance
from pourwright.catalogue.moulds.prints.pocket import pocket_base, pocket_fasteners, pocket_pattern
from pourwright.catalogue.moulds.stand.frame import Frame, cut
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.stand.ruled_holding import pin_pieces
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.engines.geometry.tree import Node, cylinder

_ON_SUPPORT = "its cut face is not level: support under it, or another side down where the advice says so"


def patterns_and_base(
    setup: Setup, frame: Frame, centres: Centres, seating: Seating, airing: Airing, formers: Node
) -> tuple[Piece, ...]:
    """The patterns, and the base on which they stand, or in whose pockets."""
    if setup.in_pocket:
        return (
            pocket_pattern(setup, centres, seating.holding, _rod_seats(setup, seating)),
            pocket_base(setup, frame, centres, seating.holding, [formers]),
        )
    mouths = airing.mouths_mm if airing.lower else ()
    return (
        lower_pattern(setup, centres, seating, airing),
        *upper_pattern(setup, centres, seating, airing),
        base_piece(setup, frame, centres, seating.holding, raised=[formers], breathers_mm=mouths),
    )


def lidded_fasteners(setup: Setup, centres: Centres, holding: Holding) -> tuple[Fastener, ...]:
    """The screws that hold every pattern to the base."""
    return pocket_fasteners(centres, holding) if setup.in_pocket else fasteners(setup, centres, holding)


def lower_pattern(setup: Setup, centres: Centres, seating: Seating, airing: Airing) -> Piece:
    """What stands on the base in the first pour; the whole pattern when nothing rises above the parting."""
    rim, standing = rim_mm(setup), setup.standing
    body, ground = body_of(standing), setup.ground
    drawn = body if setup.whole else below(body, -rim, reach_of(standing))
    if not ground.level:
        drawn = cut(body, ground.over_cell(reach_of(standing)))
    holes = [*seating.holding.holes(-rim), *airing.foot_holes(-rim)]
    piece = Piece(
        name="pattern" if setup.whole else "lower pattern",
        role="pattern",
        solid=cut(drawn, *holes, *_rod_seats(setup, seating), *rod_clearance(setup), *seating.pins.holes()),
        places_mm=at_cells(centres),
        touches_silicone=(1, 2) if setup.whole else (1,),
        held_by=seating.holding.words,
        print_note="cut face down" if ground.level else _ON_SUPPORT,
        print_turn="x 180",
        rests_on=() if ground.level else ("base",),
    )
    return breathing(piece, airing.lower, setup.wish.breathers)


def upper_pattern(setup: Setup, centres: Centres, seating: Seating, airing: Airing) -> tuple[Piece, ...]:
    """What stands on the lower piece in the second pour; it carries the slice of the sealing rim."""
    if setup.whole:
        return ()
    rim, standing = rim_mm(setup), setup.standing
    drawn = above(body_of(standing), -rim, reach_of(standing))
    if not setup.ground.level:
        drawn = body_of(standing) & setup.ground.over_cell(reach_of(standing))
    tools = [*_rod_seats(setup, seating), *rod_clearance(setup), *seating.pins.holes(), *airing.linked_holes(-rim)]
    held = "vent rods through it into the lower piece, and thin tape on its cut face"
    if seating.dowelled:
        hole = cylinder(radius_mm=DOWEL_HOLE_MM, z0_mm=-rim - 1, z1_mm=-rim + DOWEL_DEPTH_MM)
        tools += [hole.at(x, y) for x, y in seating.holding.points_mm]
        held = "vent rods that the bridge bar presses down; dowels in the screw holes centre it"
    if seating.pins.places_mm:
        held = "vent rods that the bridge bar presses down; dowels across the cut centre it"
    piece = Piece(
        name="upper pattern",
        role="pattern",
        solid=cut(drawn, *tools),
        places_mm=at_cells(centres),
        touches_silicone=(2,),
        held_by=held,
        print_note="cut face down, solid" if setup.ground.level else f"{_ON_SUPPORT}; solid",
        rests_on=() if setup.ground.level else ("lower pattern",),
    )
    return (breathing(piece, airing.upper, setup.wish.breathers),)


def _rod_seats(setup: Setup, seating: Seating) -> list[Node]:
    return seating.vents.rods(max(0.0, setup.standing.high_mm) + 1, grow_mm=0.1)


def bridge_piece(setup: Setup, frame: Frame, layout: Layout, well: Well, vents: Vents, airing: Airing) -> Piece:
    """The bar over every row of cells, in one piece with the formers of wells and channels; open over tubes."""
    least, pockets = bridge_half_width_mm(setup), bridge_pockets(setup, frame)
    if airing.bore_mm > 0:
        through = cylinder(radius_mm=airing.bore_mm, z0_mm=rod_top_mm(frame) - 1, z1_mm=bar_high_mm(frame) + 1)
        pockets = [*pockets, *(through.at(x, y) for x, y in vents.points_mm)]
    return Piece(
        name="bridge bar",
        role="bridge",
        solid=bridge(frame, layout, well, vents, setup.wish.fit_mm, least_half_mm=least, pockets=pockets),
        touches_silicone=(2,),
        held_by="notches in the walls' rims, a strap over each end",
        print_note="flat top down, collars up; solid",
        print_turn="x 180",
    )


def rod_pieces(frame: Frame, centres: Centres, vents: Vents, airing: Airing) -> tuple[Piece, ...]:
    """The vent rods, or the tubes that breathe for the patterns, cut from stock; one piece for each length."""
    found = []
    words = tube_words(vents, airing) if airing.bore_mm > 0 else f"{2 * vents.radius_mm:g} mm rod"
    for number, places in enumerate(vents.by_length(), start=1):
        rod = tube_solid(vents, airing, places[0].start_mm, rod_top_mm(frame))
        found.append(
            Piece(
                name="vent rod" if number == 1 else f"vent rod {number}",
                role="vent rod",
                solid=rod,
                places_mm=tuple((cx + v.x_mm, cy + v.y_mm, 0.0, 0.0) for cx, cy in centres for v in places),
                printed=False,
                touches_silicone=(2,),
                held_by="the seat in the pattern and the bridge bar",
                print_note=words,
            )
        )
    return tuple(found)


def dowel_pieces(setup: Setup, centres: Centres, seating: Seating) -> tuple[Piece, ...]:
    """Short rods in the screw holes that centre the upper piece on the lower one."""
    if not setup.ground.level:
        return pin_pieces(seating.pins, centres)
    if not seating.dowelled:
        return ()
    rim = rim_mm(setup)
    dowel = cylinder(radius_mm=DOWEL_RADIUS_MM, z0_mm=-rim - DOWEL_HALF_MM, z1_mm=-rim + DOWEL_HALF_MM)
    places = tuple((cx + x, cy + y, 0.0, 0.0) for cx, cy in centres for x, y in seating.holding.points_mm)
    return (
        Piece(
            name="dowel",
            role="vent rod",
            solid=dowel,
            places_mm=places,
            printed=False,
            held_by="the screw hole",
            print_note="3 mm rod, 9 mm long",
        ),
    )
