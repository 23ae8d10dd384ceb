"""Two-part lidded: a lower half and a silicone lid, parted at the part's widest place, closed with keys."""

from __future__ import annotations

from dataclasses import replace

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.algebra import Solids, box_sizes, flat_lid, solids
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.hollows.breathers import lidded_airing, ways
from pourwright.catalogue.moulds.hollows.core_pieces import (
    bridge_half_width_mm,
    cast_names,
    core_names,
    core_notes,
    core_pieces,
    lower_sockets,
    upper_columns,
)
from pourwright.catalogue.moulds.hollows.keys import place_keys
from pourwright.catalogue.moulds.hollows.lid_filled import NOTE as LID_FILLED_NOTE
from pourwright.catalogue.moulds.hollows.lid_filled import lid_filled
from pourwright.catalogue.moulds.hollows.lidded_vents import Seating, seat_vents
from pourwright.catalogue.moulds.hollows.wells import Well, channels, hanging, lies_inside, needed_mm3, well_over
from pourwright.catalogue.moulds.lidded_figures import Drawn, lidded_figures
from pourwright.catalogue.moulds.prints.bridge import bar_high_mm
from pourwright.catalogue.moulds.prints.bridge import notches as bar_notches
from pourwright.catalogue.moulds.prints.lidded_pieces import (
    bridge_piece,
    dowel_pieces,
    lidded_fasteners,
    patterns_and_base,
    rod_pieces,
)
from pourwright.catalogue.moulds.prints.patterns import body_of
from pourwright.catalogue.moulds.prints.pieces import (
    core_rod_pieces,
    levelling_board_piece,
    press_board_piece,
    rim_mm,
    rod_names,
    tip_cones,
    wall_pieces,
)
from pourwright.catalogue.moulds.prints.pocket import POCKET, POCKET_NOTE, SPLIT, pattern_scheme
from pourwright.catalogue.moulds.stand.facts import Attitude, SolidFacts, lips_pass, widest_parting
from pourwright.catalogue.moulds.stand.frame import cut, repeated
from pourwright.catalogue.moulds.stand.layout import BOXES, Layout
from pourwright.catalogue.moulds.stand.ruled_algebra import (
    Formers,
    ruled_keys,
    ruled_lid,
    ruled_solids,
    taller_mm,
    taller_second,
)
from pourwright.catalogue.moulds.stand.ruled_holding import ruled_notes
from pourwright.catalogue.moulds.stand.ruled_words import ground_of, parting_reason
from pourwright.catalogue.moulds.stand.setup import (
    Setup,
    box,
    core_rod,
    keep_out_mm,
    rods_beside_mm,
    set_up,
    well_cell_mm,
    well_reach_mm,
)
from pourwright.catalogue.moulds.style import MouldStyle
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.tree import Node, union

NAME = "two-part lidded"
_ROD_OVER_LID_MM = 1.5  # rod above the lid, below the bridge bar
_LID_OVER_CORE_MM = 4.0
_STRAIGHT_BOXES = ("rectangle", "square")  # along their walls a ruled parting keeps level places for keys


def allowed(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> tuple[str, ...]:
    """What speaks against this style for a part."""
    setup = _prepared(shape, wish, solid)
    reasons = []
    if setup.standing.outline is not None:
        if not lips_pass(setup.standing.outline, 0.0):
            reasons.append("the silicone would end in a feather lip at the parting")
        stretch = setup.standing.widths.stretch_below(0.0)
    else:
        stretch = 1.0 if solid is None else solid.parting_stretch
    if stretch > wish.stretch_allowed:
        reasons.append(
            f"the lower half would have to stretch {stretch:.2f} times, more than {wish.stretch_allowed:.2f}"
        )
    try:
        seat_vents(setup, solid)
    except CannotBuild as fault:
        reasons.append(str(fault))
    return tuple(reasons)


def _prepared(shape: PartShape, wish: StyleWish, solid: SolidFacts | None) -> Setup:
    """The part standing with its widest place at z = 0."""
    if shape.outline is not None:
        attitude = widest_parting(shape.outline)
    elif solid is not None:
        return _stood(shape, wish, solid)
    else:
        attitude = Attitude(False, shape.size_mm[2])
    return set_up(shape, wish, solid, attitude, lidded=True)


def _stood(shape: PartShape, wish: StyleWish, solid: SolidFacts) -> Setup:
    """A solid with its flat parting at z = 0, or with the highest place of one that follows it."""
    flat = set_up(shape, wish, solid, Attitude(solid.turned, solid.parting_mm), lidded=True)
    shaped = solid.parting(wish.parting)
    if shaped is None or (flat.rods_mm and wish.parting is None):
        return replace(flat, pads_mm=tuple((x * wish.scale, y * wish.scale) for x, y in solid.pads_mm))
    if flat.rods_mm:
        raise CannotBuild(
            f"metal rods stand in this part's bores, and a {wish.parting} parting goes with silicone cores only",
            advice='leave parting out, or write bore_core = "silicone"',
            field="parting",
            value=wish.parting,
        )
    setup = set_up(shape, wish, solid, Attitude(solid.turned, shaped.level_mm), lidded=True)
    return replace(setup, ground=ground_of(setup, shaped))


def build(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> MouldDesign:
    """The whole mould."""
    drawn, scheme, reason = _schemed(_prepared(shape, wish, solid), solid)
    setup, frame, layout = drawn.setup, drawn.boxed.frame, drawn.boxed.layout
    centres, vents, well = layout.centres_mm, drawn.seating.vents, drawn.well
    formers = _with_hollows(drawn, _first_formers(drawn))
    rods = union(*vents.rods(well.floor_mm))
    wells = union(repeated(well.solid(), centres), *channels(layout, well))
    second = union(wells, repeated(rods, centres))
    pieces = _pieces(drawn)
    return MouldDesign(
        style=NAME,
        cavities=wish.cavities,
        scale=wish.scale,
        part=setup.shape.node,
        **_solids(drawn, formers, second),
        **box_sizes(frame),
        closing_is_silicone=True,
        cavity_bodies=hanging(layout, well),
        pieces=pieces,
        centres_mm=centres,
        vents=repeated(cut(rods, setup.standing.cell), centres),
        wells=wells,
        vent_points_mm=vents.outlets(centres),
        containment=_containment(drawn),
        release_groups=_release_groups(drawn, formers, second),
        figures=lidded_figures(drawn),
        notes=_notes(drawn),
        states=_states(drawn, pieces),
        layouts=drawn.boxed.tried,
        rooms=drawn.boxed.rooms,
        layout=layout,
        venting=drawn.seating.venting(setup),
        ground=setup.ground,
        hollow=drawn.hollow,
        parting_reason=parting_reason(setup, solid),
        fasteners=lidded_fasteners(setup, centres, drawn.seating.holding),
        breathers=ways(setup, frame, centres, drawn.airing, vents=vents, top_mm=bar_high_mm(frame)),
        pattern_scheme=scheme,
        pattern_reason=reason,
    )


def _schemed(setup: Setup, solid: SolidFacts | None) -> tuple[Drawn, str, str]:
    """Everything drawn for the way in which the pattern is made, with that way and why."""
    scheme, reason = pattern_scheme(setup, solid)
    drawn = _draw(replace(setup, in_pocket=scheme == POCKET), solid)
    if scheme == POCKET and drawn.boxed.frame.cuts and setup.wish.pattern is None:
        return _draw(setup, solid), SPLIT, "a base that is printed in parts has no room for pockets"
    return drawn, scheme, reason


def _with_hollows(drawn: Drawn, printed: Node) -> Node:
    """All that keeps silicone out of the lower half and lets the lid grow into it: printed formers, and hollows."""
    if drawn.hollow is None:
        return printed
    return printed | repeated(drawn.hollow, drawn.boxed.layout.centres_mm)


def _solids(drawn: Drawn, formers: Node, second: Node) -> Solids:
    setup, frame, centres = drawn.setup, drawn.boxed.frame, drawn.boxed.layout.centres_mm
    if setup.ground.level:
        return solids(setup, frame, centres, rod=drawn.rod, first=formers, second=second)
    return ruled_solids(setup, frame, centres, _wet(drawn, formers, second))


def _release_groups(drawn: Drawn, formers: Node, second: Node) -> dict[str, Node]:
    """What shapes the closing piece where it meets the lower half."""
    setup, frame, centres = drawn.setup, drawn.boxed.frame, drawn.boxed.layout.centres_mm
    if setup.ground.level:
        flat = flat_lid(setup, frame, centres, rod=drawn.rod, second=second)
        return {"parting": flat, **_release_below(drawn)}
    wet = _wet(drawn, formers, second)
    return {"parting": ruled_lid(setup, frame, centres, wet), "keys": ruled_keys(setup, frame, centres, wet)}


def _wet(drawn: Drawn, formers: Node, second: Node) -> Formers:
    """All formers as a parting that is not level needs them."""
    high = taller_mm(drawn.boxed.frame, drawn.setup.ground)
    taller = taller_second(drawn.boxed.layout, drawn.well, drawn.seating.vents, high)
    return Formers(first=formers, second=second, first_levelled=drawn.keys.levelled(), second_taller=taller)


def _draw(setup: Setup, solid: SolidFacts | None) -> Drawn:
    high = max(0.0, setup.standing.high_mm)
    floor = max(high + sizes.LID_UNDER_WELL_MM, setup.core_high_mm + _LID_OVER_CORE_MM)
    seating, well = _seated(setup, seat_vents(setup, solid), floor)
    lift = high + sizes.LID_OVER_PART_MM - well.top_mm
    if lift > 0:
        well = _well(setup, seating, floor + lift)
    boxed = box(
        setup,
        fill_upper_mm=well.top_mm,
        side_mm=setup.wish.wall_mm,
        accepts=lambda layout: _has_room(setup, layout, well),
        boxes=BOXES if setup.ground.level else _STRAIGHT_BOXES,
        # A bead along the walls, and ticks, would have to rise and fall with the parting.
        seam_mm=sizes.SEAM_MM if setup.ground.level else 0.0,
        ticked=setup.ground.level,
    )
    keys = place_keys(boxed.layout, setup.standing, setup.ground)
    if keys is None:
        raise CannotBuild("the box has no room for a key", advice="leave more silicone beside the cavities")
    rod = core_rod(setup, well.top_mm + _ROD_OVER_LID_MM)
    airing = lidded_airing(setup, seating)
    hollow = None if solid is None else lid_filled(solid.hollows, setup.wish.scale)
    return Drawn(setup=setup, seating=seating, well=well, boxed=boxed, keys=keys, rod=rod, airing=airing, hollow=hollow)


def _has_room(setup: Setup, layout: Layout, well: Well) -> bool:
    """Whether wells and keys have room, and the parting can go on from cell to cell."""
    fits = lies_inside(layout, well) and setup.ground.suits(layout)
    return fits and place_keys(layout, setup.standing, setup.ground) is not None


def _seated(setup: Setup, seating: Seating, floor_mm: float) -> tuple[Seating, Well]:
    """As many of a solid's vents as leave each other room for wells."""
    while True:
        try:
            return seating, _well(setup, seating, floor_mm)
        except CannotBuild:
            if setup.standing.outline is not None or len(seating.vents.points_mm) == 1:
                raise
            seating = seating.with_fewer_vents()


def _well(setup: Setup, seating: Seating, floor_mm: float) -> Well:
    return well_over(
        seating.vents,
        floor_mm=floor_mm,
        need_mm3=needed_mm3(setup.wish, setup.standing.volume_mm3),
        keep_out_mm=keep_out_mm(setup),
        rods_mm=rods_beside_mm(setup),
        most_outer_mm=well_reach_mm(setup),
        cell_mm=well_cell_mm(setup),
    )


def _first_formers(drawn: Drawn) -> Node:
    """Keys, and the cones that hollow slender core tips."""
    found = [drawn.keys.solid()]
    cones = tip_cones(drawn.setup)
    if cones is not None:
        found.append(repeated(cones, drawn.boxed.layout.centres_mm))
    return union(*found)


def _release_below(drawn: Drawn) -> dict[str, Node]:
    """What the lid grows into below the parting, by what formed it."""
    found = {"keys": drawn.keys.solid()}
    cones = tip_cones(drawn.setup)
    if cones is not None:
        found["core tips"] = repeated(cones, drawn.boxed.layout.centres_mm)
    return found


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    setup, frame, layout, well = drawn.setup, drawn.boxed.frame, drawn.boxed.layout, drawn.well
    centres, airing = layout.centres_mm, drawn.airing
    keep, sockets = upper_columns(setup, frame, centres, well.top_radii_mm[1] + 2.0)
    return (
        *patterns_and_base(setup, frame, centres, drawn.seating, airing, _first_formers(drawn)),
        *wall_pieces(frame, bar_notches(frame, layout, well, bridge_half_width_mm(setup))),
        bridge_piece(setup, frame, layout, well, drawn.seating.vents, airing),
        press_board_piece(frame, layout, well, keep=keep, sockets=sockets),
        levelling_board_piece(frame, lower_sockets(setup, frame, centres)),
        *rod_pieces(frame, centres, drawn.seating.vents, airing),
        *dowel_pieces(setup, centres, drawn.seating),
        *core_rod_pieces(setup, well.top_mm + _ROD_OVER_LID_MM, centres),
        *core_pieces(setup, frame, centres),
    )


def _states(drawn: Drawn, pieces: tuple[Piece, ...]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    names = [piece.name for piece in pieces]
    walls = tuple(name for name in names if name.endswith("wall"))
    rods, last = ((*rod_names(drawn.setup), *core_names(drawn.setup, pour=pour)) for pour in (1, 2))
    vents = tuple(name for name in names if name.startswith("vent rod"))
    bars = tuple(name for name in names if name.startswith("bridge"))
    patterns = tuple(name for name in names if "pattern" in name)
    dowels = tuple(name for name in names if name == "dowel")
    return (
        ("pour 1", (patterns[0], "base", *walls, *rods)),
        ("pour 2", (*patterns, *bars, *vents, *dowels, *walls, "levelling board", *last)),
        ("cast closed", (*walls, "press board", "levelling board", *last, *cast_names(drawn.setup))),
    )


def _containment(drawn: Drawn) -> tuple[tuple[str, Node, Node], ...]:
    body = body_of(drawn.setup.standing)
    found = []
    face = drawn.setup.standing.high_mm if drawn.setup.in_pocket else -rim_mm(drawn.setup)
    probes = drawn.seating.holding.probes(face)
    if probes:
        found.append(("screw", union(*probes), body))
    if drawn.seating.dowelled:
        found.append(("dowel", union(*drawn.seating.dowel_probes(rim_mm(drawn.setup))), body))
    pins = drawn.seating.pins.probes()
    if pins:
        found.append(("dowel", union(*pins), body))
    found.append(("vent rod", union(*drawn.seating.vents.probes()), body))
    return tuple(found)


def _notes(drawn: Drawn) -> tuple[str, ...]:
    setup, found = drawn.setup, []
    if not setup.ground.level:
        found += ruled_notes(setup, drawn.seating.pins)
    elif setup.in_pocket:
        found.append(POCKET_NOTE)
    elif setup.standing.outline is None:
        found.append("the patterns stand flat on the base without a sealing rim: seal their edge with a thin bead")
    if drawn.hollow is not None:
        found.append(LID_FILLED_NOTE)
    if setup.whole:
        found.append("the part has no rounding above the parting: the pattern is one piece and stays for both pours")
    if drawn.seating.holding.screw is None:
        found.append("there is no room for a screw: the pattern is held by thin double-sided tape")
    return (*found, *core_notes(setup))


STYLE = MouldStyle(
    name=NAME,
    words="A lower half and a silicone lid with keys, parted where the part is widest; vents rise into wells.",
    allowed=allowed,
    build=build,
    effort=3,
    last_resort=True,
)
