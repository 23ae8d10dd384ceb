"""The algebra of a mould whose parting is not level, and why its solids are drawn in two ways.

Two halves that are cut from triangles and meet on a slant share its corners only to a rounding error, and leave sheets
of no thickness between them. So they are cut in a world of shifted columns, in which the face lies in z = 0 and both
share it to the last digit, and are shifted back. What is level in this world is slanted in that one: the box is drawn
taller there, the wells reach out of it, and both are cut off at the fill lines afterwards. Exact surfaces need none of
this: there the same solids are described as they stand, and the comparison of both kernels tells that they are.
"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.catalogue.moulds.algebra import Solids
from pourwright.catalogue.moulds.hollows.vents import Vents
from pourwright.catalogue.moulds.hollows.wells import Well, channel, joins
from pourwright.catalogue.moulds.stand.frame import Frame, cut, repeated
from pourwright.catalogue.moulds.stand.ground import Ground
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.engines.geometry.tree import Node, Op, union

_SPARE_MM = 1.0

Centres = tuple[tuple[float, float], ...]


def taller_mm(frame: Frame, ground: Ground) -> float:
    """How high what opens in the lid's top must go on, so that it leaves the taller box too."""
    return frame.fill_upper_mm - 2 * ground.low_mm + 4 * _SPARE_MM


def taller_second(layout: Layout, well: Well, vents: Vents, high_mm: float) -> Node:
    """Vents, wells and their channels, going on up to a height."""
    wells = repeated(well.solid(collar_mm=high_mm), layout.centres_mm)
    ways = [channel(one, other, well.top_mm, high_mm) for one, other in joins(layout, well)]
    return union(wells, *ways, repeated(union(*vents.rods(well.floor_mm)), layout.centres_mm))


@dataclass(frozen=True, kw_only=True)
class Formers:
    """What keeps silicone out besides the parts: F1 and F2 as they stand, and as the shifted world needs them.

    Parameters
    ----------
    first, second : as they stand.
    first_levelled : F1 on z = 0.
    second_taller : F2 going on above the fill line, up to `taller_mm`.
    """

    first: Node
    second: Node
    first_levelled: Node
    second_taller: Node


def ruled_solids(setup: Setup, frame: Frame, centres: Centres, formers: Formers) -> Solids:
    """H = (I below g) - F1 - P, L = (I above g | F1) - P - F2, C = I - H - L, g being a ruled face."""
    ground, cell = setup.ground, setup.standing.cell
    below = ground.below(frame, centres, frame.fill_lower_mm)
    above = ground.above(frame, centres, frame.fill_upper_mm)
    interior, parts = frame.block(frame.fill_lower_mm, frame.fill_upper_mm), repeated(cell, centres)
    level = _Levelled(setup, frame, centres, formers)
    lower = cut(below, formers.first, parts)
    closing = Op("cut", (above | formers.first, parts | formers.second))
    cavity = cut(cut(interior, lower), closing)
    return Solids(
        interior=interior,
        interior_below=below,
        interior_above=above,
        parts=parts,
        formers_first=formers.first,
        formers_second=formers.second,
        lower=ground.standing(level.lower, lower, frame, centres),
        closing=ground.standing(level.closing, closing, frame, centres),
        cavity=ground.standing(level.cavity, cavity, frame, centres),
        cell=cell,
        cell_outline=None,
        cored=None,
    )


def ruled_lid(setup: Setup, frame: Frame, centres: Centres, formers: Formers) -> Node:
    """What of the closing piece lies above the parting."""
    ground = setup.ground
    parts = repeated(setup.standing.cell, centres)
    exact = Op("cut", (ground.above(frame, centres, frame.fill_upper_mm), parts | formers.second))
    return ground.standing(_Levelled(setup, frame, centres, formers).above, exact, frame, centres)


def ruled_keys(setup: Setup, frame: Frame, centres: Centres, formers: Formers) -> Node:
    """What of the closing piece lies below the parting."""
    return setup.ground.standing(formers.first_levelled, formers.first, frame, centres)


class _Levelled:
    """The solids in the world in which the face is z = 0."""

    def __init__(self, setup: Setup, frame: Frame, centres: Centres, formers: Formers) -> None:
        ground = setup.ground
        low = frame.fill_lower_mm - _SPARE_MM
        high = frame.fill_upper_mm - ground.low_mm + _SPARE_MM
        below, over = frame.plan.block(low, 0.0), frame.plan.block(0.0, high)
        # Every cell is the same, also shifted: each has the same stretch of the face.
        parts = repeated(ground.levelled(setup.standing.cell), centres)
        filled = parts | ground.levelled(formers.second_taller, centres)
        self.lower = cut(below, formers.first_levelled, parts)
        self.above = Op("cut", (over, filled))
        self.closing = Op("cut", (union(over, formers.first_levelled), filled))
        self.cavity = cut(cut(frame.plan.block(low, high), self.lower), self.closing)
