"""Does the core in the part's bore stand up to the pour?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.bores import STRAIGHT_ENOUGH

_SOFT, _WITH_CONE = 3.0, 5.0  # length over diameter (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A silicone core is good to 3 diameters, to 5 with a cone at its tip, and to 2 % of bend; else a metal rod."""
    diameter = facts.figure("bore_diameter_mm")
    if diameter <= 0:
        return None
    ratio, bend = facts.figure("bore_ratio"), facts.figure("bore_sag_mm")
    if facts.figure("bore_is_rod"):
        return CheckResult(
            name="bore core", ok=True, severity="note", value=round(diameter, 3), unit="mm rod",
            advice="a metal rod of this diameter runs right through; draw it before the cast comes out",
        )  # fmt: skip
    coned = bool(facts.figure("core_cone"))
    limit = _WITH_CONE if coned else _SOFT
    ok = ratio <= limit + 1e-9 and (coned or bend <= STRAIGHT_ENOUGH * diameter)
    moved = (
        f"resin on one side of it moves its tip {bend:.2g} mm, its own weight on its side "
        f"{facts.figure('bore_sideways_mm'):.2g} mm"
    )
    slow = "; fill slowly, at the middle" if coned else ""
    return CheckResult(
        name="bore core", ok=ok, value=round(ratio, 3), limit=limit, unit="length/diameter",
        advice=moved + slow if ok else f"this silicone core would lean or tear: {moved}; a metal rod stands",
    )  # fmt: skip
