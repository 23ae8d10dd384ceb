"""What must hold of the pours of silicone: air under ledges by closed form, bores found with their true size."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from mesh_bodies import meshed
from mould_designs import MOULDS, WISH, evaluator, mould
from pourwright.catalogue.materials.classes import load_class
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import STYLES
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.silicone_pour import BoreToFill
from pourwright.engines.geometry.probes.holes import Hole, upright_holes
from pourwright.engines.geometry.tree import Box, Revolve, Turned, cylinder, polygon
from pourwright.steps.studies.study_pours import PourStudy, bores_to_fill, fill_time, outline_holes, study_pours

UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
OPEN, LIDDED = "open with cover plate", "two-part lidded"
# A ledge that rises inwards, from 12 mm to 8 mm across, by 2 mm; and one that is flat.
BELL = [(0, 0), (12, 0), (12, 6), (8, 4), (8, 9), (12, 9), (12, 15), (0, 15)]
FLAT = [(0, 0), (12, 0), (12, 6), (8, 6), (8, 9), (12, 9), (12, 15), (0, 15)]


def turned_part(points: list[tuple[float, float]], style: str = OPEN) -> MouldDesign:
    outline = polygon(points)
    part = PartShape(node=Revolve(outline), outline=outline, size_mm=(24, 24, 15), radius_mm=12, bore_mm=0)
    return STYLES[style].build(part, WISH, None)


# ---------------------------------------------------------------- air under ledges


@pytest.mark.parametrize("style", [OPEN, LIDDED])
def test_a_ledge_that_rises_inwards_holds_its_closed_form_in_the_first_pour(style: str) -> None:
    design = turned_part(BELL, style)
    [air] = study_pours(design, evaluator(48), undercut_mm3=None).air
    # 2 pi r (12 - r)/2 from 8 to 12; what lies within half a column of the mouth is not seen.
    assert air.pour == 1
    assert 0.88 < air.level * 1e9 / (math.pi * 224 / 3 * WISH.scale**3) < 1.0
    assert air.round_about
    [pocket] = air.pockets
    assert math.hypot(*pocket.at[:2]) == pytest.approx(8e-3 * WISH.scale, abs=5e-4)
    assert pocket.at[2] == pytest.approx(-11e-3 * WISH.scale, abs=2e-4)


def test_a_flat_ledge_that_runs_all_round_lets_its_air_go_at_every_small_tilt() -> None:
    assert study_pours(turned_part(FLAT), evaluator(48), undercut_mm3=None).air == ()


def test_what_pulls_freely_holds_no_air_in_any_pour() -> None:
    for style, part in ((OPEN, "taper bushing"), (LIDDED, "barrel bushing"), (LIDDED, "stepped bushing")):
        assert study_pours(mould(style, part), evaluator(), undercut_mm3=None).air == ()


def test_nothing_is_looked_at_where_no_silicone_lies_over_the_part() -> None:
    assert study_pours(turned_part(BELL), evaluator(48), undercut_mm3=0.0).air == ()


def test_the_side_that_is_raised_lets_the_air_out_of_a_blind_hole_that_opens_to_it() -> None:
    # A hole from the +x side that climbs inwards in the first pour, in a block as if from a file.
    hole = Turned(cylinder(radius_mm=2, z0_mm=0, z1_mm=20), "y", 82).at(2, 0, -8)
    block = Box(-12, -8, -16, 12, 8, 0) - hole
    design = replace(turned_part(FLAT), cell=block, cell_outline=None)
    [air] = study_pours(design, evaluator(48), undercut_mm3=None).air
    assert air.level > 5e-9
    assert air.lean is not None
    assert math.degrees(air.lean[1]) % 360 == pytest.approx(0.0)


# ---------------------------------------------------------------- bores


def test_every_upright_hole_is_found_with_its_width_depth_and_volume() -> None:
    bored = Box(-20, -10, -20, 20, 10, 0) - cylinder(radius_mm=1.5, z0_mm=-16, z1_mm=1).at(-12, 0)
    bored -= cylinder(radius_mm=4, z0_mm=-9, z1_mm=1).at(8, 0) | cylinder(radius_mm=2, z0_mm=-30, z1_mm=0).at(8, 0)
    blind, stepped = upright_holes(*meshed(Box(-30, -20, -20, 30, 20, 6) - bored), up=UP)
    assert (blind.x_mm, blind.y_mm) == pytest.approx((-12, 0), abs=0.2)
    assert blind.narrow_mm == pytest.approx(3.0, rel=0.05)
    assert blind.depth_mm == pytest.approx(16.0, abs=1.0)
    assert blind.volume_mm3 == pytest.approx(math.pi * 1.5**2 * 16, rel=0.08)
    assert stepped.narrow_mm == pytest.approx(4.0, rel=0.05)
    assert stepped.depth_mm == pytest.approx(20.0, abs=1.0)
    assert stepped.volume_mm3 == pytest.approx(math.pi * (16 * 9 + 4 * 11), rel=0.06)
    assert stepped.even_mm == pytest.approx(9 * 4 + 11, rel=0.12)
    assert not blind.open_below


def test_a_hole_that_a_channel_meets_from_the_side_lets_its_air_out_there() -> None:
    channel = Turned(cylinder(radius_mm=2, z0_mm=-40, z1_mm=40), "y", 90).at(0, 0, -17)
    bored = Box(-20, -10, -20, 20, 10, 0) - cylinder(radius_mm=3, z0_mm=-18, z1_mm=1) - channel
    [hole] = upright_holes(*meshed(Box(-30, -20, -20, 30, 20, 6) - bored), up=UP)
    assert hole.open_below
    assert hole.narrow_mm == pytest.approx(6.0, rel=0.03)


def test_a_block_without_holes_and_one_with_a_notch_in_its_side_have_none() -> None:
    notched = Box(-20, -10, -20, 20, 10, 0) - Box(10, -2, -10, 25, 2, 1)
    assert upright_holes(*meshed(Box(-30, -20, -20, 30, 20, 6) - notched), up=UP) == ()


def test_a_hole_closed_at_the_top_is_a_ledge_and_no_bore() -> None:
    hollow = Box(-20, -10, -20, 20, 10, 0) - cylinder(radius_mm=3, z0_mm=-21, z1_mm=-5)
    filled = meshed(Box(-30, -20, -28, 30, 20, 6) - hollow)
    assert upright_holes(*filled, up=UP) == ()
    assert len(upright_holes(*filled, up=DOWN)) == 1


def test_a_solid_of_a_file_tells_the_same_bore_as_its_outline() -> None:
    design = mould(LIDDED, "barrel bushing")
    [one, two] = [hole for _, hole in outline_holes(design)]
    found = study_pours(replace(design, cell_outline=None), evaluator(48), undercut_mm3=0.0).holes
    for (_, seen), told in zip(found, (one, two), strict=True):
        assert seen.narrow_mm == pytest.approx(told.narrow_mm, rel=0.03)
        assert seen.depth_mm == pytest.approx(told.depth_mm, rel=0.06)
        assert seen.volume_mm3 == pytest.approx(told.volume_mm3, rel=0.06)


@pytest.mark.parametrize(("style", "part"), [m for m in MOULDS if m[1] in ("stepped bushing", "long bushing", "wheel")])
def test_a_bore_is_filled_in_the_pours_that_meet_it_and_never_where_rod_or_print_fills_it(
    style: str, part: str
) -> None:
    design = mould(style, part)
    found = list(outline_holes(design))
    if not design.figures.get("slug_diameter_mm") or design.cored is not None:
        assert found == []
        return
    assert sum(hole.depth_mm for _, hole in found) == pytest.approx(
        design.figures["part_depth_mm"] + design.figures["part_above_mm"], rel=1e-6
    )
    assert {number for number, _ in found} == ({1, 2} if design.closing_is_silicone else {1})


def hole(diameter_mm: float, *, open_below: bool = False) -> Hole:
    area = math.pi * diameter_mm**2 / 4
    return Hole(
        x_mm=0, y_mm=0, floor_mm=0, mouth_mm=15, narrow_mm=diameter_mm, narrow_mm2=area, volume_mm3=15 * area,
        open_below=open_below,
    )  # fmt: skip


def test_a_narrower_bore_takes_longer_a_thread_never_fills_and_one_open_below_fills_sooner() -> None:
    silicone = load_class("platinum silicone 30A")
    times = [fill_time(hole(diameter), silicone) for diameter in (50.0, 9.5, 6.0, 3.0, 2.0)]
    assert times == sorted(times)
    assert math.isinf(times[-1])
    assert fill_time(hole(6.0, open_below=True), silicone) < fill_time(hole(6.0), silicone)


def test_every_bore_of_the_mould_is_counted_and_flagged_by_a_quarter_of_the_pot_life() -> None:
    silicone = load_class("platinum silicone 30A")
    bores = bores_to_fill(PourStudy(holes=((1, hole(9.5)), (1, hole(2.0)))), silicone, 4)
    assert [bore.count for bore in bores] == [4, 4]
    assert [bore.fills_itself for bore in bores] == [True, False]
    assert all(isinstance(bore, BoreToFill) and bore.limit == silicone.best("pot_life") / 4 for bore in bores)
