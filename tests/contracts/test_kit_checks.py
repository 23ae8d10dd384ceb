"""Each check of a kit passes a sound mould and fails a spoilt one, by name and with advice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pourwright.catalogue.checks.check import CHECKS, judge_all
from pourwright.catalogue.kit_facts import KitFacts, PieceFacts, SiliconeFacts
from pourwright.engines.geometry.lips import outline_lips
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
    "part_volume_mm3": 13000.0, "well_volume_mm3": 700.0, "well_needed_mm3": 669.0, "bore_diameter_mm": 9.0,
    "bore_ratio": 2.67, "bore_length_mm": 24.0, "slug_length_mm": 24.0, "slug_diameter_mm": 9.0, "wall_bulge_mm": 0.02,
    "seam_gap_mm": 0.15, "seam_count": 2.0, "seam_width_mm": 36.0, "seam_path_mm": 6.0, "pour_depth_mm": 36.0,
    "pattern_displaced_mm3": 13000.0, "key_misfit_mm3": 131.0, "key_volume_mm3": 131.0, "infill": 1.0,
    "free_face_proud_mm": 0.5, "bed_x_mm": 220.0, "bed_y_mm": 220.0, "bed_z_mm": 250.0,
}  # fmt: skip


def puck(edge_mm: float) -> Outline:
    """A disc of radius 12 and height 10 with a rounded upper edge."""
    edges = (Line(12.0, 0.0), Line(12.0, 10.0 - edge_mm), Arc(12.0 - edge_mm, 10.0, 12.0 - edge_mm, 10.0 - edge_mm),
             Line(0.0, 10.0), Line(0.0, 0.0))  # fmt: skip
    return Outline((0.0, 0.0), edges)


SOUND = KitFacts(
    style="open with cover plate", cavities=4, closing_is_silicone=False, pieces=(PATTERN, BASE), silicone=SILICONE,
    pressure=310e3, infill=1.0, figures=FIGURES, lips=outline_lips(puck(0.5), 10.0, depth_below_mm=18.0),
    stretch={"lower": 1.0, "lid": None}, stretch_allowed=3.0, trapped_mm3=0.0, worst_trapped_mm3=90.0,
)  # fmt: skip


def with_figures(**changes: float) -> KitFacts:
    """The sound mould with some figures spoilt."""
    return replace(SOUND, figures={**FIGURES, **changes})


SPOILT = {
    "thinnest silicone lip": replace(SOUND, lips=outline_lips(puck(1.0), 10.0, depth_below_mm=18.0)),
    "stretch on opening": replace(SOUND, stretch={"lower": 3.2, "lid": None}),
    "hollow prints": replace(SOUND, infill=0.15),
    "overflow wells": with_figures(well_volume_mm3=600.0),
    "trapped air": replace(SOUND, trapped_mm3=500.0),
    "bore core": with_figures(bore_ratio=7.0),
    "one way only": with_figures(key_misfit_mm3=10.0),
    "wall bulge": with_figures(wall_bulge_mm=0.3),
    "printer bed": replace(SOUND, pieces=(PATTERN, replace(BASE, size_mm=(260.0, 100.0, 15.0)))),
    "float force": replace(SOUND, infill=0.15, pieces=(replace(PATTERN, held_by=""), BASE)),
    "bridged bore": with_figures(slug_diameter_mm=2.0),
    "seam leak": with_figures(seam_gap_mm=0.5),
    "free face": with_figures(free_face_proud_mm=1.4),
}


def test_nothing_is_wrong_with_a_sound_mould() -> None:
    assert [check for check in judge_all(SOUND) if not check.ok] == []


@pytest.mark.parametrize("name", SPOILT)
def test_a_spoilt_mould_fails_by_name_with_advice(name: str) -> None:
    (found,) = (check for check in judge_all(SPOILT[name]) if check.name == name)
    assert not found.ok
    assert found.advice


def test_every_check_on_the_shelf_says_something_about_a_sound_mould() -> None:
    assert len(judge_all(SOUND)) == len(CHECKS)


def test_failures_come_first() -> None:
    found = judge_all(replace(SPOILT["overflow wells"], trapped_mm3=500.0))
    assert [check.name for check in found if not check.ok] == ["overflow wells", "trapped air"]
    assert [check.ok for check in found] == sorted(check.ok for check in found)


def test_a_round_edge_of_one_millimetre_at_the_mouth_is_told_by_its_lip() -> None:
    (found,) = (check for check in judge_all(SPOILT["thinnest silicone lip"]) if check.name == "thinnest silicone lip")
    # ρ - √(ρ² - s²) at ρ = 1 mm, s = 0.3 mm, by hand.
    assert found.value == pytest.approx(1 - (1 - 0.09) ** 0.5, abs=5e-5)
    assert "two ways out" in found.advice


def test_hollow_prints_pass_with_breathers_where_none_is_shut_in() -> None:
    vented = replace(SOUND, infill=0.15, pieces=(replace(PATTERN, breather=True), replace(BASE, breather=True)))
    assert {check.name: check.ok for check in judge_all(vented)}["hollow prints"]
    in_the_lid = replace(vented, pieces=(replace(PATTERN, breather=True, touches_silicone=(2,)),))
    assert not {check.name: check.ok for check in judge_all(in_the_lid)}["hollow prints"]


def test_a_bore_that_never_fills_by_itself_has_no_time() -> None:
    (found,) = (check for check in judge_all(SPOILT["bridged bore"]) if check.name == "bridged bore")
    assert found.value is None


def test_a_cone_at_the_tip_lets_a_silicone_core_be_longer() -> None:
    def bore_core_ok(facts: KitFacts) -> bool:
        return {check.name: check.ok for check in judge_all(facts)}["bore core"]

    assert bore_core_ok(with_figures(bore_ratio=3.9, core_cone=1.0))
    assert not bore_core_ok(with_figures(bore_ratio=3.9))
    assert not bore_core_ok(with_figures(bore_ratio=5.1, core_cone=1.0))
