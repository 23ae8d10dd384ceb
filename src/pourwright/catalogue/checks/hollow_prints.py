"""Can gas in a hollow print leak into the silicone, or pressure crush it?"""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.catalogue.kit_facts import KitFacts, PieceFacts
from pourwright.domain.check_result import CheckResult

_SOLID = 0.999


def judge(facts: KitFacts) -> CheckResult | None:
    """Patterns are solid, or, for a pour with a pot, have a breather to the air; all else is printed solid."""
    if facts.infill >= _SOLID or facts.pressure <= 0:
        note = (
            "print everything that meets silicone solid"
            if facts.infill >= _SOLID
            else ("without a pot a sealed print is enough; never put these prints under pressure or vacuum")
        )
        return CheckResult(
            name="hollow prints", ok=True, severity="note", value=facts.infill, unit="infill", advice=note
        )
    wet = [piece for piece in facts.pieces if piece.role == "pattern" and piece.touches_silicone]
    shut = [piece for piece in wet if not piece.breather and not piece.solid_print]
    advice = _open_words(wet) if not shut else (
        f"{shut[0].name} is hollow and shut when silicone is under pressure: print it solid (infill = 1), "
        "or set breathers = true, and holes or tubes lead its air out"
    )  # fmt: skip
    return CheckResult(name="hollow prints", ok=not shut, value=facts.infill, limit=1.0, unit="infill", advice=advice)


def _open_words(wet: Sequence[PieceFacts]) -> str:
    """Which patterns breathe, and which are to be printed solid."""
    breathing, solid = (
        ", ".join(piece.name for piece in wet if piece.breather is breathes) for breathes in (True, False)
    )
    words = [f"{breathing}: hollow, open to the air where no silicone is"] if breathing else []
    words += [f"{solid}: print solid, no air leads out of it"] if solid else []
    return "; ".join([*words, "print all else that meets silicone solid"])
