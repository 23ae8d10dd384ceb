"""The identities of the printed pieces: each is one closed body, and those that stand together do not overlap."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.stand.frame import cut
from pourwright.engines.geometry.tree import Node, union
from pourwright.steps.proofs.fit_book import FitBook
from pourwright.steps.proofs.fit_bounds import NOTHING

_ALIKE = 11  # decimals of a millimetre to which two copies may stand alike
_ALONE = {"wall": ("use",), "cover plate": ("use",)}  # where pieces stand besides their pours


@dataclass(frozen=True)
class _Standing:
    """One copy of a piece where it stands, with its box; `place` is where `solid` was put."""

    name: str
    solid: Node
    place: tuple[float, float, float, float]
    where: frozenset[str]
    low_mm: np.ndarray[tuple[int], np.dtype[np.float64]]
    high_mm: np.ndarray[tuple[int], np.dtype[np.float64]]


def piece_volumes(design: MouldDesign, book: FitBook) -> None:
    """Note the volume of every piece."""
    for piece in (*design.pieces, *_parts(design)):
        book.volume(f"piece {piece.name}", piece.solid)


def pieces(design: MouldDesign, book: FitBook) -> None:
    """Every printed piece is one closed body, and what stands together shares no volume."""
    piece_volumes(design, book)
    for piece in (piece for piece in (*design.pieces, *_parts(design)) if piece.printed):
        bodies = book.count(f"piece {piece.name}", piece.solid)
        closed = book.evaluator.is_closed(piece.solid, report=book.report)
        words = "one closed body" if piece.bodies == 1 else f"{piece.bodies} closed bodies"
        book.hold_count(f"I7: {piece.name} is {words}", bodies if closed else 0, piece.bodies)
    for piece in (piece for piece in design.pieces if piece.parts):
        _hold_parts(piece, book)
    standing = [copy for piece in design.pieces for copy in _copies(piece, book)]
    overlap, bound = 0.0, 0.0
    for first, other in ((a, b) for i, b in enumerate(standing) for a in standing[:i] if _may_meet(a, b)):
        shared = book.volume_of(_shared(first, other))
        allowed = NOTHING * min(book.volume_of(first.solid), book.volume_of(other.solid))
        overlap, bound = overlap + shared, bound + allowed
        if shared > allowed:
            name = f"{first.name} and {other.name} overlap"
            book.missing_mm3[name] = book.missing_mm3.get(name, 0.0) + shared
    book.hold_volume("I7: pieces that stand together do not overlap", overlap, bound)


def _parts(design: MouldDesign) -> tuple[Piece, ...]:
    """The parts of pieces that are too long for the bed."""
    return tuple(part for piece in design.pieces for part in piece.parts)


def _hold_parts(piece: Piece, book: FitBook) -> None:
    """Parts share nothing, lie within their piece, and lose nothing of it but at their joints."""
    solids = [part.solid for part in piece.parts]
    whole = book.volume_of(piece.solid)
    shared = sum(book.volume_of(a & b) for a, b in combinations(solids, 2))
    lost = book.volume_of(cut(piece.solid, *solids, *(cut_.room() for cut_ in piece.cuts)))
    beyond = book.volume_of(cut(union(*solids), piece.solid))
    name = f"I7: parts of the {piece.name} make it up, but for their joints"
    book.hold_volume(name, shared + lost + beyond, NOTHING * whole)


@dataclass(frozen=True)
class Placed:
    """One copy of a piece where it stands."""

    name: str
    node: Node


def standing_in(design: MouldDesign, stage: str) -> list[Placed]:
    """All copies of the pieces that stand in a stage."""
    names = dict(design.states).get(stage, ())
    return [
        Placed(piece.name, piece.solid.at(x, y, z, turn_deg=turn))
        for piece in design.pieces
        if piece.name in names
        for x, y, z, turn in piece.places_mm
    ]


def _copies(piece: Piece, book: FitBook) -> list[_Standing]:
    where = piece.stands or (*(f"pour {n}" for n in piece.touches_silicone), *_ALONE.get(piece.role, ()))
    found = []
    for x, y, z, turn in piece.places_mm:
        node = piece.solid.at(x, y, z, turn_deg=turn)
        low, high = book.evaluator.bounds(node, report=book.report)
        found.append(_Standing(piece.name, piece.solid, (x, y, z, turn), frozenset(where), low, high))
    return found


def _shared(first: _Standing, other: _Standing) -> Node:
    """What two copies have in common, seen from the first where neither is turned: alike in every cell."""
    x, y, z, turn = first.place
    if turn == other.place[3] == 0.0:
        dx, dy, dz = (round(there - here, _ALIKE) for here, there in zip(first.place, other.place[:3], strict=False))
        return first.solid & other.solid.at(dx, dy, dz)
    there_x, there_y, there_z, there_turn = other.place
    return first.solid.at(x, y, z, turn_deg=turn) & other.solid.at(there_x, there_y, there_z, turn_deg=there_turn)


def _may_meet(first: _Standing, other: _Standing) -> bool:
    apart = np.any(first.low_mm >= other.high_mm) or np.any(other.low_mm >= first.high_mm)
    return bool(first.where & other.where) and not apart
