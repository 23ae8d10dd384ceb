"""Walls whose thickness is known: wedges by trigonometry, shells and blocks by subtraction."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mesh_bodies import meshed
from pourwright.engines.geometry.probes.ray_tree import first_hits, nearest_points, ray_tree
from pourwright.engines.geometry.probes.thickness import ball_thickness, ray_thickness, surface_samples, thinnest
from pourwright.engines.geometry.tree import Ball, Box, Prism, cylinder, polygon

TAN30 = math.tan(math.radians(30))
WEDGE = Prism(polygon([(0, 0), (20, 0), (20, 20 * TAN30)]), -5, 5)


def test_at_five_millimetres_from_a_30_degree_edge_ray_and_ball_read_what_geometry_says() -> None:
    tree = ray_tree(*meshed(WEDGE))
    point, normal = np.array([[5.0, 0.0, 0.0]]), np.array([[0.0, -1.0, 0.0]])
    by_ray, _ = ray_thickness(tree, point, normal)
    by_ball, _ = ball_thickness(tree, point, normal, by_ray)
    assert by_ray[0] == pytest.approx(5 * TAN30, rel=1e-9)
    assert by_ball[0] == pytest.approx(10 * math.tan(math.radians(15)), rel=2e-4)


def test_a_shell_between_two_spheres_is_two_millimetres_thick_everywhere() -> None:
    mesh = meshed(Ball(20) - Ball(18), 256, 3e-4)
    points, normals, _ = surface_samples(*mesh, 20_000)
    thickness, _ = ray_thickness(ray_tree(*mesh), points, normals)
    assert np.median(thickness) == pytest.approx(2.0, abs=3e-4)
    assert np.quantile(thickness, [0.01, 0.99]) == pytest.approx(2.0, abs=1e-3)
    assert thinnest(*mesh, samples=5000).thickness_mm == pytest.approx(2.0, rel=1e-3)


def test_the_thinnest_wall_of_a_cup_is_found_where_it_is() -> None:
    cup = cylinder(radius_mm=15, z0_mm=0, z1_mm=20) - cylinder(radius_mm=13, z0_mm=1.2, z1_mm=21).at(0.5, 0, 0)
    found = thinnest(*meshed(cup, 256))
    # The floor is 1.2 thick; the wall is 1.5 at its thinnest, towards +x.
    assert found.thickness_mm == pytest.approx(1.2, abs=1e-3)
    assert found.method == "rays"
    assert math.hypot(found.point_mm[0], found.point_mm[1]) < 15


def test_a_wedge_is_thinnest_at_its_edge() -> None:
    found = thinnest(*meshed(WEDGE))
    assert found.method == "ball"
    assert found.thickness_mm < 0.02
    assert found.point_mm[0] < 0.05


def test_the_corners_of_a_block_are_no_thin_walls() -> None:
    assert thinnest(*meshed(Box(0, 0, 0, 10, 14, 18)), samples=2000).thickness_mm == pytest.approx(10.0, rel=1e-9)


def test_a_pyramid_without_walls_is_as_thick_as_its_largest_ball() -> None:
    corners = np.array([[1.0, 1, 1], [-1, -1, 1], [-1, 1, -1], [1, -1, -1]]) * 10
    faces = np.array([[0, 1, 3], [0, 2, 1], [0, 3, 2], [1, 2, 3]])
    volume = np.einsum("ij,ij->", corners[faces[:, 0]], np.cross(corners[faces[:, 1]], corners[faces[:, 2]])) / 6
    faces = faces if volume > 0 else faces[:, ::-1]
    # Regular tetrahedron of edge a: the ball inside has radius a/√24.
    found = thinnest(corners, faces, samples=2000)
    largest = 2 * 20 * math.sqrt(2) / math.sqrt(24)
    assert 0.97 * largest < found.thickness_mm <= largest * (1 + 1e-9)


@given(points=st.lists(st.tuples(*[st.floats(-30, 30)] * 3), min_size=1, max_size=20))
@settings(max_examples=30, deadline=None)
def test_the_nearest_point_of_a_block_is_the_one_that_clipping_gives(points: list[tuple[float, float, float]]) -> None:
    tree = ray_tree(*meshed(Box(-10, -8, -6, 10, 8, 6)))
    places, half = np.array(points), np.array([10.0, 8.0, 6.0])
    _, distance, _ = nearest_points(tree, places)
    outside = np.linalg.norm(np.maximum(np.abs(places) - half, 0.0), axis=1)
    inside = (half - np.abs(places)).min(axis=1)
    assert distance == pytest.approx(np.where(outside > 0, outside, inside), abs=1e-9)


def test_rays_through_a_fine_ball_hit_what_brute_force_hits() -> None:
    vertices, triangles = meshed(Ball(10), 32)
    random = np.random.default_rng(1)
    points = random.normal(size=(300, 3)) * 8
    ways = random.normal(size=(300, 3))
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    distance, _ = first_hits(ray_tree(vertices, triangles), points, ways)
    assert distance == pytest.approx(brute_force(vertices[triangles], points, ways), abs=1e-9)


def brute_force(corners: np.ndarray, points: np.ndarray, ways: np.ndarray) -> np.ndarray:
    found = np.full(len(points), np.inf)
    for k, (p, d) in enumerate(zip(points, ways, strict=True)):
        # Solve p + t d = a + u e + v f for all triangles at once.
        a, e, f = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        matrix = np.stack((np.broadcast_to(-d, a.shape), e, f), axis=2)
        t, u, v = np.linalg.solve(matrix, (p - a)[:, :, None])[:, :, 0].T
        hit = (t > 0) & (u >= 0) & (v >= 0) & (u + v <= 1)
        found[k] = t[hit].min(initial=np.inf)
    return found
