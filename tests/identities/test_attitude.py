"""Solids from files, turned into their pull: any attitude in the file gives the same mould."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.closed import volume_mm3
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.partings.attitude import plan_turn, turned_to, up_in_file
from pourwright.engines.geometry.tree import Arc, Box, Imported, Line, Outline, Prism, Turned, polygon
from solid_kits import attitude, moulded, solid_of

WEDGE = Turned(Prism(polygon([(-15, 0), (15, 0), (15, 4), (-5, 12), (-15, 12)]), -8.0, 8.0), "x", 90.0)
PLUG_MM = [(0, 0), (8, 0), (12, 6), (12, 10), (6, 22), (0, 22)]
# A loaf: 30 × 12, both upper edges rounded by 1.5, 20 long.
LOAF = Turned(
    Prism(
        Outline(
            (-15.0, 0.0),
            (
                Line(15.0, 0.0),
                Line(15.0, 10.5),
                Arc(13.5, 12.0, 13.5, 10.5),
                Line(-13.5, 12.0),
                Arc(-15.0, 10.5, -13.5, 10.5),
                Line(-15.0, 0.0),
            ),
        ),
        -10.0,
        10.0,
    ),
    "x",
    90.0,
)


@pytest.mark.parametrize("node", [WEDGE, LOAF], ids=["wedge", "loaf"])
def test_a_solid_drawn_askew_gives_the_kit_of_the_same_solid_drawn_upright(node) -> None:
    upright, askew = moulded(solid_of(node)), moulded(solid_of(node, attitude(1)))
    assert not upright.failed()
    assert not askew.failed()
    assert askew.design.style == upright.design.style
    for name in ("lower half", "closing piece", "cavity", "silicone lower", "interior"):
        assert askew.volume_mm3(name) == pytest.approx(upright.volume_mm3(name), rel=1e-5)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_level_faces_of_a_solid_drawn_askew_are_level_to_the_last_digit(seed: int) -> None:
    rows = attitude(seed)
    drawn = solid_of(Box(-5, -8, 0, 5, 8, 6), rows)
    stood = turned_to(drawn, rows @ np.array([0.0, 0.0, 1.0]))
    assert len(np.unique(stood.vertices_mm[:, 2])) == 2
    assert stood.vertices_mm[:, 2].min() == 0.0
    assert np.ptp(stood.vertices_mm, axis=0) == pytest.approx([16.0, 10.0, 6.0], abs=1e-4)
    assert up_in_file(stood) == pytest.approx(rows[:, 2], abs=1e-5)
    assert volume_mm3(stood.vertices_mm, stood.triangles) == pytest.approx(960.0, rel=1e-5)


def test_a_solid_that_stands_along_its_pull_already_is_left_as_it_is() -> None:
    drawn = solid_of(WEDGE)
    assert turned_to(drawn, (0, 0, 1)) is drawn


def test_turning_twice_ends_where_turning_once_does() -> None:
    drawn = solid_of(WEDGE)
    once = turned_to(drawn, (1, 0, 0))
    twice = turned_to(turned_to(drawn, (0, 1, 0)), _there(turned_to(drawn, (0, 1, 0)), (1, 0, 0)))
    assert np.ptp(twice.vertices_mm, axis=0) == pytest.approx(np.ptp(once.vertices_mm, axis=0), abs=1e-9)
    assert up_in_file(twice) == pytest.approx(up_in_file(once), abs=1e-9)


def _there(solid: ImportedSolid, way: tuple[float, float, float]) -> np.ndarray:
    return np.array(solid.turning).reshape(3, 3) @ np.array(way)


def test_a_direction_of_no_length_is_refused() -> None:
    with pytest.raises(CannotBuild, match="no direction"):
        turned_to(solid_of(WEDGE), (0, 0, 0))


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 3.14), st.floats(0.2, 0.95))
def test_the_smallest_rectangle_lies_along_the_sides_of_a_rectangle(turn: float, width: float) -> None:
    corners = np.array([[0, 0], [1, 0], [1, width], [0, width]])
    rows = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    points = corners @ rows
    found = plan_turn(points)
    along = points @ [np.cos(found), np.sin(found)]
    across = points @ [-np.sin(found), np.cos(found)]
    assert np.ptp(along) * np.ptp(across) == pytest.approx(width, rel=1e-5)


def test_the_exact_kernel_turns_a_solid_as_the_mesh_does() -> None:
    brep = pytest.importorskip("pourwright.engines.geometry.kernels.brep")
    from pourwright.engines.geometry.files.read import read_solid
    from pourwright.engines.geometry.files.write_step import step_bytes

    kernel = brep.BrepKernel()
    data = step_bytes([("wedge", Evaluator(kernel).solid(WEDGE))], title="wedge", provenance="none")
    drawn = read_solid(data, name="wedge.step").solid
    stood = turned_to(drawn, (2.0, 1.0, 3.0))
    library = {stood.digest: stood}
    exact, mesh = Evaluator(brep.BrepKernel(library)), Evaluator(MeshKernel(48, library))
    node = Imported(stood.digest)
    assert exact.volume(node) == pytest.approx(mesh.volume(node), rel=1e-9)
    for there, here in zip(exact.bounds(node), mesh.bounds(node), strict=True):
        assert there == pytest.approx(here, abs=1e-6)


def test_a_rounded_edge_of_a_solid_is_parted_where_the_rounding_begins() -> None:
    # Both ends of the loaf's section are needed whole, so that no flat face covers its shadow.
    both = Turned(
        Prism(
            Outline(
                (-13.5, 0.0),
                (
                    Line(13.5, 0.0),
                    Arc(15.0, 1.5, 13.5, 1.5),
                    Line(15.0, 10.5),
                    Arc(13.5, 12.0, 13.5, 10.5),
                    Line(-13.5, 12.0),
                    Arc(-15.0, 10.5, -13.5, 10.5),
                    Line(-15.0, 1.5),
                    Arc(-13.5, 0.0, -13.5, 1.5),
                ),
            ),
            -10.0,
            10.0,
        ),
        "x",
        90.0,
    )
    made = moulded(solid_of(both), pull="as drawn", style="two-part lidded")
    assert made.facts.parting_mm == pytest.approx(10.5, abs=1e-5)
    assert not made.failed()
    study = made.study()
    assert all(lip.ok for lip in study.lips)
    assert not any(any(lip.feather) for lip in study.lips)
    assert study.undercut_mm3 == pytest.approx(0.0, abs=1e-6)


def test_the_other_end_up_is_the_same_mould() -> None:
    upright, over = solid_of(WEDGE), solid_of(WEDGE, np.diag([1.0, -1.0, -1.0]))
    one, other = (moulded(solid, pull="as drawn") for solid in (upright, over))
    assert one.volume_mm3("silicone lower") == pytest.approx(other.volume_mm3("silicone lower"), rel=1e-6)
    assert one.facts.turned != other.facts.turned
    assert replace(one.facts, turned=False).parting_mm == pytest.approx(other.facts.parting_mm, abs=1e-5)
