"""Cuts through solids and named pictures: areas are exact, outlines close, names are words and no markup."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from defusedxml import ElementTree
from hypothesis import given
from hypothesis import strategies as st

from paper_bodies import ball_mesh, box_mesh, drawn, prism_mesh
from pourwright.basics.errors import InputError
from pourwright.engines.paper.callouts import exploded, labelled
from pourwright.engines.paper.cutting import Level, Plane, section, signed_area, slice_mesh
from pourwright.engines.paper.drawing import draw

NAMESPACE = "{http://www.w3.org/2000/svg}"


def joined(*meshes: tuple[np.ndarray, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Several meshes as one."""
    steps = np.cumsum([0, *(len(vertices) for vertices, _ in meshes)])
    return (
        np.concatenate([vertices for vertices, _ in meshes]),
        np.concatenate([faces + step for (_, faces), step in zip(meshes, steps, strict=False)]),
    )


def texts(svg: bytes) -> list[str]:
    """Every line of text in a picture."""
    return [element.text for element in ElementTree.fromstring(svg.decode()).iter(f"{NAMESPACE}text")]


@given(
    size=st.tuples(*[st.floats(1, 50)] * 3),
    share=st.floats(0.001, 0.999),
)
def test_a_cut_through_a_box_has_the_area_of_its_face(size: tuple[float, float, float], share: float) -> None:
    box = box_mesh((0, 0, 0), size)
    loops = slice_mesh(*box, Plane(origin=(0, share * size[1], 0)))
    assert sum(signed_area(loop) for loop in loops) == pytest.approx(size[0] * size[2], rel=1e-9)


@given(turn=st.floats(0, 2 * math.pi), tilt=st.floats(-1.0, 1.0), away=st.floats(-4, 4))
def test_every_outline_of_a_cut_ball_is_one_ring_of_the_right_area(turn: float, tilt: float, away: float) -> None:
    ball = ball_mesh(5.0)
    normal = np.array([math.cos(turn) * math.cos(tilt), math.sin(turn) * math.cos(tilt), math.sin(tilt)])
    plane = Plane(origin=tuple(away * normal), normal=tuple(normal), up=(0.1, 0.2, 5.0))
    upright = np.array(plane.up) - np.dot(plane.up, normal) * normal
    plane = Plane(origin=plane.origin, normal=plane.normal, up=tuple(upright))
    (loop,) = slice_mesh(*ball, plane)
    # 96 chords a turn: the polygon is at most 0.3 % small on either axis.
    assert signed_area(loop) == pytest.approx(math.pi * (25 - away**2), rel=0.01)


def test_a_hole_runs_the_other_way_round() -> None:
    inner = box_mesh((2, 2, 2), (4, 4, 4))
    hollow = joined(box_mesh((0, 0, 0), (10, 10, 10)), (inner[0], inner[1][:, ::-1]))
    areas = sorted(signed_area(loop) for loop in slice_mesh(*hollow, Plane(origin=(0, 3, 0))))
    assert areas == pytest.approx([-4.0, 100.0], rel=1e-9)


@given(touch=st.floats(0.5, 9.5))
def test_bodies_that_share_an_edge_are_cut_without_a_gap(touch: float) -> None:
    pair = joined(box_mesh((0, 0, 0), (touch, 10, 10)), box_mesh((touch, 0, 10), (10, 10, 20)))
    loops = slice_mesh(*pair, Plane(origin=(0, 5, 0)))
    assert sum(signed_area(loop) for loop in loops) == pytest.approx(10 * touch + 10 * (10 - touch), rel=1e-6)


@pytest.mark.parametrize("height", [0.0, 10.0])
def test_a_plane_in_a_face_gives_that_face_or_nothing(height: float) -> None:
    flat = Plane(origin=(0, 0, height), normal=(0, 0, 1), up=(0, 1, 0))
    area = sum(signed_area(loop) for loop in slice_mesh(*box_mesh((0, 0, 0), (10, 10, 10)), flat))
    assert abs(area) == pytest.approx(0.0 if height == 0.0 else 100.0, abs=1e-9)


def test_an_open_mesh_is_refused() -> None:
    vertices, faces = box_mesh((0, 0, 0), (10, 10, 10))
    with pytest.raises(InputError, match="open along the cut"):
        slice_mesh(vertices, faces[:-1], Plane(origin=(9.0, 5, 5), normal=(0, 1, 0)))


def test_a_section_names_what_it_cuts_and_marks_levels() -> None:
    bodies = [
        drawn("block", box_mesh((0, 0, 0), (40, 10, 20)), count=2),
        drawn("away", box_mesh((0, 50, 0), (9, 60, 9))),
    ]
    svg = section(bodies, plane=Plane(origin=(0, 5, 0)), levels=[Level(height=8.0, name="fill line 1")])
    assert sorted(texts(svg)) == ["10 mm", "block ×2", "fill line 1"]


def test_a_plane_that_meets_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="meets nothing"):
        section([drawn("block", box_mesh((0, 0, 0), (1, 1, 1)))], plane=Plane(origin=(0, 7, 0)))


def test_names_with_markup_stay_words() -> None:
    name = 'wall <b>&amp; "x" #strong'
    svg = exploded([drawn(name, box_mesh((0, 0, 0), (10, 10, 10)))], {})
    assert name in texts(svg)


def test_a_body_that_is_not_seen_gets_no_name() -> None:
    bodies = [drawn("outside", box_mesh((0, 0, 0), (10, 10, 10))), drawn("inside", box_mesh((4, 4, 4), (6, 6, 6)))]
    assert texts(exploded(bodies, {})) == ["outside"]
    assert sorted(texts(exploded(bodies, {"inside": (0, 0, 20)}))) == ["inside", "outside"]


def test_each_name_points_into_its_own_body() -> None:
    bodies = [drawn(f"prism {k}", prism_mesh(6, 5, 8), offset=(14.0 * k, 0, 0)) for k in range(5)]
    shown = draw(bodies, view="above", width=500)
    drawing = ElementTree.fromstring(labelled(shown, bodies).decode())
    dots = [(float(dot.get("cx")), float(dot.get("cy"))) for dot in drawing.iter(f"{NAMESPACE}circle")]
    names = [element.text for element in drawing.iter(f"{NAMESPACE}text")]
    assert len(dots) == len(names) == 5
    for (x, y), name in zip(dots, names, strict=True):
        assert bodies[shown.seen[int(y), int(x)]].name == name


def test_names_do_not_lie_over_each_other() -> None:
    bodies = [drawn(f"slab {k}", box_mesh((0, 0, 2 * k), (20, 20, 2 * k + 1))) for k in range(12)]
    svg = ElementTree.fromstring(exploded(bodies, {}, text_size=26).decode())
    places = [(element.get("text-anchor"), float(element.get("y"))) for element in svg.iter(f"{NAMESPACE}text")]
    for side in ("start", "end"):
        heights = sorted(y for anchor, y in places if anchor == side)
        assert all(b - a >= 26 for a, b in pairwise(heights))
    assert len(places) == 12
