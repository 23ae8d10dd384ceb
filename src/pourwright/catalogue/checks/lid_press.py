"""How far does a silicone lid give under a hand, and do the wells hold what that pushes out and draws back?"""

from __future__ import annotations

import math

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.lid_press import lid_bend, lid_shear

_HAND = 50.0  # N, a hand laid on the lid, spread over all of it (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution when the lid gives more than half its thickness, or pushes out more than the wells can give back."""
    radius, thickness = facts.figure("lid_span_mm") * 1e-3, facts.figure("lid_over_part_mm") * 1e-3
    if radius <= 0 or thickness <= 0:
        return None
    load = _HAND / (facts.figure("layout_area_mm2") * 1e-6)
    lid = {"force": load * math.pi * radius**2, "radius": radius, "thickness": thickness,
           "modulus": facts.figure("silicone_modulus_MPa") * 1e6}  # fmt: skip
    (bend, bow), (shear, more) = lid_bend(**lid), lid_shear(**lid)
    given, taken = bend + shear, (bow + more) * 1e9
    spare = facts.figure("well_volume_mm3") - facts.figure("well_needed_mm3") + facts.figure("overfill_mm3")
    ok = given < thickness / 2 and taken <= spare
    words = (
        f"pressed by hand ({_HAND:g} N) it gives {given * 1e3:.2g} mm over each part and pushes {taken:.0f} mm³ into "
        f"the wells, which can give back {spare:.0f} mm³"
    )
    advice = (
        words
        if ok
        else f"{words}: lay the press board on before you press, never press the lid itself; or ask "
        "for more overflow, which makes the lid thicker"
    )
    return CheckResult(
        name="lid under pressure", ok=ok, severity="caution", value=round(given * 1e3, 3),
        limit=round(thickness * 500.0, 3), unit="mm", advice=advice,
    )  # fmt: skip
