"""What is not one closed solid is refused with the fault, its count and a place; what can be set right is noted."""

from __future__ import annotations

import numpy as np
import pytest

from loose_meshes import VERTICAL, block, crossing_ring, ring, text_stl, together, turned_in
from pourwright.basics.errors import CannotRead, UnknownName
from pourwright.engines.geometry.files.read import Reading, is_readable, read_solid
from pourwright.engines.geometry.files.write import stl_bytes


def read_mesh(mesh, **how) -> Reading:
    return read_solid(stl_bytes(mesh), name="part.stl", **how)


def refusal(mesh_or_bytes, name: str = "part.stl", **how) -> CannotRead:
    data = mesh_or_bytes if isinstance(mesh_or_bytes, bytes) else stl_bytes(mesh_or_bytes)
    with pytest.raises(CannotRead) as caught:
        read_solid(data, name=name, **how)
    assert caught.value.file == name
    assert caught.value.advice
    return caught.value


# ---------------------------------------------------------------- open, turned, thin, crossing


def test_a_cube_without_one_vertical_triangle_is_refused_with_its_three_open_edges():
    vertices, triangles = block()
    error = refusal((vertices, np.delete(triangles, VERTICAL, axis=0)))
    assert "3 open edges round 1 hole" in error.message
    corners = {f"({x:g}, {y:g}, {z:g}) mm" for x, y, z in vertices[triangles[VERTICAL]]}
    assert sum(corner in error.message for corner in corners) == 2


@pytest.mark.parametrize("missing", range(12))
def test_a_cube_without_any_one_triangle_is_refused(missing):
    vertices, triangles = block()
    assert "3 open edges" in refusal((vertices, np.delete(triangles, missing, axis=0))).message


def test_two_holes_are_counted_as_two():
    vertices, triangles = ring()
    error = refusal((vertices, np.delete(triangles, [0, 700], axis=0)))
    assert "6 open edges round 2 holes" in error.message


@pytest.mark.parametrize("turned", range(12))
def test_a_cube_with_one_triangle_turned_is_refused_with_the_three_edges_where_it_shows(turned):
    vertices, triangles = block()
    triangles[turned] = triangles[turned][::-1]
    assert "at 3 edges two triangles face opposite ways" in refusal((vertices, triangles)).message


def test_a_cube_inside_out_is_turned_and_this_is_noted():
    reading = read_mesh(turned_in(block()))
    assert reading.volume_mm3 == pytest.approx(1000.0, rel=1e-12)
    assert reading.warnings == ("the surface was inside out; it was turned",)


def test_a_sheet_of_two_layers_of_the_same_triangles_is_refused_with_an_edge_of_it():
    vertices = np.array([[0.0, 0, 0], [10, 0, 0], [10, 10, 0], [0, 10, 0]])
    triangles = np.array([[0, 1, 2], [0, 2, 3], [2, 1, 0], [3, 2, 0]])
    assert "4 triangles lie back to back: a sheet without thickness" in refusal((vertices, triangles)).message


def test_a_sheet_of_two_layers_of_different_triangles_is_refused_too():
    vertices = np.array([[0.0, 0, 0], [10, 0, 0], [10, 10, 0], [0, 10, 0]])
    triangles = np.array([[0, 1, 2], [0, 2, 3], [3, 1, 0], [3, 2, 1]])
    assert "holds no volume" in refusal((vertices, triangles)).message


def test_a_fin_without_thickness_beside_a_cube_is_refused_where_it_stands():
    fin = (np.array([[10.0, 0, 0], [20, 0, 0], [10, 10, 0]]), np.array([[0, 1, 2], [2, 1, 0]]))
    error = refusal(together(block(), fin))
    assert "2 triangles lie back to back" in error.message
    assert "(20, 0, 0) mm" in error.message


def test_a_surface_that_passes_through_itself_is_refused_with_the_number_of_pairs():
    error = refusal(crossing_ring())
    assert "the surface crosses itself" in error.message
    assert "pairs of triangles, first at (" in error.message


def test_a_ring_that_does_not_cross_itself_is_read():
    mesh = ring(around=96, across=48)
    assert read_mesh(mesh).volume_mm3 == pytest.approx(2 * np.pi**2 * 10 * 16, rel=5e-3)


# ---------------------------------------------------------------- several shells


def test_two_overlapping_cubes_are_read_as_their_union():
    reading = read_mesh(together(block(), block(at=(5, 0, 3))))
    assert reading.volume_mm3 == pytest.approx(1650.0, rel=1e-12)
    assert any("2 shells overlap or touch" in warning for warning in reading.warnings)


def test_two_cubes_face_to_face_are_read_as_one_block_without_the_wall_between():
    reading = read_mesh(together(block(), block(at=(10, 0, 0))))
    assert (reading.volume_mm3, reading.area_mm2) == (pytest.approx(2000.0), pytest.approx(1000.0))


@pytest.mark.parametrize("at", [(15, 0, 0), (10, 10, 0), (10, 10, 10)], ids=["apart", "edge to edge", "corner"])
def test_two_cubes_that_are_not_one_solid_are_refused_as_two_bodies(at):
    error = refusal(together(block(), block(at=at)))
    assert "2 separate bodies" in error.message
    assert "one part" in error.advice


def test_a_sealed_hollow_is_refused_with_its_volume_and_place():
    error = refusal(together(block(), turned_in(block(4, at=(3, 3, 3)))))
    assert "sealed hollow" in error.message
    assert "64 mm3 about (5, 5, 5) mm" in error.message


def test_a_cube_inside_a_cube_adds_nothing():
    assert read_mesh(together(block(), block(4, at=(3, 3, 3)))).volume_mm3 == pytest.approx(1000.0)


# ---------------------------------------------------------------- numbers and units


def test_a_corner_that_is_not_a_number_is_refused_with_its_triangle():
    vertices, triangles = block()
    vertices[triangles[4, 0], 1] = np.nan
    first = int(np.flatnonzero((triangles == triangles[4, 0]).any(axis=1))[0]) + 1
    assert f"the first in triangle {first}" in refusal((vertices, triangles)).message


def test_an_infinite_corner_is_refused():
    text = text_stl(block()).replace("10.0", "inf", 1)
    assert "not every coordinate is a number" in refusal(text.encode()).message


def test_a_part_of_38_metres_is_read_with_a_doubt_about_its_unit():
    reading = read_mesh(block(38_000.0))
    assert reading.volume_mm3 == pytest.approx(38_000.0**3, rel=1e-9)
    assert "more than a metre" in reading.warnings[0]


def test_a_part_of_a_tenth_of_a_millimetre_is_read_with_a_doubt_about_its_unit():
    reading = read_mesh(block(0.1))
    assert reading.volume_mm3 == pytest.approx(1e-3, rel=1e-6)
    assert "is its unit really mm?" in reading.warnings[0]


def test_a_small_part_whose_file_names_no_unit_is_told_its_size_in_inches_and_no_other_is():
    [doubt] = read_mesh(block(2.0)).warnings
    assert "50.8 × 50.8 × 50.8 mm" in doubt
    assert read_mesh(block(2.0), unit="mm").warnings == ()
    assert read_mesh(block(6.0)).warnings == ()


def test_a_part_ten_kilometres_long_is_refused():
    assert "check the unit" in refusal(block(2e7)).advice


@pytest.mark.parametrize(
    ("unit", "factor"), [("micron", 1e-3), ("mm", 1), ("cm", 10), ("m", 1000), ("in", 25.4), ("foot", 304.8)]
)
def test_an_stl_in_another_unit_becomes_millimetres(unit, factor):
    reading = read_mesh(block(), unit=unit)
    assert reading.volume_mm3 == pytest.approx(1000 * factor**3, rel=1e-12)


def test_an_unknown_unit_is_refused_with_the_known_ones():
    with pytest.raises(UnknownName) as caught:
        read_mesh(block(), unit="furlong")
    assert "inch" in caught.value.advice


# ---------------------------------------------------------------- the file itself


def test_a_binary_stl_that_is_cut_off_is_refused_with_both_counts():
    whole = stl_bytes(block())
    assert "says 12 triangles and holds 11" in refusal(whole[:-1]).message
    assert "cut off" in refusal(whole[: 84 + 50 * 3]).message
    assert "cut off" in refusal(whole[:40]).message


def test_an_empty_stl_and_one_without_triangles_are_refused():
    assert refusal(b"").message == "the file is empty"
    assert "no triangles" in refusal(bytes(84)).message
    assert "no triangles" in refusal(b"solid nothing\nendsolid nothing\n").message


def test_bytes_after_the_last_triangle_are_noted_and_not_read():
    reading = read_solid(stl_bytes(block()) + b"junk", name="part.stl")
    assert reading.volume_mm3 == 1000.0
    assert reading.warnings == ("4 bytes after the last triangle were not read",)


def test_a_text_stl_says_the_same_as_the_binary_one():
    text = read_solid(text_stl(block((3, 4, 5))).encode(), name="part.stl")
    assert text.volume_mm3 == pytest.approx(60.0, rel=1e-15)
    assert text.triangles == 12


def test_a_binary_stl_whose_heading_begins_with_solid_is_read_as_binary():
    assert read_solid(b"solid" + stl_bytes(block())[5:], name="part.stl").volume_mm3 == 1000.0


def test_junk_in_a_text_stl_is_refused_with_its_line():
    lines = text_stl(block()).splitlines()
    lines[10] = "  vortex 1 2 3"
    error = refusal("\n".join(lines).encode())
    assert error.line == 11
    assert "'vortex 1 2 3' stands where 'vertex' should" in error.message


def test_a_number_that_is_none_in_a_text_stl_is_refused_with_its_line():
    lines = text_stl(block()).splitlines()
    lines[3] = "  vertex 1,5 2 3"
    error = refusal("\n".join(lines).encode())
    assert (error.line, error.value) == (4, "1,5")


def test_a_text_stl_that_is_cut_off_is_refused():
    assert "cut off" in refusal("\n".join(text_stl(block()).splitlines()[:30]).encode()).message


def test_too_many_triangles_are_refused_before_they_are_looked_at(monkeypatch):
    monkeypatch.setattr("pourwright.engines.geometry.files.loose_mesh.MOST_TRIANGLES", 11)
    assert "12 triangles; at most 11 are read" in refusal(block()).message


def test_too_large_a_file_is_refused_before_it_is_read(monkeypatch, tmp_path):
    monkeypatch.setattr("pourwright.engines.geometry.files.read_stl.MOST_BYTES", 2**20)
    path = tmp_path / "large.stl"
    with path.open("wb") as stream:
        stream.truncate(3 * 2**20)
    with pytest.raises(CannotRead, match="3 MB; at most 1 MB"):
        read_solid(path)


def test_a_file_that_is_not_there_is_refused_with_its_nearest_neighbour(tmp_path):
    (tmp_path / "bracket.stl").write_bytes(stl_bytes(block()))
    with pytest.raises(CannotRead) as caught:
        read_solid(tmp_path / "braket.stl")
    assert caught.value.advice == "did you mean 'bracket.stl'?"


def test_an_unknown_ending_is_refused_with_the_endings_that_are_read():
    assert "STEP, 3MF or STL" in refusal(b"v 0 0 0", name="part.obj").advice
    assert [is_readable(name) for name in ("a.STP", "a.3mf", "a.obj", "a")] == [True, True, False, False]


# ---------------------------------------------------------------- placing


def test_a_solid_stands_on_z_0_with_the_middle_of_its_box_on_the_axis():
    solid = read_mesh(block((4, 6, 8), at=(100, -50, 7))).solid
    assert solid.vertices_mm.min(axis=0).tolist() == [-2.0, -3.0, 0.0]
    assert solid.vertices_mm.max(axis=0).tolist() == [2.0, 3.0, 8.0]
    assert solid.placing == (-102.0, 47.0, -7.0)


def test_the_digest_changes_with_the_bytes_and_with_the_unit_and_with_nothing_else():
    data = stl_bytes(block())
    digest = read_solid(data, name="a.stl").solid.digest
    assert read_solid(data, name="b.stl").solid.digest == digest
    assert read_solid(data, name="a.stl", unit="mm").solid.digest == digest
    assert read_solid(data, name="a.stl", unit="inch").solid.digest != digest
    assert read_solid(stl_bytes(block(11.0)), name="a.stl").solid.digest != digest


def test_corners_that_a_file_writes_a_hair_apart_are_joined_and_noted():
    text = text_stl(block()).replace("10.0 10.0 10.0", "10.0 10.0 9.9999999", 1)
    reading = read_solid(text.encode(), name="part.stl")
    assert reading.volume_mm3 == pytest.approx(1000.0, rel=1e-7)
    assert "1 corner that lay less than" in reading.warnings[0]


def test_corners_that_lie_further_apart_than_a_hair_leave_the_solid_open():
    text = text_stl(block()).replace("10.0 10.0 10.0", "10.0 10.0 9.99", 1)
    assert "open edges" in refusal(text.encode()).message
