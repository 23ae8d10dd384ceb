"""In which order a mould comes apart: what stands together at each stage, and what is then taken away, which way.

The order is the one that the bench sheet tells. Directions are those of the drawing: z up, lower half below.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.domain.kit import CAP, CUP
from pourwright.engines.geometry.tree import Box, Node

Direction = tuple[float, float, float]

UP: Direction = (0.0, 0.0, 1.0)
DOWN: Direction = (0.0, 0.0, -1.0)
_RIM_SPARE_MM = 1e-3
_DIAGONAL = math.sqrt(0.5)

POUR_1, POUR_2, CAST = "pour 1", "pour 2", "cast closed"
JOINING = "joining the"
LOWER, CLOSING, CAST_PART, OVERFLOW = "lower half", "lid", "cast", "overflow"

SCREW = "screw"

_MOULDED = ("pattern", CAST_PART, OVERFLOW)  # what silicone lets go by stretching, judged by undercut and stretch


@dataclass(frozen=True, kw_only=True)
class Member:
    """One body that stands in a stage: a copy of a piece, a half of the mould, or the cast.

    `rests_on` names pieces on whose slanted faces it lies, so that the two have no play to judge.
    `rigid` is what of it must pass all others as it is, where the rest copies the part: silicone lets go of that by
    stretching, as it does of a pattern.
    """

    name: str
    role: str
    solid: Node
    place_mm: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    copy: int = 0
    copies: int = 1
    printed: bool = False
    leaves: Direction = UP
    rigid: Node | None = None
    rests_on: tuple[str, ...] = ()

    @property
    def called(self) -> str:
        """Its name, with which copy it is where there are several."""
        return self.name if self.copies == 1 else f"{self.name} {self.copy + 1}"

    @property
    def node(self) -> Node:
        """The solid where it stands."""
        x, y, z, turn = self.place_mm
        return self.solid.at(x, y, z, turn_deg=turn)


@dataclass(frozen=True, kw_only=True)
class Stage:
    """What stands together, and the names that then leave, one after the other."""

    name: str
    members: tuple[Member, ...]
    leaving: tuple[str, ...]


def stages(design: MouldDesign) -> tuple[Stage, ...]:
    """The stages of a mould, in the order of the work; before them, pieces in parts are slid together along z."""
    joined = [_joining(piece) for piece in design.pieces if piece.parts]
    return (*joined, *(_stage(design, name, names) for name, names in design.states))


def _joining(piece: Piece) -> Stage:
    """The parts of a piece on the bench: each comes off the others straight up."""
    members = tuple(
        Member(name=part.name, role=part.role, solid=part.solid, printed=True, leaves=UP) for part in piece.parts
    )
    return Stage(name=f"{JOINING} {piece.name}", members=members, leaving=tuple(one.name for one in members[:-1]))


def may_stretch(one: Member, other: Member) -> bool:
    """Whether one of the two is silicone and the other what it moulded: it lets go by stretching."""
    soft = (LOWER, CLOSING)
    return (one.role in soft and other.role in _MOULDED) or (other.role in soft and one.role in _MOULDED)


# What leaves first at each stage, by name or else by role; who is not named stays. Everything that is drawn from
# the silicone leaves before the walls do, and the walls before the silicone is parted, for their ticks reach into it.
_ORDER: dict[str, tuple[str, ...]] = {
    POUR_1: (SCREW, "base", "pattern"),
    POUR_2: ("bridge", "well former", "vent rod", CAP, "wall", CLOSING, "upper pattern", "dowel", "pattern"),
    CAST: ("press board", OVERFLOW, "core rod", "cover plate", "wall", CLOSING, CAST_PART, LOWER, CUP),
}


def _stage(design: MouldDesign, name: str, names: tuple[str, ...]) -> Stage:
    members = [member for piece in design.pieces if _on_its_own(piece, names) for member in _copies(piece, design)]
    members += _screws(design, name)
    members += _silicone(design, name)
    return Stage(name=name, members=tuple(members), leaving=_leaving(design, name, members))


def _on_its_own(piece: Piece, names: tuple[str, ...]) -> bool:
    """A hard core leaves with its rubber."""
    return piece.name in names and not piece.in_cast


def _leaving(design: MouldDesign, name: str, members: list[Member]) -> tuple[str, ...]:
    order = _ORDER.get(name, ())
    if name == POUR_1 and design.closing_is_silicone:
        order = (SCREW, "base")  # the patterns stay for the lid
    found: list[str] = []
    for wanted in order:
        for one in members:
            named = one.name == wanted or (one.role == wanted and one.name not in order)
            if named and one.name not in found:
                found.append(one.name)
    return tuple(found)


def _screws(design: MouldDesign, stage: str) -> list[Member]:
    """The screws through the base: out before what they hold, by a driver from straight below the mould."""
    return [
        Member(
            name=one.name,
            role=SCREW,
            solid=one.solid,
            place_mm=place,
            copy=k,
            copies=len(one.places_mm),
            leaves=UP,
        )
        for one in (design.fasteners if stage == POUR_1 else ())
        for k, place in enumerate(one.places_mm)
    ]


def _silicone(design: MouldDesign, stage: str) -> list[Member]:
    """The silicone and the cast that are there at the end of a stage."""
    found = [Member(name=LOWER, role=LOWER, solid=design.lower)]
    if stage != POUR_1 and design.closing_is_silicone:
        found.append(Member(name=CLOSING, role=CLOSING, solid=design.closing))
    if stage == CAST:
        found += _resin(design)
    return found


def _resin(design: MouldDesign) -> list[Member]:
    """The casts with what stands in their vents, and the overflow in the wells, which is torn off first."""
    if design.wells is None:
        return [Member(name=CAST_PART, role=CAST_PART, solid=design.cavity)]
    parts = design.parts if design.cored is None else design.cored.casts
    casts = parts if design.vents is None else parts | design.vents
    return [
        Member(name=CAST_PART, role=CAST_PART, solid=casts),
        Member(name=OVERFLOW, role=OVERFLOW, solid=design.wells),
    ]


def _copies(piece: Piece, design: MouldDesign) -> list[Member]:
    count = len(piece.places_mm)
    return [
        Member(
            name=piece.name,
            role=piece.role,
            solid=piece.solid,
            place_mm=place,
            copy=k,
            copies=count,
            printed=piece.printed,
            leaves=_way(piece, k),
            rigid=_without_rims(piece, design) if piece.role == "base" else None,
            rests_on=piece.rests_on,
        )
        for k, place in enumerate(piece.places_mm)
    ]


def _without_rims(base: Piece, design: MouldDesign) -> Node:
    """A base less the low slice in which its sealing rims copy the edge of the part."""
    if not design.ground.level:
        return base.solid
    low, far = -sizes.RIM_HEIGHT_MM - _RIM_SPARE_MM, sizes.FAR_MM
    return base.solid - Box(-far, -far, low, far, far, -_RIM_SPARE_MM)


def _way(piece: Piece, copy: int) -> Direction:
    """As the piece says, else up; L walls slide off along their own diagonal, the levelling board down."""
    if piece.leaves:
        return piece.leaves[copy % len(piece.leaves)]
    if piece.role == "wall":
        sign = -1.0 if copy % 2 == 0 else 1.0
        return (sign * _DIAGONAL, sign * _DIAGONAL, 0.0)
    return DOWN if piece.role == "levelling board" else UP
