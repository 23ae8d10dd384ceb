"""Measure the hard cores of a mould: what they displace, how much of that is solid, whether they are hollow inside."""

from __future__ import annotations

from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.domain.kit import CORE
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.tree import Node

_COLUMNS = 384
_TURNS_DEG = (15.0, 37.5, 60.0)  # whole steps of a mesh of 48 chords, so that a round core turns into itself


def core_study(design: MouldDesign, evaluator: Evaluator, *, resin_density: float) -> dict[str, float]:
    """Figures of one core for the checks; none for a mould without cores.

    Parameters
    ----------
    resin_density : kg/m3
    """
    core = next((piece.solid for piece in design.pieces if piece.name == CORE), None)
    if core is None or design.cored is None:
        return {}
    filled = design.cored.one_filled
    return {
        "core_volume_mm3": evaluator.volume(filled),
        "core_solid_mm3": evaluator.volume(core),
        "core_hollows": float(_hollows(core, evaluator)),
        "core_holds_mm3": _holds_mm3(filled, evaluator),
        "core_turns_mm3": _turns_mm3(filled, evaluator),
        "resin_kg_m3": resin_density,
    }


def _holds_mm3(filled: Node, evaluator: Evaluator) -> float:
    """Rubber between parts of the core seen along its axis: it must give way before the rubber slides off."""
    from pourwright.engines.geometry.air.dexels import scan
    from pourwright.engines.geometry.pulls.pull import gap_volume

    return gap_volume(scan(*evaluator.mesh(filled), columns=_COLUMNS))


def _turns_mm3(filled: Node, evaluator: Evaluator) -> float:
    """How much of a turned core stands outside its own place, at the worst of some turns: 0 for a round one."""
    return max(evaluator.volume(filled.at(turn_deg=turn) - filled) for turn in _TURNS_DEG)


def _hollows(core: Node, evaluator: Evaluator) -> int:
    count: int = evaluator.kernel.hollows(evaluator.solid(core)) if hasattr(evaluator.kernel, "hollows") else 0
    return count
