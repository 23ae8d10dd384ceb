"""What would help where a mould does not let its part go: another pull, style or silicone; else the least bad way."""

from __future__ import annotations

from dataclasses import replace

from pourwright.basics.errors import PourwrightError
from pourwright.basics.progress import Report, silent, span
from pourwright.basics.quantities import show_fixed
from pourwright.catalogue.checks.silicone_lets_go import NAME, NOTHING, ROUNDING, bars_of, tight_of
from pourwright.catalogue.materials import load_class, material_names
from pourwright.catalogue.moulds.style import STYLES
from pourwright.domain.inspection import PullChoice
from pourwright.domain.kit import Kit
from pourwright.domain.opening import WaysOut
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m
from pourwright.steps.inspect_solid import pull_choice
from pourwright.steps.make_kit import KitDraft
from pourwright.steps.planning.kit_wish import allowed_stretch
from pourwright.steps.planning.plan_mould import MouldPlan
from pourwright.steps.studies.opening import blocked_in
from pourwright.steps.studies.study_cell import pulled_study
from pourwright.steps.words.pull_words import direction_words, pull_of, pull_typed

_CHECKS = (NAME, "stretch on opening")
_SAME_WAY = 0.999  # cosine, from which on two pulls are the same
_AS_GOOD = 1.05
_URETHANE = "urethane"


def with_ways_out(draft: KitDraft, plan: MouldPlan, evaluator: Evaluator, *, report: Report = silent) -> KitDraft:
    """The kit with what would help where the silicone does not let go; the check's advice then tells of it.

    Parameters
    ----------
    draft : the kit as asked for.
    plan : what it was made from.
    evaluator : the mesh kernel that proved it.
    """
    kit = draft.kit
    failed = [check.name for check in kit.checks if check.failed and check.name in _CHECKS]
    if kit.opening.opens or not failed:
        return draft
    ways = _ways_out(draft, plan, evaluator, report)
    checks = tuple(
        replace(check, advice=f"{check.advice}. {ways.words}") if check.name == failed[0] else check
        for check in kit.checks
    )
    return replace(draft, kit=replace(kit, checks=checks, opening=replace(kit.opening, ways_out=ways)))


def _ways_out(draft: KitDraft, plan: MouldPlan, evaluator: Evaluator, report: Report) -> WaysOut:
    best, free = _pulls(plan, evaluator, span(report, 0.0, 0.7))
    report(0.7, "trying the other mould styles")
    style = _style(plan, evaluator)
    silicones = _silicones(draft.kit)
    own = _as_it_is(draft, plan, evaluator)
    if free is not None or style or silicones:
        words = _help_words(free, style, silicones)
        return WaysOut(own=own, pull=free, style=style, silicones=silicones, words=words)
    least = own if best is None or _as_good(own, best) else best
    return WaysOut(own=own, least_bad=least, words=_least_bad_words(least, draft.kit, plan))


# ---------------------------------------------------------------- other pulls


def _pulls(plan: MouldPlan, evaluator: Evaluator, report: Report) -> tuple[PullChoice | None, PullChoice | None]:
    """For a solid from a file: the least bad pull of all, and the first that lets the part go."""
    shape, allowed = plan.shape, plan.wish.stretch_allowed
    if shape is None or shape.placing_mm is None:
        return None, None
    from pourwright.engines.geometry.air.dexels import scan
    from pourwright.engines.geometry.pulls.best_pull import best_pull, held_on
    from pourwright.engines.geometry.pulls.recesses import filled_along

    mesh = evaluator.mesh(shape.node)
    best = best_pull(*mesh, allowed_stretch=allowed, report=report)
    here = pull_of(plan)
    free = None
    for way in (best, *best.runners_up):
        solid = mesh if way.recess is None else filled_along(*mesh, way.recess, way.direction)
        held = held_on(way, scan(*solid, direction=way.direction))
        volume = way.report.volume_mm3
        blocked = bars_of(held, volume) or tight_of(held, volume, allowed) or not way.parting.allowed
        along = abs(sum(a * b for a, b in zip(shape.way_in_file(way.direction), here, strict=True)))
        if not blocked and along < _SAME_WAY:
            free = way
            break
    in_file = [
        None
        if way is None
        else replace(pull_choice(way, allowed), direction=_rounded(shape.way_in_file(way.direction)))
        for way in (best, free)
    ]
    return in_file[0], in_file[1]


def _rounded(way: tuple[float, float, float]) -> tuple[float, float, float]:
    x, y, z = (round(along, 6) + 0.0 for along in way)
    return x, y, z


def _as_good(own: PullChoice, best: PullChoice) -> bool:
    """What the grid cannot tell from the best is told as it stands."""
    return own.runs_through <= _AS_GOOD * best.runs_through and own.stretch <= _AS_GOOD * best.stretch


def _as_it_is(draft: KitDraft, plan: MouldPlan, evaluator: Evaluator) -> PullChoice:
    """The kit's own pull, where there is no other."""
    kit, opening = draft.kit, draft.kit.opening
    part = plan.design.scale**3
    lower, lid = ((opening.undercut.get(half) or 0.0) / part for half in ("lower", "lid"))
    stretch = [opening.stretch.get(half) or 1.0 for half in ("lower", "lid")]
    low, high = evaluator.bounds(draft.design.cell or draft.design.part)
    return PullChoice(
        direction=kit.pull,
        parting_height=to_m(-float(low[2]) / plan.design.scale),
        height=to_m(float(high[2] - low[2]) / plan.design.scale),
        undercut_lower=lower,
        undercut_upper=lid,
        stretch_lower=stretch[0],
        stretch_upper=stretch[1],
        unavoidable_undercut=0.0,
        runs_through=opening.runs_through / part,
        allowed=False,
        flat_top=0.0,
    )


# ---------------------------------------------------------------- other styles and silicones


def _style(plan: MouldPlan, evaluator: Evaluator) -> str:
    """Another style that nothing speaks against and that lets the part go; the one with the least work."""
    if plan.shape is None:
        return ""
    free = [name for name, reasons in plan.choice.against.items() if not reasons]
    for name in sorted(free, key=lambda name: STYLES[name].effort):
        try:
            design = STYLES[name].build(plan.shape, plan.wish, plan.solid)
        except PourwrightError:
            continue
        study, volume = pulled_study(design, evaluator), design.figures["part_volume_mm3"]
        if not blocked_in(study, volume_mm3=volume, allowed=plan.wish.stretch_allowed):
            return name
    return ""


def _silicones(kit: Kit) -> tuple[str, ...]:
    """Classes that stand the stretch; none where a bar runs through the part."""
    if kit.opening.runs_through > NOTHING * kit.part_volume:
        return ()
    needed = max((value for value in kit.opening.stretch.values() if value is not None), default=1.0)
    names = [name for name in material_names() if not name.startswith(_URETHANE)]
    return tuple(name for name in names if allowed_stretch(load_class(name)) + ROUNDING >= needed)


# ---------------------------------------------------------------- words


def _help_words(free: PullChoice | None, style: str, silicones: tuple[str, ...]) -> str:
    ways = []
    if free is not None:
        gives = "nothing holds it" if free.undercut * 1e9 < 1.0 else f"it stretches {free.stretch:.2f} times"
        ways.append(f"pull = {pull_typed(free.direction)} under [mould], along which the silicone lets go ({gives})")
    if style:
        ways.append(f'style = "{style}" under [mould], which lets it go')
    if silicones:
        ways.append(f"a silicone that stretches as far: {', '.join(silicones)}")
    return f"What would help: {'; or '.join(ways)}"


def _least_bad_words(least: PullChoice, kit: Kit, plan: MouldPlan) -> str:
    from_file = plan.shape is not None and plan.shape.placing_mm is not None
    same = abs(sum(a * b for a, b in zip(least.direction, kit.pull, strict=True))) >= _SAME_WAY
    way = f"pulled along {direction_words(least.direction)}, " if from_file else ""
    tried = "pull, style or silicone" if from_file else "style or silicone"
    bar = least.runs_through > NOTHING * kit.part_volume
    shown = " (as in this kit)" if same else f" (write pull = {pull_typed(least.direction)} under [mould])"
    bars = f"; {least.runs_through * 1e9:.0f} mm³ run through it as bars" if bar else ""
    close = "Close the opening in the drawing and cut it into the cast" if bar else "Ease the undercut"
    height = show_fixed(least.parting_height, "length", "mm", decimals=1)
    return (
        f"No {tried} that was tried lets this part go. Least bad: {way}parted {height} above its lowest point, "
        f"{least.undercut_lower * 1e9:.0f} mm³ held in the "
        f"lower half and {least.undercut_upper * 1e9:.0f} mm³ in the lid, stretched {least.stretch_lower:.2f} and "
        f"{least.stretch_upper:.2f} times{bars}{shown}. {close}, or make the part in two pieces and join their casts"
    )
