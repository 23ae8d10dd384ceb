"""Every mould comes apart in the order of its sheet, and a fault planted in one is named."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mould_designs import MOULDS, WISH, evaluator, mould, shape
from pourwright.catalogue.moulds.assembly import CAST, POUR_1, POUR_2, stages
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import LIDDED, ONE_PART, OPEN, STYLES, choose_style
from pourwright.domain.assembly import AssemblyProof
from pourwright.engines.geometry.tree import Box, cylinder
from pourwright.steps.pictures.draw_assembly import draw_assembly
from pourwright.steps.proofs.prove_assembly import assembly_checks, prove_assembly
from pourwright.steps.words.assembly_words import apart_by_stage, apart_words

# Every part in the style that the program would choose for it.
CHOSEN = [(style, part) for style, part in MOULDS if choose_style(shape(part), WISH).style == style]


def proof(design: MouldDesign) -> AssemblyProof:
    return prove_assembly(design, evaluator())


def changed(design: MouldDesign, name: str, **fields: object) -> MouldDesign:
    pieces = tuple(replace(one, **fields) if one.name == name else one for one in design.pieces)  # type: ignore[arg-type]
    return replace(design, pieces=pieces)


@pytest.mark.parametrize(("style", "part"), CHOSEN)
def test_every_mould_comes_apart_and_nothing_binds(style: str, part: str) -> None:
    found = proof(mould(style, part))
    assert [one.advice for one in assembly_checks(found) if not one.ok] == []
    assert {one.stage for one in found.removals} == {stage.name for stage in stages(mould(style, part))}


@pytest.mark.parametrize("style", [OPEN, LIDDED])
def test_everything_but_what_stays_on_the_bench_leaves_after_the_cast(style: str) -> None:
    part = "straight bushing" if style == OPEN else "barrel bushing"
    found = proof(mould(style, part))
    gone = {one.piece.rstrip(" 0123456789") for one in found.removals if one.stage == CAST}
    standing = next(set(names) for name, names in found.stages if name == CAST)
    assert standing - gone == {"levelling board"}


def test_an_open_mould_of_one_part_comes_apart_once_its_bar_is_away() -> None:
    found = proof(mould(ONE_PART, "disc", 4))
    assert [one.advice for one in assembly_checks(found) if not one.ok] == []
    assert next(one.piece for one in found.removals if one.stage == CAST) == "strike-off bar"


def test_a_base_with_a_hook_in_the_silicone_cannot_be_lifted_and_both_are_named() -> None:
    design = mould(OPEN, "straight bushing")
    hook = cylinder(radius_mm=1.5, z0_mm=-4, z1_mm=1) | cylinder(radius_mm=4, z0_mm=-6, z1_mm=-4)
    base = next(piece for piece in design.pieces if piece.role == "base").solid | hook
    caught = changed(replace(design, lower=design.lower - hook), "base", solid=base)
    blocked = [one for one in proof(caught).removals if not one.ok]
    assert [(one.stage, one.piece, one.blocked_by) for one in blocked] == [(POUR_1, "base", ("lower half",))]
    assert blocked[0].blocked_area * 1e6 == pytest.approx(3.1416 * (16 - 2.25), rel=0.05)
    advice = assembly_checks(proof(caught))[0]
    assert advice.failed
    assert "base" in advice.advice
    assert "lower half" in advice.advice


def test_rods_cannot_be_drawn_before_the_bar_that_caps_them() -> None:
    design = mould(LIDDED, "barrel bushing")
    bar = next(piece for piece in design.pieces if piece.role == "bridge")
    # As a base it would leave in the first stage only, so that it still stands when the rods are drawn.
    stuck = changed(design, bar.name, role="levelling board", leaves=((0.0, 0.0, 1.0),))
    blocked = {one.piece for one in proof(stuck).removals if bar.name in one.blocked_by}
    assert {name.rstrip(" 0123456789") for name in blocked} >= {"vent rod", "lid"}


def test_walls_that_overlap_are_told_with_the_volume() -> None:
    design = STYLES[OPEN].build(shape("straight bushing"), replace(WISH, box="rectangle"), None)
    walls = next(piece for piece in design.pieces if piece.role == "wall")
    x, y, _ = design.box_inside_mm
    corner = Box(x / 2, -y / 2 - 2, 0, x / 2 + 2, -y / 2 + 1, 2)
    found = proof(changed(design, "wall", solid=walls.solid | corner))
    tight = [one for one in found.meetings if not one.ok and {one.one, one.other} == {"wall 1", "wall 2"}]
    assert tight
    assert tight[0].overlap > 0


def test_a_rod_that_is_too_thick_for_its_seat_binds_and_is_named() -> None:
    design = mould(LIDDED, "barrel bushing")
    rod = next(piece for piece in design.pieces if piece.name == "vent rod")
    thicker = changed(design, "vent rod", solid=rod.solid | cylinder(radius_mm=1.56, z0_mm=9, z1_mm=10))
    tight = [one for one in proof(thicker).meetings if not one.ok]
    assert tight
    assert all("vent rod" in (one.one + one.other) for one in tight)
    assert "play" in assembly_checks(proof(thicker))[1].advice


def test_a_piece_may_leave_its_own_way() -> None:
    design = mould(OPEN, "straight bushing")
    sideways = changed(design, "press board", leaves=((1.0, 0.0, 0.0),))
    blocked = [one for one in proof(sideways).removals if not one.ok]
    assert [one.piece for one in blocked] == ["press board"]
    assert "wall" in blocked[0].blocked_by


def test_the_words_name_everything_in_order() -> None:
    words = apart_by_stage(proof(mould(LIDDED, "barrel bushing")))
    places = [
        words[POUR_2].index(name) for name in ("bridge bar", "vent rod", "wall", "lid (", "upper pattern", "lower")
    ]
    assert places == sorted(places)
    assert words[CAST].index("overflow") < words[CAST].index("lid (")
    assert apart_words(None, CAST) == ""


def test_the_moving_picture_shows_every_step_and_marks_what_is_blocked() -> None:
    design = mould(OPEN, "straight bushing", 1)
    good = draw_assembly(design, proof(design), evaluator())
    stuck = changed(design, "press board", leaves=((1.0, 0.0, 0.0),))
    bad = draw_assembly(stuck, proof(stuck), evaluator())
    assert good.startswith(b"<svg")
    assert b"prefers-reduced-motion" in good
    assert b"Cover plate straight up" in good
    assert b"blocked by" not in good
    assert b"Press board: blocked by" in bad
    assert draw_assembly(design, proof(design), evaluator()) == good


# ---------------------------------------------------------------- screws


@pytest.mark.parametrize(("style", "part"), [(OPEN, "straight bushing"), (LIDDED, "barrel bushing")])
def test_screws_are_turned_out_before_the_base_is_lifted(style: str, part: str) -> None:
    design = mould(style, part)
    [screws] = design.fasteners
    leaving = [one.piece for one in proof(design).removals if one.stage == POUR_1]
    count = len(screws.places_mm)
    assert all(name.startswith("screw") for name in leaving[:count])
    assert leaving[count] == "base"
    assert "screw (straight up), base" in apart_words(proof(design), POUR_1)


def test_a_base_whose_screws_are_still_in_cannot_be_lifted() -> None:
    design = mould(OPEN, "straight bushing")
    [screws] = design.fasteners
    dowels = replace(
        design.pieces[0], name="screw left in", role="dowel", solid=screws.solid, places_mm=screws.places_mm
    )
    states = ((POUR_1, (*design.states[0][1], "screw left in")), *design.states[1:])
    stuck = replace(design, pieces=(*design.pieces, dowels), states=states, fasteners=())
    blocked = {one.piece: one.blocked_by for one in proof(stuck).removals if not one.ok}
    assert blocked["base"] == ("screw left in",)


def test_a_screw_that_no_driver_reaches_is_told() -> None:
    design = mould(OPEN, "straight bushing")
    base = next(piece for piece in design.pieces if piece.role == "base")
    high = evaluator().bounds(base.solid)[1][2]
    x, y, _, _ = design.fasteners[0].places_mm[0]
    lid = cylinder(radius_mm=5.0, z0_mm=high - 2, z1_mm=high).at(x, y)
    blocked = [one for one in proof(changed(design, "base", solid=base.solid | lid)).removals if not one.ok]
    assert {(one.piece.rstrip(" 0123456789"), one.blocked_by) for one in blocked} == {("screw", ("base",))}
