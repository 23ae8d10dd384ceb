"""How far the figures of the mould fit check may miss, and the names under which they are noted."""

from __future__ import annotations

from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.engines.geometry.evaluate import Evaluator

LOWER, CLOSING, CAVITY, INTERIOR = "lower half", "closing piece", "cavity", "interior"
PARTS, WANTED, PART = "parts", "wanted void", "part"
RELEASE = "release"
RESIN, RUBBER = "resin", "rubber"

NOTHING = 1e-9  # of the cavity, or of the piece: no volume at all
_MESH_SUM = 1e-12  # of the interior: what the mesh kernel's own rounding may lose
_EXACT_SUM = 1e-9


def sum_bound_mm3(design: MouldDesign, evaluator: Evaluator) -> float:
    """How far the volumes may miss their sum, mm3: rounding, and in the exact kernel what its faces are loose by."""
    interior = evaluator.volume(design.interior)
    if not evaluator.kernel.exact:
        return _MESH_SUM * interior
    loose = evaluator.kernel.looseness_mm
    return _EXACT_SUM * interior + (loose * evaluator.area(design.parts) if loose > 0 else 0.0)
