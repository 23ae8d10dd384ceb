"""One-part open: one silicone pour over patterns on a base, cast with an open mouth and struck off level."""

from __future__ import annotations

import math
from dataclasses import replace

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.algebra import box_sizes, solids
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.figures import common_figures
from pourwright.catalogue.moulds.hollows.breathers import Airing, open_airing, ways
from pourwright.catalogue.moulds.hollows.wells import needed_mm3
from pourwright.catalogue.moulds.open_with_cover_plate import allowed as under_a_cover
from pourwright.catalogue.moulds.open_with_cover_plate import flat_holding, flat_notes, flat_pattern, prepared
from pourwright.catalogue.moulds.prints.patterns import Holding, body_of
from pourwright.catalogue.moulds.prints.pieces import (
    Centres,
    base_piece,
    core_rod_pieces,
    fasteners,
    levelling_board_piece,
    rim_mm,
    rod_names,
    wall_pieces,
)
from pourwright.catalogue.moulds.stand.facts import SolidFacts, flat_mouth
from pourwright.catalogue.moulds.stand.frame import Frame
from pourwright.catalogue.moulds.stand.layout import RECTANGLE, SQUARE
from pourwright.catalogue.moulds.stand.setup import Boxed, Setup, box, core_rod
from pourwright.catalogue.moulds.style import MouldStyle
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.tree import Box, Node, union

NAME = "one-part open"
_ROD_GRIP_MM = 4.0  # rod standing out above the walls, to draw it by
_STRAIGHT = (RECTANGLE, SQUARE)  # a bar slides from end to end only between straight walls
_BAR_HALF_MM, _BAR_HIGH_MM = 4.0, 8.0  # strike-off bar, half its width, and its height over the walls
_AS_IT_SETS = (
    "one face of the part is not moulded: it stays as the resin sets in the air, dished or proud, with what "
    "bubbles rise to it, and is cut or sanded flat afterwards"
)


def allowed(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> tuple[str, ...]:
    """What speaks against this style for a part."""
    if not wish.free_face:
        return ("every face is to be moulded, while this style leaves one as it sets in the air (free_face)",)
    reasons = list(under_a_cover(shape, wish, solid))
    if shape.core is not None:
        reasons.append("a hard core would stand in the open mouth with nothing to hold it")
    elif shape.bore_mm > 0:
        reasons.append("the part has a bore, whose end would be struck off with the face")
    return tuple(reasons)


def build(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> MouldDesign:
    """The whole mould. Over the mouth stands air: it is the closing piece, so that the algebra stays that of all."""
    _refuse(shape)
    setup = prepared(shape, wish, solid)
    boxed = box(setup, fill_upper_mm=0.0, side_mm=wish.wall_mm, boxes=_STRAIGHT)
    frame, centres = boxed.frame, boxed.layout.centres_mm
    rod = core_rod(setup, _rod_top_mm(frame))
    holding = flat_holding(setup, solid)
    airing = open_airing(setup, holding, solid)
    with_air = replace(frame, fill_upper_mm=frame.high_mm)
    return MouldDesign(
        style=NAME,
        cavities=wish.cavities,
        scale=wish.scale,
        part=setup.shape.node,
        **solids(setup, with_air, centres, rod=rod, first=None, second=None),
        **box_sizes(frame),
        closing_is_silicone=False,
        mouth_is_open=True,
        cavity_bodies=wish.cavities,
        pieces=_pieces(setup, frame, centres, holding, airing),
        centres_mm=centres,
        vents=None,
        wells=None,
        containment=_containment(setup, holding),
        figures=_figures(setup, boxed, holding, solid),
        notes=(_AS_IT_SETS, *flat_notes(setup, holding, shape)),
        states=_states(setup),
        layouts=boxed.tried,
        rooms=boxed.rooms,
        layout=boxed.layout,
        fasteners=fasteners(setup, centres, holding),
        breathers=ways(setup, frame, centres, airing),
    )


def _refuse(shape: PartShape) -> None:
    if shape.core is not None:
        raise CannotBuild(
            "a part around a hard core cannot be cast in an open mould: nothing holds the core down",
            advice="leave style out, or take the open style with its cover plate",
            field="mould.style",
            value=NAME,
        )
    if shape.outline is not None and flat_mouth(shape.outline)[1] == 0.0:
        raise CannotBuild(
            "the part has no flat face that could be struck off",
            advice="take the lidded style",
            field="mould.style",
            value=NAME,
        )


def _containment(setup: Setup, holding: Holding) -> tuple[tuple[str, Node, Node], ...]:
    probes = holding.probes(-rim_mm(setup))
    return (("screw", union(*probes), body_of(setup.standing)),) if probes else ()


# ---------------------------------------------------------------- pieces


def _pieces(setup: Setup, frame: Frame, centres: Centres, holding: Holding, airing: Airing) -> tuple[Piece, ...]:
    found = [
        flat_pattern(setup, centres, holding, airing),
        base_piece(setup, frame, centres, holding, breathers_mm=airing.mouths_mm),
        *wall_pieces(frame),
        levelling_board_piece(frame),
    ]
    # A rod that stands out of the mouth is in the way of a bar.
    bar = [] if setup.rods_mm else [_strike_off_bar(frame)]
    return (*found, *bar, *core_rod_pieces(setup, _rod_top_mm(frame), centres))


def _rod_top_mm(frame: Frame) -> float:
    return frame.high_mm + _ROD_GRIP_MM


def _strike_off_bar(frame: Frame) -> Piece:
    """A bar that slides along the walls' ends, with a blade down to the parting."""
    outer, inner = frame.outer_mm[0], frame.half_x_mm - sizes.BODY_GAP_MM
    top = frame.high_mm + _BAR_HIGH_MM
    rail = Box(-outer, -_BAR_HALF_MM, frame.high_mm, outer, _BAR_HALF_MM, top)
    blade = Box(-inner, -_BAR_HALF_MM, 0.0, inner, _BAR_HALF_MM, frame.high_mm + _BAR_HIGH_MM / 2)
    return Piece(
        name="strike-off bar",
        role="press board",
        solid=rail | blade,
        held_by="your hands: it slides along the walls' ends",
        print_note="top down, blade up",
        print_turn="x 180",
        stands=("use",),
    )


def _states(setup: Setup) -> tuple[tuple[str, tuple[str, ...]], ...]:
    rods = rod_names(setup)
    bar = () if rods else ("strike-off bar",)
    return (
        ("pour 1", ("pattern", "base", "wall", *rods)),
        ("cast closed", ("wall", "levelling board", *bar, *rods)),
    )


# ---------------------------------------------------------------- figures and words


def _figures(setup: Setup, boxed: Boxed, holding: Holding, solid: SolidFacts | None) -> dict[str, float]:
    figures = common_figures(setup, boxed, holding=holding, vents=None, well=None, need_mm3=0.0)
    face = _face_mm2(figures, setup.wish, solid)
    if face > 0:
        need = needed_mm3(setup.wish, setup.standing.volume_mm3)
        figures |= {"free_face_mm2": face, "free_face_proud_mm": need / face}
    return figures


def _face_mm2(figures: dict[str, float], wish: StyleWish, solid: SolidFacts | None) -> float:
    """Area of one mouth."""
    if "mouth_outer_mm" in figures:
        return math.pi * (figures["mouth_outer_mm"] ** 2 - figures["mouth_inner_mm"] ** 2)
    return 0.0 if solid is None else solid.flat_mm2 * wish.scale**2


STYLE = MouldStyle(
    name=NAME,
    words="One silicone pour over patterns on a base; cast with the mouth open and struck off, one face left as it "
    "sets.",
    allowed=allowed,
    build=build,
    effort=1,
    why="one flat face may stay as it sets: no cover, no vents, no wells, and bubbles rise out freely",
)
