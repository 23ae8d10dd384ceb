"""How far does the outside of rubber come in that cannot shrink on its hard core?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.overmould import bonded_shrink


def judge(facts: KitFacts) -> CheckResult | None:
    """Tells what the pattern's scale reckons with, and the band between free and held ends of the rubber."""
    outside, core = facts.figure("core_outside_mm"), facts.figure("core_end_mm")
    if outside <= core or core == 0.0:
        return None
    shrink = 1.0 - 1.0 / facts.figure("core_scale")
    free, held = bonded_shrink(shrink=max(0.0, shrink), outside_radius=1e-3 * outside, core_radius=1e-3 * core)
    low, high = sorted((1e3 * free, 1e3 * held))
    words = (
        f"{low:.3f} to {high:.3f} mm of radius: as if there were no core at free ends, all out of the thickness where "
        f"the core holds it; the pattern is larger by {1e3 * free:.3f} mm. Measure the first cast"
    )
    return CheckResult(
        name="shrink on the core",
        ok=True,
        severity="note",
        value=round(1e3 * free, 3),
        unit="mm of radius",
        advice=words,
    )
