"""Compile the number kernels once, at set-up, so that no first answer waits for them."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel


def warm() -> None:
    """Run what both halves of the work compile, two at a time; the compiled code stays on disk."""
    with ProcessPoolExecutor(max_workers=2, mp_context=get_context("spawn")) as pool:
        for done in [pool.submit(one) for one in (warm_making, warm_inspecting)]:
            done.result()


def warm_making(report: Report = silent) -> None:
    """Make, prove and draw the mould of a small part once."""
    from pourwright.steps.make_kit import make_kit
    from pourwright.steps.pictures.draw_kit import draw_kit
    from pourwright.steps.print_advice import print_advice
    from pourwright.steps.proofs.prove_assembly import prove_assembly

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
    prove_assembly(draft.design, evaluator)


def warm_inspecting() -> None:
    """Read a small file and study it once, as a whole and by its coarser twin."""
    from pourwright.engines.geometry.files.read import read_solid
    from pourwright.engines.geometry.files.write import PrintPiece, stl_bytes, three_mf_bytes
    from pourwright.engines.geometry.partings.mesh_lips import mesh_lips
    from pourwright.engines.geometry.repeats.twin import coarse_twin
    from pourwright.engines.geometry.tree import Revolve, polygon
    from pourwright.steps.inspect_solid import inspect_solid

    waisted = Revolve(polygon([(3, 0), (10, 0), (8, 6), (10, 12), (3, 12)]))
    vertices, triangles = Evaluator(MeshKernel(segments=16)).mesh(waisted)
    inspect_solid(read_solid(stl_bytes((vertices, triangles)), name="warm.stl"), file="warm.stl")
    coarse_twin(vertices, triangles, share=0.1)
    three_mf_bytes([PrintPiece(name="warm", key="warm", mesh=(vertices, triangles))])
    mesh_lips(vertices, triangles, 12.0)


if __name__ == "__main__":
    warm()
