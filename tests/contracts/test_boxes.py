"""Boxes of every outline: they hold the mould fit check, their walls fill the frame, and the best one is taken."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from functools import cache

import pytest

from mould_designs import WISH, evaluator, shape, standing
from pourwright.basics.errors import DoesNotFit
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.hollows.wells import Well, hanging, joins
from pourwright.catalogue.moulds.stand.layout import BOXES, FORM, RECTANGLE, ROUND, Layout, candidates
from pourwright.catalogue.moulds.style import LIDDED, OPEN, STYLES
from pourwright.engines.geometry.tree import union
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_assembly import prove_assembly

ROUND_CELLS = {"half_cell_mm": (12.07, 12.07), "wall_mm": 10.0, "between_mm": 8.0, "round_cells": True}
D, RHO = 32.14, 22.07


@cache
def design(style: str, box: str, cavities: int, part: str = "straight bushing") -> MouldDesign:
    return STYLES[style].build(shape(part), replace(WISH, box=box, cavities=cavities), None)


every_box = pytest.mark.parametrize(
    ("box", "cavities"), [("round", 1), ("round", 3), ("form-fitting", 2), ("form-fitting", 5), ("square", 2)]
)


@every_box
def test_every_identity_holds_in_a_box_of_any_outline(box: str, cavities: int) -> None:
    found = prove(design(OPEN, box, cavities), evaluator())
    assert [identity.name for identity in found.identities if not identity.ok] == []


@every_box
def test_walls_fill_their_frame_but_for_the_clearances_of_the_laps(box: str, cavities: int) -> None:
    mould, volume = design(OPEN, box, cavities), evaluator().volume
    assert mould.layout is not None
    plan, walls = mould.layout.plan, [piece for piece in mould.pieces if piece.role == "wall"]
    wall = mould.figures["wall_mm"]
    middle = (mould.fill_lower_mm + mould.fill_upper_mm) / 2  # between the strap grooves
    low, high = middle - 1, middle + 1
    frame = plan.block(low, high, grow_mm=wall) - plan.block(low - 1, high + 1)
    copies = [piece.solid.at(x, y, z, turn_deg=turn) for piece in walls for x, y, z, turn in piece.places_mm]
    assert len(copies) == 2
    assert volume(copies[0] & copies[1]) == 0.0
    left = volume(frame - union(*copies))
    # Two joints, each a gap of the fit along half the wall, the lap, and the other half.
    joints = 2 * (high - low) * mould.figures["fit_mm"] * (mould.figures["wall_mm"] / 2 + mould.figures["seam_path_mm"])
    assert 0 < left <= 1.1 * joints


@every_box
def test_every_identity_holds_for_a_lid_in_a_box_of_any_outline(box: str, cavities: int) -> None:
    mould = design(LIDDED, box, cavities, "barrel bushing")
    found = prove(mould, evaluator())
    assert [identity.name for identity in found.identities if not identity.ok] == []
    removals = prove_assembly(mould, evaluator()).removals
    assert [one.piece for one in removals if one.blocked_by] == []


@pytest.mark.parametrize("box", BOXES)
def test_nothing_binds_or_blocks_in_a_box_of_any_outline(box: str) -> None:
    found = prove_assembly(design(LIDDED, box, 2, "barrel bushing"), evaluator())
    assert [one for one in found.meetings if not one.ok] == []
    assert [one for one in found.removals if not one.ok] == []


@every_box
def test_what_stands_in_the_frame_leaves_its_clearance_all_round(box: str, cavities: int) -> None:
    mould, volume = design(OPEN, box, cavities), evaluator().volume
    assert mould.layout is not None
    low, high = mould.fill_lower_mm - sizes.FREEBOARD_MM, mould.fill_upper_mm + sizes.FREEBOARD_MM
    inside = mould.layout.plan.block(low, high, grow_mm=-0.9 * sizes.EDGE_GAP_MM)
    for name in ("base", "cover plate", "press board", "levelling board"):
        piece = standing(next(piece for piece in mould.pieces if piece.name == name))
        between = mould.layout.plan.block(low, high, grow_mm=mould.figures["wall_mm"])
        assert volume((piece & between) - inside) == pytest.approx(0.0, abs=1e-9), name


# ---------------------------------------------------------------- areas


def of(cells: int, box: str) -> list[Layout]:
    return [layout for layout in candidates(cells=cells, **ROUND_CELLS) if layout.box == box]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("cells", "rectangle", "round_", "hull", "bores"),
    [
        (2, 3367, 4570, 2949, (88.1, 76.3)),
        (3, 4786, 5185, 4106, (117.1, 81.3)),
        (4, 5819, 6304, 5401, (107.9, 89.6)),
        (5, 7613, 7670, 7195, (125.6, 98.8)),
        (6, 8270, 9232, 7852, (132.6, 108.4)),
        (7, 10065, 9232, 8470, (152.4, 108.4)),
        (12, 15240, 15728, 14821, (177.5, 141.5)),
    ],
)
def test_boxes_have_the_areas_and_pots_worked_out_for_them(
    cells: int, rectangle: float, round_: float, hull: float, bores: tuple[float, float]
) -> None:
    """Radius 12.07, 8 between, 10 beside: closed forms of the rows, and the published circles (calculated)."""
    best = {box: min(of(cells, box), key=lambda one: one.area_mm2) for box in BOXES}
    assert best[RECTANGLE].area_mm2 == pytest.approx(rectangle, abs=0.6)
    assert best[ROUND].area_mm2 == pytest.approx(round_, abs=0.6)
    # Of the same cells; other places of the cells may do with less.
    assert any(layout.area_mm2 == pytest.approx(hull, abs=0.6) for layout in of(cells, FORM))
    assert best[FORM].area_mm2 <= hull + 0.6
    assert best[RECTANGLE].pot_bore_mm(0.0) == pytest.approx(bores[0], abs=0.06)
    assert best[ROUND].pot_bore_mm(0.0) == pytest.approx(bores[1], abs=0.06)


@pytest.mark.parametrize("cells", range(1, 13))
def test_silicone_is_nowhere_thinner_than_asked(cells: int) -> None:
    for layout in candidates(cells=cells, **ROUND_CELLS):  # type: ignore[arg-type]
        beside = min(layout.plan.inside_mm(x, y) for x, y in layout.centres_mm) - 12.07
        assert beside == pytest.approx(10.0, abs=1e-6) if layout.box != "square" else beside >= 10 - 1e-6
        apart = min((math.dist(a, b) for a, b in itertools.combinations(layout.centres_mm, 2)), default=math.inf)
        assert apart >= D - 1e-9


# ---------------------------------------------------------------- choosing


def test_the_box_with_the_least_silicone_is_taken_but_a_simpler_one_within_five_per_cent_goes_first() -> None:
    for cavities in (1, 2, 4, 7):
        mould = STYLES[OPEN].build(shape("straight bushing"), replace(WISH, cavities=cavities), None)
        assert mould.layout is not None
        deep = -mould.fill_lower_mm
        parts = cavities * mould.figures["part_volume_mm3"]

        def silicone(layout: Layout, deep: float = deep, parts: float = parts) -> float:
            return layout.area_mm2 * deep - parts

        least = min(silicone(layout) for layout in mould.layouts)
        assert silicone(mould.layout) <= 1.05 * least
        simpler = [one for one in mould.layouts if BOXES.index(one.box) < BOXES.index(mould.layout.box)]
        assert all(silicone(layout) > 1.05 * least for layout in simpler)


def test_a_pot_too_narrow_for_the_best_box_takes_the_round_one() -> None:
    free = STYLES[OPEN].build(shape("straight bushing"), replace(WISH, cavities=5, pot_mm=(400.0, 300.0)), None)
    tight = min(one.pot_bore_mm(8.0) for one in free.layouts if one.box == ROUND) + 2 * sizes.FINGER_ROOM_MM
    found = STYLES[OPEN].build(shape("straight bushing"), replace(WISH, cavities=5, pot_mm=(tight + 0.1, 300.0)), None)
    assert found.layout is not None
    assert found.layout.box in (ROUND, FORM)
    assert found.layout.area_mm2 >= free.layout.area_mm2  # type: ignore[union-attr]
    assert found.figures["pot_circle_mm"] <= tight + 0.1 - 2 * sizes.FINGER_ROOM_MM


def test_a_box_that_is_asked_for_is_taken_and_an_unknown_layout_is_told_with_those_there_are() -> None:
    for box in BOXES:
        assert design(OPEN, box, 2).layout.box == box  # type: ignore[union-attr]
    with pytest.raises(DoesNotFit, match="no layout") as caught:
        STYLES[OPEN].build(shape("straight bushing"), replace(WISH, box=ROUND, layout="3 × 9"), None)
    assert "2 × 1" in caught.value.advice


# ---------------------------------------------------------------- the overflow


@pytest.mark.parametrize(
    ("style", "box", "cavities"), [(OPEN, "square", 4), (LIDDED, "rectangle", 6), (LIDDED, "round", 7)]
)
def test_the_resin_of_many_rows_comes_off_in_one_piece_and_so_does_every_printed_piece(
    style: str, box: str, cavities: int
) -> None:
    mould = design(style, box, cavities, "barrel bushing" if style == LIDDED else "straight bushing")
    assert mould.layout is not None
    assert len(mould.layout.rows_mm) > 1
    assert evaluator().bodies(mould.cavity) == mould.cavity_bodies == 1
    assert {piece.name: evaluator().bodies(piece.solid) for piece in mould.pieces} == dict.fromkeys(
        (piece.name for piece in mould.pieces), 1
    )


def test_a_channel_goes_round_a_core_rod_or_is_left_out() -> None:
    layout = of(2, RECTANGLE)[0]
    (x, y), (other, _) = layout.centres_mm[:2]
    assert other - x > 10
    well = Well(inner_mm=0, outer_mm=2, floor_mm=0, top_mm=3, draft_inner=False, spots_mm=((-6, 0), (6, 0)))
    assert hanging(layout, well) == 1
    assert len(joins(layout, well)) == 3
    beside = replace(well, keep_out_mm=3.0)
    assert joins(layout, beside) == (((x + 6, y), (other - 6, y)),)
    assert hanging(layout, beside) == 3
