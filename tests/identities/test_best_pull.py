"""The best way to pull a part out is a property of the part: it turns with it, and is known for simple bodies."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mesh_bodies import bored_block, meshed, sheared_block, slotted_block, torus, waisted_bushing
from pourwright.engines.geometry.pulls.best_pull import best_pull
from pourwright.engines.geometry.pulls.pull_ways import flat_normals, principal_axes
from pourwright.engines.geometry.tree import Ball, Box, Revolve, Turned, cylinder, polygon
from solid_kits import attitude, solid_of

ALLOWED = 2.0


def rotation(axis, angle: float) -> np.ndarray:
    """Turn about an axis (Rodrigues)."""
    x, y, z = np.asarray(axis, dtype=float) / np.linalg.norm(axis)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross


def along(pull, axis) -> float:
    return abs(float(np.dot(pull.direction, axis)))


def test_a_block_with_a_bore_is_pulled_along_the_bore():
    pull = best_pull(*meshed(bored_block(), 64), allowed_stretch=ALLOWED)
    assert along(pull, (1, 0, 0)) == pytest.approx(1.0, abs=1e-12)
    assert pull.parting.undercut_mm3 == pytest.approx(0.0, abs=1e-6)


def test_a_block_with_a_slot_is_pulled_across_the_slot_and_never_along_its_width():
    pull = best_pull(*meshed(slotted_block(), 64), allowed_stretch=ALLOWED)
    assert along(pull, (1, 0, 0)) == pytest.approx(0.0, abs=1e-12)
    assert pull.parting.undercut_mm3 == pytest.approx(0.0, abs=1e-6)


def test_a_ring_is_pulled_along_its_axis_and_parted_at_its_middle():
    pull = best_pull(*meshed(torus(), 128), allowed_stretch=ALLOWED)
    assert along(pull, (0, 0, 1)) == pytest.approx(1.0, abs=1e-12)
    assert pull.parting_height_mm == pytest.approx(4.0, abs=8 / 400)


def test_a_ball_is_parted_at_its_widest_section():
    pull = best_pull(*meshed(Ball(15), 64), allowed_stretch=ALLOWED)
    assert pull.parting_height_mm == pytest.approx(15.0, abs=30 / 400)
    assert pull.parting.stretch == pytest.approx(1.0, abs=1e-3)


def test_a_waisted_bushing_is_pulled_along_its_bore_though_its_waist_holds_it():
    # Across the bore at least the bore itself would block: pi 4.75^2 15 = 1063 mm3 against 520 pi / 3.
    pull = best_pull(*meshed(waisted_bushing(), 128), allowed_stretch=ALLOWED)
    assert along(pull, (0, 0, 1)) == pytest.approx(1.0, abs=1e-9)
    assert pull.report.gap_mm3 == pytest.approx(520 * math.pi / 3, rel=3e-3)


def test_the_parting_lies_in_the_upper_half_as_the_part_is_pulled():
    for mesh in (meshed(slotted_block(), 64), meshed(waisted_bushing(), 64), sheared_block()):
        pull = best_pull(*mesh, allowed_stretch=ALLOWED)
        assert pull.height_mm / 2 - 1e-9 <= pull.parting_height_mm <= pull.height_mm + 1e-9


@pytest.mark.parametrize(
    ("axis", "angle"), [((0, 0, 1), 0.004), ((1, 0, 0), 0.001), ((0, 1, 0), 0.65), ((1, -2, 3), 2.0), ((3, 1, 1), 4.0)]
)
def test_the_best_pull_turns_with_the_part(axis, angle):
    turn = rotation(axis, angle)
    vertices, triangles = meshed(bored_block(), 48)
    pull = best_pull(vertices @ turn.T, triangles, allowed_stretch=ALLOWED)
    assert along(pull, turn @ [1, 0, 0]) == pytest.approx(1.0, abs=1e-12)
    assert pull.height_mm == pytest.approx(30.0, rel=1e-9)


def test_a_body_without_a_flat_face_is_pulled_along_its_own_axis_though_drawn_askew():
    turn = rotation((1, 1, 0), 0.01)
    vertices, triangles = meshed(torus(), 96)
    pull = best_pull(vertices @ turn.T, triangles, allowed_stretch=ALLOWED)
    assert along(pull, turn @ [0, 0, 1]) == pytest.approx(1.0, abs=1e-9)


def test_the_axes_of_inertia_of_a_block_are_its_sides_longest_first():
    vertices, triangles = meshed(Box(0, 0, 0, 1, 3, 2))
    turn = rotation((1, 2, 3), 0.7)
    ways = principal_axes(vertices @ turn.T, triangles)
    for way, side in zip(ways, ((0, 1, 0), (0, 0, 1), (1, 0, 0)), strict=True):
        assert abs(way @ turn @ side) == pytest.approx(1.0, abs=1e-12)


def test_the_flat_faces_of_a_block_are_found_largest_first():
    ways = flat_normals(*meshed(Box(0, 0, 0, 1, 3, 2)))
    assert [way.tolist() for way in ways] == [[1, 0, 0], [0, 0, 1], [0, 1, 0]]


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("radius", [1.0, 3.0])
def test_a_round_body_with_a_cross_hole_is_pulled_along_the_hole_in_any_attitude(radius: float, seed: int) -> None:
    hole = Turned(cylinder(radius_mm=radius, z0_mm=-20, z1_mm=20), "y", 90)
    rows = attitude(seed)
    solid = solid_of(cylinder(radius_mm=12, z0_mm=-20, z1_mm=20) - hole, rows)
    pull = best_pull(solid.vertices_mm, solid.triangles, allowed_stretch=2.0)
    assert abs(float(np.array(pull.direction) @ rows[:, 0])) == pytest.approx(1.0, abs=1e-5)


def test_a_pulley_drawn_askew_is_pulled_across_its_axis() -> None:
    pulley = Revolve(polygon([(0, 0), (15, 0), (8, 7), (8, 9), (15, 16), (0, 16)]))
    rows = attitude(3)
    solid = solid_of(pulley, rows)
    pull = best_pull(solid.vertices_mm, solid.triangles, allowed_stretch=2.0)
    assert float(np.array(pull.direction) @ rows[:, 2]) == pytest.approx(0.0, abs=1e-4)
    assert sum(pull.halves_mm3) < 1e-4 * pull.report.volume_mm3
