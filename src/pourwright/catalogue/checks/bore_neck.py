"""Can a soft bore core be drawn past the narrowest place of the part without tearing?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """Fails above one and a third of the elongation at break: rubber keeps its volume, so it stretches by areas."""
    stretch = facts.figure("bore_neck_stretch")
    if stretch <= 0 or facts.figure("bore_is_rod"):
        return None
    ok = stretch <= facts.stretch_allowed + 1e-9
    return CheckResult(
        name="bore neck", ok=ok, value=round(stretch, 3), limit=round(facts.stretch_allowed, 3), unit="times as long",
        advice="" if ok else "the core would tear in the bore's narrow place: widen it, or take a softer silicone",
    )  # fmt: skip
