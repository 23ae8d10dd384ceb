"""Is there a feather edge of silicone behind the mouth that tears or folds in the first cast?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.geometry.partings.lips import LIP_LIMITS_MM, worst_lip

_WAYS_OUT = (
    'two ways out, under [mould]: style = "two-part lidded" with mouth = "tangent", which parts the mould where the '
    'rounded edge ends; or mouth = "sharp", which leaves a sharp edge at the mouth (as does an edge radius of '
    "0.5 mm or less)"
)


def judge(facts: KitFacts) -> CheckResult | None:
    """Fails where the lip is thinner than 0.1 mm at 0.3 mm, or than 1 mm at 1 mm, behind the edge (judgement)."""
    lip = worst_lip(facts.lips)
    if lip is None:
        return None
    back, least, allowance = _first_broken(lip.at) or LIP_LIMITS_MM[-1]
    thickness = lip.at(back)
    where = f"{lip.half}, {lip.edge}, {back:g} mm behind the edge"
    return CheckResult(
        name="thinnest silicone lip",
        ok=lip.ok,
        value=round(thickness, 4),
        limit=least - allowance,
        unit="mm",
        advice=where if lip.ok else f"{where}: the silicone ends in a feather; {_WAYS_OUT}",
    )


def _first_broken(thickness_at) -> tuple[float, float, float] | None:  # type: ignore[no-untyped-def]
    broken = [limit for limit in LIP_LIMITS_MM if thickness_at(limit[0]) < limit[1] - limit[2]]
    return broken[0] if broken else None
