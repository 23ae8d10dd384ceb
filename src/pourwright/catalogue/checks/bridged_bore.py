"""Does silicone poured over a pattern's bore run down into it, or bridge it over trapped air?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.bores import blind_slug_time

_SHARE = 0.25  # of the pot life (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution when a bore would take more than a quarter of the pot life to fill by itself (judgement)."""
    length, diameter = facts.figure("slug_length_mm"), facts.figure("slug_diameter_mm")
    if diameter <= 0 or length <= 0:
        return None
    seconds = blind_slug_time(
        viscosity=facts.silicone.viscosity,
        density=facts.silicone.density,
        length=length * 1e-3,
        diameter=diameter * 1e-3,
    )
    limit = _SHARE * facts.silicone.pot_life
    ok = seconds <= limit
    words = "fill bores first, by syringe, needle at the bottom, drawing back as it rises"
    shown = None if seconds == float("inf") else round(seconds, 1)
    return CheckResult(
        name="bridged bore", ok=ok, severity="caution", value=shown, limit=round(limit, 1), unit="s",
        advice=words if ok else f"silicone would bridge this bore and leave air under it: {words}",
    )  # fmt: skip
