"""How far does the outside of rubber come in that cannot shrink on its hard core?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.overmould import bonded_shrink


def judge(facts: KitFacts) -> CheckResult | None:
    """Tells what the pattern's scale reckons with, and the band between a thin disc and a long roller."""
    outside, core = facts.figure("core_outside_mm"), facts.figure("core_end_mm")
    if outside <= core or core == 0.0:
        return None
    shrink = 1.0 - 1.0 / facts.figure("core_scale")
    disc, roller = bonded_shrink(shrink=max(0.0, shrink), outside_radius=1e-3 * outside, core_radius=1e-3 * core)
    reckoned = max(0.0, shrink) * outside
    words = (
        f"{1e3 * disc:.3f} mm of radius for a thin disc of rubber that holds on to this core, {1e3 * roller:.3f} mm "
        f"for a long roller; the pattern is larger by {reckoned:.3f} mm, as for free rubber. The forecast of the "
        "outside reckons with the core; measure the first cast"
    )
    return CheckResult(
        name="shrink on the core",
        ok=True,
        severity="note",
        value=round(reckoned, 3),
        unit="mm of radius",
        advice=words,
    )
