"""What the preview's worker process does: look at one edited project, remembering what earlier looks made."""

from __future__ import annotations

import time
from collections import OrderedDict
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, Literal

from pourwright.app.project_files import Loaded
from pourwright.basics.errors import PourwrightError
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.domain.check_result import CheckResult
from pourwright.domain.kit import Kit
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.repeats.surfaces import Surfaces
from pourwright.steps.make_kit import proven_kit
from pourwright.steps.planning.kit_wish import allowed_stretch
from pourwright.steps.planning.plan_mould import MouldPlan, plan_mould, with_needed_vents
from pourwright.steps.quick_look import QuickLook, Seen, look_at_mould, look_at_pieces
from pourwright.steps.studies.study_solid import study_solid

Stage = Literal["mould", "pieces", "proof"]
STAGES: tuple[Stage, ...] = ("mould", "pieces", "proof")

SEGMENTS = 48
_MOST_TRIANGLES = 2_000_000  # in the memory of solids, about 0.3 GB
_MOST_DRAWN = 1_000_000
_MOST_SOLIDS = 3  # imported solids, and what was found out about them


@dataclass(frozen=True, kw_only=True)
class Look:
    """One delivery for one request.

    Parameters
    ----------
    number : of the request that it answers.
    stage : "mould" (patterns, halves, cavity) or "pieces" (all others), which are quick looks; "proof": the whole
        kit with its mould fit check.
    seen : what to draw; empty after an error, and in a proof of just what was drawn before it. A proof that needed
        more vents brings everything anew.
    figures : by key with unit, as in the answer of a kit.
    kit : with every proof and check, at the last stage.
    error : why there is no mould for this request: does not fit, cannot be built.
    """

    number: int
    stage: Stage
    seen: tuple[Seen, ...] = ()
    figures: dict[str, Any] = field(default_factory=dict)
    checks: tuple[CheckResult, ...] = ()
    kit: Kit | None = None
    error: PourwrightError | None = None
    seconds: float = 0.0

    @property
    def proven(self) -> bool:
        """Whether the mould fit check was made and holds; a quick look never is."""
        return self.kit is not None and all(proof.ok for proof in self.kit.proofs)


class _Bench:
    """What stays in the worker from one look to the next."""

    def __init__(self) -> None:
        self.library: OrderedDict[str, ImportedSolid] = OrderedDict()
        self.evaluator = Evaluator(MeshKernel(segments=SEGMENTS, library=self.library), memory=_MOST_TRIANGLES)
        self.surfaces = Surfaces(self.evaluator, memory=_MOST_DRAWN)
        self._facts: OrderedDict[tuple[str, float], SolidFacts | None] = OrderedDict()
        self._plans: OrderedDict[int, MouldPlan] = OrderedDict()

    def plan(self, loaded: Loaded, number: int, report: Report) -> MouldPlan:
        """The mould of a request, drawn once for its three stages."""
        if number not in self._plans:
            self.library.update(loaded.twins)
            _keep(self.library, _MOST_SOLIDS)
            materials = loaded.materials
            self._plans[number] = plan_mould(
                loaded.project,
                loaded.shape,
                loaded.shop,
                resin=materials.resin,
                silicone=materials.silicone,
                solid=self._solid(loaded, report),
            )
            _keep(self._plans, 2)
        return self._plans[number]

    def _solid(self, loaded: Loaded, report: Report) -> SolidFacts | None:
        allowed = allowed_stretch(loaded.materials.silicone)
        key = loaded.shape.node.key, allowed
        if key not in self._facts:
            self._facts[key] = study_solid(loaded.shape, self.evaluator, allowed_stretch=allowed, report=report)
            _keep(self._facts, _MOST_SOLIDS)
        return self._facts[key]


def look(*, loaded: Loaded, number: int, stage: Stage, report: Report = silent) -> Look:
    """One stage of one request; what cannot be built is told in the answer.

    Raises
    ------
    Cancelled
        When `report` raises it: a newer request is there.
    """
    start = time.perf_counter()
    bench = _bench()
    plan = bench.plan(loaded, number, report)
    if stage == "proof":
        return _proof(bench, loaded, number, start, report)
    quick: QuickLook = {"mould": look_at_mould, "pieces": look_at_pieces}[stage](plan, bench.surfaces, report=report)
    return Look(
        number=number,
        stage=stage,
        seen=quick.seen,
        figures=quick.figures,
        checks=quick.checks,
        seconds=time.perf_counter() - start,
    )


def _proof(bench: _Bench, loaded: Loaded, number: int, start: float, report: Report) -> Look:
    """The kit with its proof; drawn anew when the search for vents has changed it."""
    first = bench.plan(loaded, number, report)
    plan = with_needed_vents(first, bench.evaluator, report=span(report, 0.0, 0.2))
    kit = proven_kit(plan, bench.evaluator, report=span(report, 0.2, 0.9)).kit
    kit = replace(kit, checks=(*kit.checks, *loaded.cautions))
    mould = look_at_mould(plan, bench.surfaces, report=span(report, 0.9, 0.95))
    pieces = look_at_pieces(plan, bench.surfaces, report=span(report, 0.95, 1.0))
    same = plan.design.cavity == first.design.cavity
    return Look(
        number=number,
        stage="proof",
        seen=() if same else (*mould.seen, *pieces.seen),
        figures={**mould.figures, **pieces.figures},
        checks=kit.checks,
        kit=kit,
        seconds=time.perf_counter() - start,
    )


def warm_up(*, report: Report = silent) -> bool:
    """Load what the first look would wait for."""
    return _bench().evaluator is not None


@cache
def _bench() -> _Bench:
    return _Bench()


def _keep(memory: OrderedDict[Any, Any], count: int) -> None:
    while len(memory) > count:
        memory.popitem(last=False)
