"""When a mould is too large for the bed or the pot: the best one that does fit, and what it takes to pour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.basics.progress import Report, silent
from pourwright.basics.quantities import show
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.style import STYLES, choose_style
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Project
from pourwright.domain.pours import CAST, MouldVolumes
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m3
from pourwright.steps.make_pours import Materials, make_pours
from pourwright.steps.planning.kit_wish import wish_of


@dataclass(frozen=True, kw_only=True)
class Fitting:
    """A mould that fits: its cavities, how they stand in which box, and kg of silicone and resin to mix for it."""

    cavities: int
    layout: str
    box: str
    silicone: float
    resin: float

    @property
    def words(self) -> str:
        """In words, with the grams.

        Examples
        --------
        >>> Fitting(cavities=3, layout="2-1 staggered", box="round", silicone=0.2104, resin=0.0761).words
        '3 cavities fit (2-1 staggered in a round box), with 210 g of silicone and 76.1 g of resin to mix'
        """
        count = "1 cavity fits" if self.cavities == 1 else f"{self.cavities} cavities fit"
        silicone, resin = (show(mass, "mass", "g", digits=3) for mass in (self.silicone, self.resin))
        return f"{count} ({self.layout} in a {self.box} box), with {silicone} of silicone and {resin} of resin to mix"


def best_that_fits(
    project: Project,
    shape: PartShape,
    shop: Shop,
    materials: Materials,
    *,
    evaluator: Evaluator,
    solid: SolidFacts | None = None,
    report: Report = silent,
) -> Fitting | None:
    """The mould nearest to the one wished that fits bed and pot: another layout or box first, then fewer cavities.

    Parameters
    ----------
    project : the wish that does not fit.
    shape : its part.
    shop : printer, pot, room and scale.
    materials : what is poured.
    evaluator : a mesh kernel.
    solid : what was found out about an imported solid.

    Returns
    -------
    Fitting
        None when not even one cavity fits.
    """
    for smaller in _smaller(project):
        report(-1.0, "looking for a layout that fits")
        design = _design(smaller, shape, shop, materials, solid)
        if design is not None:
            return _fitting(design, smaller, shop, materials, evaluator)
    return None


def with_what_fits(error: DoesNotFit, fitting: Fitting | None, project: Project) -> DoesNotFit:
    """The refusal with what does fit in its advice.

    Parameters
    ----------
    error : the refusal.
    fitting : what fits; None when not even one cavity does.
    project : the wish that does not fit.
    """
    if fitting is None:
        return _hopeless(error)
    other = fitting.cavities < project.mould.cavities
    change = (
        f"write cavities = {fitting.cavities} under [mould]"
        if other
        else f'write layout = "{fitting.layout}" and box = "{fitting.box}"'
    )
    asked = ("layout", project.mould.layout) if project.mould.layout is not None else ("box", project.mould.box)
    field, value = ("cavities", str(project.mould.cavities)) if other else asked
    advice = f"{fitting.words}: {change}, or ask for less silicone beside and between the cavities"
    return DoesNotFit(error.message, advice=advice, field=f"mould.{field}", value=value)


def _hopeless(error: DoesNotFit) -> DoesNotFit:
    """Fewer cavities are no advice where even one is too many."""
    if error.field != "cavities":
        return error
    return DoesNotFit(
        error.message,
        advice="not even one cavity fits: take a smaller part, less silicone beside it, or a larger pot or printer",
        field="part",
    )


def _smaller(project: Project) -> Iterator[Project]:
    free = replace(project.mould, layout=None, box=None)
    if free != project.mould:
        yield replace(project, mould=free)
    for cavities in range(project.mould.cavities - 1, 0, -1):
        yield replace(project, mould=replace(free, cavities=cavities))


def _design(
    project: Project, shape: PartShape, shop: Shop, materials: Materials, solid: SolidFacts | None
) -> MouldDesign | None:
    wish = wish_of(project, shop, resin=materials.resin, silicone=materials.silicone)
    style = choose_style(shape, wish, asked=project.mould.style, solid=solid).style
    try:
        return STYLES[style].build(shape, wish, solid)
    except (DoesNotFit, CannotBuild):
        return None


def _fitting(design: MouldDesign, project: Project, shop: Shop, materials: Materials, evaluator: Evaluator) -> Fitting:
    lid = evaluator.volume(design.closing) if design.closing_is_silicone else 0.0
    volumes = MouldVolumes(
        lower_half=to_m3(evaluator.volume(design.lower)),
        lid=to_m3(lid),
        cavity=to_m3(evaluator.volume(design.cavity)),
    )
    pours = make_pours(volumes, project, shop, materials).pours
    return Fitting(
        cavities=design.cavities,
        layout=design.layout.name if design.layout is not None else "in rows",
        box=design.layout.box if design.layout is not None else "rectangle",
        silicone=sum(pour.total for pour in pours if pour.name != CAST),
        resin=sum(pour.total for pour in pours if pour.name == CAST),
    )
