"""Prove a mould in the exact kernel too, and say whether both kernels agree; exact files rest on this.

The exact kernel can return a wrong solid that its own checks call sound. So the whole kit is built with a
fuzzy value, judged by its own sums and against the mesh kernel, and built again with a larger one if it
fails; rungs are never mixed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild, KernelFault
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.domain.kit import Identity, Proof
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.protocol import Kernel
from pourwright.engines.geometry.measure import to_m3
from pourwright.steps.proofs.fit_bounds import sum_bound_mm3
from pourwright.steps.proofs.prove import prove

FUZZY_LADDER_MM = (0.0, 1e-5, 1e-4, 1e-3)
_SHOWN = {"m3": (1e9, "mm³"), "m2": (1e6, "mm²"), "bodies": (1.0, "bodies")}
_CHORDS = 1.5  # how much more than chord tolerance times area a volume may differ


@dataclass(frozen=True, kw_only=True)
class ExactKit:
    """What the exact kernel made of a mould: its proof, the solids to write, or why there are none.

    `evaluator` is None when exact files are refused; `why` then says in words what failed and by how much.
    """

    proof: Proof | None
    evaluator: Evaluator | None
    why: str = ""

    @property
    def ok(self) -> bool:
        """Exact files may be written."""
        return self.evaluator is not None


def compare(
    mesh_proof: Proof, exact_proof: Proof, design: MouldDesign, *, mesh: Evaluator, exact: Evaluator
) -> tuple[Identity, ...]:
    """The twin check S3: every volume that both kernels measured is the same.

    The mesh may differ by its chord tolerance over the area of the parts, and by what the volumes of each
    kernel may miss their own sum.

    Returns
    -------
    Identity for each volume, m3, and for the surfaces of the halves, m2, where both kernels have them.
    """
    chords = _CHORDS * mesh.kernel.tolerance_mm * mesh.area(design.parts)
    bound = to_m3(chords + sum_bound_mm3(design, exact) + sum_bound_mm3(design, mesh))
    found = [
        _identity(f"S3: {name} is the same in both kernels", volume - exact_proof.volumes[name], bound, "m3")
        for name, volume in mesh_proof.volumes.items()
        if name in exact_proof.volumes
    ]
    for name, area in mesh_proof.areas.items():
        if name in exact_proof.areas:
            miss, share = area - exact_proof.areas[name], mesh.kernel.area_tolerance
            found.append(_identity(f"S3: surface of {name} is the same in both kernels", miss, share * area, "m2"))
    return tuple(found)


def _identity(name: str, value: float, bound: float, unit: str) -> Identity:
    return Identity(name=name, value=value, bound=bound, ok=abs(value) <= bound, unit=unit)


def prove_exact(
    design: MouldDesign,
    make_kernel: Callable[[float], Kernel],
    *,
    mesh: Evaluator,
    mesh_proof: Proof,
    report: Report = silent,
) -> ExactKit:
    """Build and prove the whole kit in the exact kernel, one fuzzy value after the other until it holds.

    Parameters
    ----------
    design : the mould, described.
    make_kernel : the exact kernel for a fuzzy value in mm.
    mesh, mesh_proof : the mesh kernel and its proof, which must hold: a failure there is a design fault.

    Returns
    -------
    ExactKit
        The proof of the first rung that holds (S1, S2, S3), or the last one with the reason for refusing.
    """
    if not mesh_proof.ok:
        return ExactKit(proof=None, evaluator=None, why=f"the mesh kernel refused the mould: {_failures(mesh_proof)}")
    last, why = None, "no fuzzy value was small enough for the part's shortest edge"
    for index, fuzzy_mm in enumerate(FUZZY_LADDER_MM):
        part = span(report, index / len(FUZZY_LADDER_MM), (index + 1) / len(FUZZY_LADDER_MM))
        exact = Evaluator(make_kernel(fuzzy_mm))
        try:
            if fuzzy_mm > 0 and fuzzy_mm > exact.kernel.shortest_edge_mm(exact.solid(design.part)) / 10:
                break
            last = _rung(design, exact, mesh, mesh_proof, part)
        except (KernelFault, CannotBuild) as error:
            why = f"{error.message} (fuzzy value {fuzzy_mm:g} mm)"
            continue
        if last.ok:
            return ExactKit(proof=last, evaluator=exact)
        why = f"{_failures(last)} (fuzzy value {fuzzy_mm:g} mm)"
    return ExactKit(proof=last, evaluator=None, why=why)


def _rung(design: MouldDesign, exact: Evaluator, mesh: Evaluator, mesh_proof: Proof, report: Report) -> Proof:
    proof = prove(design, exact, report=report)
    twins = compare(mesh_proof, proof, design, mesh=mesh, exact=exact)
    return replace(proof, identities=proof.identities + twins)


def _failures(proof: Proof) -> str:
    return "; ".join(_failure(identity) for identity in proof.identities if not identity.ok)


def _failure(identity: Identity) -> str:
    factor, unit = _SHOWN[identity.unit]
    off, allowed = identity.value * factor, identity.bound * factor
    return f"{identity.name}: off by {off:.4g} {unit}, allowed {allowed:.2g}"
