"""Is there anything but the bond that keeps the rubber on its hard core?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

_NOTHING_MM3 = 1e-3
_NO_PROMISE = "that the bond holds is promised by nobody: abrade, and prime by the data sheet"


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution while the rubber could slide off along the axis but for its bond; turning is told beside it."""
    end = facts.figure("core_end_mm")
    if end == 0.0:
        return None
    holds, turns = facts.figure("core_holds_mm3"), facts.figure("core_turns_mm3")
    slides, spins = holds <= _NOTHING_MM3, turns <= _NOTHING_MM3
    found = []
    if slides:
        found.append(f"nothing on the core keeps the rubber from sliding off: {_groove(facts)}")
    if spins:
        found.append(f"nothing but the bond keeps it from turning: {_flats(facts)}")
    if not found:
        found.append("rubber stands in the core against sliding and turning")
    return CheckResult(
        name="core lock", ok=not slides, severity="caution", value=round(holds, 2), unit="mm³ behind the core's face",
        advice=f"{'; '.join(found)}; {_NO_PROMISE}",
    )  # fmt: skip


def _groove(facts: KitFacts) -> str:
    height, wall = facts.figure("core_seat_mm"), facts.figure("core_wall_mm")
    deep = max(0.5, min(2.0, wall / 4))
    return f"a groove round it {deep:.1f} mm deep and {min(6 * deep, height / 3):.1f} mm wide (locks = 'grooves')"


def _flats(facts: KitFacts) -> str:
    deep = max(0.5, min(2.0, facts.figure("core_wall_mm") / 4))
    return f"flats {deep:.1f} mm deep (locks = 'flats') or blind holes from the side (locks = 'holes')"
