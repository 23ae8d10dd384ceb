"""Does silicone poured over a pattern's bore run down into it, or bridge it over trapped air?"""

from __future__ import annotations

import math

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_WORDS = "fill bores first, by syringe, needle at the bottom, drawing back as it rises"


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution when a bore would take more than a quarter of the pot life to fill by itself (judgement)."""
    if not facts.bores:
        return None
    slowest = max(facts.bores, key=lambda bore: bore.time)
    bridged = [bore for bore in facts.bores if not bore.fills_itself]
    named = ", ".join(f"{bore.diameter * 1e3:.1f} × {bore.depth * 1e3:.0f} mm in pour {bore.pour}" for bore in bridged)
    advice = f"silicone would bridge {named} and leave air under it: {_WORDS}" if bridged else _WORDS
    return CheckResult(
        name="bridged bore",
        ok=not bridged,
        severity="caution",
        value=None if math.isinf(slowest.time) else round(slowest.time, 1),
        limit=round(slowest.limit, 1),
        unit="s",
        advice=advice,
    )
