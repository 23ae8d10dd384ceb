"""Do the walls bulge under the head of silicone?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_LIMIT = 0.2  # mm (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution above 0.2 mm (judgement)."""
    bulge = facts.figure("wall_bulge_mm")
    ok = bulge <= _LIMIT
    return CheckResult(
        name="wall bulge", ok=ok, severity="caution", value=round(bulge, 4), limit=_LIMIT, unit="mm",
        advice="" if ok else "print the walls with ribs or thicker, and strap them near both ends, over boards",
    )  # fmt: skip
