"""What a kit says of the air in its cavities: how much stays, at which tilt, where, and how its vents were found."""

from __future__ import annotations

import math
from collections.abc import Mapping

from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.steps.planning.lean_advice import LeanAdvice, advice_answer, advice_words, block_mm, side_words
from pourwright.steps.planning.place_vents import AirStudy

SEARCHED, BY_RULE = "search", "rule"


def lean_notes(design: MouldDesign, advice: LeanAdvice | None) -> tuple[str, ...]:
    """One note where a lean saves vents."""
    return () if advice is None else (advice_words(advice, design),)


def air_answer(design: MouldDesign, air: AirStudy | None, advice: LeanAdvice | None = None) -> Mapping[str, object]:
    """Volumes for the whole mould, pockets and depths of one cavity.

    Parameters
    ----------
    design : the mould.
    air : of one cavity; None where nothing was looked at.
    advice : what a lean would save; None: nothing.
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
        "lean": advice_answer(advice, design),
        "leaned": _leaned(design, air),
    }
    if not tilted:
        return found
    tilt, towards = air.worst_tilt
    return found | {
        "worst_tilt_deg": tilt,
        "worst_towards_deg": towards,
        "beyond_vents_mm3": air.beyond_mm3 * count,
        "level_within_deg": None if air.lean is not None else round(air.level_within_deg, 2),
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


def _leaned(design: MouldDesign, air: AirStudy) -> Mapping[str, object] | None:
    """How the mould is meant to lean while its air leaves; None: it stands level."""
    if air.lean is None:
        return None
    return {
        "tilt_deg": air.lean.tilt_deg,
        "towards_deg": air.lean.towards_deg,
        "raise": side_words(air.lean.towards_deg),
        "block_mm": round(block_mm(air.lean, design.box_outside_mm), 1),
    }


def lean_words(air: Mapping[str, object]) -> str:
    """How to lean the closed mould, from a kit's answer about its air; "" where it stands level."""
    leaned = air.get("leaned")
    if not isinstance(leaned, Mapping):
        return ""
    return (
        f"put a block {leaned['block_mm']:.0f} mm high under its {leaned['raise']} edge, the one nearest to the vents "
        f"of every cavity, so that this side stands {leaned['tilt_deg']:g}° higher"
    )


def level_words(air: Mapping[str, object], height: float) -> str:
    """How closely a block of a height (m) that stands on its end is to be levelled; "" where 5 degrees do no harm.

    Examples
    --------
    >>> level_words({"level_within_deg": 0.4}, 0.077)
    'to within 0.4°, 0.5 mm over its height, for more air stays the more it leans'
    """
    within = air.get("level_within_deg")
    if not isinstance(within, float) or not 0 < within < 5:
        return ""
    over = 1e3 * height * math.tan(math.radians(within))
    return f"to within {within:.1f}°, {over:.1f} mm over its height, for more air stays the more it leans"
