"""Pieces that both mould styles have: base, walls, boards, core rods."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Fastener, Piece
from pourwright.catalogue.moulds.hollows.wells import Well, joins, strip
from pourwright.catalogue.moulds.prints.boards import board_opening, levelling_board, press_board
from pourwright.catalogue.moulds.prints.patterns import Holding, base_holes, body_of, screw_bodies, sealing_rim
from pourwright.catalogue.moulds.prints.walls import walls
from pourwright.catalogue.moulds.stand.frame import Frame, base_plate, cut, repeated
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.engines.geometry.tree import Box, Node, cylinder, frustum, union

Centres = tuple[tuple[float, float], ...]
_ROUND_ROD_MM = 1.0  # opening of the press board round the end of a core rod


def at_cells(centres: Centres) -> tuple[tuple[float, float, float, float], ...]:
    """One place at every cell."""
    return tuple((x, y, 0.0, 0.0) for x, y in centres)


def rim_mm(setup: Setup) -> float:
    """Height of the sealing rim; 0 where the part's side is not known, or where the whole pattern stays for pour 2."""
    return sizes.RIM_HEIGHT_MM if setup.standing.outline is not None and not setup.whole else 0.0


def base_piece(
    setup: Setup,
    frame: Frame,
    centres: Centres,
    holding: Holding,
    raised: Sequence[Node] = (),
    breathers_mm: Sequence[tuple[float, float]] = (),
) -> Piece:
    """The base with rims under every pattern, and whatever else stands on it; breathers go on right through it."""
    rim = rim_mm(setup)
    on_it = [*raised]
    if not setup.ground.level:
        on_it.insert(0, setup.ground.ridge(frame, centres, grow_mm=-sizes.EDGE_GAP_MM, up_mm=sizes.PLATE_MM / 2))
    if rim > 0:
        on_it.append(repeated(sealing_rim(setup.standing, body_of(setup.standing), rim), centres))
    aired = [(cx + x, cy + y, sizes.BREATHER_RADIUS_MM) for cx, cy in centres for x, y in breathers_mm]
    holes = [*base_holes(holding, centres, max(rim, -setup.ground.low_mm)), *rod_holes(setup, frame, centres)]
    holes += [
        cylinder(radius_mm=r, z0_mm=-rim - 1.0, z1_mm=frame.high_mm + sizes.FLANGE_MM + 1).at(x, y) for x, y, r in aired
    ]
    screws = [(cx + x, cy + y) for cx, cy in centres for x, y in holding.points_mm]
    head = 0.0 if holding.screw is None else holding.screw.head_mm
    return Piece(
        name="base",
        role="base",
        solid=base_plate(
            frame,
            raised=on_it,
            holes=holes,
            screws_mm=screws,
            access_mm=head,
            rods_mm=[(cx + x, cy + y, r + setup.wish.fit_mm) for cx, cy in centres for x, y, r in setup.rods_mm]
            + aired,
        ),
        touches_silicone=(1,),
        held_by="the walls stand on its flange; four M4 jack screws lift it",
        print_note="flange down; the pockets bridge without support",
        print_turn="x 180",
    )


def fasteners(setup: Setup, centres: Centres, holding: Holding) -> tuple[Fastener, ...]:
    """The screws that hold every pattern to the base."""
    tip = -rim_mm(setup) - holding.depth_mm
    return screw_bodies(holding.screw, holding.points_mm, centres, tip_mm=tip)


def wall_pieces(frame: Frame, notches: Sequence[Box] = (), holes: Sequence[Node] = ()) -> tuple[Piece, ...]:
    """The walls: two equal ones where the box allows it."""
    return tuple(
        Piece(
            name=wall.name,
            role="wall",
            solid=wall.solid,
            places_mm=wall.places_mm,
            touches_silicone=(1, 2) if notches else (1,),
            held_by="two straps in the grooves",
            print_note="standing on its end",
            leaves=wall.leaves,
            cuts=wall.cuts,
        )
        for wall in walls(frame, notches, holes)
    )


def press_board_piece(
    frame: Frame,
    layout: Layout,
    well: Well,
    *,
    keep: Sequence[Node] = (),
    sockets: Sequence[Node] = (),
) -> Piece:
    """The press board, open over wells, channels and rods but for what must be kept; sockets take ends of spindles."""
    openings = [cut(opening, *keep) for opening in board_openings(frame, layout, well)]
    return Piece(
        name="press board",
        role="press board",
        solid=press_board(frame, [*openings, *sockets]),
        held_by="two straps",
        print_note="plate down, boss up",
        print_turn="x 180",
    )


def board_openings(frame: Frame, layout: Layout, well: Well) -> list[Node]:
    """Openings over wells (2 mm wider) and over the channels between them."""
    opening = board_opening(frame, well.top_radii_mm[1] + 2.0)
    found = [opening.at(x + dx, y + dy) for x, y in layout.centres_mm for dx, dy in well.spots_mm]
    half = sizes.CHANNEL_WIDTH_MM / 2 + 2.0
    low, high = frame.fill_upper_mm - 1, frame.high_mm + sizes.BOARD_MM + 1
    found += [strip(one, other, half, low, high) for one, other in joins(layout, well)]
    found += [
        board_opening(frame, r + _ROUND_ROD_MM).at(cx + x, cy + y)
        for cx, cy in layout.centres_mm
        for x, y, r in well.rods_mm
    ]
    return found


def levelling_board_piece(frame: Frame, sockets: Sequence[Node] = ()) -> Piece:
    """The levelling board, with sockets for spindles where there are any."""
    return Piece(
        name="levelling board",
        role="levelling board",
        solid=levelling_board(frame, sockets),
        held_by="two straps",
        print_note="plate down; three M4 screws as feet",
    )


# ---------------------------------------------------------------- core rods


def core_rod_pieces(setup: Setup, top_mm: float, centres: Centres) -> tuple[Piece, ...]:
    """The metal rods through the bores, when there are any; one piece for each diameter."""
    if setup.hold is not None:
        return ()
    low, found = setup.standing.low_mm - sizes.ROD_SEAT_IN_FLOOR_MM, []
    for name, radius in zip(rod_names(setup), rod_radii_mm(setup), strict=True):
        places = [(cx + x, cy + y, 0.0, 0.0) for cx, cy in centres for x, y, r in setup.rods_mm if r == radius]
        piece = Piece(
            name=name,
            role="core rod",
            solid=cylinder(radius_mm=radius, z0_mm=low, z1_mm=top_mm),
            places_mm=tuple(places),
            printed=False,
            touches_silicone=(1, 2),
            held_by="the base's bore, then the floor and the closing piece",
        )
        found.append(piece)
    return tuple(found)


def rod_radii_mm(setup: Setup) -> list[float]:
    """The different radii of a cell's rods, the widest first."""
    return sorted({radius for _, _, radius in setup.rods_mm}, reverse=True)


def rod_names(setup: Setup) -> tuple[str, ...]:
    """The names of the pieces that core rods are."""
    count = 0 if setup.hold is not None else len(rod_radii_mm(setup))
    return tuple("core rod" if number == 1 else f"core rod {number}" for number in range(1, count + 1))


def rod_clearance(setup: Setup) -> list[Node]:
    """What widens the bores of a printed pattern so that it slides over rods or spindle; nothing without them."""
    low, high, fit = setup.lowest_mm - 1, setup.highest_mm + 1, setup.wish.fit_mm
    return [cylinder(radius_mm=r + fit, z0_mm=low, z1_mm=high).at(x, y) for x, y, r in setup.rods_mm]


def rod_holes(setup: Setup, frame: Frame, centres: Centres) -> list[Node]:
    """Holes for core rods or spindles, right through base and ribs, or through the cover; nothing without them."""
    high, fit = frame.high_mm + sizes.FLANGE_MM + 1, setup.wish.fit_mm
    holes = [cylinder(radius_mm=r + fit, z0_mm=-1.0, z1_mm=high).at(x, y) for x, y, r in setup.rods_mm]
    return [hole.at(x, y) for x, y in centres for hole in holes]


def tip_cones(setup: Setup) -> Node | None:
    """What hollows the tips of one cell's slender cores."""
    found = [_cone(core.diameter_mm / 2).at(core.x_mm, core.y_mm) for core in setup.bores if core.cone]
    return union(*found) if found else None


def _cone(bore_mm: float) -> Node:
    wide = bore_mm - 1.0
    return frustum(lower_mm=0.5 * wide, upper_mm=wide, z0_mm=-sizes.TIP_CONE_MM, z1_mm=0.0)
