"""Does the core in the part's bore stand up to the pour?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_SOFT, _WITH_CONE = 3.0, 5.0  # length over diameter (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A silicone core is good to 3 diameters, to 5 with a cone at its tip; beyond that a metal rod."""
    diameter = facts.figure("bore_diameter_mm")
    if diameter <= 0:
        return None
    ratio = facts.figure("bore_ratio")
    if facts.figure("bore_is_rod"):
        return CheckResult(
            name="bore core", ok=True, severity="note", value=round(diameter, 3), unit="mm rod",
            advice="a metal rod of this diameter runs right through; draw it before the cast comes out",
        )  # fmt: skip
    limit = _WITH_CONE if facts.figure("core_cone") else _SOFT
    ok = ratio <= limit + 1e-9
    return CheckResult(
        name="bore core", ok=ok, value=round(ratio, 3), limit=limit, unit="length/diameter",
        advice="" if ok else 'this silicone core would lean or tear: set bore_core = "rod" under [mould]',
    )  # fmt: skip
