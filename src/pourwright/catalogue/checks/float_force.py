"""Is every pattern held down harder than silicone wants to lift it?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.mould_physics import float_force

_PLASTIC = 1240.0  # kg/m3, printed plastic, solid (from memory)
_SKIN = 0.4  # share of a small sparse print that is plastic all the same: its walls and faces (judgement)
_HELD = ("screw", "bar", "rod", "dowel")
_SAFETY = 5.0  # the holding must bear the lift so many times (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """Fails for a pattern that would float and that nothing rigid holds; a foot's seal is not trusted."""
    volume = facts.figure("pattern_displaced_mm3") * 1e-9
    patterns = [piece for piece in facts.pieces if piece.role == "pattern"]
    if volume <= 0 or not patterns:
        return None
    plastic = _PLASTIC * volume * max(facts.infill, _SKIN)
    lift = float_force(liquid_density=facts.silicone.density, displaced_volume=volume, mass=plastic)
    held = all(any(word in piece.held_by for word in _HELD) for piece in patterns)
    loose = next((piece.name for piece in patterns if not any(word in piece.held_by for word in _HELD)), "")
    ok = lift <= 0 or held
    how = patterns[0].held_by or "nothing"
    advice = (
        f"held by {how}; it must bear {_SAFETY:g} times the lift"
        if held
        else (f"no screw finds a place in the {loose}: glue or tape it to the base, and weigh it down while you pour")
    )
    return CheckResult(
        name="float force", ok=ok, severity="caution", value=round(max(lift, 0.0), 4), unit="N a pattern", advice=advice
    )
