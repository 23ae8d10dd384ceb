"""What a person waits for while a dimension changes: quick looks, against the same mould made whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import count

from benchmarks.sample import Sample, samples, solids
from benchmarks.timing import Timing, Topic, measured
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.repeats.surfaces import Surfaces
from pourwright.steps.planning.plan_mould import MouldPlan, plan_mould
from pourwright.steps.quick_look import look_at_mould, look_at_pieces

_EXACT_RUNS = 3
_EDIT = 1e-5  # m more at each edit


def topics() -> list[Topic]:
    """For each sample the first look and edits, with the general-purpose way beside them."""
    return [topic for sample in samples() for topic in (_first(sample), _edits(sample))]


def _first(sample: Sample) -> Topic:
    plan = _plan(sample)
    return Topic(
        title=f"First look at {sample.name}: drawn and measured, nothing known before",
        ours=measured("planned, then like pieces made once", lambda: _look(_plan(sample), Surfaces(_mesh()))),
        others=(
            measured("of that the plan alone", lambda: _plan(sample)),
            measured("halves, cavity and patterns alone", lambda: look_at_mould(plan, Surfaces(_mesh()))),
            measured("mesh kernel, every solid whole", lambda: _whole(plan, _mesh())),
            measured(
                "exact kernel, every solid whole", lambda: _whole(plan, Evaluator(BrepKernel())), runs=_EXACT_RUNS
            ),
        ),
    )


def _edits(sample: Sample) -> Topic:
    return Topic(
        title=f"One edit of {sample.name}: planned, drawn and measured",
        ours=_edited("a wider bore", sample, lambda step: _with(sample, "bore", step)),
        others=(
            _edited("a higher part (floor and lid change)", sample, lambda step: _with(sample, "height", step)),
            _edited("a wider part (everything changes)", sample, lambda step: _with(sample, "outer_diameter", step)),
        ),
    )


def _edited(name: str, sample: Sample, edit: Callable[[int], Sample]) -> Timing:
    surfaces, steps = Surfaces(_mesh()), count(1)
    _look(_plan(sample), surfaces)
    return measured(name, lambda: _look(_plan(edit(next(steps))), surfaces))


def _with(sample: Sample, dimension: str, step: int) -> Sample:
    part = sample.project.part
    wider = replace(part, dimensions={**part.dimensions, dimension: part.dimensions[dimension] + _EDIT * step})
    return replace(sample, project=replace(sample.project, part=wider), shape=shape_of(wider))


def _mesh() -> Evaluator:
    return Evaluator(MeshKernel())


def _plan(sample: Sample) -> MouldPlan:
    return plan_mould(sample.project, sample.shape, sample.shop, resin=sample.resin, silicone=sample.silicone)


def _look(plan: MouldPlan, surfaces: Surfaces) -> object:
    return look_at_mould(plan, surfaces), look_at_pieces(plan, surfaces)


def _whole(plan: MouldPlan, evaluator: Evaluator) -> float:
    return sum(evaluator.volume(node) for node in solids(plan.design))
