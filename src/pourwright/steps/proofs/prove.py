"""The mould fit check: does a mould made with these pieces leave exactly the part and its vents and wells?

With interior I, parts P, formers F1 and F2, lower half H, closing piece L and cavity C of a design:

    I1  V(I) = V(H) + V(L) + V(C)                     tests the kernel
    I2  C = P | F2                                    tests the design
    I3  V(H) = V(I below) - V(F1 below) - V(P below) + V(F1 & P below)
    I4  V(L) = V(I) - V(H) - V(P | F2)
    I5  V(all cells) = cavities * V(one cell)
    I6  H and L do not meet; each is one body, C as many as planned
    I7  every printed piece is one body; pieces that stand together do not overlap
    I8  silicone on silicone: the area that L shares with H is the sum over what shapes it

With hard cores K on spindles S (P is rubber T, core and spindle in one):

    K1  V(resin) = V(C) - V((K | S) & C), resin being T | F2
    K2  V(K - C) = squeeze * area of the lands
    K3  the resin lies in C, and beside K and S

Volumes cannot see sheets of no thickness, so that areas and numbers of bodies are compared as well.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.sizes import SEAM_MM
from pourwright.catalogue.moulds.stand.ground import together
from pourwright.domain.kit import Proof
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.tree import Box, Node, Op
from pourwright.steps.proofs.fit_book import FitBook
from pourwright.steps.proofs.fit_bounds import (
    CAVITY,
    CLOSING,
    INTERIOR,
    LOWER,
    NOTHING,
    PART,
    PARTS,
    RELEASE,
    WANTED,
    sum_bound_mm3,
)
from pourwright.steps.proofs.prove_breathers import breathers
from pourwright.steps.proofs.prove_cores import cores
from pourwright.steps.proofs.prove_pieces import piece_volumes, pieces

_SAME_AREA = 1e-6
_AREA_TWICE = 2e-4


def prove(
    design: MouldDesign, evaluator: Evaluator, *, second: Evaluator | None = None, report: Report = silent
) -> Proof:
    """The mould fit check of one design in one kernel.

    Parameters
    ----------
    design : the mould, described.
    evaluator : the kernel that makes its solids; a mesh kernel checks everything, an exact one volumes only.
    second : a mesh kernel with another number of chords, to compare the areas of the halves; not needed
        when the exact kernel runs too (see `compare`).

    Returns
    -------
    Proof
        Volumes m3, areas m2, each identity with its residual and bound, and what is missing from the cavity
        by cause.
    """
    book = FitBook(evaluator)
    exact = evaluator.kernel.exact
    tasks = _EXACT_TASKS if exact else _MESH_TASKS
    for index, (words, task) in enumerate(tasks):
        report(index / len(tasks), words)
        book.report = span(report, index / len(tasks), (index + 1) / len(tasks))
        task(design, book)
    if second is not None:
        _areas_twice(design, book, second)
    report(1.0, "mould fit check done")
    return book.proof()


def wanted_void(design: MouldDesign) -> Node:
    """What the closed mould should leave empty: parts, vents and wells."""
    return design.parts if design.formers_second is None else design.parts | design.formers_second


def contact_area_mm2(evaluator: Evaluator, first: Node, second: Node, *, report: Report = silent) -> float:
    """Area that two solids which do not overlap have in common, half of what their union hides, mm2."""
    apart = evaluator.area(first, report=report) + evaluator.area(second, report=report)
    return (apart - evaluator.area(together(first, second), report=report)) / 2


# ---------------------------------------------------------------- the identities


def _sum(design: MouldDesign, book: FitBook) -> None:
    whole = book.volume(INTERIOR, design.interior)
    lower, closing = book.volume(LOWER, design.lower), book.volume(CLOSING, design.closing)
    cavity = book.volume(CAVITY, design.cavity)
    bound = sum_bound_mm3(design, book.evaluator)
    book.hold_volume("I1: the halves and the cavity fill the interior", whole - lower - closing - cavity, bound)


def _wanted(design: MouldDesign, book: FitBook) -> None:
    wanted, cavity = wanted_void(design), book.volume(CAVITY, design.cavity)
    too_little = book.volume_of(wanted - design.cavity)
    # V(C - W) = V(C) - V(W) + V(W - C): a second boolean of two nearly equal solids would cost as much again.
    too_much = cavity - book.volume(WANTED, wanted) + too_little
    bound = NOTHING * cavity
    whole = book.hold_volume("I2: nothing of the wanted void is filled", too_little, bound)
    book.hold_volume("I2: nothing but the wanted void is empty", too_much, bound)
    surface = book.area(WANTED, wanted)
    miss = book.area(CAVITY, design.cavity) - surface
    book.hold_area("I2: the cavity has the surface of the wanted void", miss, _SAME_AREA * surface)
    if not whole:
        _name_causes(design, book)


def _wanted_by_volume(design: MouldDesign, book: FitBook) -> None:
    miss = book.volume(WANTED, wanted_void(design)) - book.volume(CAVITY, design.cavity)
    book.hold_volume("I2: the cavity has the volume of the wanted void", miss, sum_bound_mm3(design, book.evaluator))


def _name_causes(design: MouldDesign, book: FitBook) -> None:
    """V(P | F2) - V(C) = V((P | F2) & H) + V((P | F2) - I): what is missing names its cause."""
    formers = design.formers_second
    causes = {"part outside the box": design.parts - design.interior}
    if formers is not None:
        causes["vents and wells outside the box"] = formers - design.parts - design.interior
        causes["vents and wells inside the lower half"] = formers & design.lower
    found = {name: book.volume_of(node) for name, node in causes.items()}
    book.missing_mm3.update({name: volume for name, volume in found.items() if volume > 0})


def _silicone(design: MouldDesign, book: FitBook) -> None:
    """Silicone volumes by inclusion and exclusion."""
    below = design.interior_below
    parts_below = _within(design.parts, below, design, book)
    lower = book.volume_of(below) - book.volume_of(parts_below)
    if design.formers_first is not None:
        first_below = _within(design.formers_first, below, design, book)
        lower += book.volume_of(first_below & parts_below) - book.volume_of(first_below)
    whole, wanted = book.volume(INTERIOR, design.interior), book.volume(WANTED, wanted_void(design))
    closing = whole - book.volume(LOWER, design.lower) - wanted
    book.volumes_mm3["silicone lower"] = lower
    book.volumes_mm3["silicone lid"] = closing if design.closing_is_silicone else 0.0
    bound = sum_bound_mm3(design, book.evaluator)
    miss_lower, miss_closing = book.volume(LOWER, design.lower) - lower, book.volume(CLOSING, design.closing) - closing
    book.hold_volume("I3: the lower half is the box below less what stands in it", miss_lower, bound)
    # The closing piece takes the rounding of all four volumes, and what I2 allows.
    book.hold_volume("I4: the closing piece is what is left", miss_closing, 2 * bound + NOTHING * wanted)


def _silicone_as_made(design: MouldDesign, book: FitBook) -> None:
    """In the exact kernel the halves' own volumes: I3 and I4 would cost more booleans and tell nothing new."""
    book.volumes_mm3["silicone lower"] = book.volume(LOWER, design.lower)
    book.volumes_mm3["silicone lid"] = book.volume(CLOSING, design.closing) if design.closing_is_silicone else 0.0


def _within(node: Node, room: Node, design: MouldDesign, book: FitBook) -> Node:
    """What of a solid lies in a room of the box; the solid itself when its box shows that it all does."""
    bounds = [book.evaluator.bounds(one, report=book.report) for one in _flat(node)]
    floor, ceiling = book.evaluator.bounds(room, report=book.report)
    if design.layout is not None:
        if all(low[2] >= floor[2] and high[2] <= ceiling[2] and _inside(design, low, high) for low, high in bounds):
            return node
    elif isinstance(room, Box) and all(np.all(low >= floor) and np.all(high <= ceiling) for low, high in bounds):
        return node
    return node & room


def _flat(node: Node) -> tuple[Node, ...]:
    return node.solids if isinstance(node, Op) and node.kind == "union" else (node,)


def _inside(design: MouldDesign, low: np.ndarray[Any, Any], high: np.ndarray[Any, Any]) -> bool:
    """Whether a box stands clear of the walls and their bead; the plan is convex, so that its corners tell."""
    corners = [(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])]
    return design.layout is not None and min(design.layout.plan.inside_mm(x, y) for x, y in corners) >= SEAM_MM


def _cells(design: MouldDesign, book: FitBook) -> None:
    every = book.volume(PARTS, design.parts)
    one = book.volume(PART, design.part)
    wanted = design.cavities * design.scale**3 * one
    if design.cell is not None:
        wanted = design.cavities * book.volume_of(design.cell)
    elif isinstance(design.parts, Op) and len(design.parts.solids) == design.cavities:
        wanted = sum(book.volume_of(cell) for cell in design.parts.solids)
    bound = max(NOTHING * wanted, sum_bound_mm3(design, book.evaluator))
    book.hold_volume("I5: the cells do not overlap", every - wanted, bound)
    for name, node in (("vents", design.vents), ("wells", design.wells)):
        book.volume(name, node)


def _halves(design: MouldDesign, book: FitBook) -> None:
    bound = NOTHING * book.volume(CAVITY, design.cavity)
    lower, closing = book.volume(LOWER, design.lower), book.volume(CLOSING, design.closing)
    # V(H & L) = V(H) + V(L) - V(H | L), since the union is needed anyway.
    overlap = lower + closing - book.volume_of(together(design.lower, design.closing))
    book.hold_volume("I6: the halves do not overlap", overlap, bound)
    book.hold_count("I6: the lower half is one body", book.count(LOWER, design.lower), 1)
    book.hold_count("I6: the closing piece is one body", book.count(CLOSING, design.closing), 1)
    found = book.count(CAVITY, design.cavity)
    book.hold_count("I6: the cavity has as many bodies as planned", found, design.cavity_bodies)
    book.area(LOWER, design.lower)
    book.area(CLOSING, design.closing)


def _contained(design: MouldDesign, book: FitBook) -> None:
    for name, inner, outer in design.containment:
        outside, bound = book.volume_of(inner - outer), NOTHING * book.volume_of(inner)
        if not book.hold_volume(f"containment: {name} stays inside", outside, bound):
            book.missing_mm3[f"{name} outside its place"] = outside


def _release(design: MouldDesign, book: FitBook) -> None:
    if not design.closing_is_silicone:
        book.areas_mm2[RELEASE] = 0.0
        return
    groups = _release_groups(design, book)
    total = contact_area_mm2(book.evaluator, design.lower, design.closing, report=book.report)
    book.areas_mm2[RELEASE] = total
    if groups:
        miss = total - sum(groups.values())
        book.hold_area("I8: the release area is the sum of its groups", miss, _SAME_AREA * total)


def _release_as_summed(design: MouldDesign, book: FitBook) -> None:
    """In the exact kernel the sum of the groups alone: the mesh kernel has shown that nothing is left over."""
    if not design.closing_is_silicone or not design.release_groups:
        _release(design, book)
        return
    book.areas_mm2[RELEASE] = sum(_release_groups(design, book).values())


def _release_groups(design: MouldDesign, book: FitBook) -> dict[str, float]:
    groups = {
        f"{RELEASE}: {name}": contact_area_mm2(book.evaluator, design.lower, node, report=book.report)
        for name, node in design.release_groups.items()
    }
    book.areas_mm2.update(groups)
    return groups


# ---------------------------------------------------------------- areas in a second kernel


def _areas_twice(design: MouldDesign, book: FitBook, second: Evaluator) -> None:
    share = max(_AREA_TWICE, second.kernel.area_tolerance, book.evaluator.kernel.area_tolerance)
    for name, node in ((LOWER, design.lower), (CLOSING, design.closing)):
        here, there = book.area(name, node), second.area(node, report=book.report)
        book.hold_area(f"S2: the {name} has the same surface in a second mesh", here - there, share * there)


_Task = tuple[str, Callable[[MouldDesign, FitBook], None]]
_MESH_TASKS: tuple[_Task, ...] = (
    ("filling the box", _sum),
    ("comparing the cavity", _wanted),
    ("counting bodies", _halves),
    ("measuring the silicone", _silicone),
    ("measuring the cells", _cells),
    ("looking at the cores", cores),
    ("checking rods and screws", _contained),
    ("checking the pieces", pieces),
    ("looking at the breathers", breathers),
    ("measuring the release area", _release),
)
_EXACT_TASKS: tuple[_Task, ...] = (
    ("filling the box", _sum),
    ("comparing the cavity", _wanted_by_volume),
    ("measuring the silicone", _silicone_as_made),
    ("measuring the cells", _cells),
    ("looking at the cores", cores),
    ("measuring the pieces", piece_volumes),
    ("measuring the release area", _release_as_summed),
)
