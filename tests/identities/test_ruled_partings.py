"""Partings that follow a part: the line that is found, the world in which it is level, whole kits in both kernels."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.stand.ground import ruled, together
from pourwright.catalogue.moulds.style import choose_style
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.engines.geometry.air.air_map import AirMap
from pourwright.engines.geometry.air.dexels import scan
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.closed import volume_mm3
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.partings.relief import ByKernel, Relief, Shifted, divided
from pourwright.engines.geometry.partings.ruled import (
    STEEPEST,
    STEEPEST_STEP,
    Corridor,
    corridor,
    flattest_line,
    steepest,
    stepped_line,
    taut_heights,
)
from pourwright.engines.geometry.pulls.pull import pull_report
from pourwright.engines.geometry.tree import Ball, Box, Node, Prism, Turned, polygon
from pourwright.steps.proofs.prove_assembly import prove_assembly
from pourwright.steps.proofs.prove_exact import prove_exact
from pourwright.steps.studies.shape_parting import shape_parting
from solid_kits import Moulded, attitude, moulded, solid_of

LIDDED = "two-part lidded"


def drawn(points_mm: list[tuple[float, float]], half_mm: float) -> Node:
    """An outline in (x, z), drawn along y."""
    return Turned(Prism(polygon(points_mm), -half_mm, half_mm), "x", 90.0)


def sheared(deg: float, half: float = 10.0, high: float = 6.0) -> Node:
    """A block 20 × 20 × 6 whose columns are shifted up along x."""
    t, h = half * math.tan(math.radians(deg)), high / 2
    return drawn([(-half, -t - h), (half, t - h), (half, t + h), (-half, h - t)], half)


# A bar that is bent twice, an elbow, and a bar that waves.
BENT = drawn([(-20, 0), (-6, 0), (6, 10), (20, 10), (20, 18), (4, 18), (-8, 8), (-20, 8)], 7.0)
ELBOW = drawn([(-15, 0), (4, 0), (16, 14), (9, 20), (0, 10), (-15, 10)], 6.0)
PLACES = np.linspace(-22.0, 22.0, 23)
CREST = 5.0 * np.cos(PLACES * math.pi / 22.0)
WAVE = drawn(
    [
        *((float(x), float(z) - 3.5) for x, z in zip(PLACES, CREST, strict=True)),
        *((float(x), float(z) + 3.5) for x, z in zip(PLACES[::-1], CREST[::-1], strict=True)),
    ],
    6.0,
)
# Two slabs on different floors, joined by an upright web.
STAIR = drawn([(-20, 0), (2, 0), (2, 10), (20, 10), (20, 15), (-2, 15), (-2, 5), (-20, 5)], 8.0)


@cache
def bent(**wish: str) -> Moulded:
    return moulded(solid_of(BENT), pull="as drawn", style=LIDDED, cavities=1, **wish)


# ---------------------------------------------------------------- the line


@pytest.mark.parametrize("deg", [5.0, 20.0, 40.0])
def test_a_sheared_block_parts_cleanly_on_a_face_that_is_less_steep_than_itself(deg: float) -> None:
    mesh = Evaluator(MeshKernel(48)).mesh(sheared(deg))
    line = flattest_line(corridor(scan(*mesh, columns=256), 0))
    assert line is not None
    assert steepest(line) < math.tan(math.radians(deg))
    pull = pull_report(*Relief(corners_mm=line).shifted(*mesh))
    assert pull.u_mm3[pull.at(0.0)] == pytest.approx(0.0, abs=1e-9)


def test_the_least_undercut_of_a_flat_parting_of_the_sheared_block_is_the_closed_form() -> None:
    t = math.tan(math.radians(20))
    pull = pull_report(*Evaluator(MeshKernel(48)).mesh(sheared(20)), columns=512)
    assert pull.gap_mm3 == pytest.approx(0.0, abs=1e-9)
    assert pull.u_mm3.min() == pytest.approx(20 * (10 * t - 3) ** 2 / t, rel=1e-2)


def test_steps_are_level_between_drafts_of_five_degrees() -> None:
    way = corridor(scan(*Evaluator(MeshKernel(48)).mesh(STAIR), columns=256), 0)
    steps = stepped_line(way)
    assert steps is not None
    slopes = [abs(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(steps)]
    assert sorted(slopes) == pytest.approx([0.0, 0.0, STEEPEST_STEP], rel=1e-3)


@given(st.lists(st.tuples(st.floats(-8.0, 8.0), st.floats(0.0, 5.0), st.floats(0.2, 3.0)), min_size=2, max_size=20))
def test_no_line_through_a_corridor_is_less_steep_than_the_taut_string(gates: list[tuple[float, float, float]]) -> None:
    low, width, steps = (np.array(column) for column in zip(*gates, strict=True))
    u, high = np.cumsum(steps), low + width
    heights = taut_heights(Corridor(u, low, high), 0.0)
    assert np.all(heights >= low - 1e-9)
    assert np.all(heights <= high + 1e-9)
    # Any line must rise this much between some two gates.
    apart = np.abs(u[:, None] - u[None, :]) + np.eye(len(u))
    needed = max(0.0, float(((low[:, None] - high[None, :]) / apart).max()))
    assert float(np.abs(np.diff(heights) / np.diff(u)).max()) == pytest.approx(needed, rel=1e-6, abs=1e-9)


def test_a_ball_needs_no_parting_that_follows_it() -> None:
    mesh = Evaluator(MeshKernel(48)).mesh(Ball(10.0))
    pull = pull_report(*mesh)
    assert shape_parting(*mesh, pull, flat_undercut_mm3=float(pull.u_mm3.min())) == ()


def test_partings_that_follow_a_wave_leave_a_quarter_of_what_a_flat_one_holds_or_less() -> None:
    mesh = Evaluator(MeshKernel(48)).mesh(WAVE)
    pull = pull_report(*mesh)
    flat = float(pull.u_mm3.min())
    found = shape_parting(*mesh, pull, flat_undercut_mm3=flat)
    assert [one.kind for one in found] == ["ruled", "stepped"]
    assert all(one.undercut_mm3 <= flat / 4 for one in found)
    assert steepest(found[0].line_mm) <= STEEPEST
    assert max(z for one in found for _, z in one.line_mm) == 0.0


def rod_along(points_mm: np.ndarray, radius_mm: float, sides: int = 16) -> tuple[np.ndarray, np.ndarray]:
    """A round bar whose axis runs through points in the plane y = 0, ends square on x."""
    angles = 2 * math.pi * np.arange(sides) / sides
    ring = radius_mm * np.column_stack((np.zeros(sides), np.cos(angles), np.sin(angles)))
    count = len(points_mm)
    vertices = np.vstack([*(point + ring for point in points_mm), points_mm[:1], points_mm[-1:]])
    here, after = np.arange(sides), np.roll(np.arange(sides), -1)
    faces = []
    for k in range(count - 1):
        a, b, c, d = (k * sides + here, k * sides + after, (k + 1) * sides + here, (k + 1) * sides + after)
        faces += [np.column_stack((a, d, b)), np.column_stack((a, c, d))]
    first, last = count * sides, count * sides + 1
    faces.append(np.column_stack((np.full(sides, first), here, after)))
    faces.append(np.column_stack((np.full(sides, last), (count - 1) * sides + after, (count - 1) * sides + here)))
    triangles = np.vstack(faces)
    return vertices, triangles if volume_mm3(vertices, triangles) > 0 else triangles[:, ::-1]


def test_the_line_along_a_round_bar_that_waves_does_not_follow_its_facets() -> None:
    x = np.linspace(-22.0, 22.0, 45)
    wave = np.column_stack((x, np.zeros_like(x), 6.0 * np.sin(x * math.pi / 22.0)))
    mesh = rod_along(wave, 5.0)
    pull = pull_report(*mesh)
    found = shape_parting(*mesh, pull, flat_undercut_mm3=float(pull.u_mm3.min()))[0]
    rises = np.sign(np.round(np.diff([z for _, z in found.line_mm]), 2))
    turns = np.count_nonzero(np.diff(rises[rises != 0]))
    assert turns <= 4
    assert found.undercut_mm3 < 0.01 * pull.volume_mm3 < 0.1 * pull.u_mm3.min()


def test_a_face_goes_on_from_cell_to_cell_only_while_it_grows_no_steeper() -> None:
    ground = ruled(((-9.0, -3.0), (9.0, 0.0)), 0, half_mm=10.0)
    near, far, beside = ((-12.0, 0.0), (12.0, 0.0)), ((-40.0, 0.0), (40.0, 0.0)), ((0.0, -12.0), (0.0, 12.0))
    layouts = [SimpleNamespace(centres_mm=centres) for centres in (near, far, beside)]
    assert [ground.suits(layout) for layout in layouts] == [False, True, True]


# ---------------------------------------------------------------- the world in which it is level


@settings(max_examples=25, deadline=None)
@given(st.floats(-9.0, 9.0), st.floats(-2.0, 2.0), st.floats(-2.0, 2.0))
def test_shifting_columns_changes_neither_volume_nor_closedness(corner: float, left: float, right: float) -> None:
    vertices, triangles = Evaluator(MeshKernel(24)).mesh(Ball(12.0))
    relief = Relief(corners_mm=((-14.0, left), (corner, right), (14.0, 0.5)))
    moved, faces = relief.shifted(vertices, triangles)
    assert volume_mm3(moved, faces) == pytest.approx(volume_mm3(vertices, triangles), rel=1e-12)
    edges = np.sort(np.concatenate((faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]])), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] == 2).all()
    back, _ = relief.shifted(moved, faces, 1.0)
    assert np.linalg.norm(back, axis=1).max() == pytest.approx(np.linalg.norm(vertices, axis=1).max(), abs=1e-12)


def test_dividing_at_a_plane_that_misses_the_solid_changes_nothing() -> None:
    mesh = Evaluator(MeshKernel(24)).mesh(Box(0, 0, 0, 1, 1, 1))
    assert divided(*mesh, 0, 2.0)[1] is mesh[1]


def test_halves_that_meet_on_a_slant_share_all_of_it() -> None:
    relief = Relief(corners_mm=((-1.0, -1.0), (11.0, 0.3)))
    far = Box(-50, -50, -4, 50, 50, 4)
    halves = [
        ByKernel(Shifted(Box(0, 0, z0, 10, 10, z1), relief, 1.0) & far, Box(0, 0, z0, 10, 10, z1))
        for z0, z1 in ((-9.0, 0.0), (0.0, 9.0))
    ]
    evaluator = Evaluator(MeshKernel(24))
    whole = evaluator.area(together(*halves))
    assert whole == pytest.approx(2 * 100 + 4 * 10 * 8, rel=1e-12)
    slope = 1.3 / 12.0
    shared = (sum(evaluator.area(half) for half in halves) - whole) / 2
    assert shared == pytest.approx(100 * math.hypot(1.0, slope), rel=1e-12)


# ---------------------------------------------------------------- whole kits


def test_a_bent_bar_gets_a_face_that_follows_it_and_every_identity_holds() -> None:
    kit = bent()
    assert kit.design.ground.kind == "ruled"
    assert not kit.failed(), kit.proof.missing
    study = kit.study()
    assert study.undercut_mm3 == pytest.approx(0.0, abs=1e-3 * kit.facts.volume_mm3)
    assert kit.facts.undercut_mm3 > 0.05 * kit.facts.volume_mm3
    assert all(lip.ok for lip in study.lips)


def test_vents_may_stand_wherever_the_part_rises_over_the_parting() -> None:
    low = Evaluator(MeshKernel(24)).mesh(Box(-9, -9, -9, 9, 9, -4))

    def beyond(**parting: object) -> float:
        return float(AirMap(*low, tilts_deg=(5.0,), azimuths=1, vents_above_mm=0.0, **parting).left([]).beyond_mm3[0])

    assert beyond() == pytest.approx(18 * 18 * 5, rel=2e-2)
    assert beyond(parting=lambda points: np.full(len(points), -6.0)) == 0.0


def test_its_pieces_come_apart_along_straight_lines() -> None:
    kit = bent()
    proof = prove_assembly(kit.design, kit.evaluator)
    assert proof.ok, [one for one in (*proof.removals, *proof.meetings) if not one.ok]


def test_the_two_cut_patterns_are_the_part_less_holes_and_meet_on_the_face() -> None:
    kit = bent()
    look, design = kit.evaluator, kit.design
    upper, lower = (next(p for p in design.pieces if p.name == f"{name} pattern") for name in ("upper", "lower"))
    assert design.cell is not None
    assert look.volume((upper.solid | lower.solid) - design.cell) == pytest.approx(0.0, abs=1e-9)
    assert look.volume(upper.solid & lower.solid) == pytest.approx(0.0, abs=1e-9)
    both = look.volume(upper.solid) + look.volume(lower.solid)
    assert 0.75 * look.volume(design.cell) < both < look.volume(design.cell)


def test_a_stepped_parting_may_be_asked_for_all_the_same() -> None:
    kit = bent(parting="stepped")
    assert kit.design.ground.kind == "stepped"
    assert kit.design.parting_reason == "asked for"
    assert not kit.failed(), kit.proof.missing


def test_a_parting_that_was_not_found_is_refused_with_what_there_is() -> None:
    with pytest.raises(CannotBuild, match="there is a flat one") as told:
        SolidFacts(volume_mm3=1.0).parting("ruled")
    assert told.value.field == "parting"
    assert bent().facts.parting("flat") is None


def test_only_the_lidded_style_follows_a_part() -> None:
    kit, wish = bent(), StyleWish(parting="ruled")
    with pytest.raises(CannotBuild, match="is parted flat"):
        choose_style(kit.shape, wish, asked="open with cover plate", solid=kit.facts)
    assert choose_style(kit.shape, wish, solid=kit.facts).style == LIDDED


def step_of(node: Node) -> ImportedSolid:
    """What is read from a STEP file of a solid."""
    kernel = pytest.importorskip("pourwright.engines.geometry.kernels.brep").BrepKernel()
    from pourwright.engines.geometry.files.write_step import step_bytes

    data = step_bytes([("part", Evaluator(kernel).solid(node))], title="part", provenance="none")
    return read_solid(data, name="part.step").solid


def test_two_elbows_that_lie_askew_in_a_step_file_are_proven_in_both_kernels() -> None:
    rows = attitude(3)
    angles = (("z", math.degrees(math.atan2(rows[1, 0], rows[0, 0]))), ("x", 33.0))
    node: Node = ELBOW
    up = np.array([0.0, 0.0, 1.0])
    for axis, deg in angles:
        node = Turned(node, axis, deg)
        c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
        x, y, z = up
        up = np.array([c * x - s * y, s * x + c * y, z] if axis == "z" else [x, c * y - s * z, s * y + c * z])
    kit = moulded(step_of(node), pull=tuple(up), style=LIDDED, cavities=2)
    assert kit.design.ground.kind == "ruled"
    assert not kit.failed(), kit.proof.missing
    from pourwright.engines.geometry.kernels.brep import BrepKernel

    library = {kit.solid.digest: kit.solid}
    exact = prove_exact(
        kit.design, lambda fuzzy: BrepKernel(library, fuzzy_mm=fuzzy), mesh=kit.evaluator, mesh_proof=kit.proof
    )
    assert exact.ok, exact.why


def test_a_face_runs_out_level_beside_the_part_and_its_highest_place_is_the_base() -> None:
    ground = ruled(((-9.0, -2.0), (3.0, 0.0), (9.0, -1.0)), 1, half_mm=10.0)
    assert [ground.height_mm(0.0, y) for y in (-30.0, -10.5, 3.0, 30.0)] == [-2.0, -2.0, 0.0, -1.0]
    assert ground.low_mm == -2.0
    assert ground.longer_mm(((0.0, 0.0),)) == pytest.approx(math.hypot(12, 2) - 12 + math.hypot(6, 1) - 6)
