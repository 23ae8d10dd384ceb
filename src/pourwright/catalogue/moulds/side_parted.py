"""Two-part side-parted: the part lies with its axis in the parting, two equal halves; the block is cast on its end."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.algebra import box_sizes, flat_lid, solids
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.figures import common_figures
from pourwright.catalogue.moulds.hollows.bore import BoreCore
from pourwright.catalogue.moulds.hollows.keys import Keys, place_keys
from pourwright.catalogue.moulds.hollows.side_breathers import SideAiring, breather_height_mm
from pourwright.catalogue.moulds.hollows.side_runners import NECK_MM, Runners, basin_for, rod_through
from pourwright.catalogue.moulds.hollows.wells import needed_mm3
from pourwright.catalogue.moulds.prints.patterns import Holding, below
from pourwright.catalogue.moulds.prints.side_pieces import SidePieces
from pourwright.catalogue.moulds.stand.facts import SolidFacts, Standing
from pourwright.catalogue.moulds.stand.frame import cut, repeated
from pourwright.catalogue.moulds.stand.layout import RECTANGLE
from pourwright.catalogue.moulds.stand.setup import Boxed, Setup, box
from pourwright.catalogue.moulds.stand.side_lain import Lain, lay
from pourwright.catalogue.moulds.style import MouldStyle
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.tree import Node, union

NAME = "two-part side-parted"
_ROD_GRIP_MM = 10.0  # rod standing out of the block's upper end, to draw it by
_AIR_SHARE = 0.01  # of a solid from a file: air left under its upper end (judgement)
_UP = (1.0, 0.0, 0.0)  # the block stands on its end for the cast


def allowed(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> tuple[str, ...]:
    """What speaks against this style for a part."""
    try:
        lain = lay(shape, wish, solid)
        basin_for(lain, needed_mm3(wish, lain.volume_mm3))
    except CannotBuild as fault:
        return (str(fault),)
    side = None if solid is None else solid.side
    reasons = []
    if side is not None and side.stretch > wish.stretch_allowed:
        reasons.append(f"on its side the silicone would stretch {side.stretch:.2f} times")
    if side is not None and not side.lips_pass:
        reasons.append("on its side the silicone would end in a feather lip at the parting")
    if side is not None and side.trapped_mm3 > _AIR_SHARE * lain.volume_mm3:
        reasons.append(
            f"on its end {side.trapped_mm3:.0f} mm³ of air would stay above the highest point of the parting plane "
            '(for a part from a file, pull = "as drawn" keeps the end up that is up in it)'
        )
    return tuple(reasons)


@dataclass(frozen=True, kw_only=True)
class _Drawn:
    """The parts of the build that several solids share."""

    setup: Setup
    lain: Lain
    boxed: Boxed
    keys: Keys
    runners: Runners
    rod: Node | None


def build(shape: PartShape, wish: StyleWish, solid: SolidFacts | None = None) -> MouldDesign:
    """The whole mould."""
    drawn = _draw(shape, wish, lay(shape, wish, solid))
    setup, frame, centres = drawn.setup, drawn.boxed.frame, drawn.boxed.layout.centres_mm
    channels, well = drawn.runners.channels(), drawn.runners.well()
    second = repeated(union(channels, well), centres)
    pieces = SidePieces(
        setup=setup, frame=frame, centres=centres, keys=drawn.keys, pins=drawn.lain.pins, runners=drawn.runners,
        rod=drawn.rod, airing=_airing(drawn),
    )  # fmt: skip
    through = repeated(below(union(channels, well), 0.0, _reach(frame.outer_mm)), centres)
    halves = solids(setup, frame, centres, rod=drawn.rod, first=drawn.keys.solid(), second=second, through=through)
    halves["pulled"] = setup.standing.cell if drawn.rod is None else setup.standing.cell | drawn.rod
    return MouldDesign(
        style=NAME,
        cavities=wish.cavities,
        scale=wish.scale,
        part=shape.node,
        **halves,
        **box_sizes(frame),
        closing_is_silicone=True,
        cavity_bodies=wish.cavities,
        pieces=pieces.all(),
        centres_mm=centres,
        vents=repeated(cut(channels, setup.standing.cell), centres),
        wells=repeated(well, centres),
        vent_points_mm=tuple((cx + x, cy + y, z) for cx, cy in centres for x, y, z in drawn.runners.outlets()),
        containment=pieces.containment(),
        release_groups={
            "parting": flat_lid(setup, frame, centres, rod=drawn.rod, second=second),
            "keys": drawn.keys.solid(),
        },
        figures=_figures(drawn),
        notes=_notes(drawn),
        states=pieces.states(),
        layout=drawn.boxed.layout,
        layouts=drawn.boxed.tried,
        rooms=drawn.boxed.rooms,
        up=_UP,
        fasteners=pieces.fasteners(),
        breathers=() if pieces.airing is None else pieces.airing.ways(centres),
    )


def _airing(drawn: _Drawn) -> SideAiring | None:
    """How both halves breathe; None where it was not asked for, or has no room."""
    lain = drawn.lain
    if not drawn.setup.wish.breathers or lain.widths is None:
        return None
    height = breather_height_mm(lain.widths, lain.feed.y_mm, lain.feed.radius_mm)
    if height is None:
        return None
    return SideAiring(runners=drawn.runners, frame=drawn.boxed.frame, height_mm=height)


def _reach(outer_mm: tuple[float, float]) -> float:
    return 2 * (outer_mm[0] + outer_mm[1])


# ---------------------------------------------------------------- drawing


def _draw(shape: PartShape, wish: StyleWish, lain: Lain) -> _Drawn:
    basin = basin_for(lain, needed_mm3(wish, lain.volume_mm3))
    wide = max(lain.half_y_mm, basin.end_mm[1])
    whole = wish.wall_mm + lain.length_mm + NECK_MM + basin.depth_mm
    # One row, so that every cell reaches the block's upper end.
    in_a_row = replace(wish, layout=_one_row(wish))
    half = max(1.0, whole / 2 - wish.wall_mm)
    setup = _setup(shape, in_a_row, lain, (half, wide))
    boxed = box(
        setup,
        fill_upper_mm=lain.high_mm + sizes.LID_OVER_PART_MM,
        side_mm=wish.wall_mm,
        accepts=lambda layout: place_keys(layout, setup.standing) is not None,
        boxes=(RECTANGLE,),
    )
    keys = place_keys(boxed.layout, setup.standing)
    if keys is None:
        raise CannotBuild("no corner of the box has room for a key", advice="leave more silicone beside the cavities")
    end = boxed.frame.half_x_mm
    _refuse_too_tall(wish, 2 * end)
    foot = wish.wall_mm - end
    runners = Runners(lain=lain, basin=replace(basin, depth_mm=_depth(end, foot, lain)), foot_mm=foot, end_mm=end)
    setup = replace(setup, standing=replace(setup.standing, cell=lain.draw(foot)))
    rod = rod_through(lain, foot, (-end, end + _ROD_GRIP_MM)) if lain.bore_mm > 0 else None
    return _Drawn(setup=setup, lain=lain, boxed=boxed, keys=keys, runners=runners, rod=rod)


def _depth(end_mm: float, foot_mm: float, lain: Lain) -> float:
    """What the box leaves between the neck over the part and the block's end."""
    return end_mm - (foot_mm + lain.length_mm + NECK_MM)


def _one_row(wish: StyleWish) -> str:
    row = f"1 × {wish.cavities}"
    if wish.layout not in (None, row):
        raise CannotBuild(
            f"the layout {wish.layout!r} in a block that is fed from its end",
            advice=f'leave layout out, or write "{row}": every cavity must reach the upper end',
            field="mould.layout",
            value=wish.layout,
        )
    return row


def _refuse_too_tall(wish: StyleWish, length_mm: float) -> None:
    """The block stands on its end for the cast."""
    if wish.pot_mm is not None and length_mm > wish.pot_mm[1]:
        raise DoesNotFit(
            f"the block stands {length_mm:.0f} mm high for the cast, {length_mm - wish.pot_mm[1]:.1f} mm more than the "
            "pot's inside height",
            advice="take a shorter part, or a higher pot",
            field="part",
        )


def _setup(shape: PartShape, wish: StyleWish, lain: Lain, half_mm: tuple[float, float]) -> Setup:
    standing = Standing(
        cell=shape.node,
        outline=None,
        low_mm=lain.low_mm,
        high_mm=lain.high_mm,
        radius_mm=math.hypot(*half_mm),
        half_size_mm=half_mm,
        bore_mm=lain.bore_mm,
        volume_mm3=lain.volume_mm3,
        turned=False,
    )
    kind = "rod" if lain.bore_mm > 0 else "none"
    core = BoreCore(
        kind=kind,
        cone=False,
        length_mm=lain.length_mm if lain.bore_mm > 0 else 0.0,
        diameter_mm=2 * lain.bore_mm,
        sag_mm=0.0,
        reason="a rod lies in the parting" if lain.bore_mm > 0 else "no bore",
    )
    return Setup(
        wish=wish,
        shape=shape,
        standing=standing,
        bores=(core,),
        floor_mm=wish.floor_mm,
        lidded=True,
    )


# ---------------------------------------------------------------- figures and words


def _figures(drawn: _Drawn) -> dict[str, float]:
    setup, keys, runners, pins = drawn.setup, drawn.keys, drawn.runners, drawn.lain.pins
    holding = Holding(screw=pins.screw, points_mm=pins.screws_mm, depth_mm=pins.depth_mm)
    need = needed_mm3(setup.wish, setup.standing.volume_mm3)
    figures = common_figures(setup, drawn.boxed, holding=holding, vents=None, well=None, need_mm3=need)
    return figures | {
        "well_volume_mm3": runners.basin.volume_mm3,
        "vents_per_cell": 1.0,
        "vent_radius_mm": drawn.lain.vent.radius_mm,
        "vent_ring_mm": abs(drawn.lain.vent.y_mm),
        "feed_radius_mm": drawn.lain.feed.radius_mm,
        "slug_length_mm": 0.0,
        "slug_diameter_mm": 0.0,
        "side_mm": drawn.boxed.frame.half_y_mm
        - max(y for _, y in drawn.boxed.layout.centres_mm)
        - drawn.lain.half_y_mm,
        "key_radius_mm": keys.radius_mm,
        "key_volume_mm3": keys.volume_mm3,
        "key_misfit_mm3": keys.misfit_mm3(),
        "key_to_cavity_mm": keys.to_cavity_mm,
        "key_to_wall_mm": keys.to_wall_mm,
        "release_keys_mm2": keys.area_mm2,
        "lid_over_part_mm": sizes.LID_OVER_PART_MM,
        "block_height_mm": 2 * drawn.boxed.frame.half_x_mm,
    }


def _notes(drawn: _Drawn) -> tuple[str, ...]:
    found = [
        "the part lies on its side in the mould: the parting line runs along both its sides, and the block stands on "
        "end, basins up, between two side boards for the cast",
        "the patterns lie flat on the base without a sealing rim: seal their edge with a thin bead",
    ]
    if drawn.rod is not None:
        found.append("a metal rod lies in the parting and makes the bore; in the patterns it is printed with the part")
    if drawn.lain.pins.screw is None:
        found.append("there is no room for a screw: the pattern is held by thin double-sided tape")
    if not drawn.lain.pins.pins_mm:
        found.append("there is no room for pins: line the upper pattern up with the lower one by its edges, on tape")
    return tuple(found)


STYLE = MouldStyle(
    name=NAME,
    words="Two halves parted along the part's axis, which lies in the parting; fed and vented at the end on which the "
    "block does not stand.",
    allowed=allowed,
    build=build,
    effort=4,
)
