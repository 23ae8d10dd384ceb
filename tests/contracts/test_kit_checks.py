"""Each check of a kit passes a sound mould and fails a spoilt one, by name and with advice."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pourwright.catalogue.checks.check import CHECKS, judge_all
from pourwright.catalogue.kit_facts import KitFacts, PieceFacts, SiliconeFacts
from pourwright.domain.check_result import CheckResult
from pourwright.domain.estimate import Estimate
from pourwright.domain.silicone_pour import BoreToFill, Pocket, PourAir
from pourwright.domain.size_forecast import SizeForecast, Verdict
from pourwright.engines.geometry.partings.lips import outline_lips
from pourwright.engines.geometry.pulls.held import Held
from pourwright.engines.geometry.tree import Arc, Line, Outline

PATTERN = PieceFacts(
    name="pattern", role="pattern", count=4, size_mm=(28.0, 28.0, 24.0), held_by="one M3 screw", breather=False,
    touches_silicone=(1,),
)  # fmt: skip
BASE = PieceFacts(
    name="base", role="base", count=1, size_mm=(100.0, 100.0, 15.0), held_by="", breather=False, touches_silicone=(1,)
)
SILICONE = SiliconeFacts(name="platinum silicone 20A", density=1100.0, viscosity=10.0, pot_life=1800.0, elongation=6.0)
FIGURES = {
    "bore_neck_stretch": 1.0, "bore_buckling_N": 2.0, "bore_pressed_N": 0.2, "lid_span_mm": 14.0,
    "lid_over_part_mm": 10.0, "silicone_modulus_MPa": 0.73, "overfill_mm3": 650.0, "layout_area_mm2": 5800.0,
    "part_volume_mm3": 13000.0, "well_volume_mm3": 700.0, "well_needed_mm3": 669.0, "bore_diameter_mm": 9.0,
    "bore_ratio": 2.67, "bore_length_mm": 24.0, "wall_bulge_mm": 0.02,
    "seam_gap_mm": 0.15, "seam_count": 2.0, "seam_width_mm": 36.0, "seam_path_mm": 6.0, "pour_depth_mm": 36.0,
    "edge_gap_mm": 0.1, "edge_path_mm": 5.0, "edge_width_mm": 300.0,
    "pattern_displaced_mm3": 13000.0, "key_misfit_mm3": 131.0, "key_volume_mm3": 131.0, "infill": 1.0,
    "free_face_proud_mm": 0.5, "bed_x_mm": 220.0, "bed_y_mm": 220.0, "bed_z_mm": 250.0,
    # a core 16 mm wide on an 8 mm rod
    "core_outside_mm": 20.0, "core_scale": 1.005,
    "core_end_mm": 8.0, "core_bore_mm": 4.1, "core_wall_mm": 3.9, "core_seat_mm": 20.0, "core_land_mm": 3.9,
    "core_land_mm2": 148.0, "core_squeeze_mm": 0.15, "core_low_mm": -21.0, "core_high_mm": 1.0,
    "spindle_radius_mm": 4.0, "spindle_play_mm": 0.2, "spindle_span_mm": 36.0, "core_run_out_mm": 0.4, "fit_mm": 0.1,
    "core_holds_mm3": 100.0, "core_turns_mm3": 0.0, "core_volume_mm3": 4400.0, "core_solid_mm3": 3300.0,
    "core_hollows": 0.0, "resin_kg_m3": 1080.0,
}  # fmt: skip


def puck(edge_mm: float) -> Outline:
    """A disc of radius 12 and height 10 with a rounded upper edge."""
    edges = (Line(12.0, 0.0), Line(12.0, 10.0 - edge_mm), Arc(12.0 - edge_mm, 10.0, 12.0 - edge_mm, 10.0 - edge_mm),
             Line(0.0, 10.0), Line(0.0, 0.0))  # fmt: skip
    return Outline((0.0, 0.0), edges)


def sized(verdict: Verdict) -> SizeForecast:
    """A bore of 10 mm that may be off by 0.3 mm, with that verdict."""
    best = {"go": 10e-3, "not sure": 9.8e-3, "no-go": 9.6e-3}[verdict]
    return SizeForecast(
        name="bore", wanted=10e-3, estimate=Estimate(low=best - 2e-4, best=best, high=best + 2e-4), tolerance=0.3e-3,
        tolerance_from="own", closure=False, verdict=verdict, shifts={}, shares={"printer": 1.0}, pattern=10e-3,
    )  # fmt: skip


def filling(time: float) -> BoreToFill:
    """A bore that silicone fills by itself in that time."""
    return BoreToFill(pour=1, at=(0.0, 0.0), diameter=9e-3, depth=24e-3, volume=1.5e-6, count=4, time=time, limit=450.0)


LEDGE = PourAir(
    pour=1, level=2e-9, worst=12e-9, worst_tilt=0.09, lean=(0.17, 0.0),
    pockets=(Pocket(volume=12e-9, depth=1e-3, at=(8e-3, 0.0, -6e-3)),),
)  # fmt: skip

SOUND = KitFacts(
    style="open with cover plate", cavities=4, closing_is_silicone=False, pieces=(PATTERN, BASE), silicone=SILICONE,
    pressure=310e3, infill=1.0, figures=FIGURES, lips=outline_lips(puck(0.5), 10.0, depth_below_mm=18.0),
    stretch={"lower": 1.0, "lid": None}, stretch_allowed=3.0, undercut_mm3=0.0, trapped_mm3=0.0, worst_trapped_mm3=45.0,
    sizes=(sized("go"),), pours_looked_at=True, bores=(filling(20.0),),
)  # fmt: skip


def with_figures(**changes: float) -> KitFacts:
    """The sound mould with some figures spoilt."""
    return replace(SOUND, figures={**FIGURES, **changes})


LINK = Held("lower half", 400.0, 8.0, 2, 1.0, (0.0, 3.0, -4.0))  # a bar through the part


SPOILT = {
    "thinnest silicone lip": replace(SOUND, lips=outline_lips(puck(1.0), 10.0, depth_below_mm=18.0)),
    "stretch on opening": replace(SOUND, stretch={"lower": 3.2, "lid": None}),
    "silicone lets go": replace(SOUND, undercut_mm3=400.0, held=(LINK,)),
    "hollow prints": replace(SOUND, infill=0.15),
    "overflow wells": with_figures(well_volume_mm3=600.0),
    "trapped air": replace(SOUND, worst_trapped_mm3=500.0),
    "bore core": with_figures(bore_ratio=7.0),
    "bore neck": with_figures(bore_neck_stretch=3.5),
    "bore buckling": with_figures(bore_pressed_N=2.5),
    "lid under pressure": with_figures(lid_over_part_mm=1.0),
    "one way only": with_figures(key_misfit_mm3=10.0),
    "wall bulge": with_figures(wall_bulge_mm=0.3),
    "printer bed": replace(SOUND, pieces=(PATTERN, replace(BASE, size_mm=(260.0, 100.0, 15.0)))),
    "float force": replace(SOUND, infill=0.15, pieces=(replace(PATTERN, held_by=""), BASE)),
    "bridged bore": replace(SOUND, bores=(filling(20.0), filling(math.inf))),
    "air in the silicone": replace(SOUND, pour_air=(LEDGE,)),
    "seam leak": with_figures(edge_gap_mm=0.15),
    "free face": with_figures(free_face_proud_mm=1.4),
    "core run-out": with_figures(spindle_span_mm=10.0),
    "core lands": with_figures(core_land_mm=1.9),
    "core lock": with_figures(core_holds_mm3=0.0),
    "core void": with_figures(core_hollows=1.0),
    "cast size": replace(SOUND, sizes=(sized("go"), sized("no-go"))),
}


def test_nothing_is_wrong_with_a_sound_mould() -> None:
    assert [check for check in judge_all(SOUND) if not check.ok] == []


@pytest.mark.parametrize("name", SPOILT)
def test_a_spoilt_mould_fails_by_name_with_advice(name: str) -> None:
    (found,) = (check for check in judge_all(SPOILT[name]) if check.name == name)
    assert not found.ok
    assert found.advice


def test_all_seams_of_a_pour_leak_together() -> None:
    # Laps: 2 of 0.5 ρ g D c³ D / (12 μ l); edge: ρ g D c³ W / (12 μ l), for it lies at the bottom. In mL an hour.
    head = 1100.0 * 9.80665 * 0.036
    laps = 2 * 0.5 * head * 0.15e-3**3 * 0.036 / (12 * 10 * 6e-3)
    edge = head * 0.1e-3**3 * 0.3 / (12 * 10 * 5e-3)
    (found,) = (check for check in judge_all(SOUND) if check.name == "seam leak")
    assert found.value == pytest.approx((laps + edge) * 3.6e9, abs=6e-4)
    assert judge_all(with_figures(seam_gap_mm=0.5, edge_gap_mm=0.0)) != judge_all(with_figures(edge_gap_mm=0.0))


def test_every_check_on_the_shelf_says_something_about_a_sound_mould() -> None:
    assert len(judge_all(SOUND)) == len(CHECKS)


def test_failures_come_first() -> None:
    found = judge_all(replace(SPOILT["overflow wells"], worst_trapped_mm3=500.0))
    assert [check.name for check in found if not check.ok] == ["overflow wells", "trapped air"]
    [air] = [check for check in judge_all(with_figures(level_within_deg=0.42)) if check.name == "trapped air"]
    assert "to within" not in air.advice  # 45 mm3 are little enough at 5 degrees
    closely = replace(with_figures(level_within_deg=0.42), worst_trapped_mm3=500.0)
    [air] = [check for check in judge_all(closely) if check.name == "trapped air"]
    assert "level it to within 0.4°" in air.advice
    assert [check.ok for check in found] == sorted(check.ok for check in found)


def test_a_round_edge_of_one_millimetre_at_the_mouth_is_told_by_its_lip() -> None:
    (found,) = (check for check in judge_all(SPOILT["thinnest silicone lip"]) if check.name == "thinnest silicone lip")
    # ρ - √(ρ² - s²) at ρ = 1 mm, s = 0.3 mm, by hand.
    assert found.value == pytest.approx(1 - (1 - 0.09) ** 0.5, abs=5e-5)
    assert "two ways out" in found.advice


def test_hollow_prints_pass_with_breathers_where_none_is_shut_in() -> None:
    vented = replace(SOUND, infill=0.15, pieces=(replace(PATTERN, breather=True), replace(BASE, breather=True)))
    assert {check.name: check.ok for check in judge_all(vented)}["hollow prints"]
    shut_in = replace(vented, pieces=(replace(PATTERN, breather=True), replace(PATTERN, touches_silicone=(2,))))
    assert not {check.name: check.ok for check in judge_all(shut_in)}["hollow prints"]
    solid = replace(shut_in, pieces=(replace(PATTERN, solid_print=True, touches_silicone=(2,)),))
    [told] = [check for check in judge_all(solid) if check.name == "hollow prints"]
    assert told.ok
    assert "print solid" in told.advice


def test_a_bore_that_never_fills_by_itself_has_no_time() -> None:
    (found,) = (check for check in judge_all(SPOILT["bridged bore"]) if check.name == "bridged bore")
    assert found.value is None


def test_a_cone_at_the_tip_lets_a_silicone_core_be_longer() -> None:
    def bore_core_ok(facts: KitFacts) -> bool:
        return {check.name: check.ok for check in judge_all(facts)}["bore core"]

    assert bore_core_ok(with_figures(bore_ratio=3.9, core_cone=1.0))
    assert not bore_core_ok(with_figures(bore_ratio=3.9))
    assert not bore_core_ok(with_figures(bore_ratio=5.1, core_cone=1.0))


# ---------------------------------------------------------------- hard cores


def told(facts: KitFacts, name: str) -> CheckResult:
    return next(check for check in judge_all(facts) if check.name == name)


def test_run_out_is_half_the_plays_and_the_lean_at_the_far_end() -> None:
    # By hand, a rod of 8 mm in a bore of 8.2: low 0.3/2 + 0.1/36 * 11, best as below, high 0.6/2 + 0.3/36 * 11.
    assert told(SOUND, "core run-out").value == pytest.approx(0.215 + 0.2 / 36 * 11, abs=5e-4)
    assert "0.18 to 0.39 mm" in told(SOUND, "core run-out").advice


def test_a_core_without_a_spindle_runs_out_as_far_as_silicone_lets_it() -> None:
    loose = told(with_figures(spindle_radius_mm=0.0), "core run-out")
    assert not loose.ok
    assert loose.value == 0.5
    assert "core_bore" in loose.advice


def test_a_plastic_core_floats_when_it_is_light_and_sinks_when_it_is_steel() -> None:
    light, steel = told(SOUND, "core float"), told(with_figures(core_mass_g=25.0), "core float")
    assert light.value == pytest.approx((1080 * 4400e-9 - 1240 * 3300e-9) * 9.80665, abs=5e-5)
    assert steel.value is not None
    assert steel.value < 0
    assert "own weight" in steel.advice


def test_no_check_speaks_of_cores_where_there_is_none() -> None:
    plain = replace(SOUND, figures={key: value for key, value in FIGURES.items() if not key.startswith("core")})
    assert not any(check.name.startswith("core") for check in judge_all(plain))


def test_a_size_that_may_be_out_is_a_note_and_one_that_will_more_likely_be_out_a_caution():
    found = {}
    for verdict in ("go", "not sure", "no-go"):
        [found[verdict]] = (c for c in judge_all(replace(SOUND, sizes=(sized(verdict),))) if c.name == "cast size")
    assert [found[verdict].ok for verdict in found] == [True, False, False]
    assert [found[verdict].severity for verdict in ("not sure", "no-go")] == ["note", "caution"]
    assert "printer" in found["not sure"].advice
    assert "before silicone is bought" in found["no-go"].advice


def test_rubber_on_a_core_comes_in_between_its_two_limits() -> None:
    shrink = 1 - 1 / 1.005
    ring = shrink * (400 - 64) / 20
    found = told(SOUND, "shrink on the core")
    assert found.value == pytest.approx(shrink * 20, abs=5e-4)
    assert f"{ring / (1 + 64 / 1200):.3f} mm of radius for a thin disc" in found.advice
    assert f"{1.5 * ring:.3f} mm for a long roller" in found.advice
