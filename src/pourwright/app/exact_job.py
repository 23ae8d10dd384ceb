"""What the worker process does with a mould: prove it in the exact kernel and write STEP."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.domain.kit import Proof
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.imported import Library


@dataclass(frozen=True, kw_only=True)
class ExactAnswer:
    """The exact kernel's proof, or why there is none, and the STEP files by path inside `out/`."""

    proof: Proof | None
    why: str
    files: dict[str, bytes]


def warm_up(*, report: Report = silent) -> bool:
    """Load the exact kernel, so that the first mould does not wait for it."""
    from pourwright.engines.geometry.kernels.brep import BrepKernel
    from pourwright.engines.geometry.tree import cylinder

    evaluator = Evaluator(BrepKernel())
    return evaluator.volume(cylinder(radius_mm=1.0, z0_mm=0.0, z1_mm=1.0)) > 0


def prove_and_export(
    *, design: MouldDesign, library: Library, mesh_proof: Proof, segments: int, report: Report = silent
) -> ExactAnswer:
    """Prove a mould in the exact kernel and, when it holds, write its pieces and the mould as STEP."""
    from pourwright.engines.geometry.kernels.brep import BrepKernel
    from pourwright.engines.geometry.kernels.mesh import MeshKernel
    from pourwright.steps.proofs.prove_exact import prove_exact

    mesh = Evaluator(MeshKernel(segments=segments, library=library))
    done = prove_exact(
        design,
        lambda fuzzy_mm: BrepKernel(library=library, fuzzy_mm=fuzzy_mm),
        mesh=mesh,
        mesh_proof=mesh_proof,
        report=span(report, 0.0, 0.8),
    )
    if done.evaluator is None:
        return ExactAnswer(proof=done.proof, why=done.why, files={})
    report(0.85, "writing STEP")
    return ExactAnswer(proof=done.proof, why="", files=_step_files(design, done.evaluator))


def _step_files(design: MouldDesign, evaluator: Evaluator) -> dict[str, bytes]:
    from pourwright.engines.geometry.files.write_step import step_bytes

    printed = [(piece.name, evaluator.solid(piece.solid)) for piece in design.made]
    mould = [("lower half", evaluator.solid(design.lower)), ("cavity", evaluator.solid(design.resin))]
    if design.closing_is_silicone:
        mould.insert(1, ("lid", evaluator.solid(design.closing)))
    key = design.cavity.key
    return {
        "kit.step": step_bytes(printed, title="mould kit", provenance=key),
        "mould.step": step_bytes(mould, title="mould", provenance=key),
    }
