"""A kit in the mesh kernel and in the exact one: preview, one edit, the whole proof, and STEP."""

from __future__ import annotations

from itertools import count

from benchmarks.sample import Sample, samples, solids
from benchmarks.timing import Timing, Topic, measured
from pourwright.app.exact_job import prove_and_export, warm_up
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.steps.make_kit import make_kit
from pourwright.steps.proofs.prove import prove

_EXACT_RUNS = 3


def topics() -> list[Topic]:
    """For each sample the preview against the exact kernel, then all that a kit takes."""
    warm_up()
    found = []
    for sample in samples():
        found += [_preview(sample), _whole(sample)]
    return found


def _preview(sample: Sample) -> Topic:
    return Topic(
        title=f"Preview of {sample.name}: every piece, both halves, the cavity, their volumes",
        ours=measured("mesh kernel, everything anew", lambda: _show(sample, Evaluator(MeshKernel()))),
        others=(
            measured("mesh kernel, 32 chords in a circle", lambda: _show(sample, Evaluator(MeshKernel(segments=32)))),
            _edited(sample),
            measured("exact kernel, the same tree", lambda: _show(sample, Evaluator(BrepKernel())), runs=_EXACT_RUNS),
        ),
    )


def _show(sample: Sample, evaluator: Evaluator, *, wider_mm: float = 0.0) -> float:
    return sum(evaluator.volume(node) for node in solids(sample.design(wider_mm=wider_mm)))


def _edited(sample: Sample) -> Timing:
    evaluator, edits = Evaluator(MeshKernel()), count(1)
    _show(sample, evaluator)
    return measured(
        "mesh kernel, one wall a little thicker each time",
        lambda: _show(sample, evaluator, wider_mm=0.01 * next(edits)),
    )


def _whole(sample: Sample) -> Topic:
    design = sample.design()
    proof = prove(design, Evaluator(MeshKernel()))
    return Topic(
        title=f"Kit of {sample.name}",
        ours=measured("mesh kit with the mould fit check", lambda: prove(design, Evaluator(MeshKernel()))),
        others=(
            measured("mesh kit with every check", lambda: _kit(sample)),
            measured(
                "exact kit with its proof and STEP",
                lambda: prove_and_export(design=design, library={}, mesh_proof=proof, segments=48),
                runs=_EXACT_RUNS,
            ),
        ),
    )


def _kit(sample: Sample) -> object:
    return make_kit(
        sample.project,
        sample.shape,
        sample.shop,
        resin=sample.resin,
        silicone=sample.silicone,
        evaluator=Evaluator(MeshKernel()),
    )
