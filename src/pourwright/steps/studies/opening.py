"""Say how the halves of a planned mould let the part go, or which half holds it, where, and by how much."""

from __future__ import annotations

import numpy as np

from pourwright.catalogue.checks.silicone_lets_go import NOTHING, ROUNDING, bars_of, blocked_words
from pourwright.domain.inspection import HeldSilicone, Point
from pourwright.domain.opening import Opening
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m, to_m3
from pourwright.engines.geometry.pulls.held import Held
from pourwright.steps.planning.plan_mould import MouldPlan
from pourwright.steps.studies.study_cell import CellStudy

CALLED = {"lower": "lower half", "lid": "lid"}
_WORTH_TELLING = 5e-9  # m3 (judgement)
_UPRIGHT = (0.0, 0.0, 1.0)


def opening_of(plan: MouldPlan, study: CellStudy, evaluator: Evaluator) -> Opening:
    """The figures of each half, and what blocks it in words.

    Parameters
    ----------
    plan : the mould.
    study : of one cavity.
    evaluator : the mesh kernel that made it.
    """
    volume, allowed = plan.design.figures.get("part_volume_mm3", 0.0), plan.wish.stretch_allowed
    stretch = stretch_of(study)
    blocked = blocked_in(study, volume_mm3=volume, allowed=allowed)
    return Opening(
        undercut={half: None if mm3 is None else to_m3(mm3) for half, mm3 in study.undercuts_mm3.items()},
        stretch=stretch,
        allowed=allowed,
        runs_through=to_m3(sum(piece.volume_mm3 for piece in bars_of(study.held, volume))),
        held=tuple(_held(piece) for piece in study.held),
        places_in_file=_in_file(plan, study.held, evaluator),
        lid_fills=_lid_fills(plan, evaluator),
        pattern=plan.design.pattern_scheme,
        pattern_reason=plan.design.pattern_reason,
        opens=not blocked,
        words="; ".join(blocked) or _gives_way(study, stretch, volume, allowed),
    )


def _lid_fills(plan: MouldPlan, evaluator: Evaluator) -> float:
    """What the hollows of one cavity hold that the lid fills."""
    hollow = plan.design.hollow
    return 0.0 if hollow is None else to_m3(evaluator.volume(hollow - (plan.design.cell or plan.design.part)))


def stretch_of(study: CellStudy) -> dict[str, float | None]:
    """The most that each half must stretch: rings round the whole part, and round one place alone."""
    found: dict[str, float | None] = {}
    for half, ring in study.stretch.items():
        places = [piece.stretch for piece in study.held if piece.half == CALLED[half]]
        found[half] = None if ring is None else max([ring, *places])
    return found


def blocked_in(study: CellStudy, *, volume_mm3: float, allowed: float) -> list[str]:
    """Everything that keeps the halves on the part; nothing when it is let go."""
    whole = [
        f"the {CALLED[half]} as a whole must stretch {value:.2f} times, and {allowed:.2f} is allowed"
        for half, value in study.stretch.items()
        if value is not None and value > allowed + ROUNDING
    ]
    return [*blocked_words(study.held, volume_mm3=volume_mm3, allowed=allowed), *whole]


def gives_way_words(opening: Opening) -> str:
    """What to do where silicone grips behind the part, for the bench sheet; empty where none does."""
    gripping = {half: opening.undercut.get(half) or 0.0 for half in CALLED}
    names = [CALLED[half] for half, volume in gripping.items() if volume >= _WORTH_TELLING]
    if not names:
        return ""
    worst = max((value for value in opening.stretch.values() if value is not None), default=1.0)
    return (
        f"The {' and the '.join(names)} grip{'s' if len(names) == 1 else ''} behind the part: bend the silicone away "
        f"there, little by little (it stretches {worst:.2f} times). "
    )


def _gives_way(study: CellStudy, stretch: dict[str, float | None], volume_mm3: float, allowed: float) -> str:
    known = {half: mm3 for half, mm3 in study.undercuts_mm3.items() if mm3}
    if sum(known.values()) <= NOTHING * volume_mm3:
        return "nothing holds the part: it leaves freely"
    each = " and ".join(f"{mm3:.0f} mm³ in the {CALLED[half]}" for half, mm3 in known.items() if mm3 >= 0.5)
    worst = max((value for value in stretch.values() if value is not None), default=1.0)
    return f"silicone behind the part must give way: {each}, stretched {worst:.2f} times where {allowed:.2f} is allowed"


def _held(piece: Held) -> HeldSilicone:
    return HeldSilicone(
        half=piece.half,
        volume=to_m3(piece.volume_mm3),
        depth=to_m(piece.depth_mm),
        runs_through=piece.runs_through,
        stretch=piece.stretch,
        place=_metres(piece.point_mm),
    )


def _in_file(plan: MouldPlan, held: tuple[Held, ...], evaluator: Evaluator) -> tuple[Point, ...]:
    """The places as the file has them; none for a part that comes from no file or lies on its side."""
    shape, cell = plan.shape, plan.design.cell
    if shape is None or cell is None or shape.placing_mm is None or plan.design.up != _UPRIGHT or not held:
        return ()
    scale, height = plan.design.scale, shape.size_mm[2]
    points = np.array([piece.point_mm for piece in held])
    points[:, 2] -= evaluator.bounds(cell)[0][2]
    points /= scale
    if plan.design.figures.get("turned_over", 0.0) > 0:
        points = points * np.array([1.0, -1.0, -1.0]) + np.array([0.0, 0.0, height])
    return tuple(_metres(shape.in_file_mm(point)) for point in points)


def _metres(point_mm: Point) -> Point:
    x, y, z = (to_m(along) + 0.0 for along in point_mm)
    return x, y, z
