"""Solids as if from a file, in any attitude, and the moulds that are made of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.style import STYLES, choose_style
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.kit import Proof
from pourwright.domain.part import Part
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Node
from pourwright.steps.proofs.prove import prove
from pourwright.steps.studies.study_cell import CellStudy, study_cell
from pourwright.steps.studies.study_solid import study_solid
from pourwright.steps.studies.turn_solid import turn_solid

ALLOWED = 2.0


def solid_of(node: Node, rows: np.ndarray | None = None) -> ImportedSolid:
    """What is read from an STL file of a solid, turned by the rows of a matrix."""
    vertices, triangles = Evaluator(MeshKernel(48, corrected=False)).mesh(node)
    turned = vertices if rows is None else vertices @ np.asarray(rows).T
    return read_solid(stl_bytes((turned, triangles)), name="part.stl").solid


def attitude(seed: int) -> np.ndarray:
    """A turn in space, different for every seed."""
    found, scale = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    rows = found * np.sign(np.diag(scale))
    return rows if np.linalg.det(rows) > 0 else rows[[1, 0, 2]]


@dataclass(frozen=True, kw_only=True)
class Moulded:
    """A solid with its mould, proven in the mesh kernel."""

    solid: ImportedSolid
    shape: PartShape
    facts: SolidFacts
    design: MouldDesign
    evaluator: Evaluator
    proof: Proof

    def volume_mm3(self, name: str) -> float:
        """One of the proof's volumes."""
        return self.proof.volumes[name] * 1e9

    def failed(self) -> list[str]:
        """Identities that do not hold."""
        return [identity.name for identity in self.proof.identities if not identity.ok]

    def study(self) -> CellStudy:
        """Lips, stretch, undercut and air."""
        return study_cell(self.design, self.evaluator)


def moulded(drawn: ImportedSolid, *, pull=None, style: str | None = None, **wish) -> Moulded:
    """The mould of a solid; of two cavities when nothing else is asked for."""
    solid = turn_solid(drawn, pull, allowed_stretch=ALLOWED)
    library = {solid.digest: solid}
    shape = shape_of(Part(family="file", file="part.stl", digest=solid.digest), library)
    evaluator = Evaluator(MeshKernel(48, library))
    facts = study_solid(shape, evaluator, allowed_stretch=ALLOWED)
    asked = StyleWish(**{"cavities": 2, "scale": 1.006, "pressure_ratio": 4.062068, **wish})
    choice = choose_style(shape, asked, asked=style, solid=facts)
    design = STYLES[choice.style].build(shape, asked, facts)
    return Moulded(
        solid=solid, shape=shape, facts=facts, design=design, evaluator=evaluator, proof=prove(design, evaluator)
    )
