"""Is every pattern and former held down harder than silicone wants to lift it?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.domain.floating import Floating
from pourwright.engines.process.mould_physics import (
    FLOAT_RESERVE,
    GRAVITY,
    PRINT_DENSITY,
    PRINT_LEAST_SHARE,
    float_force,
)

_HELD = ("screw", "bar", "rod", "dowel")


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution for what would float and nothing rigid holds; a foot's seal is not trusted."""
    found = [one for one in facts.floats if one.liquid == "silicone"] or _patterns_only(facts)
    if not found:
        return None
    loose = next((one for one in found if one.lift > 0 and not one.rigid), None)
    worst = loose or max(found, key=lambda one: one.lift)
    advice = (
        f"{worst.piece}: held by {worst.held_by or 'nothing'}, which must bear {FLOAT_RESERVE:g} times the lift"
        if loose is None
        else f"no screw finds a place in the {loose.piece}: glue or tape it to the base, and weigh it down while you "
        f"pour, with {1e3 * loose.must_hold / GRAVITY:.0f} g or more"
    )
    return CheckResult(
        name="float force", ok=loose is None, severity="caution", value=round(max(worst.lift, 0.0), 4),
        unit="N a pattern" if "pattern" in worst.piece else "N a piece", advice=advice,
    )  # fmt: skip


def _patterns_only(facts: KitFacts) -> list[Floating]:
    """Where nothing was measured yet: every pattern with the lift of the first pour."""
    volume = facts.figure("pattern_displaced_mm3") * 1e-9
    if volume <= 0:
        return []
    lift = float_force(
        liquid_density=facts.silicone.density,
        displaced_volume=volume,
        mass=PRINT_DENSITY * volume * max(facts.infill, PRINT_LEAST_SHARE),
    )
    return [
        Floating(
            piece=piece.name,
            count=piece.count,
            liquid="silicone",
            lift=lift,
            must_hold=FLOAT_RESERVE * max(lift, 0.0),
            held_by=piece.held_by,
            rigid=any(word in piece.held_by for word in _HELD),
            rests_on="what it displaces",
        )
        for piece in facts.pieces
        if piece.role == "pattern"
    ]
