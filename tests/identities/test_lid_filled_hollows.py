"""Blind hollows that open in the face at the parting: the base closes them, the lid fills them, the part leaves."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.pulls.best_pull import best_pull
from pourwright.engines.geometry.pulls.recesses import filled, find_recess, lid_hold
from pourwright.engines.geometry.tree import Box, Node, Prism, Revolve, Tapered, Turned, cylinder, frustum, polygon
from pourwright.steps.inspect_solid import pull_choice
from pourwright.steps.mould_verdict import LIDDED, judge
from pourwright.steps.proofs.prove_assembly import prove_assembly
from pourwright.steps.studies.opening import blocked_in
from solid_kits import ALLOWED, Moulded, moulded, solid_of

# Widest at the rim, so that it is pulled by the foot, with a hollow that tapers from 20 to 18 mm over 16 mm.
CUP = Revolve(polygon([(0, 0), (14, 0), (15, 20), (10, 20), (9, 4), (0, 4)]))
CUP_MM3 = math.pi * 16 * (81 + 90 + 100) / 3
# A tray with a flange round its rim: straight walls inside, narrower outside under the flange.
TRAY = (Box(-15, -10, 0, 15, 10, 12) | Box(-20, -15, 10, 20, 15, 12)) - Box(-13, -8, 2, 13, 8, 30)
TRAY_MM3 = 26 * 16 * 10.0
# Two hollows of different depths in the wider face of a block.
BLOCK = Turned(Tapered(-25, -12, 0, 25, 12, 10, 2), "x", 180).at(0, 0, 10)
TWO = (
    BLOCK
    - frustum(lower_mm=6, upper_mm=7, z0_mm=4, z1_mm=10).at(-12, 0)
    - frustum(lower_mm=5, upper_mm=6, z0_mm=5, z1_mm=10).at(12, 0)
)
TWO_MM3 = math.pi * (6 * (36 + 42 + 49) + 5 * (25 + 30 + 36)) / 3
# The cup with a lip inside its rim: 14 mm wide there, 16 mm below it.
LIPPED = Revolve(polygon([(0, 0), (14, 0), (15, 20), (7, 20), (7, 14), (8, 14), (8, 4), (0, 4)]))
LIPPED_MM3 = math.pi * (49 * 6 + 64 * 10)
LIP_MM3 = math.pi * (64 - 49) * 10
NODES: dict[str, Node] = {"cup": CUP, "tray": TRAY, "two": TWO, "lipped": LIPPED}
VOLUMES = {"cup": CUP_MM3, "tray": TRAY_MM3, "two": TWO_MM3, "lipped": LIPPED_MM3}


@cache
def made(name: str) -> Moulded:
    return moulded(solid_of(NODES[name]), cavities=1, scale=1.0, pressure_ratio=1.0)


def mesh_of(node: Node) -> tuple[np.ndarray, np.ndarray]:
    return Evaluator(MeshKernel(96)).mesh(node)


@pytest.mark.parametrize("name", NODES)
def test_a_part_with_a_hollow_in_its_widest_face_is_pulled_along_it_and_every_identity_holds(name: str) -> None:
    kit = made(name)
    assert np.allclose(kit.shape.pull, (0, 0, 1))
    assert kit.design.style == "two-part lidded"
    assert not kit.failed(), kit.proof.missing
    _, high = kit.evaluator.bounds(kit.design.cell)
    assert high[2] == pytest.approx(0.0, abs=1e-9)  # the rim is the parting


@pytest.mark.parametrize("name", NODES)
def test_the_lid_holds_what_the_hollow_holds_and_no_silicone_of_the_lower_half_is_in_it(name: str) -> None:
    kit = made(name)
    hollow = kit.design.hollow - kit.design.cell
    volume = kit.evaluator.volume(hollow)
    assert volume == pytest.approx(VOLUMES[name], rel=3e-3)
    assert kit.evaluator.volume(kit.design.closing & hollow) == pytest.approx(volume, rel=1e-9)
    assert kit.evaluator.volume(kit.design.lower & hollow) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", ["cup", "tray", "two"])
def test_hollows_that_narrow_downwards_hold_nothing(name: str) -> None:
    study = made(name).study()
    volume = made(name).design.figures["part_volume_mm3"]
    assert blocked_in(study, volume_mm3=volume, allowed=ALLOWED) == []
    assert study.undercut_mm3 == pytest.approx(0.0, abs=1e-3 * volume)
    assert max(value for value in study.stretch.values() if value is not None) == pytest.approx(1.0, abs=2e-3)


def test_an_overhanging_lip_inside_a_hollow_is_undercut_of_the_lid_alone() -> None:
    study = made("lipped").study()
    assert study.undercuts_mm3["lid"] == pytest.approx(LIP_MM3, rel=0.02)
    assert study.undercuts_mm3["lower"] == pytest.approx(0.0, abs=1.0)
    [piece] = study.held
    assert piece.half == "lid"
    assert -16.1 <= piece.point_mm[2] <= -5.9
    assert 1.1 < study.stretch["lid"] < 1.4


def test_air_rises_out_of_the_rim_that_stands_round_the_hollow() -> None:
    for name in NODES:
        kit = made(name)
        assert all(top == pytest.approx(0.0, abs=1e-6) for _, _, top in kit.design.vent_points_mm), name
        assert kit.study().trapped_mm3 == pytest.approx(0.0, abs=1e-3 * kit.design.figures["part_volume_mm3"])


@pytest.mark.parametrize("name", ["cup", "tray"])
def test_all_comes_apart_with_silicone_in_the_hollow(name: str) -> None:
    proof = prove_assembly(made(name).design, made(name).evaluator)
    assert proof.ok, [one for one in proof.removals if not one.ok] + [one for one in proof.meetings if not one.ok]


def test_silicone_has_the_hollow_to_fill_in_the_second_pour_and_only_then() -> None:
    pours = made("cup").study().pours
    assert pours is not None
    assert [number for number, _ in pours.holes] == [2]
    assert pours.holes[0][1].volume_mm3 == pytest.approx(CUP_MM3, rel=0.03)
    assert not [one for one in pours.air if one.pour == 1]


def test_inspection_takes_the_same_way_and_says_that_the_lid_fills_the_hollow() -> None:
    mesh = mesh_of(CUP)
    found = pull_choice(best_pull(*mesh, allowed_stretch=ALLOWED), ALLOWED)
    assert found.lid_fills * 1e9 == pytest.approx(CUP_MM3, rel=3e-3)
    verdict = judge(found, (), (), volume=1e-6, allowed=ALLOWED)
    assert (verdict.opens, verdict.scheme) == (True, LIDDED)
    assert "the hollow that opens there" in verdict.reasons[-1]


@pytest.mark.parametrize("name", NODES)
def test_filling_the_hollows_adds_their_volume_and_nothing_else(name: str) -> None:
    vertices, triangles = mesh_of(NODES[name])
    recess = find_recess(vertices, triangles)
    assert recess is not None
    assert recess.count == (2 if name == "two" else 1)
    from manifold3d import Manifold, Mesh64

    full, part = (
        Manifold(Mesh64(np.ascontiguousarray(v), t.astype(np.uint64)))
        for v, t in (filled(vertices, triangles, recess), (vertices, triangles))
    )
    assert full.volume() - part.volume() == pytest.approx(VOLUMES[name], rel=1e-3)
    assert full.bounding_box() == pytest.approx(part.bounding_box())


def test_bores_that_run_through_and_grooves_that_are_open_at_a_side_are_no_hollows() -> None:
    bored = frustum(lower_mm=12, upper_mm=15, z0_mm=0, z1_mm=20) - cylinder(radius_mm=5, z0_mm=-1, z1_mm=21)
    grooved = Box(-20, -10, 0, 20, 10, 10) - Box(-30, -3, 5, 30, 3, 11)
    side = Turned(cylinder(radius_mm=2, z0_mm=0, z1_mm=40), "y", 90).at(0, 0, 12)
    drained = CUP - side  # the hollow has a hole in its wall
    for node in (bored, grooved, drained):
        assert find_recess(*mesh_of(node)) is None


def test_a_thin_bowl_is_followed_by_several_prisms_and_its_wall_holds_no_vent_rod() -> None:
    rings = [(15 * math.sin(a), -15 * math.cos(a)) for a in np.linspace(0, math.pi / 2, 12)]
    inner = [(13 * math.sin(a), -13 * math.cos(a)) for a in np.linspace(math.pi / 2, 0, 12)]
    bowl = Revolve(polygon([(max(r, 0.0), min(z, 0.0)) for r, z in (*rings, *inner)])).at(0, 0, 15)
    mesh = mesh_of(bowl)
    recess = find_recess(*mesh)
    assert recess is not None
    assert len(recess.bands) > 1
    assert lid_hold(*mesh, recess).undercut_mm3 == pytest.approx(0.0, abs=1.0)
    with pytest.raises(CannotBuild, match="the rim round the hollow"):
        moulded(solid_of(bowl), pull="as drawn", cavities=1, scale=1.0)


def test_a_hollow_that_another_way_up_opens_freely_is_left_to_the_cover_plate() -> None:
    tray = Prism(polygon([(-20, -15), (20, -15), (20, 15), (-20, 15)]), 0, 15) - Box(-17, -12, 3, 17, 12, 20)
    kit = moulded(solid_of(tray), cavities=1, scale=1.0)
    assert kit.design.style == "open with cover plate"
    assert kit.design.hollow is None


def test_the_exact_kernel_agrees_on_a_cup_from_a_step_file() -> None:
    from pourwright.engines.geometry.files.read import read_solid
    from pourwright.engines.geometry.files.write_step import step_bytes
    from pourwright.engines.geometry.kernels.brep import BrepKernel
    from pourwright.steps.proofs.prove_exact import prove_exact

    exact = Evaluator(BrepKernel())
    solid = read_solid(step_bytes([("cup", exact.solid(CUP))]), name="cup.step").solid
    kit = moulded(solid, cavities=1, scale=1.0, pressure_ratio=1.0)
    assert not kit.failed()
    library = {kit.solid.digest: kit.solid}
    found = prove_exact(
        kit.design,
        lambda fuzzy: BrepKernel(library=library, fuzzy_mm=fuzzy),
        mesh=kit.evaluator,
        mesh_proof=kit.proof,
    )
    assert found.ok, found.why
