"""Measure the hard cores of a mould: what they displace, how much of that is solid, whether they are hollow inside."""

from __future__ import annotations

from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.domain.kit import CORE
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.tree import Node


def core_study(design: MouldDesign, evaluator: Evaluator, *, resin_density: float) -> dict[str, float]:
    """Figures of one core for the checks; none for a mould without cores.

    Parameters
    ----------
    resin_density : kg/m3
    """
    core = next((piece.solid for piece in design.pieces if piece.name == CORE), None)
    if core is None or design.cored is None:
        return {}
    return {
        "core_volume_mm3": evaluator.volume(design.cored.one_filled),
        "core_solid_mm3": evaluator.volume(core),
        "core_hollows": float(_hollows(core, evaluator)),
        "resin_kg_m3": resin_density,
    }


def _hollows(core: Node, evaluator: Evaluator) -> int:
    count: int = evaluator.kernel.hollows(evaluator.solid(core)) if hasattr(evaluator.kernel, "hollows") else 0
    return count
