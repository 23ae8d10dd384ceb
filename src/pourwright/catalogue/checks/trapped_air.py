"""Where does air stay when the mould stands level, or leans by a few degrees?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_SHARE = 1e-3  # of the part, level (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution above 0.1 % of the part standing level (judgement); the worst tilt is told beside it."""
    if facts.trapped_mm3 is None:
        return None
    limit = _SHARE * facts.cavities * facts.figure("part_volume_mm3")
    worst = facts.worst_trapped_mm3 or facts.trapped_mm3
    ok = facts.trapped_mm3 <= limit
    words = f"up to {worst:.0f} mm³ when it leans by 5°: level it"
    return CheckResult(
        name="trapped air", ok=ok, severity="caution", value=round(facts.trapped_mm3, 2), limit=round(limit, 2),
        unit="mm³", advice=words if ok else f"{words}; brush a first coat under ledges, or turn the part over",
    )  # fmt: skip
