"""Say along which face the halves of a solid from a file meet, and why."""

from __future__ import annotations

import math

from pourwright.domain.kit import Parting
from pourwright.engines.geometry.measure import to_m, to_m3
from pourwright.steps.planning.plan_mould import MouldPlan


def parting_of(plan: MouldPlan) -> Parting | None:
    """The parting of a mould; None for a body of revolution, and where the style has no halves to part."""
    design, solid = plan.design, plan.solid
    if solid is None or not design.parting_reason:
        return None
    ground = design.ground
    return Parting(
        kind=ground.kind,
        reason=design.parting_reason,
        along="" if ground.level else "xy"[ground.axis],
        steepest=math.radians(ground.steepest_deg),
        line=tuple((to_m(u), to_m(z)) for u, z in ground.line_mm),
        flat_undercut=to_m3(design.cavities * design.scale**3 * solid.undercut_mm3),
    )
