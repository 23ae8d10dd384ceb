"""Mesh, exact and analytic kernel agree on every outline, and each refuses what is not a solid."""

from __future__ import annotations

import io
import math
from collections import Counter
from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.basics.errors import CannotBuild, CannotRead, KernelFault
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.kernels.analytic import AnalyticKernel, revolved_volume_mm3
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel, segments_for, segments_for_kit
from pourwright.engines.geometry.tree import (
    Arc,
    Ball,
    Bow,
    Box,
    Imported,
    Line,
    Node,
    Outline,
    Prism,
    Revolve,
    Tapered,
    Turned,
    cylinder,
    polygon,
)

MESH, EXACT, ANALYTIC = Evaluator(MeshKernel(24)), Evaluator(BrepKernel()), Evaluator(AnalyticKernel())


@pytest.fixture(scope="module", autouse=True)
def _let_go() -> Iterator[None]:
    yield
    MESH.forget()


lengths = st.floats(min_value=1.0, max_value=20.0)


def rounded(inner: float, wall: float, height: float, bulge: float, share: float) -> Outline:
    """A tube with a bow outside and rounded outer edges; `bulge` out or in, `share` of the room for the edges."""
    outer, edge = inner + wall, share * min(wall, height) / 2.5
    low, high = edge, height - edge
    edges = (
        Line(outer - edge, 0.0),
        Arc(outer, low, outer - edge, low),
        Bow(outer, high, outer + 2 * bulge * min(wall, high - low), height / 2),
        Arc(outer - edge, height, outer - edge, high),
        Line(inner, height),
        Line(inner, 0.0),
    )
    return Outline((inner, 0.0), edges)


outlines = st.builds(
    rounded,
    st.one_of(st.just(0.0), lengths),
    lengths,
    lengths,
    st.floats(min_value=-0.3, max_value=0.4),
    st.floats(min_value=0.05, max_value=0.9),
)


@given(outlines)
@settings(max_examples=25, deadline=None)
def test_a_turned_outline_has_its_closed_form_volume_in_both_kernels(outline: Outline) -> None:
    node, volume = Revolve(outline), revolved_volume_mm3(outline)
    assert MESH.volume(node) == pytest.approx(volume, rel=1e-9)
    assert EXACT.volume(node) == pytest.approx(volume, rel=1e-9)


@given(outlines)
@settings(max_examples=15, deadline=None)
def test_a_turned_outline_has_its_closed_form_surface_in_the_exact_kernel(outline: Outline) -> None:
    # Faces of lines and arcs are good to 1e-9 (the reference moulds test it), faces of parabolas to 1e-6.
    assert EXACT.area(Revolve(outline)) == pytest.approx(ANALYTIC.area(Revolve(outline)), rel=1e-6)


@given(outlines, lengths)
@settings(max_examples=15, deadline=None)
def test_a_prism_has_its_closed_form_volume_in_both_kernels(outline: Outline, height: float) -> None:
    node = Prism(outline, -1.0, height)
    assert MESH.volume(node) == pytest.approx(ANALYTIC.volume(node), rel=1e-9)
    assert EXACT.volume(node) == pytest.approx(ANALYTIC.volume(node), rel=1e-9)
    assert EXACT.area(node) == pytest.approx(ANALYTIC.area(node), rel=1e-6)


@given(st.floats(min_value=0.5, max_value=9.0), st.floats(min_value=-3.0, max_value=3.0))
@settings(max_examples=15, deadline=None)
def test_a_tapered_block_has_its_closed_form_volume_and_surface(height: float, inset: float) -> None:
    node = Tapered(-4, -5, 1, 4, 5, 1 + height, inset)
    volume, area = ANALYTIC.volume(node), ANALYTIC.area(node)
    for here in (MESH, EXACT):
        assert here.volume(node) == pytest.approx(volume, rel=1e-12)
        assert here.area(node) == pytest.approx(area, rel=1e-12)
        low, high = here.bounds(node)
        assert high - low == pytest.approx([8 + max(0, -2 * inset), 10 + max(0, -2 * inset), height], abs=1e-6)


@pytest.mark.parametrize("here", [MESH, EXACT], ids=["mesh", "exact"])
def test_a_ball_has_the_volume_of_a_ball(here: Evaluator) -> None:
    assert here.volume(Ball(7.0)) == pytest.approx(4 / 3 * math.pi * 343, rel=1e-9)
    assert here.bounds(Ball(7.0))[1][2] == pytest.approx(7.0, abs=1e-6)


@pytest.mark.parametrize("kernel", [MeshKernel(24), BrepKernel()], ids=["mesh", "exact"])
@pytest.mark.parametrize(
    ("moved", "factor"),
    [
        (lambda s: s.at(3, -4, 5), 1.0),
        (lambda s: s.at(3, 0, 0, turn_deg=37), 1.0),
        (lambda s: Turned(s, "x", 180.0), 1.0),
        (lambda s: Turned(s, "y", 25.0), 1.0),
        (lambda s: s.mirrored_z(), 1.0),
        (lambda s: s.scaled(1.006), 1.006),
    ],
    ids=["move", "turn", "turn over", "tilt", "mirror", "scale"],
)
def test_moves_keep_volume_and_surface_and_scaling_multiplies_them(kernel, moved, factor) -> None:  # type: ignore[no-untyped-def]
    solid = kernel.cut(kernel.box(0, 0, 0, 6, 5, 4), kernel.box(0, 0, 0, 2, 2, 2))
    node = Box(0, 0, 0, 6, 5, 4) - Box(0, 0, 0, 2, 2, 2)
    made = Evaluator(kernel).solid(moved(node))
    assert kernel.volume(made) == pytest.approx(factor**3 * kernel.volume(solid), rel=1e-9)
    assert kernel.area(made) == pytest.approx(factor**2 * kernel.area(solid), rel=1e-9)


@pytest.mark.parametrize("kernel", [MeshKernel(24), BrepKernel()], ids=["mesh", "exact"])
def test_a_quarter_turn_moves_a_box_where_it_should(kernel: MeshKernel | BrepKernel) -> None:
    here = Evaluator(kernel)
    for node, low in (
        (Box(0, 0, 0, 1, 2, 3).at(5, 0, 0, turn_deg=90), (3, 0, 0)),
        (Turned(Box(0, 0, 0, 1, 2, 3), "x", 90.0), (0, -3, 0)),
        (Turned(Box(0, 0, 0, 1, 2, 3), "y", 90.0), (0, 0, -1)),
        (Box(0, 0, 1, 1, 2, 3).mirrored_z(), (0, 0, -3)),
    ):
        assert here.bounds(node)[0] == pytest.approx(low, abs=1e-6)


def test_the_error_of_plain_circles_falls_fourfold_when_the_chords_double() -> None:
    node = cylinder(radius_mm=8, z0_mm=0, z1_mm=1)
    errors = [64 * math.pi - Evaluator(MeshKernel(n, corrected=False, tolerance_mm=9)).volume(node) for n in (32, 64)]
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=5e-3)


def test_a_printed_circle_lies_inside_the_true_one_and_within_the_tolerance() -> None:
    here = Evaluator(MeshKernel(8, corrected=False))
    vertices, _ = here.mesh(cylinder(radius_mm=12, z0_mm=0, z1_mm=1))
    radii = np.hypot(vertices[:, 0], vertices[:, 1])
    assert radii.max() == pytest.approx(12.0, abs=1e-12)
    assert len(vertices) == 2 * (segments_for(12.0) + 1)  # two rings, and the middle of each end


def test_one_number_of_chords_serves_a_kit_with_its_largest_circle() -> None:
    rod, part = cylinder(radius_mm=1, z0_mm=0, z1_mm=5), cylinder(radius_mm=10, z0_mm=0, z1_mm=5)
    assert segments_for_kit([rod, (part - rod).scaled(1.2).at(3)]) == segments_for(12.0)


def test_a_widest_point_stays_a_corner_of_the_mesh() -> None:
    # The belly of a bow: sampled at its turning point, whatever the number of chords.
    belly = Revolve(Outline((0, -5), (Line(4, -5), Bow(4, 7, 10, 1), Line(0, 7), Line(0, -5))))
    plain = Evaluator(MeshKernel(8, corrected=False))
    assert plain.bounds(belly)[1][0] == pytest.approx(7.0, abs=1e-12)
    assert EXACT.bounds(belly)[1][0] == pytest.approx(7.0, abs=1e-6)


# ---------------------------------------------------------------- bodies, hollows, triangles


@pytest.mark.parametrize("kernel", [MeshKernel(24), BrepKernel()], ids=["mesh", "exact"])
class TestBodies:
    def test_bodies_are_counted_and_a_closed_hollow_is_not_one(self, kernel: MeshKernel | BrepKernel) -> None:
        here = Evaluator(kernel)
        hollow = Box(0, 0, 0, 4, 4, 4) - Box(1, 1, 1, 3, 3, 3)
        both = hollow | Box(10, 0, 0, 11, 1, 1)
        assert here.bodies(both) == 2
        assert kernel.hollows(here.solid(both)) == 1
        assert here.volume(both) == pytest.approx(64 - 8 + 1)
        assert here.is_closed(both)

    def test_what_is_cut_away_whole_is_empty(self, kernel: MeshKernel | BrepKernel) -> None:
        here = Evaluator(kernel)
        gone = Box(0, 0, 0, 1, 1, 1) - Box(-1, -1, -1, 2, 2, 2)
        apart = Box(0, 0, 0, 1, 1, 1) & Box(5, 0, 0, 6, 1, 1)
        for node in (gone, apart):
            assert here.is_empty(node)
            assert (here.volume(node), here.area(node), here.bodies(node)) == (0.0, 0.0, 0)
        assert here.volume((Box(0, 0, 0, 1, 1, 1) | gone) - apart) == pytest.approx(1.0)

    def test_blocks_that_touch_have_no_volume_in_common(self, kernel: MeshKernel | BrepKernel) -> None:
        here = Evaluator(kernel)
        touching = Box(0, 0, 0, 1, 1, 1) & Box(1, 0, 0, 2, 1, 1)
        assert (here.volume(touching), here.bodies(touching)) == (0.0, 0)
        assert here.volume(Box(0, 0, 0, 1, 1, 1) | Box(1, 0, 0, 2, 1, 1)) == pytest.approx(2.0)
        assert here.area(Box(0, 0, 0, 1, 1, 1) | Box(1, 0, 0, 2, 1, 1)) == pytest.approx(10.0)

    def test_every_edge_of_the_triangles_is_shared_by_two(self, kernel: MeshKernel | BrepKernel) -> None:
        here = Evaluator(kernel)
        node = Revolve(rounded(3, 6, 10, 0.2, 0.5)) - cylinder(radius_mm=1, z0_mm=2, z1_mm=20).at(6.5)
        vertices, triangles = here.mesh(node, 0.02)
        edges = Counter(tuple(edge) for t in triangles.tolist() for edge in zip(t, t[1:] + t[:1], strict=True))
        assert set(edges.values()) == {1}
        assert all((b, a) in edges for a, b in edges)
        a, b, c = (vertices[triangles[:, k]] for k in range(3))
        volume = float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6
        assert volume == pytest.approx(here.volume(node), rel=5e-3)


@pytest.mark.parametrize("segments", [24, 48, 64, 96, 128])
def test_a_wall_cut_in_one_solid_and_whole_in_the_other_leaves_no_sheet(segments: int) -> None:
    # The new corners of a cut upright wall are off by rounding; a sheet between them would show in the area.
    here = Evaluator(MeshKernel(segments))

    def placed(points: list[tuple[float, float]]) -> Node:
        return Revolve(polygon(points)).scaled(1.006).at(0, 0, -20.001257807317607)

    core = placed([(4, 0), (20, 0), (20, 7), (18, 9), (18, 15), (20, 17), (20, 24), (4, 24)])
    tyre = placed([(20, 0), (28, 0), (30, 4), (30, 20), (28, 24), (20, 24), (20, 17), (18, 15), (18, 9), (20, 7)])
    ring = Revolve(polygon([(17.858, -19.75), (20.37, -19.75), (20.37, 3.89), (17.858, 3.89)]))
    lower = Box(-40, -40, -28, 40, 40, 0) - tyre - core - ring
    left = Box(-40, -40, -28, 40, 40, 12) - core - lower
    both = Box(-40, -40, 0, 40, 40, 12) - core
    wanted = both | (tyre | ring) - core
    assert here.volume(left) == pytest.approx(here.volume(wanted), rel=1e-12)
    assert here.area(left) == pytest.approx(here.area(wanted), rel=1e-9)


def test_a_coarser_triangulation_after_a_finer_one_is_coarser() -> None:
    fine, coarse = (len(EXACT.mesh(Ball(5.0), tolerance)[1]) for tolerance in (0.005, 0.2))
    assert coarse < fine / 4


def test_parallel_booleans_give_the_same_solid() -> None:
    node = (Box(-9, -9, -9, 9, 9, 0) - Revolve(rounded(2, 4, 8, 0.2, 0.5)).at(0, 0, -4)) | Ball(3.0).at(9, 9, 0)
    both = [Evaluator(BrepKernel(parallel=flag)) for flag in (False, True)]
    assert both[0].volume(node).hex() == both[1].volume(node).hex()
    assert both[0].area(node).hex() == both[1].area(node).hex()


# ---------------------------------------------------------------- solids from files


def _cube(flip: bool = False, drop: int = 0) -> ImportedSolid:
    corners = np.array([(x, y, z) for z in (0.0, 2.0) for y in (0.0, 2.0) for x in (0.0, 2.0)])
    quads = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (1, 3, 7, 5), (3, 2, 6, 7), (2, 0, 4, 6)]
    triangles = np.array([t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))])
    triangles = triangles[:, ::-1] if flip else triangles
    kept = triangles[: len(triangles) - drop]
    return ImportedSolid(digest="cube", vertices_mm=corners, triangles=kept, name="cube.stl", unit="mm")


def test_an_imported_mesh_is_a_solid_of_the_tree() -> None:
    here = Evaluator(MeshKernel(24, library={"cube": _cube()}))
    node = Imported("cube") - Box(1, 1, 1, 3, 3, 3)
    assert here.volume(node) == pytest.approx(7.0)
    assert Evaluator(AnalyticKernel({"cube": _cube()})).volume(Imported("cube").scaled(2)) == pytest.approx(64.0)


@pytest.mark.parametrize("cube", [_cube(flip=True), _cube(drop=1)], ids=["inside out", "open"])
def test_a_broken_mesh_is_refused_by_name(cube: ImportedSolid) -> None:
    with pytest.raises(CannotRead, match=r"cube\.stl"):
        Evaluator(MeshKernel(24, library={"cube": cube})).solid(Imported("cube"))


@pytest.mark.parametrize("kernel", [MeshKernel(), BrepKernel(), AnalyticKernel()], ids=["mesh", "exact", "analytic"])
def test_a_solid_that_is_not_in_the_library_is_a_fault(kernel: MeshKernel | BrepKernel | AnalyticKernel) -> None:
    with pytest.raises(KernelFault, match="not in the library"):
        Evaluator(kernel).volume(Imported("f" * 64))


def _step_bytes(node: Node) -> bytes:
    from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

    writer = STEPControl_Writer()
    writer.Transfer(EXACT.solid(node), STEPControl_StepModelType.STEPControl_AsIs)
    out = io.BytesIO()
    writer.WriteStream(out)
    return out.getvalue()


def test_a_step_solid_keeps_its_volume_and_goes_where_it_is_placed() -> None:
    node = Revolve(rounded(3, 6, 10, 0.2, 0.5)).at(50, 0, 7)
    part = ImportedSolid(
        digest="d",
        vertices_mm=np.zeros((0, 3)),
        triangles=np.zeros((0, 3), dtype=np.int64),
        name="ring.step",
        unit="mm",
        step=_step_bytes(node),
        placing=(-50.0, 0.0, -7.0),
    )
    here = Evaluator(BrepKernel({"d": part}))
    assert here.volume(Imported("d")) == pytest.approx(EXACT.volume(node), rel=1e-7)
    low, _ = here.bounds(Imported("d"))
    assert low[2] == pytest.approx(0.0, abs=1e-6)
    assert here.volume(Imported("d") - Revolve(rounded(3, 6, 10, 0.2, 0.5))) <= 1e-6


def test_a_mesh_has_no_exact_solid() -> None:
    with pytest.raises(CannotBuild, match=r"cube\.stl is a mesh"):
        Evaluator(BrepKernel({"cube": _cube()})).solid(Imported("cube"))


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize("kernel", [MeshKernel(), BrepKernel()], ids=["mesh", "exact"])
@pytest.mark.parametrize(
    "outline",
    [
        polygon([(0, 0), (0, 1), (1, 1), (1, 0)]),
        polygon([(-1, 0), (1, 0), (1, 1), (-1, 1)]),
        polygon([(1, 0), (1, 0), (1, 0)]),
    ],
    ids=["clockwise", "beyond the axis", "of no area"],
)
def test_an_outline_that_encloses_no_body_is_refused(kernel: MeshKernel | BrepKernel, outline: Outline) -> None:
    with pytest.raises(CannotBuild):
        kernel.revolve(outline)


def test_an_outline_that_crosses_itself_is_refused() -> None:
    with pytest.raises(CannotBuild, match="crosses itself"):
        MeshKernel().revolve(polygon([(1, 0), (5, 0), (2, 4), (3, -1), (6, 6), (1, 6)]))


def test_an_arc_of_more_than_a_half_turn_is_refused() -> None:
    long_way = Outline((1, 0), (Arc(0, 1, 0, 0, anticlockwise=False), Line(1, 0)))
    with pytest.raises(CannotBuild, match="270°"):
        revolved_volume_mm3(long_way)


@pytest.mark.parametrize("segments", [4, 6, 30])
def test_a_circle_of_too_few_or_odd_chords_is_refused(segments: int) -> None:
    with pytest.raises(CannotBuild, match="chords"):
        MeshKernel(segments)


def test_a_fuzzy_value_that_would_move_faces_is_refused() -> None:
    with pytest.raises(CannotBuild, match="fuzzy"):
        BrepKernel(fuzzy_mm=0.01)


def test_the_analytic_kernel_says_that_booleans_need_shapes() -> None:
    with pytest.raises(KernelFault, match="a cut needs a kernel that makes shapes"):
        ANALYTIC.volume(Box(0, 0, 0, 1, 1, 1) - Box(0, 0, 0, 1, 1, 2))
