"""Does the silicone let go: how far must its rings stretch to clear the undercuts?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """Fails above 1 + a third of the elongation at break (from memory)."""
    known = {half: value for half, value in facts.stretch.items() if value is not None}
    if not known:
        return None
    half = max(known, key=lambda name: known[name])
    ok = known[half] <= facts.stretch_allowed
    advice = (
        ""
        if ok
        else (
            f"the {half} of {facts.silicone.name} would be stretched too far each time: take a silicone with more "
            "elongation, turn the part over, or part it elsewhere"
        )
    )
    return CheckResult(
        name="stretch on opening", ok=ok, value=round(known[half], 3), limit=round(facts.stretch_allowed, 3),
        unit="times", advice=advice,
    )  # fmt: skip
