"""Does a hard core want to rise in the resin?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.mould_physics import FLOAT_RESERVE, PRINT_DENSITY
from pourwright.engines.process.overmould import core_lift


def judge(facts: KitFacts) -> CheckResult | None:
    """Tells the lift; the closed mould holds the core down, until then it must be held by hand."""
    volume = facts.figure("core_volume_mm3") * 1e-9
    if volume <= 0:
        return None
    weighed = facts.figure("core_mass_g") * 1e-3
    mass = weighed or PRINT_DENSITY * facts.figure("core_solid_mm3") * 1e-9
    lift = core_lift(resin_density=facts.figure("resin_kg_m3"), core_volume=volume, core_mass=mass)
    basis = "the mass given" if weighed else "a solid print (core_mass was not given)"
    words = (
        f"it floats: hold it on its land until the mould is closed, which then holds it, and must bear "
        f"{FLOAT_RESERVE:g} times that, {FLOAT_RESERVE * lift:.2g} N; reckoned with {basis}"
        if lift > 0
        else f"it stays down by its own weight, reckoned with {basis}"
    )
    return CheckResult(
        name="core float", ok=True, severity="note", value=round(lift, 4), unit="N of lift a core", advice=words
    )
