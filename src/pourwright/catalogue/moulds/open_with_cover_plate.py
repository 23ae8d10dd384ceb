"""Open with cover plate: one silicone pour over patterns on a base; the cast is closed by a printed plate."""

from __future__ import annotations

import math
from dataclasses import replace

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.algebra import box_sizes, solids
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.figures import common_figures
from pourwright.catalogue.moulds.hollows.breathers import Airing, breathing, open_airing, ways
from pourwright.catalogue.moulds.hollows.core_pieces import (
    cast_names,
    core_figures,
    core_names,
    core_notes,
    core_pieces,
    cover_recesses,
    lower_sockets,
)
from pourwright.catalogue.moulds.hollows.lid_filled import AGAINST
from pourwright.catalogue.moulds.hollows.vents import Vent, Venting, Vents, place_vents
from pourwright.catalogue.moulds.hollows.wells import Well, channels, hanging, lies_inside, needed_mm3, well_over
from pourwright.catalogue.moulds.prints.patterns import (
    Holding,
    below,
    body_of,
    hold,
    reach_of,
)
from pourwright.catalogue.moulds.prints.pieces import (
    at_cells,
    base_piece,
    core_rod_pieces,
    fasteners,
    levelling_board_piece,
    press_board_piece,
    rim_mm,
    rod_clearance,
    rod_holes,
    rod_names,
    wall_pieces,
)
from pourwright.catalogue.moulds.stand.facts import Attitude, SolidFacts, flat_mouth, lips_pass
from pourwright.catalogue.moulds.stand.frame import Frame, cut, repeated
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.stand.setup import (
    Setup,
    box,
    core_rod,
    keep_out_mm,
    rods_beside_mm,
    set_up,
    sharpened_shape,
    well_cell_mm,
    well_reach_mm,
)
from pourwright.catalogue.moulds.style import MouldStyle
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.tree import Node, union

NAME = "open with cover plate"
_NARROW_MM = 2 * (sizes.NARROW_VENT_RADIUS_MM + sizes.NARROW_VENT_MARGIN_MM)
_NO_VENT = f"no vent has room over the flat face of this solid: it is nowhere {_NARROW_MM:.1f} mm wide"
_COUNTS = (3, 4, 6, 8, 12, 16)  # vents on a ring, by rule
_COUNTS_SOUGHT = (1, 2, 3, 4, 5, 6, 7, 8, 10, 12)


def allowed(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> tuple[str, ...]:
    """What speaks against this style for a part."""
    if wish.mouth == "tangent":
        return ("the mouth was asked to lie where the edge radius begins",)
    if not wish.flat_face:
        return ("no flat face may carry the trim line",)
    if shape.outline is None:
        share, lips, stretch = (0.0, True, 1.0) if solid is None else (solid.flat_share, solid.lips_pass, solid.stretch)
    else:
        setup = prepared(shape, wish, solid)
        share = flat_mouth(setup.shape.outline)[1] if setup.shape.outline else 0.0
        lips = setup.standing.outline is not None and lips_pass(setup.standing.outline, 0.0)
        stretch = setup.standing.widths.stretch_below(0.0)
    reasons = []
    if share < sizes.FLAT_SHARE:
        reasons.append(f"its widest flat face covers only {100 * share:.0f} % of the part's shadow")
    if not lips:
        reasons.append("the silicone behind the rounded edge at the mouth would end in a feather lip")
    if stretch > wish.stretch_allowed:
        reasons.append(f"the silicone would have to stretch {stretch:.2f} times, more than {wish.stretch_allowed:.2f}")
    if solid is not None and solid.hollows:
        reasons.append(AGAINST)
    if solid is not None and not _has_vents(solid):
        reasons.append(_NO_VENT)
    return tuple(reasons)


def _has_vents(solid: SolidFacts) -> bool:
    return bool(solid.cover_vent_points_mm or solid.narrow_vent_points_mm or solid.vent_points_mm)


def prepared(shape: PartShape, wish: StyleWish, solid: SolidFacts | None) -> Setup:
    """The part with its wide flat face up at z = 0."""
    if shape.outline is None:
        turned = False if solid is None else solid.turned
        return set_up(shape, wish, solid, Attitude(turned, shape.size_mm[2]), lidded=False)
    attitude, _ = flat_mouth(shape.outline)
    if wish.mouth == "sharp":
        shape = sharpened_shape(shape, upper=not attitude.turned)
    return set_up(shape, wish, solid, attitude, lidded=False)


def build(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> MouldDesign:
    """The whole mould."""
    setup = prepared(shape, wish, solid)
    standing = setup.standing
    if setup.shape.outline is not None and flat_mouth(setup.shape.outline)[1] == 0.0:
        raise CannotBuild("the part has no flat face that a cover plate could close", advice="take the lidded style")
    vents = _vents(setup, solid)
    need = needed_mm3(wish, standing.volume_mm3)
    well = _well(setup, vents, need)
    boxed = box(
        setup,
        fill_upper_mm=well.top_mm,
        side_mm=wish.wall_mm,
        accepts=lambda layout: lies_inside(layout, well),
        seam_mm=sizes.SEAM_MM,
    )
    frame, layout = boxed.frame, boxed.layout
    centres = layout.centres_mm
    rod = core_rod(setup, _rod_top_mm(frame))
    vent_voids = repeated(union(*vents.rods(well.floor_mm)), centres)
    wells = union(repeated(well.solid(), centres), *channels(layout, well))
    voids = wells | vent_voids
    holding = flat_holding(setup, solid)
    airing = open_airing(setup, holding, solid)
    pieces = _pieces(setup, frame, layout, holding, voids, well, airing)
    return MouldDesign(
        style=NAME,
        cavities=wish.cavities,
        scale=wish.scale,
        part=setup.shape.node,
        **solids(setup, frame, centres, rod=rod, first=None, second=voids),
        **box_sizes(frame),
        closing_is_silicone=False,
        cavity_bodies=hanging(layout, well),
        pieces=pieces,
        centres_mm=centres,
        vents=vent_voids,
        wells=wells,
        vent_points_mm=vents.outlets(centres),
        containment=_containment(setup, holding, vents, solid),
        figures=common_figures(setup, boxed, holding=holding, vents=vents, well=well, need_mm3=need)
        | core_figures(setup, frame),
        notes=(*flat_notes(setup, holding, shape), *core_notes(setup)),
        states=_states(setup, pieces),
        layouts=boxed.tried,
        rooms=boxed.rooms,
        layout=layout,
        venting=_venting(setup, vents),
        fasteners=fasteners(setup, centres, holding),
        breathers=ways(setup, frame, centres, airing),
    )


def _well(setup: Setup, vents: Vents, need_mm3: float) -> Well:
    floor = max(sizes.OPEN_FLOOR_MM, sizes.COVER_LEAST_MM - sizes.WELL_LEAST_DEPTH_MM, setup.core_high_mm + 2.0)
    return well_over(
        vents,
        floor_mm=floor,
        need_mm3=need_mm3,
        keep_out_mm=keep_out_mm(setup),
        rods_mm=rods_beside_mm(setup),
        most_outer_mm=well_reach_mm(setup),
        cell_mm=well_cell_mm(setup),
    )


def _vents(setup: Setup, solid: SolidFacts | None) -> Vents:
    by_rule, found = _vents_by_rule(setup, solid), setup.wish.vents
    return by_rule if found is None else replace(by_rule, places=found)


def _venting(setup: Setup, vents: Vents) -> Venting:
    return Venting(
        vents=vents,
        foot_mm=None,
        seat_mm=0.0,
        counts=_COUNTS_SOUGHT,
        turn_deg=90.0,
        outline=setup.standing.outline,
        found=setup.wish.vents is not None,
        margin_mm=_margin_mm(setup, vents),
    )


def _margin_mm(setup: Setup, vents: Vents) -> float:
    """Face left beside a vent: less on the narrow rim of a solid from a file."""
    narrow = setup.standing.outline is None and vents.radius_mm < sizes.OPEN_VENT_RADIUS_MM
    return sizes.NARROW_VENT_MARGIN_MM if narrow else sizes.COVER_MM


def _vents_by_rule(setup: Setup, solid: SolidFacts | None) -> Vents:
    if setup.standing.outline is None:
        return _over_face(setup, solid)
    return place_vents(
        setup.standing,
        radii_mm=(sizes.OPEN_VENT_RADIUS_MM, 0.5),
        seat_mm=0.0,
        angles=_COUNTS,
        stand_off_mm=0.0,
    )


def _over_face(setup: Setup, solid: SolidFacts | None) -> Vents:
    """Over the flat face of a solid: wide ones where it has room for them, else narrow ones."""
    given: tuple[tuple[float, float], ...] = ()
    radius, scale = sizes.OPEN_VENT_RADIUS_MM, setup.wish.scale
    if solid is not None:
        given = solid.cover_vent_points_mm or tuple((x, y) for x, y, _ in solid.vent_points_mm)
        if solid.narrow_vent_points_mm and (not given or setup.wish.most_rod_mm < radius):
            given, radius = solid.narrow_vent_points_mm, sizes.NARROW_VENT_RADIUS_MM
    if not given:
        raise CannotBuild(_NO_VENT, advice="widen it there, or draw a tab of that width and cut it off the casts")
    places = tuple(Vent(x_mm=x * scale, y_mm=y * scale, start_mm=0.0, inside_mm=0.0, top_mm=0.0) for x, y in given)
    return Vents(radius_mm=radius, places=places)


def flat_holding(setup: Setup, solid: SolidFacts | None) -> Holding:
    """How a pattern whose flat face lies on the base is held to it."""
    points, depth = ((), math.inf) if solid is None else solid.screws(setup.wish.scale, cover=True)
    return hold(setup.standing, rim_mm=rim_mm(setup), given_mm=points, given_depth_mm=depth)


def _containment(
    setup: Setup, holding: Holding, vents: Vents, solid: SolidFacts | None
) -> tuple[tuple[str, Node, Node], ...]:
    body = body_of(setup.standing)
    probes = holding.probes(-rim_mm(setup))
    found = [("screw", union(*probes), body)] if probes else []
    if setup.standing.outline is not None:
        found.append(("vent", union(*vents.probes()), setup.standing.cell))
    return tuple(found)


# ---------------------------------------------------------------- pieces


def _pieces(
    setup: Setup,
    frame: Frame,
    layout: Layout,
    holding: Holding,
    voids: Node,
    well: Well,
    airing: Airing,
) -> tuple[Piece, ...]:
    centres = layout.centres_mm
    found = [
        flat_pattern(setup, centres, holding, airing),
        base_piece(setup, frame, centres, holding, breathers_mm=airing.mouths_mm),
        *wall_pieces(frame),
        _cover(setup, frame, centres, voids),
        press_board_piece(frame, layout, well),
        levelling_board_piece(frame, lower_sockets(setup, frame, centres)),
    ]
    return (*found, *core_rod_pieces(setup, _rod_top_mm(frame), centres), *core_pieces(setup, frame, centres))


def _rod_top_mm(frame: Frame) -> float:
    return frame.fill_upper_mm + sizes.ROD_GRIP_MM


def flat_pattern(setup: Setup, centres: tuple[tuple[float, float], ...], holding: Holding, airing: Airing) -> Piece:
    """The pattern, whole, with its flat face on the rims of the base."""
    standing, rim = setup.standing, rim_mm(setup)
    body = body_of(standing)
    drawn = below(body, -rim, reach_of(standing)) if rim > 0 else body
    piece = Piece(
        name="pattern",
        role="pattern",
        solid=cut(drawn, *holding.holes(-rim), *airing.foot_holes(-rim), *rod_clearance(setup)),
        places_mm=at_cells(centres),
        touches_silicone=(1,),
        held_by=holding.words,
        print_note="cut face down, seam line on the side away from the flat face",
        print_turn="x 180",
    )
    return breathing(piece, airing.lower, setup.wish.breathers)


def _cover(setup: Setup, frame: Frame, centres: tuple[tuple[float, float], ...], voids: Node) -> Piece:
    tools: list[Node] = [voids, *rod_holes(setup, frame, centres)]
    tools += cover_recesses(setup, centres)
    return Piece(
        name="cover plate",
        role="cover plate",
        solid=cut(frame.edge(frame.fill_upper_mm), *tools),
        held_by="the press board",
        print_note="flat face down on a smooth bed: it moulds the part's face",
    )


def _states(setup: Setup, pieces: tuple[Piece, ...]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    walls = tuple(piece.name for piece in pieces if piece.role == "wall")
    rods = (*rod_names(setup), *core_names(setup, pour=1))
    return (
        ("pour 1", ("pattern", "base", *walls, *rods)),
        ("cast closed", (*walls, "cover plate", "press board", "levelling board", *rods, *cast_names(setup))),
    )


def flat_notes(setup: Setup, holding: Holding, shape: PartShape) -> tuple[str, ...]:
    """What to say of a pattern whose flat face lies on the base: its mouth, its edge, and what holds it."""
    found = []
    if setup.wish.mouth == "sharp" and shape.outline is not None and setup.shape.node != shape.node:
        found.append("the edge at the mouth is cast sharp, not rounded as drawn")
    if setup.standing.outline is None:
        found.append("the pattern stands flat on the base without a sealing rim: seal its edge with a thin bead")
    if holding.screw is None:
        found.append("there is no room for a screw: the pattern is held by thin double-sided tape")
    return tuple(found)


STYLE = MouldStyle(
    name=NAME,
    words="One silicone pour over patterns on a base; the cast is closed by a printed plate with vents and wells.",
    allowed=allowed,
    build=build,
    effort=2,
    why="one flat face as wide as the part can carry the trim line: one pour, fewer pieces",
)
