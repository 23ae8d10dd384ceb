"""A part of very many triangles is proven with a twin, and its kit has the volumes of the part itself."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mesh_bodies import dome
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.imported import ImportedSolid, Library
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.repeats.closed_twin import points_in_place, twin_of, volume_below_mm3, with_twins
from pourwright.engines.geometry.tree import Box, Imported, Node
from pourwright.steps.make_kit import KitDraft, make_kit
from pourwright.steps.planning.full_volumes import with_full_volumes
from pourwright.steps.studies.study_solid import study_solid

DIGEST = "a dome with waves"


@cache
def library() -> Library:
    """The dome of some ten thousand triangles."""
    vertices, triangles = dome(across=72)
    return {DIGEST: ImportedSolid(digest=DIGEST, vertices_mm=vertices, triangles=triangles, name="dome", unit="mm")}


@cache
def twins() -> Library:
    return with_twins(library(), many=1000)


def draft_of(solids: Library) -> KitDraft:
    """Two cavities of it under a cover plate, with the part as these solids have it."""
    part = Part(family="file", file="dome.stl", digest=DIGEST)
    evaluator = Evaluator(MeshKernel(library=solids))
    shape = shape_of(part, library())
    resin, silicone = "urethane 80A", "platinum silicone 30A"
    mould = MouldWish(cavities=2, style="open with cover plate")
    return make_kit(
        Project(name="dome", title="dome", part=part, resin=resin, silicone=silicone, mould=mould),
        shape,
        Shop(),
        resin=load_material(resin),
        silicone=load_material(silicone),
        evaluator=evaluator,
        solid=study_solid(shape, Evaluator(MeshKernel(library=twins())), allowed_stretch=2.0),
    )


def test_a_twin_has_fewer_triangles_corners_of_the_solid_and_nearly_its_volume() -> None:
    solid, twin = library()[DIGEST], twins()[DIGEST]
    assert len(twin.triangles) < 0.7 * len(solid.triangles)
    corners = {tuple(corner) for corner in solid.vertices_mm.tolist()}
    assert all(tuple(corner) in corners for corner in twin.vertices_mm.tolist())
    area = Evaluator(MeshKernel(library=library())).area(Imported(DIGEST))
    missing = volume_below_mm3(solid.vertices_mm, solid.triangles) - volume_below_mm3(twin.vertices_mm, twin.triangles)
    assert 0 < abs(missing) <= 0.02 * area


def test_solids_of_few_triangles_and_exact_solids_are_their_own_twins() -> None:
    solid = library()[DIGEST]
    assert with_twins(library(), many=10**6) is library()
    exact = {DIGEST: ImportedSolid(**{**vars(solid), "step": b"ISO-10303-21;"})}
    assert with_twins(exact, many=1000) is exact


def test_a_twin_is_the_same_to_the_last_bit_each_time() -> None:
    again = twin_of(library()[DIGEST])
    assert np.array_equal(again.vertices_mm, twins()[DIGEST].vertices_mm)
    assert np.array_equal(again.triangles, twins()[DIGEST].triangles)


@settings(max_examples=30, deadline=None)
@given(height=st.floats(-5.0, 30.0), turned=st.booleans(), scale=st.floats(0.5, 2.0), move=st.floats(-9.0, 9.0))
def test_the_volume_below_a_height_is_that_of_the_cut_solid(
    height: float, turned: bool, scale: float, move: float
) -> None:
    from pourwright.engines.geometry.tree import Turned

    node: Node = Imported(DIGEST)
    node = (Turned(node, "x", 180.0) if turned else node).scaled(scale).at(1.0, 2.0, move, turn_deg=30.0)
    kernel = Evaluator(MeshKernel(library=library()))
    placed = points_in_place(node, library())
    assert placed is not None
    room = Box(-99, -99, -99, 99, 99, height)
    assert volume_below_mm3(*placed, height) == pytest.approx(kernel.volume(node & room), rel=1e-9, abs=1e-7)
    assert volume_below_mm3(*placed) == pytest.approx(kernel.volume(node), rel=1e-12)


def test_a_kit_proven_with_a_twin_has_the_volumes_of_the_kit_made_in_full() -> None:
    full = draft_of(library()).kit
    twin = with_full_volumes(draft_of(twins()), twins(), library()).kit
    assert all(proof.ok for proof in twin.proofs)
    assert twin.box_inside == full.box_inside
    for name in ("part_volume", "cavity_volume", "silicone_lower_volume", "silicone_lid_volume", "wells_volume"):
        assert getattr(twin, name) == pytest.approx(getattr(full, name), rel=1e-9), name
    theirs = {body.name: body for body in full.bodies}
    for body in twin.bodies:
        # Screw holes end inside the part, so that pieces differ by just what the twin lacks.
        assert body.volume == pytest.approx(theirs[body.name].volume, rel=1e-9), body.name
