"""Solids that nobody here drew, from packages of the registries: their known volumes, or the reason for refusal.

Figures: counts and volumes found beforehand with other readers, or told by the files' names (cubes of 1000 mm). The
files themselves are fetched by `outside` and are not part of the project.
"""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from outside import outside_solid
from pourwright.basics.errors import CannotRead
from pourwright.engines.geometry.files.closed import area_mm2, volume_mm3
from pourwright.engines.geometry.files.read import Reading, read_solid
from pourwright.engines.geometry.files.read_step import tolerance_mm
from pourwright.engines.geometry.files.write import PrintPiece, stl_bytes, three_mf_bytes

pytestmark = pytest.mark.outside


def stl_of(name: str) -> bytes:
    """A PLY file as binary STL; PLY itself is not read by the program."""
    mesh = trimesh.load(outside_solid(name), process=False)
    return stl_bytes((np.asarray(mesh.vertices), np.asarray(mesh.faces)))


def reading_of(name: str) -> Reading:
    return read_solid(stl_of(name), name="part.stl") if name.endswith(".ply") else read_solid(outside_solid(name))


STEP_MM3 = {
    "component8.step": (18_384.50, 0.005),
    "io1-cm-214.stp": (78_234, 0.5),
    "rounded-cube.step": (946.35, 0.005),
}
MESHES = {
    "t13_data.stl": (1580, 67_816, 0.5),
    "object.stl": (710, 4_629.7, 0.05),
}


@pytest.mark.parametrize("name", STEP_MM3)
def test_a_step_solid_has_its_known_volume_by_exact_integration(name):
    volume, half_last_digit = STEP_MM3[name]
    reading = reading_of(name)
    assert reading.volume_mm3 == pytest.approx(volume, abs=half_last_digit)
    assert reading.solid.step == outside_solid(name).read_bytes()


@pytest.mark.parametrize("name", STEP_MM3)
def test_the_triangles_over_a_step_solid_follow_it_within_their_tolerance(name):
    reading = reading_of(name)
    mesh = reading.solid.vertices_mm, reading.solid.triangles
    near_mm = tolerance_mm(float(np.linalg.norm(reading.size_mm)))
    assert abs(volume_mm3(*mesh) - reading.volume_mm3) <= near_mm * reading.area_mm2
    assert area_mm2(*mesh) == pytest.approx(reading.area_mm2, rel=2e-3)


@pytest.mark.parametrize("name", MESHES)
def test_a_mesh_has_its_known_count_of_triangles_and_volume(name):
    triangles, volume, half_last_digit = MESHES[name]
    reading = reading_of(name)
    assert reading.triangles == triangles
    assert reading.volume_mm3 == pytest.approx(volume, abs=half_last_digit)


@pytest.mark.parametrize(("name", "triangles"), [("nut.ply", 1046), ("sphere.ply", 840)])
def test_a_mesh_holds_what_another_reader_finds_in_it(name, triangles):
    reading, other = reading_of(name), trimesh.load(outside_solid(name))
    assert reading.triangles == len(other.faces) == triangles
    assert reading.volume_mm3 == pytest.approx(other.volume, rel=1e-9)
    assert reading.area_mm2 == pytest.approx(other.area, rel=1e-9)


@pytest.mark.parametrize(("name", "unit"), [("cube-mm.step", "mm"), ("cube-in.step", "inch"), ("cube-m.step", "m")])
def test_a_cube_of_1000_mm_is_one_in_whatever_unit_it_was_written(name, unit):
    reading = reading_of(name)
    assert reading.solid.unit == unit
    assert reading.size_mm == pytest.approx((1000.0,) * 3, rel=1e-12)
    assert reading.volume_mm3 == pytest.approx(1e9, rel=1e-12)


@pytest.mark.parametrize("name", [*STEP_MM3, *MESHES, "sg1-c5-214.stp", "nut.ply"])
def test_every_outside_solid_stands_on_z_0_about_the_axis(name):
    vertices = reading_of(name).solid.vertices_mm
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    assert np.allclose((low + high)[:2] / 2, 0.0, atol=0.02)
    assert low[2] == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize("name", ["object.stl", "nut.ply", "component8.step"])
def test_an_outside_solid_written_as_3mf_and_read_again_keeps_its_volume(name):
    solid = reading_of(name).solid
    mesh = solid.vertices_mm, solid.triangles
    again = read_solid(three_mf_bytes([PrintPiece(name=name, key=solid.digest, mesh=mesh)]), name="again.3mf")
    assert again.volume_mm3 == pytest.approx(volume_mm3(*mesh), rel=1e-7)
    assert again.triangles == len(solid.triangles)


REFUSED = {
    "as1-tu-203.stp": "holds 18 solids",
    "as1-oc-214.stp": "holds 18 solids",
    "dm1-oc-214.stp": "holds 7 solids",
    "aneurysm_data.stl": "not closed: 116 open edges round 3 holes",
    "terrain_stl_data.stl": "not closed: 126 open edges round 1 hole",
    "surface1.stl": "not closed: 22 open edges round 1 hole",
    "airplane.ply": "not closed: 216 open edges",
    "ant.ply": "separate bodies (15 shells)",
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_not_one_closed_solid_is_refused_with_the_reason_and_the_count(name):
    with pytest.raises(CannotRead) as caught:
        reading_of(name)
    assert REFUSED[name] in caught.value.message
    assert caught.value.advice
