"""How much silicone is poured on silicone, and so needs release."""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """Silicone sticks to silicone: a caution whenever a lid is poured on the lower half."""
    area = facts.release_mm2 / 100
    if area <= 0:
        return CheckResult(
            name="silicone on silicone", ok=True, severity="note", value=0.0, unit="cm²",
            advice="no silicone is poured on silicone: nothing can fuse",
        )  # fmt: skip
    return CheckResult(
        name="silicone on silicone", ok=True, severity="note", value=round(area, 2), unit="cm²",
        advice="release every face of the release map twice, and let it dry, before the lid is poured: "
        "any bare spot fuses the halves",
    )  # fmt: skip
