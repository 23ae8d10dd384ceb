"""Can gas in a hollow print leak into the silicone, or pressure crush it?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_SOLID = 0.999


def judge(facts: KitFacts) -> CheckResult | None:
    """Patterns are solid, or, for a pour with a pot, have a breather to the air; all else is printed solid."""
    wet = [piece for piece in facts.pieces if piece.role == "pattern" and piece.touches_silicone]
    shut = [piece for piece in wet if not piece.breather]
    if facts.infill >= _SOLID or facts.pressure <= 0:
        note = (
            "print everything that meets silicone solid"
            if facts.infill >= _SOLID
            else ("without a pot a sealed print is enough; never put these prints under pressure or vacuum")
        )
        return CheckResult(
            name="hollow prints", ok=True, severity="note", value=facts.infill, unit="infill", advice=note
        )
    in_lid_pour = [piece for piece in wet if 2 in piece.touches_silicone]
    bad = shut or in_lid_pour
    advice = (
        "every hollow pattern opens to the air where no silicone is; print all else that meets silicone solid"
        if not bad
        else (
            f"{bad[0].name} is hollow and shut when silicone is under pressure: print it solid (infill = 1), "
            "or set breathers = true (open style only: in a second pour no face of a pattern meets the air)"
        )
    )
    return CheckResult(name="hollow prints", ok=not bad, value=facts.infill, limit=1.0, unit="infill", advice=advice)
