"""Would a closed mould that leans on purpose while its air leaves need fewer vents? Asked once the vents are known."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.hollows.vents import Lean, Vent
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.steps.planning.place_vents import AirStudy, FoundVents, place_vents, study_air

_SIDES = ("+x", "+y", "-x", "-y")
_SIDES_DEG = (90.0, 0.0, 180.0, 270.0)  # raised sides that are tried: a block under one edge of the box
_UNMEANT_DEG = (0.0, 5.0)  # a mould that was to lean and does not

Built = Callable[[tuple[Vent, ...], AirStudy, Lean], MouldDesign]


@dataclass(frozen=True, kw_only=True)
class LeanAdvice:
    """What a lean would save; volumes mm3 of one cavity.

    `vents` per cavity would do in place of `vents_now`; `leaned_mm3` stays at most while it leans, `unleaned_mm3` at
    most if those few vents are used and the mould is only stood level, `level_now_mm3` and `worst_now_mm3` with the
    vents that it has.
    """

    lean: Lean
    vents: int
    vents_now: int
    leaned_mm3: float
    unleaned_mm3: float
    level_now_mm3: float
    worst_now_mm3: float

    @property
    def fewer(self) -> int:
        """Vents saved in each cavity."""
        return self.vents_now - self.vents


def advise_lean(
    design: MouldDesign,
    air: AirStudy,
    evaluator: Evaluator,
    build: Built,
    *,
    share: float,
    report: Report = silent,
) -> LeanAdvice | None:
    """The lean towards one side that saves most vents; None where none saves any.

    Parameters
    ----------
    design : a mould with the vents that it needs standing level.
    air : of one of its cavities.
    evaluator : a mesh kernel.
    build : the mould with other vents; CannotBuild or DoesNotFit where they have no room.
    share : of the part, air that may stay.

    Notes
    -----
    A lean saves when fewer vents leave no more air than the limit, or than the level mould leaves at its worst.
    """
    venting = design.venting
    if venting is None or air.lean is not None or len(venting.vents.places) < 2:
        return None
    sides = _SIDES_DEG[:1] if venting.outline is not None else _SIDES_DEG
    best: tuple[tuple[int, float], Lean, FoundVents] | None = None
    for done, towards in enumerate(sides):
        lean = Lean(tilt_deg=sizes.LEAN_DEG, towards_deg=towards)
        found = place_vents(design, evaluator, share=share, lean=lean, report=span(report, done / len(sides), 1.0))
        worth = (len(found.vents), found.air.worst_mm3)
        saves = len(found.vents) < len(venting.vents.places)
        as_good = found.air.worst_mm3 <= max(air.limit_mm3, air.worst_mm3)
        if saves and as_good and (best is None or worth < best[0]):
            best = (worth, lean, found)
    if best is None:
        return None
    return _told(best[1], best[2], design, air, evaluator, build, share)


def _told(
    lean: Lean, found: FoundVents, design: MouldDesign, air: AirStudy, evaluator: Evaluator, build: Built, share: float
) -> LeanAdvice | None:
    """The advice, when the mould can be drawn with those vents and keeps them."""
    try:
        other = build(found.vents, found.air, lean)
    except (CannotBuild, DoesNotFit):  # no room for their wells: nothing is saved
        return None
    if other.venting is None or other.venting.vents.places != found.vents or design.venting is None:
        return None
    unmeant = study_air(other, evaluator, share=share, tilts_deg=_UNMEANT_DEG)
    return LeanAdvice(
        lean=lean,
        vents=len(found.vents),
        vents_now=len(design.venting.vents.places),
        leaned_mm3=found.air.worst_mm3,
        unleaned_mm3=unmeant.worst_mm3,
        level_now_mm3=air.level_mm3,
        worst_now_mm3=air.worst_mm3,
    )


def side_words(towards_deg: float) -> str:
    """The raised side by its axis in the plan.

    Examples
    --------
    >>> side_words(90.0), side_words(30.0)
    ('+y', '30° from x towards y')
    """
    quarter, rest = divmod(towards_deg % 360.0, 90.0)
    return _SIDES[int(quarter)] if rest == 0.0 else f"{towards_deg:g}° from x towards y"


def block_mm(lean: Lean, box_outside_mm: tuple[float, float, float]) -> float:
    """Height of the block under the raised edge of a box."""
    angle = math.radians(lean.towards_deg)
    across = abs(box_outside_mm[0] * math.cos(angle)) + abs(box_outside_mm[1] * math.sin(angle))
    return across * math.sin(math.radians(lean.tilt_deg))


def advice_words(advice: LeanAdvice, design: MouldDesign) -> str:
    """What a lean would save, with the air that it is about and what to write to have the kit made so."""
    count, lean = design.cavities, advice.lean
    fewer, left = advice.fewer * count, advice.vents * count
    vents = "1 vent" if fewer == 1 else f"{fewer} vents"
    return (
        f"a kit made to lean {lean.tilt_deg:g}°, its {side_words(lean.towards_deg)} side raised until resin stands in "
        f"every well, does with {vents} fewer ({left} in place of {advice.vents_now * count}). It keeps at most "
        f"{advice.leaned_mm3 * count:.1f} mm³ of air, this one {advice.worst_now_mm3 * count:.1f} mm³ "
        f"({advice.level_now_mm3 * count:.1f} mm³ dead level); but up to {advice.unleaned_mm3 * count:.0f} mm³ where "
        f'nobody leans it. To have it made so write lean = "{lean.tilt_deg:g} deg" under [mould]'
        + ("" if lean.towards_deg == sizes.LEAN_TOWARDS_DEG else f', lean_towards = "{lean.towards_deg:g} deg"')
    )


def change_of(advice: LeanAdvice) -> dict[str, str]:
    """The keys of project.toml that ask for it."""
    return {"mould.lean": f"{advice.lean.tilt_deg:g} deg", "mould.lean_towards": f"{advice.lean.towards_deg:g} deg"}


def advice_answer(advice: LeanAdvice | None, design: MouldDesign) -> dict[str, object] | None:
    """For `--json`: volumes and vents of the whole mould."""
    if advice is None:
        return None
    count = design.cavities
    return {
        "tilt_deg": advice.lean.tilt_deg,
        "towards_deg": advice.lean.towards_deg,
        "raise": side_words(advice.lean.towards_deg),
        "block_mm": round(block_mm(advice.lean, design.box_outside_mm), 1),
        "vents": advice.vents * count,
        "vents_fewer": advice.fewer * count,
        "trapped_mm3": advice.leaned_mm3 * count,
        "trapped_if_level_mm3": advice.unleaned_mm3 * count,
        "change": change_of(advice),
    }
