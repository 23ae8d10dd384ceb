"""Compile the number kernels once, at set-up, so that no first answer waits for them."""

from __future__ import annotations

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel


def warm(report: Report = silent) -> None:
    """Run the job once on a small part and read a small file; the compiled code stays on disk."""
    from pourwright.engines.geometry.mesh_lips import mesh_lips
    from pourwright.engines.geometry.read import read_solid
    from pourwright.engines.geometry.write import stl_bytes
    from pourwright.steps.draw_kit import draw_kit
    from pourwright.steps.inspect_solid import inspect_solid
    from pourwright.steps.make_kit import make_kit
    from pourwright.steps.print_advice import print_advice

    part = Part(family="straight bushing", dimensions={"outer_diameter": 0.02, "height": 0.012, "bore": 0.006})
    resin, silicone = "urethane 80A", "platinum silicone 30A"
    wish = MouldWish(style="two-part lidded")
    project = Project(name="warm", title="warm", part=part, resin=resin, silicone=silicone, mould=wish)
    evaluator = Evaluator(MeshKernel(segments=16))
    draft = make_kit(
        project,
        shape_of(part),
        Shop(),
        resin=load_material(resin),
        silicone=load_material(silicone),
        evaluator=evaluator,
        report=report,
    )
    draw_kit(draft.design, evaluator, width=200)
    print_advice(draft.design, evaluator, Shop())
    vertices, triangles = evaluator.mesh(draft.design.part)
    mesh_lips(vertices, triangles, 12.0)
    inspect_solid(read_solid(stl_bytes((vertices, triangles)), name="warm.stl"), file="warm.stl")


if __name__ == "__main__":
    warm()
