"""Do the halves fit one way only?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """Turned the wrong way, at least half a key must be in the way."""
    if "key_misfit_mm3" not in facts.figures:
        return None
    misfit, key = facts.figure("key_misfit_mm3"), facts.figure("key_volume_mm3")
    ok = misfit >= key / 2
    return CheckResult(
        name="one way only", ok=ok, value=round(misfit, 2), limit=round(key / 2, 2), unit="mm³",
        advice="" if ok else "the lid would also close turned: ask for another number of cavities, or more wall",
    )  # fmt: skip
