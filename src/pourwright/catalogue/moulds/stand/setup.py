"""What both styles work out first: how the part stands, what fills its bore, the layout, the box."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.bore import BoreCore, choose_bore_core, neck_of
from pourwright.catalogue.moulds.hollows.core_holder import CoreHold, stand_cored
from pourwright.catalogue.moulds.hollows.file_bores import file_bore_cores
from pourwright.catalogue.moulds.prints.joints import fits, plan_cuts
from pourwright.catalogue.moulds.prints.stiffening import WallForm, post_mm, wall_form
from pourwright.catalogue.moulds.stand.facts import Attitude, SolidFacts, Standing, sharpened, stand
from pourwright.catalogue.moulds.stand.frame import Frame, cut, repeated
from pourwright.catalogue.moulds.stand.ground import LEVEL, Ground
from pourwright.catalogue.moulds.stand.layout import BOXES, Layout, Room, candidates, choose
from pourwright.catalogue.moulds.stand.plan import Plan
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape, rubber_on
from pourwright.engines.geometry.tree import Node, Outline, cylinder, union

_BESIDE_WELL_MM = 1.0  # left between the wells of neighbours, each
_OF_EACH_BOX = 3  # layouts looked at more closely
_WIDER_STEPS = 8  # millimetres of extra side tried to make room beside the cells
_EDGE_MM = 0.01  # a bore that is so much wider at its mouth has a rounded edge there
_NECK_FROM_MM, _NECK_STEPS = 0.5, 60
_THINNEST_UPPER_MM = 0.05  # less than this above the parting is no piece to print


@dataclass(frozen=True, kw_only=True)
class Setup:
    """Everything that follows from part and wish before the style's own pieces are drawn.

    `plugged`: rods stand in the bores of a solid from a file. Their facets are not those of its bores, so that the
    cells are drawn with rods and part in one, and what the rods keep resin out of is told apart afterwards.
    `ground` is the parting face. `in_pocket`: the base holds what is above it of a pattern in one piece, which rests on
    pads at `pads_mm` where the part is a solid from a file.
    """

    wish: StyleWish
    shape: PartShape
    standing: Standing
    bores: tuple[BoreCore, ...]
    floor_mm: float
    lidded: bool
    hold: CoreHold | None = None
    plugged: bool = False
    ground: Ground = LEVEL
    in_pocket: bool = False
    pads_mm: tuple[tuple[float, float], ...] = ()

    @property
    def bore(self) -> BoreCore:
        """Of all bores that whose filling is the least steady: the most slender silicone, else the longest rod."""
        return max(self.bores, key=lambda one: (not one.rod, one.slenderness))

    @property
    def rods_mm(self) -> tuple[tuple[float, float, float], ...]:
        """What runs right through the mould: x, y and radius of each core rod or spindle about the cell's axis."""
        if self.hold is not None:
            return ((0.0, 0.0, self.hold.through_mm),) if self.hold.through_mm > 0 else ()
        return tuple((one.x_mm, one.y_mm, one.diameter_mm / 2) for one in self.bores if one.rod)

    @property
    def core_low_mm(self) -> float:
        """Lowest point of a hard core; the part's without one."""
        return self.standing.low_mm if self.hold is None else self.hold.low_mm

    @property
    def core_high_mm(self) -> float:
        """Highest point of a hard core; the part's without one."""
        return self.standing.high_mm if self.hold is None else self.hold.high_mm

    @property
    def through_mm(self) -> float:
        """Radius of the widest thing that runs right through the mould; 0 for nothing."""
        return max((radius for _, _, radius in self.rods_mm), default=0.0)

    @property
    def whole(self) -> bool:
        """Lidded, and nothing of part or core rises over the parting: the pattern is one piece and stays for pour 2."""
        return self.lidded and self.highest_mm < _THINNEST_UPPER_MM

    @property
    def lowest_mm(self) -> float:
        """Lowest point of part and core."""
        return min(self.standing.low_mm, self.core_low_mm)

    @property
    def highest_mm(self) -> float:
        """Highest point of part and core."""
        return max(self.standing.high_mm, self.core_high_mm)

    @property
    def fill_lower_mm(self) -> float:
        """Fill line of the first pour."""
        return self.lowest_mm - self.floor_mm


def set_up(shape: PartShape, wish: StyleWish, solid: SolidFacts | None, attitude: Attitude, *, lidded: bool) -> Setup:
    """How the part stands, and what goes through its bore."""
    standing, hold = _standing(shape, wish, solid, attitude, lidded=lidded)
    _refuse_too_large(shape, wish)
    bored = standing.bore_mm if hold is None else 0.0
    if shape.outline is None and hold is None:
        bores = file_bore_cores(shape, wish, standing, lidded=lidded)
    else:
        bores = (_bore_core(wish, standing, bored, lidded=lidded),)
    rods = any(one.rod for one in bores)
    return Setup(
        wish=wish,
        shape=shape,
        standing=standing,
        bores=bores,
        floor_mm=max(wish.floor_mm, sizes.ROD_FLOOR_MM) if rods else wish.floor_mm,
        lidded=lidded,
        hold=hold,
        plugged=rods and shape.outline is None,
    )


def _bore_core(wish: StyleWish, standing: Standing, bore_mm: float, *, lidded: bool) -> BoreCore:
    """What fills the bore; a rod only where it leaves no scrap of silicone shut in beside it."""
    free = max(-standing.low_mm, standing.high_mm)
    neck = _neck(standing) if bore_mm > 0 and standing.outline is not None else 1.0
    found = choose_bore_core(wish, bore_mm=bore_mm, length_mm=free, lidded=lidded, neck=neck)
    if not found.rod or lidded or standing.outline is None:
        return found
    wide = standing.widths.inner(-_EDGE_MM)
    if wide <= bore_mm + _EDGE_MM:
        return found
    if wish.bore_core == "rod":
        raise CannotBuild(
            f"the bore is {2 * wide:.2f} mm wide at the mouth and {2 * bore_mm:.2f} mm further in: round a metal rod a "
            "ring of silicone would be shut in there, that hangs on nothing",
            advice='leave bore_core out, or ask for the style "two-part lidded", whose lid carries that ring',
            field="bore_core",
            value="rod",
        )
    return choose_bore_core(
        replace(wish, bore_core="silicone"), bore_mm=bore_mm, length_mm=free, lidded=lidded, neck=neck
    )


def _neck(standing: Standing) -> float:
    """Stretch of the core in the lower half, or of that in the closing piece, whichever is more."""
    found = []
    for root, tip in ((standing.low_mm, 0.0), (standing.high_mm, 0.0)):
        if abs(root - tip) < _NECK_FROM_MM:
            continue
        heights = np.linspace(root, tip, _NECK_STEPS + 2)[1:-1]
        found.append(neck_of(standing.widths.at(heights)[0].tolist()))
    return max(found, default=1.0)


def _standing(
    shape: PartShape, wish: StyleWish, solid: SolidFacts | None, attitude: Attitude, *, lidded: bool
) -> tuple[Standing, CoreHold | None]:
    if shape.hub is not None:
        return stand_cored(shape, wish, attitude, lidded=lidded)
    volume = 0.0 if solid is None else solid.volume_mm3
    place = {"turned": attitude.turned, "parting_mm": attitude.parting_mm}
    standing = stand(shape, scale=wish.scale, volume_mm3=volume, **place)
    if solid is None or shape.outline is not None or attitude.turned != solid.turned:
        return standing, None
    shadow = tuple((x * wish.scale, y * wish.scale) for x, y in solid.shadow_mm)
    return replace(standing, shadow_mm=shadow), None


def _refuse_too_large(shape: PartShape, wish: StyleWish) -> None:
    """A part larger than the bed is said to be so, before anything is worked out round it."""
    size = [length * wish.scale for length in shape.size_mm]
    flat, plate = sorted(size[:2]), sorted(wish.bed_mm[:2])
    over = max(flat[0] - plate[0], flat[1] - plate[1], size[2] - wish.bed_mm[2])
    if over > 0:
        shown = " × ".join(f"{length:.0f}" for length in size)
        bed = " × ".join(f"{length:.0f}" for length in wish.bed_mm)
        raise DoesNotFit(
            f"the part's pattern ({shown} mm) is {over:.1f} mm too large for the printer's bed ({bed} mm)",
            advice="make the part smaller, or see that the bed in shop.toml and the unit of a file are right",
            field="part",
            value=f"{shown} mm",
        )


def core_rod(setup: Setup, top_mm: float) -> Node | None:
    """The metal rods through the bores of one cell, seated in the floor; each exactly as wide as its bore."""
    if setup.hold is not None or not setup.rods_mm:
        return None
    low = setup.standing.low_mm - sizes.ROD_SEAT_IN_FLOOR_MM
    return union(*(cylinder(radius_mm=r, z0_mm=low, z1_mm=top_mm).at(x, y) for x, y, r in setup.rods_mm))


def rods_beside_mm(setup: Setup) -> tuple[tuple[float, float, float], ...]:
    """Rods that the discs over the vents of a part without an outline must leave room for: x, y, radius."""
    return setup.rods_mm if setup.standing.outline is None else ()


def keep_out_mm(setup: Setup) -> float:
    """Radius of what passes through the middle of a round part's closing piece: rod, spindle or cap; 0 for nothing."""
    if setup.hold is not None and setup.hold.cups is not None:
        return setup.hold.cups.radius_mm if setup.lidded else 0.0
    return setup.through_mm if setup.standing.outline is not None else 0.0


def well_reach_mm(setup: Setup) -> float:
    """How far from a cell's axis (or from the middle of a disc) a well may widen, so that neighbours stay apart."""
    standing = setup.standing
    return standing.radius_mm if standing.outline is not None else max(standing.half_size_mm)


def well_cell_mm(setup: Setup) -> tuple[float, float] | None:
    """Half sizes within which the wells of a part that is not round must stay; None for a round one."""
    if setup.standing.outline is not None:
        return None
    beyond = min(setup.wish.between_mm / 2, setup.wish.wall_mm) - _BESIDE_WELL_MM
    x, y = setup.standing.half_size_mm
    return x + beyond, y + beyond


def without(block: Node, rod: Node | None, centres_mm: tuple[tuple[float, float], ...]) -> Node:
    """A block less the core rods of every cell, which are neither silicone nor resin."""
    return block if rod is None else cut(block, repeated(rod, centres_mm))


# ---------------------------------------------------------------- layout and box


@dataclass(frozen=True, kw_only=True)
class Boxed:
    """The layout taken, all that were tried, what each must keep within, and the box round the one taken."""

    layout: Layout
    tried: tuple[Layout, ...]
    rooms: Mapping[Layout, Room]
    frame: Frame


def box(
    setup: Setup,
    *,
    fill_upper_mm: float,
    side_mm: float,
    accepts: Callable[[Layout], bool] = lambda layout: True,
    boxes: Sequence[str] = BOXES,
    seam_mm: float = 0.0,
    ticked: bool = False,
) -> Boxed:
    """The layout with the least silicone that fits bed and pot, and its walls.

    Parameters
    ----------
    side_mm : silicone beside the cells; more of it is tried where a layout is not accepted.
    accepts : whether a layout has room for what else must stand in the box.
    boxes : kinds of box that the style can make.
    seam_mm : depth of a bead on the walls at the parting; ticked whether they carry witness ticks.
    """
    wish, standing = setup.wish, setup.standing
    depth = fill_upper_mm - setup.fill_lower_mm
    silicone_mm = depth if setup.lidded else -setup.fill_lower_mm
    displaced = wish.cavities * standing.volume_mm3
    allowed = [kind for kind in boxes if wish.box in (None, kind)]
    if not allowed:
        raise CannotBuild(f"this style makes no {wish.box} box", advice=f"take {', '.join(boxes)}", field="box")
    found = _accepted(setup, side_mm, accepts, allowed)
    rooms = {one: _room(wish, one.plan, wall_form(one.plan, depth)) for one in found}
    layout = choose(
        found,
        rooms,
        silicone_mm3=lambda one: max(0.0, one.area_mm2 * silicone_mm - displaced),
        name=wish.layout,
    )
    form = wall_form(layout.plan, depth)
    frame = Frame(
        plan=layout.plan,
        fill_lower_mm=setup.fill_lower_mm,
        fill_upper_mm=fill_upper_mm,
        wall_mm=form.wall_mm,
        fit_mm=wish.fit_mm,
        seam_mm=seam_mm,
        ticked=ticked,
        form=form,
    )
    frame = _cut_to_bed(frame, rooms[layout], layout, setup)
    _check_heights(frame, wish)
    return Boxed(layout=layout, tried=tuple(found), rooms=rooms, frame=frame)


def _accepted(setup: Setup, side_mm: float, accepts: Callable[[Layout], bool], boxes: Sequence[str]) -> list[Layout]:
    """Every layout with the least side at which it is accepted, least silicone first."""
    found: dict[tuple[str, str], Layout] = {}
    for extra in range(_WIDER_STEPS):
        left = [
            layout for layout in _candidates(setup, side_mm + extra, boxes) if (layout.box, layout.name) not in found
        ]
        if not left:
            break
        found |= {(layout.box, layout.name): layout for layout in left if accepts(layout)}
    if not found:
        raise CannotBuild(
            "the box has no room for what must stand beside the cavities",
            advice="leave more silicone beside the cavities",
            field="wall",
            value=setup.wish.wall_mm,
        )
    return sorted(found.values(), key=lambda one: (round(one.area_mm2, 6), boxes.index(one.box), len(one.rows_mm)))


def _candidates(setup: Setup, side_mm: float, boxes: Sequence[str]) -> list[Layout]:
    """The best few layouts of each kind of box; all that are named alike when one was asked for."""
    standing, wish = setup.standing, setup.wish
    rounded = standing.outline is not None
    found = candidates(
        cells=wish.cavities,
        half_cell_mm=(standing.radius_mm, standing.radius_mm) if rounded else standing.half_size_mm,
        wall_mm=side_mm,
        between_mm=wish.between_mm,
        round_cells=rounded,
        shadow_mm=standing.shadow_mm,
    )
    asked = [one for one in found if wish.layout in (None, one.name)] or found
    kinds = [[one for one in asked if one.box == kind][:_OF_EACH_BOX] for kind in boxes]
    return sorted((one for kind in kinds for one in kind), key=lambda one: one.area_mm2)


def _room(wish: StyleWish, plan: Plan, form: WallForm) -> Room:
    circle = float("inf") if wish.pot_mm is None else wish.pot_mm[0] - 2 * sizes.FINGER_ROOM_MM
    rib, wall = (form.rib_mm if form.ribs else 0.0), form.wall_mm
    post = 0.0 if _walls_fit(plan, wall, rib, wish) else post_mm(wall)
    return Room(
        around_mm=wall + max(sizes.FLANGE_MM, rib, post),
        flange_mm=wall + sizes.FLANGE_MM,
        bed_mm=wish.piece_bed_mm,
        circle_mm=circle,
        shell_mm=0.0 if plan.is_rectangle else wall + sizes.LAP_MM,
    )


def _walls_fit(plan: Plan, wall_mm: float, rib_mm: float, wish: StyleWish) -> bool:
    """Whether an L wall, or half a shell, lies on the bed in one piece."""
    x, y = (2 * (half + wall_mm) for half in plan.half_mm)
    if plan.is_rectangle:
        return fits((x + rib_mm, y + rib_mm), wish.piece_bed_mm)
    return fits((x / 2 + sizes.LAP_MM, y), wish.piece_bed_mm)


def _cut_to_bed(frame: Frame, room: Room, layout: Layout, setup: Setup) -> Frame:
    """The same frame with where its plates and walls are cut, if they do not fit the bed."""
    found, wish, standing = room.grid(layout), setup.wish, setup.standing
    if found is None or found.count == 1:
        return frame
    x, y = (2 * half for half in frame.flange_mm)
    rounded = standing.outline is not None
    half = (standing.radius_mm, standing.radius_mm) if rounded else standing.half_size_mm
    cuts = plan_cuts((x, y), found, layout.centres_mm, half)
    rib = 0.0 if frame.form is None or not frame.form.ribs else frame.form.rib_mm
    return replace(frame, cuts=cuts, walls_cut=not _walls_fit(frame.plan, frame.wall_mm, rib, wish))


def _check_heights(frame: Frame, wish: StyleWish) -> None:
    tallest = frame.high_mm + sizes.FLANGE_MM - frame.low_mm
    if tallest > wish.bed_mm[2]:
        raise DoesNotFit(
            f"the walls would be {tallest:.0f} mm high, {tallest - wish.bed_mm[2]:.1f} mm more than the printer can",
            advice="split the part, or lay it on its side",
            field="part",
        )
    height = outside_mm(frame)[2]
    if wish.pot_mm is not None and height > wish.pot_mm[1]:
        raise DoesNotFit(
            f"the closed mould with its boards is {height:.0f} mm high, {height - wish.pot_mm[1]:.1f} mm more than the "
            f"pot's inside height",
            advice="take a lower part, or a higher pot",
            field="part",
        )


def outside_mm(frame: Frame) -> tuple[float, float, float]:
    """Size of the closed mould with boards and levelling screws."""
    x, y = (half + frame.reach_mm for half in frame.plan.half_mm)
    height = frame.high_mm - frame.low_mm + 2 * sizes.BOARD_MM + sizes.LEVEL_SCREW_MM
    return 2 * x, 2 * y, height


def sharpened_shape(shape: PartShape, *, upper: bool) -> PartShape:
    """The part with a sharp edge at its mouth end instead of the rounding."""
    if shape.outline is None:
        return shape
    outline: Outline = sharpened(shape.outline, upper=upper)
    return replace(shape, outline=outline, node=rubber_on(outline, shape.hub))
