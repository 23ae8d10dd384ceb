"""Do ledges of the pattern hold air while the silicone rises round it? Each bubble would be a bump on every part."""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_LEAST = 1e-9  # m3, a bubble of little more than a millimetre (judgement)


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution where more than 1 mm³ stays round a pattern in a pour, at any tilt up to 5 degrees (judgement)."""
    if not facts.pours_looked_at:
        return None
    worst = max(facts.pour_air, key=lambda one: one.worst, default=None)
    if worst is None:
        return CheckResult(
            name="air in the silicone", ok=True, severity="caution", value=0.0, limit=_LEAST * 1e9, unit="mm³"
        )
    pours = " and ".join(f"pour {one.pour}" for one in facts.pour_air)
    lean = " or lean the box" if any(one.lean is not None for one in facts.pour_air) else ""
    return CheckResult(
        name="air in the silicone",
        ok=False,
        severity="caution",
        value=round(worst.worst * 1e9, 1),
        limit=_LEAST * 1e9,
        unit="mm³",
        advice=f"ledges of the pattern hold air in {pours}, {worst.worst * 1e9:.0f} mm³ a cavity leaning by up to 5°, "
        f"{worst.level * 1e9:.0f} mm³ dead level: brush on a print coat first{lean}; the bench sheet says where",
    )
