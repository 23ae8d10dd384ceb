"""Does a soft bore core give way when the closing piece sits a little too deep on its tip?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution when the tip, pressed by a tenth of a millimetre (judgement), bears more than the core stands."""
    bears, pressed = facts.figure("bore_buckling_N"), facts.figure("bore_pressed_N")
    if bears <= 0:
        return None
    ok = pressed <= bears
    return CheckResult(
        name="bore buckling", ok=ok, severity="caution", value=round(pressed, 3), limit=round(bears, 3),
        unit="N on the core's tip",
        advice="" if ok else "lay the closing piece down without pressing; hard stops of the press board must carry it",
    )  # fmt: skip
