"""Do the overflow wells hold what shrinkage and squeezed gas will ask back?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """Fails when a cell's well is smaller than overfill plus the gas that pressure takes away."""
    has, needs = facts.figure("well_volume_mm3"), facts.figure("well_needed_mm3")
    if needs <= 0:
        return None
    ok = has >= needs * (1 - 1e-9)
    return CheckResult(
        name="overflow wells", ok=ok, value=round(has, 2), limit=round(needs, 2), unit="mm³ a cavity",
        advice="" if ok else "ask for less overflow or pressure, or more silicone beside the cavities",
    )  # fmt: skip
