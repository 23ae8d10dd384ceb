"""The algebra every style shares: interior, lower half, closing piece and cavity out of parts and formers."""

from __future__ import annotations

from typing import TypedDict

from pourwright.catalogue.moulds.design import Cored
from pourwright.catalogue.moulds.prints.joints import Cut
from pourwright.catalogue.moulds.prints.patterns import below
from pourwright.catalogue.moulds.stand.frame import Frame, cut, repeated
from pourwright.catalogue.moulds.stand.setup import Setup, core_rod, outside_mm, without
from pourwright.engines.geometry.tree import Node, Op, Outline


class Solids(TypedDict):
    """The solids of the fit check, under the names of MouldDesign's fields."""

    interior: Node
    interior_below: Node
    interior_above: Node
    parts: Node
    formers_first: Node | None
    formers_second: Node | None
    lower: Node
    closing: Node
    cavity: Node
    cell: Node
    cell_outline: Outline | None
    cored: Cored | None
    pulled: Node | None


def solids(
    setup: Setup,
    frame: Frame,
    centres: tuple[tuple[float, float], ...],
    *,
    rod: Node | None,
    first: Node | None,
    second: Node | None,
    through: Node | None = None,
) -> Solids:
    """H = (I below) - F1 - P, L = (I above | F1 below) - P - F2, C = I - H - L.

    Parameters
    ----------
    rod : the core rod of one cell; it is no part of the interior.
    first, second : the formers F1, all of them below the parting, and F2; None without.
    through : formers that stand in the lower half and again, as part of F2, in the second pour: a channel along the
        parting. They belong to F1, but the closing piece never grows into them, so that it is built without.

    Notes
    -----
    Around a hard core P is rubber, core and spindle in one; what they keep out of the cavity is `held`. So it is with
    rods in the bores of a solid from a file. Unions that
    the fit check asks for too are named once, so that a kernel makes them once.
    """
    rod = None if setup.plugged else rod
    interior = without(frame.block(frame.fill_lower_mm, frame.fill_upper_mm), rod, centres)
    parts = repeated(cell_of(setup, frame), centres)
    formers = (*_one(first), *_one(through))
    lower = cut(frame.block(frame.fill_lower_mm, 0.0), *formers, parts, *_rods(rod, centres))
    above = frame.block(0.0, frame.fill_upper_mm)
    closing = _less_parts(setup, frame, above if first is None else above | first, centres, rod=rod, second=second)
    return Solids(
        interior=interior,
        interior_below=without(frame.block(frame.fill_lower_mm, 0.0), rod, centres),
        interior_above=without(above, rod, centres),
        parts=parts,
        formers_first=_together(first, through),
        formers_second=second,
        lower=lower,
        closing=closing,
        cavity=cut(cut(interior, lower), closing),
        cell=cell_of(setup, frame),
        cell_outline=setup.standing.outline,
        cored=_cored(setup, frame, centres),
        pulled=_pulled(setup, frame),
    )


def _pulled(setup: Setup, frame: Frame) -> Node | None:
    """What the halves are pulled off where that is less than a cell: cups are drawn out of silicone by themselves."""
    if setup.hold is None or setup.hold.cups is None:
        return None
    body = setup.hold.body()
    return body if setup.lidded else below(body, 0.0, 2 * sum(frame.flange_mm) + frame.high_mm)


def cell_of(setup: Setup, frame: Frame) -> Node:
    """What one cavity takes out of the mould besides vents and wells."""
    if setup.hold is None:
        rods = _plug(setup, frame)
        return setup.standing.cell if rods is None else setup.standing.cell | rods
    return setup.hold.cell(frame.fill_lower_mm, frame.fill_upper_mm)


def _plug(setup: Setup, frame: Frame) -> Node | None:
    """The rods in the bores of a solid from a file, up to the top of the box."""
    return core_rod(setup, frame.fill_upper_mm) if setup.plugged else None


def _rodded(setup: Setup, frame: Frame, centres: tuple[tuple[float, float], ...], rods: Node) -> Cored:
    """A solid from a file on its rods: what resin fills is the part beside them."""
    rubber, standing = cut(setup.standing.cell, rods), repeated(rods, centres)
    cell = cell_of(setup, frame)
    return Cored(
        rubber=repeated(rubber, centres),
        cores=standing,
        held=standing,
        casts=repeated(rubber, centres),
        squeezed_mm3=0.0,
        one_rubber=rubber,
        one_filled=rods,
        silicone_cell=cell if setup.lidded else below(cell, 0.0, 2 * sum(frame.flange_mm) + frame.high_mm),
    )


def _cored(setup: Setup, frame: Frame, centres: tuple[tuple[float, float], ...]) -> Cored | None:
    hold, rods = setup.hold, _plug(setup, frame)
    if rods is not None:
        return _rodded(setup, frame, centres, rods)
    if hold is None:
        return None
    lower, upper = frame.fill_lower_mm, frame.fill_upper_mm
    pressed = hold.pressed()
    return Cored(
        rubber=repeated(hold.rubber, centres),
        cores=repeated(hold.core, centres),
        held=repeated(hold.held(lower, upper), centres),
        casts=repeated(hold.cast(), centres),
        squeezed_mm3=len(centres) * hold.squeezed_mm3,
        pressed=None if pressed is None else repeated(pressed, centres),
        envelope=hold.envelope() if hold.hub.shaped else None,
        one_rubber=hold.rubber,
        one_filled=hold.filled,
        silicone_cell=hold.cell(lower, upper) if setup.lidded else hold.below_mouth(lower),
    )


def flat_lid(
    setup: Setup, frame: Frame, centres: tuple[tuple[float, float], ...], *, rod: Node | None, second: Node
) -> Node:
    """What of the closing piece lies above the parting."""
    return _less_parts(setup, frame, frame.block(0.0, frame.fill_upper_mm), centres, rod=rod, second=second)


def _less_parts(
    setup: Setup,
    frame: Frame,
    block: Node,
    centres: tuple[tuple[float, float], ...],
    *,
    rod: Node | None,
    second: Node | None,
) -> Node:
    parts = repeated(cell_of(setup, frame), centres)
    rod = None if setup.plugged else rod
    return Op("cut", (block, parts if second is None else parts | second, *_rods(rod, centres)))


def _rods(rod: Node | None, centres: tuple[tuple[float, float], ...]) -> list[Node]:
    return [] if rod is None else [repeated(rod, centres)]


def _together(one: Node | None, other: Node | None) -> Node | None:
    return other if one is None else one if other is None else one | other


def _one(node: Node | None) -> list[Node]:
    return [] if node is None else [node]


class Sizes(TypedDict):
    """The box, under the names of MouldDesign's fields."""

    fill_lower_mm: float
    fill_upper_mm: float
    box_inside_mm: tuple[float, float, float]
    box_outside_mm: tuple[float, float, float]
    cuts: tuple[Cut, ...]


def box_sizes(frame: Frame) -> Sizes:
    """Fill lines, inside and outside of the box, and where its plates are cut."""
    return Sizes(
        fill_lower_mm=frame.fill_lower_mm,
        fill_upper_mm=frame.fill_upper_mm,
        box_inside_mm=(2 * frame.half_x_mm, 2 * frame.half_y_mm, frame.fill_upper_mm - frame.fill_lower_mm),
        box_outside_mm=outside_mm(frame),
        cuts=frame.cuts,
    )
