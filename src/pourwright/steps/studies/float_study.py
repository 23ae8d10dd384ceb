"""Measure what wants to rise in each pour: patterns and well formers in silicone, hard cores in resin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.domain.floating import Floating
from pourwright.domain.kit import CORE
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m3
from pourwright.engines.geometry.tree import Node
from pourwright.engines.process.mould_physics import (
    FLOAT_RESERVE,
    PRINT_DENSITY,
    PRINT_LEAST_SHARE,
    float_force,
)
from pourwright.engines.process.overmould import core_lift

_RIGID = ("screw", "bar", "rod", "dowel", "notch", "cover plate", "press board")


def float_study(
    design: MouldDesign,
    evaluator: Evaluator,
    *,
    silicone_density: float,
    resin_density: float,
    measured: Mapping[str, float],
) -> tuple[Floating, ...]:
    """Every piece that a pour could lift, with its lift; those that sink too.

    Parameters
    ----------
    silicone_density, resin_density : kg/m3
    measured : figures of hard cores, where the mould has them.
    """
    found = list(_patterns(design, evaluator, silicone_density))
    found += _formers(design, evaluator, silicone_density)
    found += _cores(design, resin_density, measured)
    return tuple(found)


def lower_displaced_mm3(design: MouldDesign, evaluator: Evaluator) -> float:
    """Silicone that one pattern pushes away in the first pour."""
    return _displaced_mm3(design, evaluator, design.interior_below)


def _displaced_mm3(design: MouldDesign, evaluator: Evaluator, room: Node) -> float:
    """What of a pattern's copy lies in a room; rods, spindles and cups stand by themselves."""
    if design.cored is None:
        cell = design.cell if design.cell is not None else design.part
        copied = [design.cell_below if room is design.interior_below else cell]
    else:
        hard = any(piece.name == CORE for piece in design.pieces)
        copied = [design.cored.one_rubber, *([design.cored.one_filled] if hard else [])]
    return sum(evaluator.volume(one & room) for one in copied)


def _patterns(design: MouldDesign, evaluator: Evaluator, density: float) -> Iterator[Floating]:
    patterns = [piece for piece in design.pieces if piece.role == "pattern"]
    rooms = {1: design.interior_below, 2: design.interior_above}
    for piece in patterns:
        # A pattern that stays for the lid is held by its half then: what lifts it is the pour that it is new in.
        pour = min(piece.touches_silicone, default=1)
        displaced = to_m3(_displaced_mm3(design, evaluator, rooms[pour]))
        yield _printed(piece, evaluator, displaced, density, design.figures.get("infill", 1.0))


def _formers(design: MouldDesign, evaluator: Evaluator, density: float) -> Iterator[Floating]:
    if design.wells is None or not design.closing_is_silicone:
        return
    for piece in design.pieces:
        if piece.role in ("bridge", "well former"):
            yield _printed(piece, evaluator, to_m3(evaluator.volume(design.wells)), density, 1.0)


def _printed(piece: Piece, evaluator: Evaluator, displaced: float, density: float, infill: float) -> Floating:
    filled = 1.0 if piece.solid_print else max(infill, PRINT_LEAST_SHARE)
    mass = PRINT_DENSITY * filled * to_m3(evaluator.volume(piece.solid))
    lift = float_force(liquid_density=density, displaced_volume=displaced, mass=mass)
    return _floating(piece, "silicone", lift, f"a print of {filled:.0%} plastic")


def _cores(design: MouldDesign, density: float, measured: Mapping[str, float]) -> Iterator[Floating]:
    core = next((piece for piece in design.pieces if piece.name == CORE), None)
    if core is None:
        return
    weighed = design.figures.get("core_mass_g", 0.0) * 1e-3
    mass = weighed or PRINT_DENSITY * to_m3(measured["core_solid_mm3"])
    lift = core_lift(resin_density=density, core_volume=to_m3(measured["core_volume_mm3"]), core_mass=mass)
    yield _floating(core, "resin", lift, "the mass given" if weighed else "a solid print (core_mass was not given)")


def _floating(piece: Piece, liquid: str, lift: float, rests_on: str) -> Floating:
    return Floating(
        piece=piece.name,
        count=len(piece.places_mm),
        liquid=liquid,
        lift=lift,
        must_hold=FLOAT_RESERVE * max(0.0, lift),
        held_by=piece.held_by,
        rigid=any(word in piece.held_by for word in _RIGID),
        rests_on=rests_on,
    )
