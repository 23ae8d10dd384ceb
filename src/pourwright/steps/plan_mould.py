"""Plan a mould: the style, everything drawn and nothing made yet; then the vents that its air needs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.facts import SolidFacts
from pourwright.catalogue.moulds.style import STYLES, Choice, choose_style
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.material import Material
from pourwright.domain.part import Project
from pourwright.domain.shop import Shop
from pourwright.domain.size_forecast import SizeForecast
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.steps.forecast_sizes import forecast_sizes
from pourwright.steps.kit_wish import wish_of
from pourwright.steps.place_vents import AirStudy, place_vents, study_air


@dataclass(frozen=True, kw_only=True)
class MouldPlan:
    """A mould that is described and not made yet, with the wish that it answers and why it has its style.

    `resin_density` is kg/m3; `sizes` are those of the cast; `air` is what stays in one cavity, once that is known.
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
    design = STYLES[choice.style].build(shape, wish, solid)
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


def with_needed_vents(plan: MouldPlan, evaluator: Evaluator, *, report: Report = silent) -> MouldPlan:
    """The same mould with the vents that its air needs, in place of those of its style's rule, and larger wells."""
    design, shape, share = plan.design, plan.shape, plan.wish.trapped_share
    if design.venting is None or shape is None:
        return plan
    found = place_vents(design, evaluator, share=share, report=report)
    wish = replace(plan.wish, vents=found.vents, trapped_mm3=found.air.worst_mm3)
    try:
        better = STYLES[plan.choice.style].build(shape, wish, plan.solid)
    except (CannotBuild, DoesNotFit):  # no room for wells over so many vents: those of the rule had it
        return replace(plan, air=study_air(design, evaluator, share=share))
    kept = better.venting is not None and better.venting.vents.places == found.vents
    air = found.air if kept else study_air(better, evaluator, share=share)
    return replace(plan, wish=wish, design=better, air=air)
