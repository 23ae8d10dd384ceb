"""Plan a mould: the style, everything drawn and nothing made yet; then the vents that its air needs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.hollows.vents import Lean, Vent
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.style import STYLES, Choice, choose_style
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.material import Material
from pourwright.domain.part import Project
from pourwright.domain.shop import Shop
from pourwright.domain.size_forecast import SizeForecast
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.steps.forecast_sizes import forecast_sizes
from pourwright.steps.planning.kit_wish import wish_of
from pourwright.steps.planning.lean_advice import LeanAdvice, advise_lean
from pourwright.steps.planning.place_vents import AirStudy, place_vents, study_air
from pourwright.steps.planning.refusals import refused

_CLEARLY_LESS = 0.8  # of the air: what is worth thinner vents, which let it out more slowly (judgement)


@dataclass(frozen=True, kw_only=True)
class MouldPlan:
    """A mould that is described and not made yet, with the wish that it answers and why it has its style.

    `resin_density` is kg/m3; `sizes` are those of the cast; `air` is what stays in one cavity, and `advice`
    what a lean would save, once that is known.
    """

    project: Project
    silicone: Material
    wish: StyleWish
    choice: Choice
    design: MouldDesign
    resin_density: float = 0.0
    sizes: tuple[SizeForecast, ...] = ()
    shape: PartShape | None = None
    solid: SolidFacts | None = None
    air: AirStudy | None = None
    advice: LeanAdvice | None = None


def plan_mould(
    project: Project,
    shape: PartShape,
    shop: Shop,
    *,
    resin: Material,
    silicone: Material,
    solid: SolidFacts | None = None,
) -> MouldPlan:
    """The mould for a project, described but not made; parameters and errors as in `make_kit`."""
    wish = wish_of(project, shop, resin=resin, silicone=silicone)
    choice = choose_style(shape, wish, asked=project.mould.style, solid=solid)
    try:
        design, wish = _built(choice.style, shape, wish, solid)
    except CannotBuild as fault:
        raise refused(fault, choice, shape, wish, solid) from fault
    if wish.lean is not None and design.venting is None:
        raise CannotBuild(
            f"a mould of the style {choice.style} has no vents that a lean could save",
            advice="leave lean out, or take another style",
            field="mould.lean",
            value=f"{wish.lean.tilt_deg:g} deg",
        )
    return MouldPlan(
        project=project,
        silicone=silicone,
        wish=wish,
        choice=choice,
        design=design,
        resin_density=resin.best("density"),
        sizes=forecast_sizes(project, shape, design, shop, resin=resin, silicone=silicone),
        shape=shape,
        solid=solid,
    )


def _built(style: str, shape: PartShape, wish: StyleWish, solid: SolidFacts | None) -> tuple[MouldDesign, StyleWish]:
    """The mould; where rods that nobody asked for leave no room in a solid from a file, with silicone cores."""
    try:
        return STYLES[style].build(shape, wish, solid), wish
    except CannotBuild:
        if not shape.bores or wish.bore_core is not None:
            raise
    soft = replace(wish, bore_core="silicone")
    return STYLES[style].build(shape, soft, solid), soft


def with_needed_vents(plan: MouldPlan, evaluator: Evaluator, *, report: Report = silent) -> MouldPlan:
    """The same mould with the vents that its air needs, in place of those of its style's rule, and larger wells.

    Notes
    -----
    A thin rod stands nearer to an edge than a thick one: where the rods of a body of revolution leave too much air,
    the thickest that do not are taken.
    """
    thick = least = _vented(plan, evaluator, report=span(report, 0.0, 0.6))
    if not _too_much(thick):
        return thick
    for radius in _thinner_radii_mm(plan):
        if radius >= plan.design.figures.get("vent_radius_mm", 0.0):
            continue
        thin = _with_rods(plan, radius)
        if thin is None:
            break
        thin = _vented(thin, evaluator, report=span(report, 0.6, 1.0))
        if not _too_much(thin):
            return thin
        least = _less_air(least, thin)
    return least


def _thinner_radii_mm(plan: MouldPlan) -> tuple[float, ...]:
    """Of rods those in stock; of holes in a cover the narrow one: no rod is as thin as that."""
    venting = plan.design.venting
    over_face = venting is not None and venting.seat_mm == 0.0
    return (sizes.NARROW_VENT_RADIUS_MM,) if over_face else sizes.ROD_RADII_MM


def _too_much(plan: MouldPlan) -> bool:
    """Whether thinner vents may save air: rods round an axis, or holes over the flat face of a solid from a file."""
    air, venting = plan.air, plan.design.venting
    if air is None or venting is None or (venting.outline is None) != (venting.seat_mm == 0.0):
        return False
    return air.worst_mm3 > air.limit_mm3 + air.beyond_mm3


def _less_air(thick: MouldPlan, thin: MouldPlan) -> MouldPlan:
    """Holes over a face: thinner ones where they leave clearly less air; rods stay as thick as they can."""
    if thick.air is None or thin.air is None or thick.design.venting is None or thick.design.venting.seat_mm != 0.0:
        return thick
    return thin if thin.air.worst_mm3 < _CLEARLY_LESS * thick.air.worst_mm3 else thick


def _with_rods(plan: MouldPlan, radius_mm: float) -> MouldPlan | None:
    """The same mould with rods no thicker than that; None when it cannot be drawn."""
    if plan.shape is None:
        return None
    wish = replace(plan.wish, most_rod_mm=radius_mm)
    try:
        design = STYLES[plan.choice.style].build(plan.shape, wish, plan.solid)
    except (CannotBuild, DoesNotFit):
        return None
    return replace(plan, wish=wish, design=design)


def _vented(plan: MouldPlan, evaluator: Evaluator, *, report: Report) -> MouldPlan:
    design, shape, share = plan.design, plan.shape, plan.wish.trapped_share
    if design.venting is None or shape is None:
        return plan
    lean = plan.wish.lean
    found = place_vents(design, evaluator, share=share, lean=lean, report=span(report, 0.0, 0.7))
    wish = replace(plan.wish, vents=found.vents, trapped_mm3=found.air.worst_mm3)
    try:
        better = STYLES[plan.choice.style].build(shape, wish, plan.solid)
    except (CannotBuild, DoesNotFit):  # no room for wells over so many vents: those of the rule had it
        return replace(plan, air=study_air(design, evaluator, share=share, lean=lean))
    kept = better.venting is not None and better.venting.vents.places == found.vents
    air = found.air if kept else study_air(better, evaluator, share=share, lean=lean)
    return replace(plan, wish=wish, design=better, air=air)


def with_lean_advice(plan: MouldPlan, evaluator: Evaluator, *, report: Report = silent) -> MouldPlan:
    """The same mould, which knows now whether leaning it would save vents."""
    shape, air = plan.shape, plan.air
    if shape is None or air is None:
        return plan

    def build(vents: tuple[Vent, ...], leaned: AirStudy, lean: Lean) -> MouldDesign:
        wish = replace(plan.wish, vents=vents, trapped_mm3=leaned.worst_mm3, lean=lean)
        return STYLES[plan.choice.style].build(shape, wish, plan.solid)

    advice = advise_lean(plan.design, air, evaluator, build, share=plan.wish.trapped_share, report=report)
    return replace(plan, advice=advice)
