"""What must hold of a mould that leans on purpose: fewer vents, no more air, whole kits; no advice without a saving."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mould_designs import WISH, evaluator, mould, shape
from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.hollows.vents import Lean, Vent
from pourwright.catalogue.moulds.style import STYLES
from pourwright.steps.planning.lean_advice import LeanAdvice, advise_lean, block_mm, side_words
from pourwright.steps.planning.place_vents import AirStudy, place_vents, study_air
from pourwright.steps.proofs.prove import prove
from pourwright.steps.studies.kit_air import lean_words

OPEN, LIDDED = "open with cover plate", "two-part lidded"
FLAT_TOPPED = ((OPEN, "disc"), (LIDDED, "bushing with a 1 mm edge"), (LIDDED, "stepped bushing"))


def vented(style: str, part: str) -> tuple[MouldDesign, AirStudy]:
    """A mould with the vents that it needs standing level."""
    found = place_vents(mould(style, part), evaluator(), share=WISH.trapped_share)
    wish = replace(WISH, vents=found.vents, trapped_mm3=found.air.worst_mm3)
    return STYLES[style].build(shape(part), wish, None), found.air


def leaned(style: str, part: str, vents: tuple[Vent, ...], air: AirStudy, lean: Lean) -> MouldDesign:
    wish = replace(WISH, vents=vents, trapped_mm3=air.worst_mm3, lean=lean)
    return STYLES[style].build(shape(part), wish, None)


def advised(style: str, part: str) -> LeanAdvice | None:
    design, air = vented(style, part)
    return advise_lean(design, air, evaluator(), lambda *asked: leaned(style, part, *asked), share=WISH.trapped_share)


@pytest.mark.parametrize(("style", "part"), FLAT_TOPPED)
def test_a_flat_top_that_leans_needs_one_vent_and_leaves_no_more_air(style: str, part: str) -> None:
    told = advised(style, part)
    assert told is not None
    assert (told.vents, told.fewer) == (1, told.vents_now - 1)
    assert told.leaned_mm3 <= told.worst_now_mm3
    assert told.unleaned_mm3 > 10 * told.leaned_mm3


def test_every_identity_holds_with_the_vents_of_a_lean_and_they_stand_on_the_raised_side() -> None:
    style, part = LIDDED, "bushing with a 1 mm edge"
    lean = Lean(tilt_deg=5.0, towards_deg=90.0)
    found = place_vents(mould(style, part), evaluator(), share=WISH.trapped_share, lean=lean)
    design = leaned(style, part, found.vents, found.air, lean)
    assert design.venting is not None
    assert design.venting.vents.places == found.vents
    assert all(vent.y_mm > 5.0 for vent in found.vents)
    assert all(one.ok for one in prove(design, evaluator()).identities)


def test_nothing_is_advised_where_no_room_is_left_for_the_wells() -> None:
    design, air = vented(OPEN, "disc")

    def refuse(*_: object) -> MouldDesign:
        raise CannotBuild("no room")

    assert advise_lean(design, air, evaluator(), refuse, share=WISH.trapped_share) is None


def test_nothing_is_advised_for_a_mould_that_leans_already() -> None:
    style, part, lean = OPEN, "disc", Lean(tilt_deg=5.0, towards_deg=90.0)
    found = place_vents(mould(style, part), evaluator(), share=WISH.trapped_share, lean=lean)
    assert advise_lean(mould(style, part), found.air, evaluator(), pytest.fail, share=WISH.trapped_share) is None


def test_a_lean_that_is_a_little_off_is_judged_with_the_one_that_is_meant() -> None:
    lean = Lean(tilt_deg=5.0, towards_deg=0.0)
    air = study_air(mould(OPEN, "disc"), evaluator(), share=WISH.trapped_share, lean=lean)
    assert [(t, a) for t, a, _ in air.per_tilt] == [(5, 0), (3.5, 0), (6.5, 0), (5, 350), (5, 10)]
    assert air.worst_mm3 == max(volume for _, _, volume in air.per_tilt)


def test_the_block_under_the_edge_is_the_box_times_the_sine_and_a_side_has_its_axis() -> None:
    box = (100.0, 60.0, 40.0)
    assert block_mm(Lean(tilt_deg=30.0, towards_deg=0.0), box) == pytest.approx(50.0)
    assert block_mm(Lean(tilt_deg=30.0, towards_deg=270.0), box) == pytest.approx(30.0)
    assert [side_words(angle) for angle in (0.0, 90.0, 180.0, 270.0)] == ["+x", "+y", "-x", "-y"]


def test_a_level_mould_has_no_words_about_leaning() -> None:
    assert lean_words({"leaned": None}) == ""
    told = lean_words({"leaned": {"block_mm": 8.7, "raise": "+y", "tilt_deg": 5.0}})
    assert "9 mm" in told
    assert "+y" in told
