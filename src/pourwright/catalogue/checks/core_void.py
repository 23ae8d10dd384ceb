"""Is there a hollow in a hard core that gas could leave by, or that pressure could crush?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """A closed hollow is a caution, and a failure under pressure: it leaks bubbles into the rubber, or collapses."""
    if facts.figure("core_end_mm") == 0.0:
        return None
    hollows = int(facts.figure("core_hollows"))
    squeezed = facts.pressure > 0
    if hollows:
        told = "under pressure it collapses or leaks bubbles into the rubber" if squeezed else "its air warms and leaks"
        advice = f"the core is hollow inside: {told}; fill it, or open it to its bore"
    else:
        advice = "no closed hollow in it; print a printed one solid, for sparse infill is a hollow too"
    return CheckResult(
        name="core void", ok=hollows == 0, severity="fail" if squeezed else "caution", value=hollows, limit=0,
        unit="closed hollows", advice=advice,
    )  # fmt: skip
