"""Walls, bases and boards that are longer than the bed: cut into parts that fit it, join, and make up the piece."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise

import pytest

from mould_designs import WISH, evaluator, shape
from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.prints.joints import MOST_PARTS, SMALL_TAIL, Cut, Tail, fits, grid, parts_of, plan_cuts
from pourwright.catalogue.moulds.prints.stiffening import WallForm, bulge_mm, post_mm, tail_mm, wall_form
from pourwright.catalogue.moulds.stand.plan import rectangle
from pourwright.catalogue.moulds.style import LIDDED, OPEN, STYLES
from pourwright.engines.geometry.tree import Box
from pourwright.engines.process.mould_physics import ribbed_thickness
from pourwright.steps.planning.split_pieces import with_parts
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_assembly import prove_assembly

# A row behind walls of L, cells in a form-fitting box, a single part larger than half the bed.
CASES = {
    "a row": (OPEN, "straight bushing", {"cavities": 3, "bed_mm": (70.0, 70.0, 250.0), "box": "rectangle"}),
    "a hull": (LIDDED, "barrel bushing", {"cavities": 4, "bed_mm": (70.0, 75.0, 250.0), "box": "form-fitting"}),
    "one part": (OPEN, "straight bushing", {"cavities": 1, "bed_mm": (60.0, 60.0, 250.0), "box": "rectangle"}),
}
every_case = pytest.mark.parametrize("case", CASES)


@cache
def split(case: str) -> MouldDesign:
    style, part, changes = CASES[case]
    wish = replace(WISH, **changes)
    return with_parts(STYLES[style].build(shape(part), wish, None), evaluator(), bed_mm=wish.piece_bed_mm)


def bed(case: str) -> tuple[float, float]:
    x, y, _ = CASES[case][2]["bed_mm"]  # type: ignore[misc]
    return x, y


def size(piece: Piece) -> list[float]:
    low, high = evaluator().bounds(piece.solid)
    return (high - low).tolist()


def cut_pieces(case: str) -> list[Piece]:
    return [piece for piece in split(case).pieces if piece.parts]


@every_case
def test_every_printed_part_fits_the_bed(case: str) -> None:
    assert cut_pieces(case)
    assert [piece.name for piece in split(case).made if not fits(size(piece), bed(case))] == []


@every_case
def test_only_what_does_not_fit_the_bed_is_cut(case: str) -> None:
    assert [piece.name for piece in cut_pieces(case) if fits(size(piece), bed(case))] == []


@every_case
def test_every_identity_holds_for_a_mould_in_parts_and_it_comes_apart(case: str) -> None:
    found = prove(split(case), evaluator())
    assert [identity.name for identity in found.identities if not identity.ok] == []
    apart = prove_assembly(split(case), evaluator())
    assert [one for one in apart.removals if not one.ok] == []
    assert [one for one in apart.meetings if not one.ok] == []
    # Each piece in parts was slid together on the bench first, part by part.
    assert len({one.stage for one in apart.removals if one.stage.startswith("joining")}) == len(cut_pieces(case))


@every_case
def test_parts_lose_nothing_of_their_piece_but_the_gap_of_the_joint(case: str) -> None:
    volume, fit = evaluator().volume, WISH.fit_mm
    for piece in cut_pieces(case):
        low, high = evaluator().bounds(piece.solid)
        lost = volume(piece.solid) - sum(volume(part.solid) for part in piece.parts)
        most = 0.0
        for cut in piece.cuts:
            height, along = float(high[2] - low[2]), float(high[1 - cut.axis] - low[1 - cut.axis])
            # A straight gap, round each dovetail one as wide as the fit, and the channel.
            round_tails = len(cut.tails_mm) * fit * 4 * cut.tail.head_mm
            most += height * (sizes.EDGE_GAP_MM * along + round_tails + 3.2 * len(cut.channels_mm))
        assert 0 < lost <= most, piece.name


@every_case
def test_a_dovetail_holds_its_parts_together_in_the_plane(case: str) -> None:
    """Drawn apart along the cut's axis by more than the play, a part runs into the one that it is joined to."""
    play = 4 * WISH.fit_mm
    for piece in cut_pieces(case):
        for cut in (cut for cut in piece.cuts if cut.tails_mm):
            low, high = evaluator().bounds(piece.solid)
            below, above = parts_of(piece.solid, [cut], fit_mm=WISH.fit_mm, low_mm=low[2], high_mm=high[2])
            moved = above.at(play, 0.0) if cut.axis == 0 else above.at(0.0, play)
            assert evaluator().volume(below & above) == 0.0
            assert evaluator().volume(below & moved) > 1.0, piece.name


def test_walls_carry_the_joint_in_a_post_with_a_channel_that_runs_from_end_to_end() -> None:
    wall = next(piece for piece in cut_pieces("a row") if piece.role == "wall")
    for cut in wall.cuts:
        assert len(cut.tails_mm) == len(cut.channels_mm) == 1
        (x, y), half = (cut.at_mm, cut.channels_mm[0]), 0.5 * sizes.SEAL_RADIUS_MM
        low, high = evaluator().bounds(wall.solid)
        hole = Box(x - half, y - half, low[2], x + half, y + half, high[2])
        assert evaluator().volume(wall.solid & hole) == pytest.approx(evaluator().volume(hole), rel=1e-9)
        assert all(evaluator().volume(part.solid & hole) == 0.0 for part in wall.parts)


def test_posts_leave_plastic_round_every_dovetail() -> None:
    for wall in sizes.WALL_THICKNESSES_MM:
        outer = wall + post_mm(wall) - tail_mm(wall) - SMALL_TAIL.head_mm / 2
        inner = tail_mm(wall) - SMALL_TAIL.head_mm / 2 - sizes.SEAL_IN_MM - sizes.SEAL_RADIUS_MM
        assert outer == pytest.approx(sizes.ROUND_TAIL_MM)
        assert inner >= 0.5


def test_a_shorter_piece_than_the_bed_allows_can_be_asked_for() -> None:
    wish = replace(WISH, cavities=4, longest_piece_mm=70.0)
    design = with_parts(
        STYLES[OPEN].build(shape("straight bushing"), wish, None), evaluator(), bed_mm=wish.piece_bed_mm
    )
    assert [piece.name for piece in design.made if piece.role != "pattern" and max(size(piece)[:2]) > 70.0] == []
    with pytest.raises(CannotBuild, match="no room for their joints"):
        replace(WISH, longest_piece_mm=59.0)


def test_a_mould_that_fits_the_bed_is_not_cut() -> None:
    design = STYLES[OPEN].build(shape("straight bushing"), WISH, None)
    assert with_parts(design, evaluator(), bed_mm=WISH.piece_bed_mm) is design
    assert design.made == design.pieces


# ---------------------------------------------------------------- where it is cut


@pytest.mark.parametrize("sides", [(300.0, 200.0), (200.0, 300.0), (430.0, 430.0), (700.0, 120.0), (100.0, 100.0)])
def test_cuts_leave_parts_that_fit_the_bed_with_their_dovetails(sides: tuple[float, float]) -> None:
    plate = (220.0, 180.0)
    found = grid(sides, plate)
    assert found is not None
    cuts = plan_cuts(sides, found, [(0.0, 0.0)], (10.0, 10.0))
    lengths = []
    for axis in (0, 1):
        ends = [-sides[axis] / 2, *(cut.at_mm for cut in cuts if cut.axis == axis), sides[axis] / 2]
        parts = [b - a + (6.0 if k < len(ends) - 2 else 0.0) for k, (a, b) in enumerate(pairwise(ends))]
        assert len(parts) == found.parts[axis]
        assert min(parts) > 16.0
        lengths.append(max(parts))
    assert fits(lengths, plate)
    assert all(abs(cut.at_mm) >= 8.0 for cut in cuts)  # clear of the middle, where cells' screws and a foot stand


def test_no_fewer_parts_would_do() -> None:
    for x, y in [(230.0, 100.0), (400.0, 250.0), (500.0, 500.0)]:
        found = grid((x, y), (220.0, 180.0))
        assert found is not None
        fewer = [(a, b) for a in range(1, MOST_PARTS + 1) for b in range(1, MOST_PARTS + 1) if a * b < found.count]
        assert not any(fits((x / a, y / b), (220.0 - 7.0 * (a > 1), 180.0 - 7.0 * (b > 1))) for a, b in fewer)


def test_parts_of_a_plain_plate_have_the_volumes_of_their_outlines() -> None:
    """A 100 × 60 × 5 plate, cut at x = 10, one dovetail of neck 8, head 12, depth 6: closed forms."""
    gap, fit, tail = sizes.EDGE_GAP_MM, 0.2, Tail(neck_mm=8.0, head_mm=12.0, deep_mm=6.0)
    plate = Box(-50.0, -30.0, 0.0, 50.0, 30.0, 5.0)
    cut = Cut(axis=0, at_mm=10.0, tails_mm=(5.0,), tail=tail)
    left, right = parts_of(plate, [cut], fit_mm=fit, low_mm=0.0, high_mm=5.0)
    assert evaluator().volume(left) == pytest.approx(5 * (60 * 60 + 6 * (8 + 12) / 2), rel=1e-12)
    slope = 2 / 6
    near = 8 / 2 + fit * (1 + slope**2) ** 0.5 + slope * gap
    far = 8 / 2 + fit * (1 + slope**2) ** 0.5 + slope * (6 + fit)
    seat = (near + far) * (6 + fit - gap)
    assert evaluator().volume(right) == pytest.approx(5 * ((40 - gap) * 60 - seat), rel=1e-12)
    # The same across y.
    turned = Box(-30.0, -50.0, 0.0, 30.0, 50.0, 5.0)
    lower, upper = parts_of(turned, [replace(cut, axis=1)], fit_mm=fit, low_mm=0.0, high_mm=5.0)
    assert evaluator().volume(lower) == pytest.approx(evaluator().volume(left), rel=1e-12)
    assert evaluator().volume(upper) == pytest.approx(evaluator().volume(right), rel=1e-12)


# ---------------------------------------------------------------- ribs


def test_a_wall_gets_ribs_only_where_no_plain_one_is_stiff_enough() -> None:
    depth = 60.0
    plain, long = wall_form(rectangle(100.0, 40.0), depth), wall_form(rectangle(170.0, 40.0), depth)
    assert plain.ribs == 0
    assert long.ribs > 0
    for plan, form in ((rectangle(100.0, 40.0), plain), (rectangle(170.0, 40.0), long)):
        assert bulge_mm(plan.free_length_mm, form, depth) <= sizes.LARGEST_BULGE_MM
    assert bulge_mm(340.0, WallForm(wall_mm=sizes.WALL_THICKNESSES_MM[-1]), depth) > sizes.LARGEST_BULGE_MM


def test_ribs_as_high_as_their_spacing_are_a_thicker_wall() -> None:
    for spacing in (5e-3, 25e-3):
        found = ribbed_thickness(thickness=6e-3, rib_depth=10e-3, rib_height=spacing, spacing=spacing)
        assert found == pytest.approx(16e-3, rel=1e-12)


def test_ribbed_walls_stand_and_slide_like_plain_ones() -> None:
    """Six cells in a row on a wide bed, poured deep: the long walls are ribbed, and everything still comes apart."""
    wish = replace(WISH, cavities=8, layout="8 × 1", box="rectangle", bed_mm=(400.0, 400.0, 250.0), floor_mm=40.0)
    design = STYLES[OPEN].build(shape("straight bushing"), wish, None)
    assert design.figures["wall_ribs"] >= 1
    assert design.figures["wall_bulge_mm"] <= sizes.LARGEST_BULGE_MM
    found = prove(design, evaluator())
    assert [identity.name for identity in found.identities if not identity.ok] == []
    apart = prove_assembly(design, evaluator())
    assert [one.piece for one in apart.removals if not one.ok] == []
    walls = [piece for piece in design.pieces if piece.role == "wall"]
    copies = [piece.solid.at(x, y, z, turn_deg=turn) for piece in walls for x, y, z, turn in piece.places_mm]
    assert [evaluator().volume(a & b) for a, b in combinations(copies, 2)] == [0.0]
