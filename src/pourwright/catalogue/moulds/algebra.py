"""The algebra every style shares: interior, lower half, closing piece and cavity out of parts and formers."""

from __future__ import annotations

from typing import TypedDict

from pourwright.catalogue.moulds.frame import Frame, cut, repeated
from pourwright.catalogue.moulds.patterns import body_of
from pourwright.catalogue.moulds.setup import Setup, inserts, outside_mm, without
from pourwright.engines.geometry.tree import Node, Op


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


def solids(
    setup: Setup,
    frame: Frame,
    centres: tuple[tuple[float, float], ...],
    *,
    rod: Node | None,
    first: Node | None,
    second: Node | None,
) -> Solids:
    """H = (I below) - F1 - P, L = (I above | F1 below) - P - F2, C = I - H - L.

    Parameters
    ----------
    rod : the core rod of one cell; like a hard core it is no part of the interior.
    first, second : the formers F1, all of them below the parting, and F2; None without.

    Notes
    -----
    A hard core goes out together with the part: cutting first one and then the other leaves slivers where they
    meet. Unions that the fit check asks for too are named once, so that a kernel makes them once.
    """
    insert = inserts(setup, rod)
    interior = without(frame.block(frame.fill_lower_mm, frame.fill_upper_mm), insert, centres)
    lower = cut(frame.block(frame.fill_lower_mm, 0.0), *_one(first), _whole(setup, centres), *_rods(rod, centres))
    above = frame.block(0.0, frame.fill_upper_mm)
    closing = _less_parts(setup, above if first is None else above | first, centres, rod=rod, second=second)
    return Solids(
        interior=interior,
        interior_below=without(frame.block(frame.fill_lower_mm, 0.0), insert, centres),
        interior_above=without(above, insert, centres),
        parts=repeated(setup.standing.cell, centres),
        formers_first=first,
        formers_second=second,
        lower=lower,
        closing=closing,
        cavity=cut(cut(interior, lower), closing),
    )


def flat_lid(
    setup: Setup, frame: Frame, centres: tuple[tuple[float, float], ...], *, rod: Node | None, second: Node
) -> Node:
    """What of the closing piece lies above the parting."""
    return _less_parts(setup, frame.block(0.0, frame.fill_upper_mm), centres, rod=rod, second=second)


def _less_parts(
    setup: Setup, block: Node, centres: tuple[tuple[float, float], ...], *, rod: Node | None, second: Node | None
) -> Node:
    whole = _whole(setup, centres)
    return Op("cut", (block, whole if second is None else whole | second, *_rods(rod, centres)))


def _whole(setup: Setup, centres: tuple[tuple[float, float], ...]) -> Node:
    return repeated(body_of(setup.standing), centres)


def _rods(rod: Node | None, centres: tuple[tuple[float, float], ...]) -> list[Node]:
    return [] if rod is None else [repeated(rod, centres)]


def _one(node: Node | None) -> list[Node]:
    return [] if node is None else [node]


class Sizes(TypedDict):
    """The box, under the names of MouldDesign's fields."""

    fill_lower_mm: float
    fill_upper_mm: float
    box_inside_mm: tuple[float, float, float]
    box_outside_mm: tuple[float, float, float]


def box_sizes(frame: Frame) -> Sizes:
    """Fill lines, inside and outside of the box."""
    return Sizes(
        fill_lower_mm=frame.fill_lower_mm,
        fill_upper_mm=frame.fill_upper_mm,
        box_inside_mm=(2 * frame.half_x_mm, 2 * frame.half_y_mm, frame.fill_upper_mm - frame.fill_lower_mm),
        box_outside_mm=outside_mm(frame),
    )
