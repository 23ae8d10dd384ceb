"""What must hold of pulls, air and columns whatever the body: turning, mirroring, bounds, and order."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mesh_bodies import bored_block, domed_cavity, ducted_boxes, meshed, torus, waisted_bushing
from pourwright.engines.geometry.air.air_paths import Point, trapped
from pourwright.engines.geometry.air.dexels import frame_along, scan
from pourwright.engines.geometry.partings.mesh_lips import mesh_lips
from pourwright.engines.geometry.probes.slices import cut_slices
from pourwright.engines.geometry.pulls.pull import pull_report
from pourwright.engines.geometry.tree import Ball, Box, Node, Placed, cylinder, frustum

Z = np.array([0.0, 0.0, 1.0])
finite = st.floats(-1.0, 1.0)
directions = st.tuples(finite, finite, finite).filter(lambda d: math.hypot(*d) > 0.05)


@st.composite
def bodies(draw: st.DrawFn) -> Node:
    """A block with a few balls, cones and bores put on it or cut from it."""
    size = st.floats(4.0, 12.0)
    place = st.floats(-7.0, 7.0)
    solid: Node = Box(-draw(size), -draw(size), -draw(size), draw(size), draw(size), draw(size))
    for _ in range(draw(st.integers(0, 3))):
        radius = draw(st.floats(1.0, 5.0))
        kinds = (Ball(radius), cylinder(radius_mm=radius, z0_mm=-9, z1_mm=9), _cone(radius))
        other = Placed(draw(st.sampled_from(kinds)), draw(place), draw(place), draw(place), 0.0)
        solid = solid | other if draw(st.booleans()) else solid - other
    return solid


def _cone(radius: float) -> Node:
    return frustum(lower_mm=radius, upper_mm=radius / 2, z0_mm=0, z1_mm=8)


def mesh_volume(vertices: np.ndarray, triangles: np.ndarray) -> float:
    a, b, c = np.moveaxis(vertices[triangles], 1, 0)
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6


def walls_mm2(vertices: np.ndarray, triangles: np.ndarray) -> float:
    a, b, c = np.moveaxis(vertices[triangles], 1, 0)
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2


@given(solid=bodies(), direction=directions)
@settings(max_examples=40, deadline=None)
def test_the_columns_hold_the_mesh_volume_within_half_a_cell_of_its_surface(solid: Node, direction: Point) -> None:
    vertices, triangles = meshed.__wrapped__(solid, 24)
    columns = scan(vertices, triangles, direction=direction, columns=96)
    assert columns.bad == 0
    bound = 0.5 * max(columns.cell_mm) * walls_mm2(vertices, triangles)
    assert abs(columns.volume_mm3 - mesh_volume(vertices, triangles)) <= bound


@given(solid=bodies(), direction=directions)
@settings(max_examples=25, deadline=None)
def test_no_parting_has_less_undercut_than_the_gap_volume(solid: Node, direction: Point) -> None:
    vertices, triangles = meshed.__wrapped__(solid, 24)
    report = pull_report(vertices, triangles, direction, columns=64, slices=50)
    assert (report.u_mm3 >= report.gap_mm3 * (1 - 1e-9) - 1e-9).all()
    assert (np.diff(report.u_low_mm3) >= -1e-6).all()
    assert (np.diff(report.u_up_mm3) <= 1e-6).all()
    assert (report.stretch_low >= 1.0).all()


@given(solid=bodies())
@settings(max_examples=15, deadline=None)
def test_the_sections_add_up_to_the_volume_of_the_mesh(solid: Node) -> None:
    vertices, triangles = meshed.__wrapped__(solid, 24)
    cuts = cut_slices(vertices, triangles, slices=2000)
    total = float(cuts.area_mm2.sum()) * (cuts.bounds_mm[1] - cuts.bounds_mm[0])
    assert total == pytest.approx(mesh_volume(vertices, triangles), rel=3e-3)
    # No outline encloses more than a circle of its length.
    assert (cuts.hull_mm**2 >= 4 * math.pi * cuts.area_mm2 * (1 - 2e-3)).all()
    assert (cuts.perimeter_mm**2 >= 4 * math.pi * cuts.area_mm2 * (1 - 1e-9)).all()


@given(direction=directions)
@settings(max_examples=60, deadline=None)
def test_the_frame_of_a_scan_is_right_handed_and_orthonormal(direction: Point) -> None:
    frame = frame_along(direction)
    assert frame @ frame.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(frame) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("solid", [waisted_bushing(), bored_block(), torus()], ids=["bushing", "bored block", "ring"])
def test_turning_the_part_and_the_pull_together_changes_nothing(solid: Node) -> None:
    vertices, triangles = meshed(solid, 64)
    direction = np.array([0.3, 0.5, 0.8])
    here = pull_report(vertices, triangles, direction, columns=192, slices=200)
    # The frame of the scan turns with the part, so both scans see the same picture.
    turn = frame_along(direction)
    there = pull_report(vertices @ turn.T, triangles, Z, columns=192, slices=200)
    assert there.gap_mm3 == pytest.approx(here.gap_mm3, rel=1e-6, abs=1e-6)
    assert there.u_low_mm3 == pytest.approx(here.u_low_mm3, rel=1e-5, abs=1e-3)
    assert there.stretch_low == pytest.approx(here.stretch_low, rel=1e-4)


@pytest.mark.parametrize("solid", [waisted_bushing(), bored_block()], ids=["bushing", "bored block"])
def test_turned_over_the_lower_half_becomes_the_lid(solid: Node) -> None:
    vertices, triangles = meshed(solid, 64)
    up = pull_report(vertices, triangles, Z, columns=256, slices=200)
    over = pull_report(vertices * [1, 1, -1], triangles[:, ::-1], Z, columns=256, slices=200)
    assert over.u_up_mm3[::-1] == pytest.approx(up.u_low_mm3, rel=1e-9, abs=1e-6)
    assert over.stretch_up[::-1] == pytest.approx(up.stretch_low, rel=1e-9)
    assert over.gap_mm3 == pytest.approx(up.gap_mm3, rel=1e-9)


@given(
    vents=st.lists(
        st.tuples(st.floats(-19, 19), st.floats(-19, 19)), min_size=1, max_size=4, unique_by=lambda p: (p[0], p[1])
    ),
    tilt=st.sampled_from([0.0, 3.0]),
)
@settings(max_examples=20, deadline=None)
def test_one_more_vent_never_traps_more(vents: list[tuple[float, float]], tilt: float) -> None:
    vertices, triangles = meshed(domed_cavity(), 48)
    points = [(x, y, 10.0) for x, y in vents]  # half way up: air below them can leave, air above is caught

    def caught(some: list[Point]) -> float:
        found = trapped(vertices, triangles, vents=some, columns=96, tilts_deg=(tilt,), azimuths=1)
        return found.worst_mm3

    assert caught(points) <= caught(points[:-1]) * (1 + 1e-12) + 1e-9


def test_the_pockets_add_up_to_the_trapped_volume() -> None:
    for solid, vent in ((domed_cavity(), (19.0, 19.0, 20.0)), (ducted_boxes(), (5.0, 5.0, 20.0))):
        found = trapped(*meshed(solid, 48), vents=[vent], columns=128)
        assert sum(trap.volume_mm3 for trap in found.traps) == pytest.approx(found.worst_mm3, rel=1e-12)


def test_trapped_air_is_never_more_than_the_cavity_holds() -> None:
    vertices, triangles = meshed(ducted_boxes(), 48)
    found = trapped(vertices, triangles, vents=[(5.0, 5.0, 20.0)], up=(1.0, 0.2, 0.1), columns=128)
    assert 0.0 < found.worst_mm3 < mesh_volume(vertices, triangles)


@given(direction=st.floats(0, 2 * math.pi))
@settings(max_examples=10, deadline=None)
def test_a_lip_does_not_depend_on_how_the_part_is_turned_about_the_pull(direction: float) -> None:
    vertices, triangles = meshed(waisted_bushing(), 64)
    turn = np.array(
        [
            [math.cos(direction), -math.sin(direction), 0],
            [math.sin(direction), math.cos(direction), 0],
            [0, 0, 1],
        ]
    )
    straight = mesh_lips(vertices, triangles, 5.0, back_mm=(0.3, 1.0))
    turned = mesh_lips(vertices @ turn.T, triangles, 5.0, back_mm=(0.3, 1.0))
    for one, other in zip(straight, turned, strict=True):
        assert other.thickness_mm == pytest.approx(one.thickness_mm, abs=1e-6)
