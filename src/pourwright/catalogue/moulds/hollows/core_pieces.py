"""What a hard core adds to a mould: the core, its spindle, the sockets that hold the spindle in rigid pieces."""

from __future__ import annotations

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Piece
from pourwright.catalogue.moulds.hollows.core_holder import CoreHold, Cups
from pourwright.catalogue.moulds.prints.bridge import rod_top_mm
from pourwright.catalogue.moulds.stand.frame import Frame, cut
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.domain.kit import CAP, CORE, CUP, SPINDLE
from pourwright.engines.geometry.tree import Box, Node, Revolve, cylinder, polygon

Centres = tuple[tuple[float, float], ...]
_SAME_MM = 1e-9


def spindle_reach_mm(hold: CoreHold, frame: Frame) -> tuple[float, float]:
    """Ends of the spindle: in the levelling board below; out of the cover, or in the press board over a lid."""
    low = frame.fill_lower_mm - sizes.SOCKET_MM
    return low, (rod_top_mm(frame) if hold.lidded else frame.fill_upper_mm + sizes.ROD_GRIP_MM)


def core_pieces(setup: Setup, frame: Frame, centres: Centres) -> tuple[Piece, ...]:
    """The cores and their spindles; nothing without cores."""
    hold = setup.hold
    if hold is None:
        return ()
    places = tuple((x, y, 0.0, 0.0) for x, y in centres)
    core = Piece(
        name=CORE,
        role="core rod",
        solid=hold.core,
        places_mm=places,
        printed=hold.hub.printed,
        held_by=_held_by(hold),
        print_note="on its end, solid; roughened where rubber meets it" if hold.hub.printed else "",
        # The corners of a file's bore may stand into a rod of its nominal size by a hair.
        stands=() if hold.hub.shaped else ("use",),
        in_cast=True,
    )
    if hold.cups is not None:
        return (core, *_cup_pieces(hold, hold.cups, frame, places))
    if hold.spindle is None:
        return (core,)
    low, high = spindle_reach_mm(hold, frame)
    printed = hold.spindle.printed
    length = f"{high - low:.1f} mm long"
    spindle = Piece(
        name=SPINDLE,
        role="core rod",
        solid=cylinder(radius_mm=hold.through_mm, z0_mm=low, z1_mm=high),
        places_mm=places,
        printed=printed,
        touches_silicone=(1, 2) if hold.lidded else (1,),
        stands=("pour 1", "pour 2", "use") if hold.lidded else ("pour 1", "use"),
        held_by="the base's bore for the pour; sockets in the rigid pieces below and above for the cast",
        print_note=f"upright, solid, {length}" if printed else f"{2 * hold.through_mm:g} mm rod, {length}",
    )
    return core, spindle


def _held_by(hold: CoreHold) -> str:
    if hold.cups is not None:
        return "its cup, and the cap that the press board holds" if hold.lidded else "its cup, and the cover plate"
    return "the lid, and the press board over it" if hold.lidded else "the cover plate"


def _cup_pieces(
    hold: CoreHold, cups: Cups, frame: Frame, places: tuple[tuple[float, float, float, float], ...]
) -> tuple[Piece, ...]:
    """The cup under each core and, in a lidded mould, the cap over it: printed, and held in the rigid pieces."""
    low, high = spindle_reach_mm(hold, frame)
    foot = cylinder(radius_mm=cups.radius_mm, z0_mm=low, z1_mm=cups.low_mm)
    hole = cylinder(radius_mm=cups.hole_mm, z0_mm=hold.low_mm, z1_mm=cups.low_mm + 1)
    cup = Piece(
        name=CUP,
        role="core rod",
        solid=cut(foot, hole),
        places_mm=places,
        touches_silicone=(1, 2) if hold.lidded else (1,),
        stands=("pour 1", "pour 2", "use") if hold.lidded else ("pour 1", "use"),
        held_by="the end of the pattern's core for the pour; the levelling board's socket for the cast",
        print_note="upright, hole up; solid",
    )
    if cups.high_mm is None:
        return (cup,)
    head = cylinder(radius_mm=cups.radius_mm, z0_mm=cups.high_mm, z1_mm=high)
    cap = Piece(
        name=CAP,
        role="core rod",
        solid=cut(head, cylinder(radius_mm=cups.hole_mm, z0_mm=cups.high_mm - 1, z1_mm=hold.high_mm)),
        places_mm=places,
        touches_silicone=(2,),
        stands=("pour 2", "use"),
        held_by="the bridge bar for the pour; the press board's socket for the cast",
        print_note="upright, hole up; solid",
        print_turn="x 180",
    )
    return cup, cap


def core_names(setup: Setup, *, pour: int) -> tuple[str, ...]:
    """What of it stands while the silicone is poured; what stands in the last pour stands in the cast too."""
    if setup.hold is None:
        return ()
    if setup.hold.cups is not None:
        return (CUP, CAP) if pour == 2 and setup.hold.cups.high_mm is not None else (CUP,)
    return (SPINDLE,) if setup.hold.spindle is not None else ()


def cast_names(setup: Setup) -> tuple[str, ...]:
    """What of it stands besides while the cast cures."""
    return () if setup.hold is None else (CORE,)


def lower_sockets(setup: Setup, frame: Frame, centres: Centres) -> list[Node]:
    """Blind holes in the levelling board's face, in which the spindles stand."""
    if setup.hold is None or setup.hold.upright_mm == 0.0:
        return []
    low = frame.fill_lower_mm - sizes.SOCKET_MM
    hole = cylinder(radius_mm=_fitting(setup), z0_mm=low, z1_mm=frame.fill_lower_mm + 1)
    return [hole.at(x, y) for x, y in centres]


def cover_recesses(setup: Setup, centres: Centres) -> list[Node]:
    """Pockets in a rigid cover for the upper ends of the cores."""
    hold = setup.hold
    if hold is None or hold.high_mm <= _SAME_MM:
        return []
    middle = (hold.low_mm + hold.high_mm) / 2
    steps = [(hold.high_mm, hold.end_mm)]
    if hold.hub.upper_mm is not None:
        steps = [(middle + height, radius) for height, radius in hold.hub.upper_mm]
    recess = _stepped([(z, radius + setup.wish.fit_mm) for z, radius in steps], hold.high_mm, setup.wish.fit_mm)
    return [recess.at(x, y) for x, y in centres]


def _stepped(steps: list[tuple[float, float]], top_mm: float, fit_mm: float) -> Node:
    """A pocket open below; the core's end stops at its top, its shoulders keep clear."""
    side: list[tuple[float, float]] = [(steps[0][1], -1.0)]
    for index, (z, radius) in enumerate(steps):
        last = index == len(steps) - 1
        head = top_mm if last else min(z + fit_mm, top_mm)
        side.append((radius, head))
        if not last and head < top_mm:
            side.append((steps[index + 1][1], head))
    return Revolve(polygon([(0.0, -1.0), *side, (0.0, top_mm)]))


def bridge_pockets(setup: Setup, frame: Frame) -> list[Node]:
    """Where the bar over a lid takes the end of the spindle; for a cell on the axis."""
    if setup.hold is None or setup.hold.upright_mm == 0.0:
        return []
    return [cylinder(radius_mm=_fitting(setup), z0_mm=0.0, z1_mm=rod_top_mm(frame))]


def bridge_half_width_mm(setup: Setup) -> float:
    """Least half width of a bar that a spindle stands in; 0 without one."""
    if setup.hold is None or setup.hold.upright_mm == 0.0:
        return 0.0
    return _fitting(setup) + sizes.COLUMN_WALL_MM


def column_mm(setup: Setup) -> float:
    """Radius of the column of the press board round a spindle; 0 without one."""
    if setup.hold is None or setup.hold.upright_mm == 0.0 or not setup.lidded:
        return 0.0
    return _fitting(setup) + sizes.COLUMN_WALL_MM


def upper_columns(setup: Setup, frame: Frame, centres: Centres, reach_mm: float) -> tuple[list[Node], list[Node]]:
    """What must be left standing in the press board's openings, and the sockets bored into it.

    A bar across each opening, as thick as the plate, carries a column that comes down to the lid round the spindle.
    """
    radius = column_mm(setup)
    if radius == 0.0:
        return [], []
    top = frame.high_mm + sizes.BOARD_MM
    bar = Box(-radius, -reach_mm - 2, frame.high_mm, radius, reach_mm + 2, top + 2)
    column = cylinder(radius_mm=radius, z0_mm=frame.fill_upper_mm + sizes.COLUMN_GAP_MM, z1_mm=frame.high_mm + 1)
    socket = cylinder(radius_mm=_fitting(setup), z0_mm=frame.fill_upper_mm - 1, z1_mm=rod_top_mm(frame))
    keep = [solid.at(x, y) for x, y in centres for solid in (bar, column)]
    return keep, [socket.at(x, y) for x, y in centres]


def _fitting(setup: Setup) -> float:
    upright = setup.through_mm if setup.hold is None else setup.hold.upright_mm
    return upright + setup.wish.fit_mm


def core_notes(setup: Setup) -> tuple[str, ...]:
    """What to say of the cores on paper."""
    hold = setup.hold
    if hold is None:
        return ()
    closed = f"each silicone land presses on it by {hold.squeeze_mm:g} mm"
    if hold.cups is not None:
        closed = "printed cups hold its ends, and silicone closes round it beside them"
    found = [
        f"the hard core goes into the mould before the resin; its room is true to size, only the outside of the rubber "
        f"is scaled; {closed}"
    ]
    if hold.spindle is not None and not hold.spindle.printed:
        low = "reach from the levelling board through mould and core"
        found.append(f"the spindles are straight metal rods of {2 * hold.through_mm:g} mm that {low}")
    return tuple(found)


def core_figures(setup: Setup, frame: Frame) -> dict[str, float]:
    """Plain figures of the core for the checks."""
    hold = setup.hold
    if hold is None:
        return {}
    hub = hold.hub
    return {
        "core_end_mm": hold.end_mm,
        "core_bore_mm": hub.bore_mm,
        "core_outside_mm": setup.standing.radius_mm / setup.wish.scale,
        "core_scale": setup.wish.scale,
        "core_wall_mm": hub.least_mm - hub.bore_mm,
        "core_seat_mm": hold.head_mm[1] - hold.foot_mm[1],
        "core_land_mm": hold.land_width_mm,
        "core_land_mm2": hold.land_mm2,
        "core_squeeze_mm": 0.0 if hold.cups is not None else hold.squeeze_mm,
        "core_cups": float(hold.cups is not None),
        "core_low_mm": hold.low_mm,
        "core_high_mm": hold.high_mm,
        "spindle_radius_mm": hold.through_mm,
        "spindle_printed": float(hold.spindle is not None and hold.spindle.printed),
        "spindle_play_mm": 0.0 if hold.spindle is None else hold.spindle.play_mm,
        "spindle_span_mm": _span_mm(hold, frame),
        "core_run_out_mm": hub.run_out_mm,
        "core_mass_g": hub.mass_g,
        "core_holds_mm3": hub.holds_mm3,
        "core_turns_mm3": hub.turns_mm3,
    }


def _span_mm(hold: CoreHold, frame: Frame) -> float:
    """Between the middles of the two sockets."""
    if hold.spindle is None:
        return 0.0
    low, high = spindle_reach_mm(hold, frame)
    upper = max(0.0, hold.high_mm) if not hold.lidded else frame.fill_upper_mm + sizes.COLUMN_GAP_MM
    end = high if hold.lidded else frame.fill_upper_mm
    return (upper + end) / 2 - (low + frame.fill_lower_mm) / 2
