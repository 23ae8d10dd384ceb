"""Where does air stay when the mould stands level, or leans by a few degrees?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_SHARE = 1e-3  # of the part (judgement)
_LEAST_DEG = 0.1  # finer nobody levels a mould


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution above 0.1 % of the part (judgement) at any tilt up to 5 degrees that was looked at."""
    if facts.trapped_mm3 is None:
        return None
    share = facts.figure("trapped_share") or _SHARE
    limit = share * facts.cavities * facts.figure("part_volume_mm3")
    worst = facts.trapped_mm3 if facts.worst_trapped_mm3 is None else facts.worst_trapped_mm3
    ok = worst <= limit
    lean = facts.figure("lean_deg")
    level, within = facts.trapped_mm3, facts.figure("level_within_deg")
    closely = f" to within {within:.1f}°" if not ok and within >= _LEAST_DEG else ""
    words = (
        f"up to {worst:.0f} mm³ stay while it leans {lean:g}° as meant, {level:.0f} mm³ if it stood dead level"
        if lean
        else f"up to {worst:.0f} mm³ stay when it leans by 5°, {level:.0f} mm³ when it stands level: level it{closely}"
    )
    more = "" if ok else "; tap and rock it while it fills, brush a first coat under ledges, or turn the part over"
    return CheckResult(
        name="trapped air", ok=ok, severity="caution", value=round(worst, 2), limit=round(limit, 2), unit="mm³",
        advice=words + more if worst > 0 else "",
    )  # fmt: skip
