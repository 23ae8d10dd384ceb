"""Taking a body away along a line: what blocks it, where, and how much play there is."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.pulls.removal import columns_of, obstacle, play_mm
from pourwright.engines.geometry.tree import Box, Node, Prism, cylinder, polygon

EVALUATOR = Evaluator(MeshKernel(segments=48))
UP = (0.0, 0.0, 1.0)
# A dovetail: wider below than above, in a block with the same groove.
DOVETAIL = Prism(polygon([(-6, 0), (6, 0), (4, 5), (-4, 5)]), -20, 20)
GROOVE = Box(-15, -3, -20, 15, 5, 20) - Prism(polygon([(-6, -0.01), (6, -0.01), (4, 5.01), (-4, 5.01)]), -21, 21)


def mesh(node: Node) -> Mesh:
    return EVALUATOR.mesh(node)


def test_a_dovetail_leaves_along_its_groove_and_not_across_it() -> None:
    tail, groove = mesh(DOVETAIL), mesh(GROOVE)
    along = obstacle(columns_of(tail, UP), groove)
    across = obstacle(columns_of(tail, (0.0, 1.0, 0.0)), groove)
    assert along.free
    # Each flank is 2 mm wide under its roof and 40 mm long.
    assert across.area_mm2 == pytest.approx(2 * 2 * 40, rel=0.05)


def test_the_place_named_lies_on_what_blocks() -> None:
    lid = Box(2, 3, 20, 8, 9, 24)
    found = obstacle(columns_of(mesh(Box(0, 0, 0, 30, 30, 4)), UP), mesh(lid))
    assert found.at_mm is not None
    x, y, z = found.at_mm
    assert 2 <= x <= 8
    assert 3 <= y <= 9
    assert z == pytest.approx(24, abs=1e-9)
    assert found.area_mm2 == pytest.approx(36, rel=0.05)


def test_a_bolt_is_held_by_a_head_that_is_wider_than_its_hole() -> None:
    bolt = cylinder(radius_mm=2, z0_mm=0, z1_mm=20) | cylinder(radius_mm=5, z0_mm=-3, z1_mm=0)
    plate = Box(-20, -20, 1, 20, 20, 6) - cylinder(radius_mm=2.2, z0_mm=0, z1_mm=7)
    assert not obstacle(columns_of(mesh(bolt), UP), mesh(plate)).free
    assert obstacle(columns_of(mesh(bolt), (0.0, 0.0, -1.0)), mesh(plate)).free


def test_faces_that_slide_exactly_along_each_other_do_not_block() -> None:
    peg, hole = cylinder(radius_mm=5, z0_mm=0, z1_mm=10), Box(-9, -9, 0, 9, 9, 10)
    block = hole - cylinder(radius_mm=5, z0_mm=-1, z1_mm=11)
    assert obstacle(columns_of(mesh(peg), UP), mesh(block)).free


@settings(max_examples=25)
@given(turn=st.floats(0, 360), lean=st.sampled_from(["x", "y"]))
def test_turning_both_bodies_and_the_way_changes_nothing(turn: float, lean: str) -> None:
    from pourwright.engines.geometry.tree import Turned

    tail, groove = (mesh(Turned(node, lean, turn)) for node in (DOVETAIL, GROOVE))
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    ways = {"x": [(0, -s, c), (0, c, s)], "y": [(s, 0, c), (0, 1, 0)]}[lean]
    assert obstacle(columns_of(tail, ways[0]), groove, open_mm=1e-3).free
    across = obstacle(columns_of(tail, ways[1]), groove, open_mm=1e-3)
    assert across.area_mm2 == pytest.approx(160, rel=0.08)


@settings(max_examples=25)
@given(play=st.floats(0.02, 2.0), radius=st.floats(1.0, 8.0))
def test_the_play_of_a_rod_in_its_hole_is_the_difference_of_their_radii(play: float, radius: float) -> None:
    rod = cylinder(radius_mm=radius, z0_mm=0, z1_mm=10)
    side = radius + play + 3
    hole = Box(-side, -side, 1, side, side, 9) - cylinder(radius_mm=radius + play, z0_mm=0, z1_mm=10)
    found = play_mm(mesh(rod), mesh(hole), (1, 0, 0))
    # Columns cross the gap beside its narrowest place, never at less than it.
    facet = math.cos(math.pi / 48)
    assert play * facet * 0.999 <= found <= play * 1.01 + 1e-3


def test_bodies_that_never_face_each_other_have_no_play() -> None:
    assert play_mm(mesh(Box(0, 0, 0, 1, 1, 1)), mesh(Box(3, 5, 5, 4, 6, 6)), (1, 0, 0)) == math.inf


def test_touching_bodies_have_no_play_where_they_touch() -> None:
    assert play_mm(mesh(Box(0, 0, 0, 1, 1, 1)), mesh(Box(1, 0, 0, 2, 1, 1)), np.array([1.0, 0, 0])) == 0.0
