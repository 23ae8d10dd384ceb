"""A block parted along the part's side: what is special about it, beside what every mould style promises."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from mould_designs import WISH, evaluator, mould, shape
from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.moulds.assembly import CAST
from pourwright.catalogue.moulds.stand.side_lain import lay
from pourwright.catalogue.moulds.style import LIDDED, OPEN, SIDE, STYLES, choose_style
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.tree import Box, Node, Revolve, polygon
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_assembly import assembly_checks, prove_assembly
from pourwright.steps.studies.study_cell import study_cell
from pourwright.steps.studies.study_solid import study_solid


def revolved(*corners: tuple[float, float]) -> PartShape:
    """A body of revolution without a bore."""
    outline = polygon(list(corners))
    wide, high = max(r for r, _ in corners), max(z for _, z in corners)
    return PartShape(node=Revolve(outline), outline=outline, size_mm=(2 * wide, 2 * wide, high), radius_mm=wide)


DUMBBELL = revolved((0, 0), (15, 0), (15, 12), (5, 14), (5, 30), (15, 32), (15, 44), (0, 44))


@pytest.mark.parametrize("part", [DUMBBELL, FAMILIES["waisted bushing"].build(
    {"outer_diameter": 40, "waist_diameter": 14, "height": 36, "bore": 6, "edge_radius": 0.5})],
    ids=["dumbbell", "deep waist"])  # fmt: skip
def test_a_part_too_waisted_to_be_pulled_along_its_axis_is_laid_on_its_side(part: PartShape) -> None:
    choice = choose_style(part, WISH)
    assert choice.style == SIDE
    assert "stretch" in choice.reason
    assert any("stretch" in reason for reason in choice.against[LIDDED])
    study = study_cell(STYLES[SIDE].build(part, WISH, None), evaluator())
    assert study.stretch["lower"] == pytest.approx(1.0, abs=1e-6)
    assert study.stretch["lid"] == pytest.approx(1.0, abs=1e-6)
    assert study.undercut_mm3 == pytest.approx(0.0, abs=1e-6)
    assert all(lip.ok for lip in study.lips)


def test_a_part_that_can_be_pulled_along_its_axis_is_not_laid_down() -> None:
    assert choose_style(shape("waisted bushing"), WISH).style == OPEN
    assert choose_style(shape("waisted bushing"), WISH).against[SIDE] == ()


@pytest.mark.parametrize("part", ["disc", "straight bushing", "waisted bushing"])
def test_both_halves_of_a_symmetric_part_lie_equal_about_the_parting(part: str) -> None:
    """Half of every cavity, vent and basin lies below the parting."""
    design, volume = mould(SIDE, part), evaluator().volume
    below = volume(design.cavity & Box(-500, -500, -500, 500, 500, 0))
    assert below == pytest.approx(volume(design.cavity) / 2, rel=1e-9)


def test_half_the_box_less_half_the_parts_and_the_keys_is_the_lower_half() -> None:
    design, volume = mould(SIDE, "disc"), evaluator().volume
    x, y, _ = design.box_inside_mm
    keys = volume(design.release_groups["keys"])
    half = -x * y * design.fill_lower_mm - volume(design.cavity) / 2 - keys
    assert volume(design.lower) == pytest.approx(half, rel=1e-9)


def test_a_bore_takes_a_rod_from_end_to_end_that_is_exactly_as_wide() -> None:
    design, volume = mould(SIDE, "straight bushing", 1), evaluator().volume
    x, y, z = design.box_inside_mm
    assert design.figures["bore_is_rod"] == 1.0
    assert volume(design.interior) == pytest.approx(x * y * z - math.pi * (4.5 * 1.006) ** 2 * x, rel=1e-9)
    # The patterns are printed with the bore filled, and the rod lies only in the closed mould.
    assert {name for name, names in design.states if "core rod" in names} == {CAST}


def test_air_leaves_a_block_that_stands_on_its_end() -> None:
    for part in ("straight bushing", "waisted bushing", "stepped bushing", "taper bushing"):
        study = study_cell(mould(SIDE, part), evaluator())
        assert study.trapped_mm3 == 0.0, part
    lying = replace(mould(SIDE, "waisted bushing"), up=(0.0, 0.0, 1.0))
    assert study_cell(lying, evaluator()).trapped_mm3 > 1000.0


@pytest.mark.parametrize("part", ["disc", "straight bushing", "waisted bushing"])
def test_a_block_comes_apart_in_the_order_of_its_sheet(part: str) -> None:
    found = prove_assembly(mould(SIDE, part), evaluator())
    assert [one.advice for one in assembly_checks(found) if not one.ok] == []
    assert {one.piece.rstrip(" 12") for one in found.removals if one.stage == CAST} >= {"side board", "lid", "cast"}


def test_the_exact_kernel_agrees_on_a_bored_part() -> None:
    design = mould(SIDE, "sharp bushing", 1)
    exact, mesh = prove(design, Evaluator(BrepKernel())), prove(design, evaluator(48))
    assert exact.ok
    for name in ("lower half", "closing piece", "cavity"):
        assert mesh.volumes[name] == pytest.approx(exact.volumes[name], rel=1e-6)


def test_cells_stand_in_one_row_and_no_other_layout_is_taken() -> None:
    assert len({x for x, _ in mould(SIDE, "disc", 4).centres_mm}) == 1
    with pytest.raises(CannotBuild, match="fed from its end") as caught:
        STYLES[SIDE].build(shape("disc"), replace(WISH, cavities=4, layout="2 × 2"), None)
    assert "1 × 4" in caught.value.advice


def test_a_block_too_tall_for_the_pot_is_refused() -> None:
    with pytest.raises(DoesNotFit, match="mm high"):
        STYLES[SIDE].build(shape("long bushing"), replace(WISH, cavities=1, pot_mm=(250.0, 80.0)), None)


def test_a_silicone_core_cannot_be_had_on_the_side() -> None:
    wish = replace(WISH, bore_core="silicone")
    assert "locked" in choose_style(shape("straight bushing"), wish).against[SIDE][0]
    with pytest.raises(CannotBuild, match="locked"):
        lay(shape("straight bushing"), wish, None)


def test_a_basin_clears_the_rod_and_the_vent() -> None:
    for part in ("straight bushing", "taper bushing", "profile"):
        design = mould(SIDE, part, 1)
        rod = next(piece.solid for piece in design.pieces if piece.role == "core rod")
        assert evaluator().volume(design.wells & rod) == 0.0
        low, _ = evaluator().bounds(design.wells)
        assert low[1] >= evaluator().bounds(rod)[1][1] + 1.0 - 1e-9


# ---------------------------------------------------------------- solids from files

BLOCKS = Box(-15, -10, 0, 15, 10, 12) | Box(-4, -4, 11, 4, 4, 30) | Box(-15, -10, 29, 15, 10, 40)
KNOB = [(0, 0), (14, 0), (14, 6), (5, 10), (5, 20), (15, 25), (15, 32), (10, 36), (0, 36)]
CUP = [(0, 0), (15, 0), (15, 20), (12, 20), (12, 4), (0, 4)]


def solid(node: Node, x: float, y: float, z: float) -> PartShape:
    return PartShape(node=node, outline=None, size_mm=(x, y, z), radius_mm=math.hypot(x, y) / 2)


SOLIDS = {
    "knob": solid(Revolve(polygon(KNOB)), 30, 30, 36),
    "two blocks on a stem": solid(BLOCKS, 30, 20, 40),
    "two blocks, turned": solid(BLOCKS.at(turn_deg=30.0), 36, 33, 40),
}


@pytest.mark.parametrize("name", SOLIDS)
def test_a_waisted_solid_without_an_outline_is_laid_on_its_side_too(name: str) -> None:
    part, fine = SOLIDS[name], evaluator(48)
    facts = study_solid(part, fine, allowed_stretch=2.0)
    choice = choose_style(part, WISH, solid=facts)
    assert choice.style == SIDE
    assert "stretch" in choice.reason
    design = STYLES[SIDE].build(part, WISH, facts)
    assert prove(design, fine).ok
    study = study_cell(design, fine)
    assert study.stretch["lower"] == pytest.approx(1.0, abs=1e-3)
    assert study.undercut_mm3 < 1e-3 * design.figures["part_volume_mm3"]
    assert study.trapped_mm3 < 1e-3 * design.figures["part_volume_mm3"]
    assert [one.advice for one in assembly_checks(prove_assembly(design, fine)) if not one.ok] == []
    for probe_name, probe, body in design.containment:
        assert fine.volume(probe - body) <= 1e-9, probe_name


def test_a_solid_that_is_blocked_whichever_way_it_lies_is_not_laid_down() -> None:
    cup = solid(Revolve(polygon(CUP)), 30, 30, 20)
    facts = study_solid(cup, evaluator(48), allowed_stretch=2.0)
    assert facts is not None
    assert facts.side is None
    assert "let go" in choose_style(cup, WISH, solid=facts).against[SIDE][0]
