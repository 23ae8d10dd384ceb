"""Do the ends of a hard core close on silicone wide enough to keep resin out?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_LEAST_MM = 2.0  # resin creeps under a narrower land (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution for lands narrower than 2 mm."""
    if facts.figure("core_end_mm") == 0.0:
        return None
    width, squeeze = facts.figure("core_land_mm"), facts.figure("core_squeeze_mm")
    ok = width >= _LEAST_MM - 1e-9
    if facts.figure("core_cups"):
        return CheckResult(
            name="core lands", ok=ok, severity="caution", value=round(width, 3), limit=_LEAST_MM, unit="mm",
            advice="silicone closes round each end of the core, so wide, and its cup behind that: press the core home",
        )  # fmt: skip
    words = f"silicone presses on {facts.figure('core_land_mm2'):.0f} mm² of each core by {squeeze:g} mm"
    return CheckResult(
        name="core lands", ok=ok, severity="caution", value=round(width, 3), limit=_LEAST_MM, unit="mm",
        advice=words if ok else f"{words}, but on a narrow ring: resin creeps under; plug the bore with wax or clay",
    )  # fmt: skip
