"""What a mould style hands over: the solids of one mould, described, not yet built. Millimetres.

The names are those of the algebra that every style shares (parting surface g, mostly the plane z = 0):
interior I, parts P, formers F1 of the first pour, formers F2 of the second pour (or the voids of the cover
plate), lower half H = (I below g) - F1 - P, closing piece L = ((I above g) | (F1 below g)) - P - F2,
cavity C = (I - H) - L.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pourwright.catalogue.moulds.hollows.vents import Venting
from pourwright.catalogue.moulds.prints.joints import Cut
from pourwright.catalogue.moulds.stand.ground import LEVEL, Ground
from pourwright.catalogue.moulds.stand.layout import Layout, Room
from pourwright.domain.kit import Role
from pourwright.engines.geometry.tree import Node, Outline


@dataclass(frozen=True, kw_only=True)
class Piece:
    """A thing to print or to own. `solid` is the printed form, as assembled, `places` are its copies.

    `print_solid` is the same piece laid for printing (its best face down) when that differs.
    `holds` is what holds it against float; `touches_silicone` names the pours that wet it. `stands` names the
    assemblies in which it stands ("pour 1", "pour 2", "use"); when empty, the pours that wet it, and "use" for
    walls and cover. Pieces that stand together may not overlap. `leaves` is the direction in which each copy is
    taken away, one for every copy or one for each place; empty: what is usual for its role. `in_cast`: it leaves the
    mould inside the cast. `cuts` is where it is cut if it does not fit the bed, where that is not the mould's own;
    `parts` are what is then printed, each to be slid onto the others along z. `bodies` is of how many it consists:
    openings may divide such a part.
    `rests_on` names the pieces on whose slanted faces it lies: there it has no play to judge.
    `breather`: air leads out of it in every pour that wets it; `solid_print`: it is to be printed solid whatever
    infill was asked for.
    """

    name: str
    role: Role
    solid: Node
    places_mm: tuple[tuple[float, float, float, float], ...] = ((0.0, 0.0, 0.0, 0.0),)
    printed: bool = True
    touches_silicone: tuple[int, ...] = ()
    breather: bool = False
    held_by: str = ""
    print_note: str = ""
    print_turn: str = ""
    stands: tuple[str, ...] = ()
    leaves: tuple[tuple[float, float, float], ...] = ()
    in_cast: bool = False
    cuts: tuple[Cut, ...] = ()
    parts: tuple[Piece, ...] = ()
    bodies: int = 1
    rests_on: tuple[str, ...] = ()
    solid_print: bool = False


@dataclass(frozen=True, kw_only=True)
class Fastener:
    """A screw that holds patterns to the base in the first pour: its thread as a plain cylinder, and its head.

    The head tells of the driver's way too: what is above it, the driver has to pass.
    """

    name: str
    solid: Node
    places_mm: tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, kw_only=True)
class Breather:
    """The way of the air out of the patterns of all cells in one pour: neither silicone nor a print may stand in it."""

    pour: int
    way: Node


@dataclass(frozen=True, kw_only=True)
class Cored:
    """Hard cores, or rods in the bores of a solid from a file, as it is cast: what else the fit check asks of it.

    Parameters
    ----------
    rubber : the tyres of all cells, alone.
    cores : the real cores in place; `held` is what they keep resin out of, bores closed, with the spindles.
    casts : the cores with their rubber, as they leave the mould.
    squeezed_mm3 : mm3 of the cores that stand into the silicone of their lands; `pressed` is that solid itself,
        where no formula says it.
    envelope : of one cell's rubber on a core from a file: all between its faces, filled to the axis; else None.
    one_rubber, one_filled, silicone_cell : of one cell, in which air may stay; the core, its bore closed; what
        silicone is poured around.
    """

    rubber: Node
    cores: Node
    held: Node
    casts: Node
    squeezed_mm3: float
    one_rubber: Node
    one_filled: Node
    silicone_cell: Node
    pressed: Node | None = None
    envelope: Node | None = None


@dataclass(frozen=True, kw_only=True)
class MouldDesign:
    """One mould, whole: the solids of the fit check, the pieces to print, and plain figures for the checks.

    `cell` is what one cavity takes out of the silicone besides vents and wells: the scaled part, or rubber, hard core
    and spindle in one, whose rubber and cores `cored` then tells apart;
    `parts` are `cavities` of them; `cell_outline` is its (r, z) outline, scaled and in place, where it has one.
    `release_groups` are the pieces of `closing` by what shapes them (parting, keys, core tips); together they are
    all of `closing`. `containment` are (name, inner, outer): no point of `inner` may lie outside `outer`.
    `states` names the pieces that stand together at each stage ("pour 1", "pour 2", "cast closed"); the keys of
    `figures` are explained in figures.py; `layouts` are all that were tried, least area first, `rooms` what
    each must keep within.
    `mouth_is_open`: nothing closes the cast, and `closing` is the air over the silicone.
    `pulled` is what the halves are pulled off, where it is more than `cell`; `up` points up while the cast cures.
    `venting` says where more vents could stand; `cuts` where base and boards are cut if they do not fit the bed.
    `ground` is the parting surface g; `parting_reason` says why it is that one.
    `pattern_scheme` is "split", "pocket" or "whole", and "" for a style that has no choice.
    `hollow` holds the hollows of one cell that the lid fills, with a little of the part around them: part of
    `formers_first`, though no print forms them.
    A core rod is no part of `interior`: it is neither silicone nor resin, and always in place.
    """

    style: str
    cavities: int
    scale: float
    part: Node
    interior: Node
    interior_below: Node
    interior_above: Node
    parts: Node
    formers_first: Node | None
    formers_second: Node | None
    lower: Node
    closing: Node
    cavity: Node
    closing_is_silicone: bool
    cavity_bodies: int
    pieces: tuple[Piece, ...]
    centres_mm: tuple[tuple[float, float], ...]
    fill_lower_mm: float
    fill_upper_mm: float
    box_inside_mm: tuple[float, float, float]
    box_outside_mm: tuple[float, float, float]
    vents: Node | None
    wells: Node | None
    vent_points_mm: tuple[tuple[float, float, float], ...] = ()
    containment: tuple[tuple[str, Node, Node], ...] = ()
    release_groups: Mapping[str, Node] = field(default_factory=dict)
    figures: Mapping[str, float] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    states: tuple[tuple[str, tuple[str, ...]], ...] = ()
    layout: Layout | None = None
    layouts: tuple[Layout, ...] = ()
    rooms: Mapping[Layout, Room] = field(default_factory=dict)
    cell: Node | None = None
    mouth_is_open: bool = False
    pulled: Node | None = None
    up: tuple[float, float, float] = (0.0, 0.0, 1.0)
    cell_outline: Outline | None = None
    hollow: Node | None = None
    venting: Venting | None = None
    cored: Cored | None = None
    ground: Ground = LEVEL
    parting_reason: str = ""
    pattern_scheme: str = ""
    pattern_reason: str = ""
    cuts: tuple[Cut, ...] = ()
    breathers: tuple[Breather, ...] = ()
    fasteners: tuple[Fastener, ...] = ()

    @property
    def made(self) -> tuple[Piece, ...]:
        """What is printed and owned: the pieces, and in place of those that are too long their parts."""
        return tuple(part for piece in self.pieces for part in (piece.parts or (piece,)))

    @property
    def cell_below(self) -> Node:
        """What one cavity keeps out of the lower half: the cell, and hollows that the base closes and the lid fills."""
        cell = self.part if self.cell is None else self.cell
        return cell if self.hollow is None else cell | self.hollow

    @property
    def resin(self) -> Node:
        """What resin fills: the cavity; beside hard cores the rubber with vents and wells, as K1 to K3 prove."""
        if self.cored is None:
            return self.cavity
        return self.cored.rubber if self.formers_second is None else self.cored.rubber | self.formers_second
