"""Overhangs, bridges, support and contact of bodies that can be worked out by hand; mm."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.probes.overhangs import best_faces_down, face_down
from pourwright.engines.geometry.probes.seam_line import seam_line
from pourwright.engines.geometry.tree import polygon

KERNEL = MeshKernel(64)
DOWN, UP = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)


def mesh(solid):
    return KERNEL.mesh(solid)


def cone(radius: float, height: float):
    return KERNEL.revolve(polygon([(0, 0), (radius, 0), (0, height)]))


def table(stem: float = 10.0, wing: float = 15.0):
    """A T that stands on its stem."""
    return KERNEL.union(KERNEL.box(-5, -5, 0, 5, 5, 20), KERNEL.box(-5 - wing, -5, 20, 5 + wing, 5, 25))


def arch(span: float):
    """A block with a tunnel of square section through it along y."""
    return KERNEL.cut(
        KERNEL.box(-span / 2 - 10, -5, 0, span / 2 + 10, 5, 20), KERNEL.box(-span / 2, -6, -1, span / 2, 6, 10)
    )


def test_a_cube_lies_well_on_any_face() -> None:
    found = best_faces_down(*mesh(KERNEL.box(0, 0, 0, 10, 10, 10)))
    assert len(found) == 6
    for one in found:
        assert one.contact_mm2 == pytest.approx(100.0, rel=1e-12)
        assert one.overhang_mm2 == one.support_mm3 == 0.0
        assert one.stands


def test_a_cone_stands_on_its_foot_with_its_point_up() -> None:
    best = best_faces_down(*mesh(cone(10, 20)))[0]
    assert best.down == DOWN
    assert best.contact_mm2 == pytest.approx(math.pi * 100, rel=1e-9)
    assert best.overhang_mm2 == 0.0


def test_a_flat_cone_on_its_point_hangs_with_its_whole_side_over_what_it_lacks_of_a_cylinder() -> None:
    radius, height = 20.0, 10.0
    found = face_down(*mesh(cone(radius, height)), UP)
    assert not found.stands
    # The polygon's side is a little larger than the cone's, its volume is exact.
    assert found.overhang_mm2 == pytest.approx(math.pi * radius * math.hypot(radius, height), rel=5e-4)
    assert found.support_mm3 == pytest.approx(2 / 3 * math.pi * radius**2 * height, rel=1e-6)


@pytest.mark.parametrize(("slope", "hangs"), [(44.0, True), (45.0, False), (46.0, False)])
def test_a_side_hangs_when_it_leans_out_by_more_than_45_degrees(slope: float, hangs: bool) -> None:
    """The slope is that over the horizontal, of a roof that stands on its ridge."""
    rise = 10 * math.tan(math.radians(slope))
    plan = polygon([(0, 0), (10, rise), (10, rise + 5), (-10, rise + 5), (-10, rise)])
    lying = KERNEL.turn(KERNEL.prism(plan, 0, 10), "x", 90.0)
    found = face_down(*mesh(lying), DOWN)
    assert (found.overhang_mm2 > 0) == hangs
    if hangs:
        assert found.overhang_mm2 == pytest.approx(2 * 10 * math.hypot(10, rise), rel=1e-9)


def test_a_t_that_stands_on_its_stem_wants_support_under_both_wings_and_none_turned_over() -> None:
    found = face_down(*mesh(table()), DOWN)
    assert found.contact_mm2 == pytest.approx(100.0)
    assert found.overhang_mm2 == pytest.approx(300.0)
    assert found.support_mm3 == pytest.approx(300.0 * 20.0)
    assert found.height_mm == 25.0
    best = best_faces_down(*mesh(table()))[0]
    assert best.support_mm3 == 0.0
    assert best.contact_mm2 >= 400.0 - 1e-9


@pytest.mark.parametrize(("span", "bridged"), [(20.0, True), (24.0, True), (30.0, False)])
def test_an_arch_bridges_up_to_25_mm_and_wants_support_beyond(span: float, bridged: bool) -> None:
    found = face_down(*mesh(arch(span)), DOWN)
    assert found.overhang_mm2 == pytest.approx(10 * span)
    assert found.bridged_mm2 == pytest.approx(10 * span if bridged else 0.0)
    assert found.support_mm3 == pytest.approx(0.0 if bridged else 10 * span * 10)


def test_support_stands_on_what_is_below_and_not_on_the_bed() -> None:
    shelf = KERNEL.union(
        KERNEL.box(0, 0, 0, 40, 20, 5), KERNEL.box(0, 0, 5, 5, 20, 25), KERNEL.box(0, 0, 25, 40, 20, 28)
    )
    found = face_down(*mesh(shelf), DOWN)
    assert found.support_mm3 == pytest.approx(35 * 20 * 20)


def test_a_narrow_ledge_along_a_wall_prints_by_itself() -> None:
    for wide, supported in ((1.0, False), (4.0, True)):
        post = KERNEL.union(KERNEL.box(0, 0, 0, 40, 40, 20), KERNEL.box(-wide, 0, 10, 0, 40, 20))
        assert (face_down(*mesh(post), DOWN).support_mm3 > 0) == supported


def test_marks_on_faces_that_should_stay_clean_count() -> None:
    vertices, triangles = mesh(table())
    clean = np.ones(len(triangles), dtype=bool)
    assert face_down(vertices, triangles, DOWN, clean=clean).marked_mm2 == pytest.approx(300.0)
    assert face_down(vertices, triangles, DOWN).marked_mm2 == 0.0


def test_a_ball_has_no_face_to_stand_on() -> None:
    assert not best_faces_down(*mesh(KERNEL.ball(10)))[0].stands


def test_turning_a_body_turns_its_best_face_with_it() -> None:
    turned = KERNEL.turn(cone(10, 20), "x", 90.0)
    assert best_faces_down(*mesh(turned))[0].down == pytest.approx((0.0, 1.0, 0.0), abs=1e-9)


def test_a_seam_goes_to_the_outermost_upright_edge_that_meets_no_clean_face() -> None:
    vertices, triangles = mesh(KERNEL.box(0, 0, 0, 10, 6, 4))
    middles = vertices[triangles].mean(axis=1)
    back = middles[:, 1] > 5.9
    line = seam_line(vertices, triangles, back)
    assert (line.y_mm, line.edge_mm, line.free) == (0.0, 4.0, True)
    every = seam_line(vertices, triangles, np.ones(len(triangles), dtype=bool))
    assert (every.edge_mm, every.free) == (4.0, False)


def test_a_round_body_has_its_seam_at_the_back() -> None:
    vertices, triangles = mesh(cone(10, 20))
    line = seam_line(vertices, triangles, np.zeros(len(triangles), dtype=bool))
    assert (line.x_mm, line.edge_mm) == (pytest.approx(0.0, abs=1e-9), 0.0)
    assert line.y_mm == pytest.approx(10.0, rel=1e-2)
