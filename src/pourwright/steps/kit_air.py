"""What a kit says of the air in its cavities: how much stays, at which tilt, where, and how its vents were found."""

from __future__ import annotations

from collections.abc import Mapping

from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.steps.place_vents import AirStudy

SEARCHED, BY_RULE = "search", "rule"


def air_answer(design: MouldDesign, air: AirStudy | None) -> Mapping[str, object]:
    """Volumes for the whole mould, pockets and depths of one cavity.

    Parameters
    ----------
    design : the mould.
    air : of one cavity; None where nothing was looked at.
    """
    vents = len(design.vent_points_mm)
    if air is None:
        return {"trapped_mm3": None, "worst_tilt_trapped_mm3": None, "vents": vents}
    count, tilted = design.cavities, len(air.per_tilt) > 1
    found = {
        "trapped_mm3": air.level_mm3 * count,
        "worst_tilt_trapped_mm3": air.worst_mm3 * count if tilted else None,
        "vents": vents,
        "vents_per_cavity": vents // count,
        "vents_by": SEARCHED if design.venting is not None and design.venting.found else BY_RULE,
        "limit_mm3": air.limit_mm3 * count,
    }
    if not tilted:
        return found
    tilt, towards = air.worst_tilt
    return found | {
        "worst_tilt_deg": tilt,
        "worst_towards_deg": towards,
        "beyond_vents_mm3": air.beyond_mm3 * count,
        "deepest_mm": max((trap.depth_mm for trap in air.pockets), default=0.0),
        "per_tilt": [
            {"tilt_deg": t, "trapped_mm3": max(v for at, _, v in air.per_tilt if at == t) * count}
            for t in sorted({at for at, _, _ in air.per_tilt})
        ],
        "pockets": [
            {"volume_mm3": trap.volume_mm3, "depth_mm": trap.depth_mm, "at_mm": list(trap.peak_mm)}
            for trap in air.pockets
        ],
    }
