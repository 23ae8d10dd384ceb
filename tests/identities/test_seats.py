"""Seats for rods and screws: where one is given, the room asked for lies in the solid, whatever the solid."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.probes.seats import Room
from pourwright.engines.geometry.tree import Ball, Box, Node, cylinder, frustum

EVALUATOR = Evaluator(MeshKernel())


def room_of(node: Node) -> Room:
    return Room(*EVALUATOR.mesh(node))


def outside_mm3(node: Node, x: float, y: float, radius: float, low: float, high: float) -> float:
    return EVALUATOR.volume(cylinder(radius_mm=radius, z0_mm=low, z1_mm=high).at(x, y) - node)


SOLIDS = {
    "block with a step": Box(-15, -10, 0, 15, 10, 8) | Box(-12, -8, 7, 2, 8, 16),
    "cone": frustum(lower_mm=16, upper_mm=6, z0_mm=0, z1_mm=14),
    "ball": Ball(14).at(0, 0, 14),
    "block with a hole": Box(-20, -9, 0, 20, 9, 12) - cylinder(radius_mm=5, z0_mm=-1, z1_mm=13),
    "arch": Box(-20, -6, 0, 20, 6, 15) - Box(-12, -7, -1, 12, 7, 9),
}


@pytest.mark.parametrize("name", SOLIDS)
@pytest.mark.parametrize("foot", [2.0, 5.0, 9.5])
def test_the_room_round_a_rod_lies_in_the_solid(name: str, foot: float) -> None:
    node = SOLIDS[name]
    seat = room_of(node).highest(foot_mm=foot, around_mm=2.5)
    assert seat is not None
    assert foot + 1.0 <= seat.inside_mm <= seat.top_mm
    # Columns are samples: a slope between two of them may reach a hair lower.
    assert outside_mm3(node, seat.x_mm, seat.y_mm, 2.5, foot, seat.inside_mm - 0.05) <= 1e-9


@pytest.mark.parametrize("name", SOLIDS)
def test_screws_stand_in_the_face_with_material_all_round(name: str) -> None:
    node = SOLIDS[name]
    top = float(EVALUATOR.bounds(node)[1][2])
    places = room_of(node).spread(face_mm=top, depth_mm=4.0, around_mm=2.25, most=2)
    assert bool(places) == (name != "ball")  # a ball has no level face
    for x, y in places:
        assert outside_mm3(node, x, y, 2.25, top - 4.0, top - 0.01) <= 1e-9
    if len(places) == 2:
        assert np.hypot(*np.subtract(*places)) >= 4 * 2.25


def test_where_nothing_has_room_there_is_no_seat() -> None:
    thin = Box(-20, -1, 0, 20, 1, 20)
    assert room_of(thin).highest(foot_mm=5.0, around_mm=2.5) is None
    assert room_of(thin).spread(face_mm=20.0, depth_mm=4.0, around_mm=2.25, most=2) == ()


def test_places_to_keep_clear_of_are_kept_clear_of() -> None:
    room = room_of(Box(-15, -10, 0, 15, 10, 10))
    for x, y in room.spread(face_mm=10.0, depth_mm=4.0, around_mm=2.25, most=2, clear_of=[(12.0, 7.0)], clear_mm=6.0):
        assert np.hypot(x - 12, y - 7) >= 6.0


@settings(max_examples=20, deadline=None)
@given(x=st.floats(8, 30), y=st.floats(8, 30), z=st.floats(6, 30), share=st.floats(0.05, 0.6))
def test_in_a_block_the_seat_is_in_its_middle_and_reaches_its_top(x: float, y: float, z: float, share: float) -> None:
    seat = room_of(Box(-x, -y, 0, x, y, z)).highest(foot_mm=share * z, around_mm=2.5)
    assert seat is not None
    cell = 2 * max(x, y) / 192
    assert abs(seat.x_mm) <= cell
    assert abs(seat.y_mm) <= cell
    assert seat.inside_mm == pytest.approx(z, abs=1e-9)


def test_a_seat_keeps_clear_of_a_screw_and_stands_as_near_to_the_peak_as_that_leaves() -> None:
    room = room_of(Box(-20, -10, -20, 20, 10, 0))
    free = room.highest(foot_mm=-5.0, around_mm=2.5, near=(20.0, 10.0))
    screw, clear = (17.0, 7.0), 4.0
    beside = room.highest(foot_mm=-5.0, around_mm=2.5, near=(20.0, 10.0), clear_of=[screw], clear_mm=clear)
    assert free is not None
    assert beside is not None
    assert free.away_mm(screw) < 1.0
    assert clear <= beside.away_mm(screw) < clear + 0.5
    assert beside.away_mm((20.0, 10.0)) < 8.0
    assert room.highest(foot_mm=-5.0, around_mm=2.5, near=(20.0, 10.0)) == free
