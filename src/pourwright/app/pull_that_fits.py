"""Where a mould is too high or too wide along one pull: another pull of the same part along which it fits."""

from __future__ import annotations

from dataclasses import replace

from pourwright.app.project_files import Loaded, standing
from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.steps.planning.kit_wish import allowed_stretch
from pourwright.steps.planning.pattern_part import pattern_part
from pourwright.steps.planning.plan_mould import plan_mould
from pourwright.steps.studies.opening import blocked_in
from pourwright.steps.studies.study_cell import pulled_study
from pourwright.steps.words.pull_words import pull_typed

_SEGMENTS = 48


def with_pull_that_fits(error: DoesNotFit, loaded: Loaded, *, report: Report = silent) -> DoesNotFit:
    """The refusal with another pull in its advice, along which the same mould fits and lets its part go.

    Parameters
    ----------
    error : the refusal.
    loaded : the project; unchanged for a part of a family, or where no other pull does.
    """
    if loaded.drawn is None:
        return error
    from pourwright.engines.geometry.pulls.best_pull import best_pull
    from pourwright.engines.geometry.repeats.closed_twin import with_twins

    [twin] = with_twins({loaded.drawn.digest: loaded.drawn}).values()
    allowed = allowed_stretch(loaded.materials.silicone)
    found = best_pull(twin.vertices_mm, twin.triangles, allowed_stretch=allowed, report=span(report, 0.0, 0.5))
    for way in (found, *found.runners_up):
        if not way.parting.allowed or abs(_along(way.direction, loaded.shape.pull)) > 0.999:
            continue
        report(0.5, "trying another pull")
        mould = replace(loaded.project.mould, pull=way.direction)
        if _fits(replace(loaded, project=replace(loaded.project, mould=mould), drawn=twin)):
            return _told(error, way.direction)
    return error


def _told(error: DoesNotFit, way: tuple[float, float, float]) -> DoesNotFit:
    written = pull_typed(way)
    advice = f"write pull = {written} under [mould]: along it the same mould fits, and the silicone lets go. Else: "
    return DoesNotFit(error.message, advice=advice + error.advice, field="mould.pull", value=written)


def _along(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


def _fits(loaded: Loaded) -> bool:
    """Whether the mould of the project, with its pull, can be drawn within bed and pot, and lets its part go."""
    from pourwright.engines.geometry.kernels.mesh import MeshKernel
    from pourwright.steps.studies.study_solid import study_solid

    if loaded.drawn is None:
        return False
    allowed = allowed_stretch(loaded.materials.silicone)
    project, library = standing(loaded.project, loaded.drawn, loaded.materials)
    evaluator = Evaluator(MeshKernel(segments=_SEGMENTS, library=library))
    shape = shape_of(pattern_part(project), library)
    try:
        solid = study_solid(shape, evaluator, allowed_stretch=allowed)
        materials = loaded.materials
        plan = plan_mould(project, shape, loaded.shop, resin=materials.resin, silicone=materials.silicone, solid=solid)
    except (CannotBuild, DoesNotFit):
        return False
    study, volume = pulled_study(plan.design, evaluator), plan.design.figures["part_volume_mm3"]
    return not blocked_in(study, volume_mm3=volume, allowed=allowed)
