"""Do the seams between the walls, and the gap between walls and base, let silicone through?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.mould_physics import seam_leak

_LIMIT = 1.0  # mL an hour, all seams of one pour (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution above 1 mL an hour (judgement)."""
    gap, count = facts.figure("seam_gap_mm"), facts.figure("seam_count")
    if gap <= 0 or count <= 0:
        return None
    flow = (count * _laps(facts) + _edge(facts)) * 1e6 * 3600
    ok = flow <= _LIMIT
    return CheckResult(
        name="seam leak", ok=ok, severity="caution", value=round(flow, 3), limit=_LIMIT, unit="mL/h",
        advice="" if ok else "tape the walls' seams from outside, or grease the laps, before you pour",
    )  # fmt: skip


def _laps(facts: KitFacts) -> float:
    """Through one upright lap between two walls, m3/s."""
    return seam_leak(
        viscosity=facts.silicone.viscosity,
        liquid_density=facts.silicone.density,
        depth=facts.figure("pour_depth_mm") * 1e-3,
        width=facts.figure("seam_width_mm") * 1e-3,
        gap=facts.figure("seam_gap_mm") * 1e-3,
        path=facts.figure("seam_path_mm") * 1e-3,
    )


def _edge(facts: KitFacts) -> float:
    """Through the gap all round the base, m3/s; it lies at the bottom, under the full head."""
    if facts.figure("edge_gap_mm") <= 0 or facts.figure("edge_path_mm") <= 0:
        return 0.0
    return seam_leak(
        viscosity=facts.silicone.viscosity,
        liquid_density=facts.silicone.density,
        depth=2 * facts.figure("pour_depth_mm") * 1e-3,
        width=facts.figure("edge_width_mm") * 1e-3,
        gap=facts.figure("edge_gap_mm") * 1e-3,
        path=facts.figure("edge_path_mm") * 1e-3,
    )
