"""What is compiled for meshes of a million triangles says the same as the plain way to say it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mesh_bodies import dome
from pourwright.basics.errors import CannotRead
from pourwright.engines.geometry.files.closed import closed_solid
from pourwright.engines.geometry.files.loose_mesh import weld
from pourwright.engines.geometry.files.neighbours import plainly_closed
from pourwright.engines.geometry.files.number_text import rows_of_text
from pourwright.engines.geometry.partings.attitude import plan_turn
from pourwright.engines.geometry.probes.through_bore import bore_about_axis_mm

numbers = st.floats(-1e12, 1e12, allow_subnormal=False) | st.sampled_from([0.0001, 99999999.95, 999999999.5, 0.5, 1e-5])


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(numbers, numbers), min_size=1, max_size=8))
def test_a_table_is_written_with_the_digits_that_python_gives(rows: list[tuple[float, float]]) -> None:
    table = np.array(rows) + 0.0
    expected = "".join(f"<{a:.9g}|{b:.9g}>" for a, b in table.tolist())
    assert rows_of_text(("<", "|", ">"), table).decode() == expected


@pytest.mark.parametrize("decimals", [2, 6, 9, 12])
def test_coordinates_of_every_size_are_written_with_the_digits_that_python_gives(decimals: int) -> None:
    rng = np.random.default_rng(decimals)
    table = np.round(rng.normal(size=(20_000, 3)) * 10.0 ** rng.integers(-6, 11, size=(20_000, 3)), decimals) + 0.0
    expected = "".join(f"{a:.9g} {b:.9g} {c:.9g}\n" for a, b, c in table.tolist())
    assert rows_of_text(("", " ", " ", "\n"), table).decode() == expected


@given(st.lists(st.tuples(*[st.sampled_from([0.0, -0.0, 1.0, 2.5, -3.0])] * 3), min_size=1, max_size=40))
@settings(max_examples=50, deadline=None)
def test_corners_are_joined_just_when_they_are_one_place(corners: list[tuple[float, float, float]]) -> None:
    points = np.array(corners)
    vertices, vertex = weld(points)
    assert np.array_equal(vertices[vertex], points)
    assert len(np.unique(vertices, axis=0)) == len(vertices)
    first = [int(np.flatnonzero(vertex == k)[0]) for k in range(len(vertices))]
    assert first == sorted(first)


def test_a_dome_is_plainly_closed_until_a_triangle_is_lost_turned_doubled_or_apart() -> None:
    vertices, triangles = dome(across=24)
    assert plainly_closed(triangles, len(vertices))
    turned = triangles.copy()
    turned[5] = turned[5, ::-1]
    apart = np.vstack((triangles, triangles + len(vertices)))
    for odd, count in ((triangles[1:], 1), (turned, 1), (np.vstack((triangles, triangles[:1])), 1), (apart, 2)):
        assert not plainly_closed(odd, count * len(vertices))


def test_a_large_surface_that_crosses_itself_is_refused_with_count_and_place() -> None:
    vertices, triangles = dome(across=240)
    spoilt = vertices.copy()
    spoilt[-1, 2] = -8.0  # the top, pushed out through the foot
    with pytest.raises(CannotRead, match=r"crosses itself: \d+ pairs of triangles, first at \("):
        closed_solid(spoilt, triangles, file="dome")
    assert closed_solid(vertices, triangles, file="dome").notes == ()


def test_the_plan_of_very_many_points_turns_as_that_of_their_hull() -> None:
    rng = np.random.default_rng(3)
    corners = np.array([[0.0, 0.0], [8.0, 6.0], [5.0, 10.0], [-3.0, 4.0]])
    shares = rng.dirichlet(np.ones(4), size=25_000)
    points = np.vstack((shares @ corners, corners))
    assert plan_turn(points) == pytest.approx(plan_turn(corners), abs=1e-12)


def test_a_bore_is_as_wide_as_the_nearest_side_of_its_polygon() -> None:
    angles = 2 * np.pi * np.arange(40) / 40
    inner, outer = (np.column_stack((r * np.cos(angles), r * np.sin(angles))) for r in (3.0, 9.0))
    points = np.vstack([np.column_stack((ring, np.full(40, z))) for z in (0.0, 5.0) for ring in (inner, outer)])
    here, after = np.arange(40), np.roll(np.arange(40), -1)
    faces = []
    for a, b in ((40, 120), (80, 0), (120, 80), (0, 40)):  # outside, inside, top, foot
        faces += [np.column_stack((a + here, a + after, b + after)), np.column_stack((a + here, b + after, b + here))]
    assert bore_about_axis_mm(points, np.vstack(faces)) == pytest.approx(3.0 * np.cos(np.pi / 40), rel=1e-12)
    assert bore_about_axis_mm(points + np.array([20.0, 0.0, 0.0]), np.vstack(faces)) == 0.0
