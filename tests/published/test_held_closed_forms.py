"""Silicone that a part holds, against closed forms of simple bodies; and bars that run through, which nothing frees."""

from __future__ import annotations

import math

import pytest

from awkward_solids import bellows, linked_hook, spring, threaded_rod, waisted_knob
from mesh_bodies import bored_block, meshed, sheared_block, slotted_block, torus, waisted_bushing
from pourwright.engines.geometry.air.dexels import scan
from pourwright.engines.geometry.pulls.held import LID, LOWER, burden, held_silicone
from pourwright.engines.geometry.tree import Ball, Box, Node, Revolve, polygon

Z, X = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)


def held(solid: Node, direction, parting_mm: float, columns: int = 256):
    return held_silicone(scan(*meshed(solid, 256), direction=direction, columns=columns), parting_mm)


def test_a_waist_is_one_piece_as_deep_as_it_is_cut_and_stretches_like_its_circles() -> None:
    (piece,) = held(waisted_bushing(), Z, 15.0)
    assert (piece.half, piece.mouths) == (LOWER, 1)
    assert piece.volume_mm3 == pytest.approx(520 * math.pi / 3, rel=3e-3)
    # From the foot's rim at 10 mm to the waist at 8 mm.
    assert piece.depth_mm == pytest.approx(2.0, abs=0.1)
    assert piece.stretch == pytest.approx(10 / 8, rel=5e-3)


def test_a_bore_across_the_pull_is_a_bar_of_its_whole_volume_in_both_halves() -> None:
    found = held(bored_block(), Z, 10.0)
    assert [piece.half for piece in found] in ([LOWER, LID], [LID, LOWER])
    for piece in found:
        assert piece.mouths == 2
        assert piece.volume_mm3 == pytest.approx(240 * math.pi, rel=3e-3)
        # Deepest in its middle, half of the 30 mm from either end.
        assert piece.depth_mm == pytest.approx(15.0, abs=0.2)


def test_a_bore_along_the_pull_holds_nothing() -> None:
    assert held(bored_block(), X, 30.0) == ()


def test_a_ring_pulled_across_its_axis_is_linked_with_both_halves() -> None:
    found = held(torus(), X, 0.0)
    assert [piece.mouths for piece in found] == [2, 2]
    # pi (2 r R^2 - pi R r^2 + 4 r^3 / 3) with R 10 and r 4.
    whole = math.pi * (2 * 4 * 100 - math.pi * 10 * 16 + 4 * 64 / 3)
    assert sum(piece.volume_mm3 for piece in found) == pytest.approx(whole, rel=3e-3)


def test_a_slot_across_the_pull_is_a_tongue_with_one_mouth() -> None:
    (piece,) = held(slotted_block(), X, 30.0)
    assert piece.mouths == 1
    assert piece.volume_mm3 == pytest.approx(2400.0, rel=5e-3)
    # 20 mm from side to side, open at both and at the top: never more than 10 mm from a mouth.
    assert piece.depth_mm == pytest.approx(10.0, abs=0.2)


def test_the_corners_of_a_sheared_block_hold_the_same_in_both_halves() -> None:
    found = held_silicone(scan(*sheared_block(), columns=512), 0.0)
    assert sorted(piece.half for piece in found) == [LID, LOWER]
    for piece in found:
        # Half of 20 (10 t - 3)^2 / t, t = tan 20 deg, but for films of a hundredth of the height.
        assert piece.volume_mm3 == pytest.approx(11.2432, rel=5e-2)


def test_the_bulge_of_a_core_must_pass_its_neck_as_areas_do() -> None:
    # A bulb of 8 mm behind a neck of 6 mm: silicone keeps its volume, (8/6)^2.
    bulb = polygon([(3, 0), (8, 0), (8, 20), (4, 20), (4, 10), (3, 10)])
    (piece,) = held(Revolve(bulb), Z, 20.0)
    assert piece.volume_mm3 == pytest.approx(math.pi * (16 - 9) * 10, rel=1e-2)
    assert piece.stretch == pytest.approx((8 / 6) ** 2, rel=1e-2)
    assert piece.depth_mm == pytest.approx(1.0, abs=0.1)


def test_a_ball_wholly_in_the_lower_half_is_one_piece_with_one_mouth() -> None:
    (piece,) = held(Ball(15), Z, 14.0)
    assert piece.mouths == 1
    # pi z^3 / 3 at z = 14.
    assert piece.volume_mm3 == pytest.approx(math.pi * 14**3 / 3, rel=3e-3)


@pytest.mark.parametrize("direction", [X, (0.0, 1.0, 0.0), Z, (0.6, 0.8, 0.0)])
def test_two_eyes_a_quarter_turn_apart_leave_a_bar_whichever_way_they_are_pulled(direction) -> None:
    columns = scan(*meshed(linked_hook(), 96), direction=direction, columns=192)
    middle = 0.5 * (columns.span_mm[0] + columns.span_mm[1])
    through, _ = burden(columns, middle)
    assert through > 0.15 * columns.volume_mm3


def test_every_fold_of_a_bellows_is_a_piece_with_one_mouth() -> None:
    found = [piece for piece in held(bellows(), Z, 32.0) if piece.volume_mm3 > 100.0]
    # Three bulges of the core, and outside the two valleys between folds and the one above the last.
    assert len(found) == 6
    assert {piece.mouths for piece in found} == {1}


def test_a_knob_is_free_of_bars_along_and_across_its_axis() -> None:
    for direction, parting in ((Z, 26.0), (X, 0.0)):
        assert burden(scan(*meshed(waisted_knob(), 96), direction=direction, columns=128), parting)[0] == 0.0


def test_a_pit_that_opens_on_the_parting_belongs_to_the_lid_and_holds_nothing() -> None:
    pit = Box(0, 0, 0, 20, 20, 10) - Box(5, 5, 4, 15, 15, 11)
    assert held(pit, Z, 10.0) == ()


@pytest.mark.parametrize("share", [0.3, 0.5, 0.7])
def test_the_silicone_between_the_coils_of_a_spring_is_a_bar_in_both_halves(share: float) -> None:
    columns = scan(*spring(), direction=Z, columns=128)
    low, high = columns.span_mm
    found = held_silicone(columns, low + share * (high - low))
    large = [piece for piece in found if piece.volume_mm3 > 0.05 * columns.volume_mm3]
    assert {piece.half for piece in large} == {LOWER, LID}
    assert all(piece.runs_through for piece in large)


@pytest.mark.parametrize("lean_deg", [5, 15, 30, 60, 90])
def test_leaning_does_not_free_a_spring(lean_deg: float) -> None:
    lean = math.radians(lean_deg)
    columns = scan(*spring(), direction=(0.0, math.sin(lean), math.cos(lean)), columns=128)
    assert burden(columns, 0.5 * sum(columns.span_mm))[0] > 0.1 * columns.volume_mm3


@pytest.mark.parametrize("share", [0.3, 0.5, 1.0])
def test_a_thread_holds_silicone_that_can_give_way(share: float) -> None:
    columns = scan(*threaded_rod(), direction=Z, columns=128)
    low, high = columns.span_mm
    parting = low + share * (high - low)
    (largest, *_) = held_silicone(columns, parting)
    assert largest.mouths == 1
    # No deeper than the ridge is high.
    assert 1.0 < largest.depth_mm < 1.6
    assert burden(columns, parting)[0] == 0.0


_PEG = Box(0, 0, 0, 6, 20, 30) | Box(5, 8, 8, 35, 12, 12)
_BENT_PEG = Box(0, 0, 0, 6, 20, 30) | Box(5, 8, 8, 25, 12, 12) | Box(21, 8, 8, 25, 24, 12)
_FLANGED = Box(0, 0, 0, 40, 30, 4) | Box(2, 2, 0, 6, 6, 30) | Box(0, 0, 26, 40, 30, 30)


@pytest.mark.parametrize("solid", [_PEG, _BENT_PEG, _FLANGED], ids=["peg", "bent peg", "flanges on a thin stem"])
def test_silicone_over_a_peg_or_between_flanges_hangs_on_one_side_only(solid: Node) -> None:
    columns = scan(*meshed(solid, 64), direction=Z, columns=128)
    largest = held_silicone(columns, 15.0)[0]
    assert largest.mouths == 1
