"""Bores of solids from files: found wherever they stand, and filled by metal rods whose moulds are proven."""

from __future__ import annotations

import math

import pytest

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.probes.find_bores import round_bores
from pourwright.engines.geometry.tree import Box, Node, Prism, cylinder, frustum, polygon
from shop_runs import STOP, ShopFolder, shop
from solid_kits import moulded, solid_of

OPEN, LIDDED = "open with cover plate", "two-part lidded"
BLOCK = Box(-15, -10, 0, 15, 10, 28)


def bore(diameter: float, x: float = 0.0, y: float = 0.0, low: float = -1.0) -> Node:
    return cylinder(radius_mm=diameter / 2, z0_mm=low, z1_mm=29).at(x, y)


def found(node: Node):
    return round_bores(*Evaluator(MeshKernel(48, corrected=False)).mesh(node))


def test_a_bore_is_found_where_it_stands_with_its_ends() -> None:
    [one] = found(BLOCK - bore(4, 5, 2))
    assert (one.x_mm, one.y_mm, one.radius_mm) == pytest.approx((5, 2, 2), abs=1e-9)
    assert (one.low_mm, one.high_mm, one.straight_share) == pytest.approx((0, 28, 1))
    assert one.through
    assert not one.chambered


def test_a_blind_bore_is_told_from_one_right_through() -> None:
    deep, through = found(BLOCK - bore(6, -6, 0, low=10) - bore(4, 5, 2))
    assert (deep.through, through.through) == (False, True)
    assert deep.low_mm == pytest.approx(10, abs=28 / 41)
    assert deep.high_mm == 28


def test_a_hexagon_is_no_round_bore() -> None:
    corners = [(3 * math.cos(k * math.pi / 3), 3 * math.sin(k * math.pi / 3)) for k in range(6)]
    assert found(BLOCK - Prism(polygon(corners), -1, 29)) == ()


def test_a_bore_wider_in_its_middle_than_at_both_ends_is_chambered() -> None:
    [one] = found(BLOCK - bore(4) - cylinder(radius_mm=4, z0_mm=10, z1_mm=18))
    assert one.through
    assert one.chambered


def test_turning_a_part_over_turns_its_bores_and_back_again_is_the_same() -> None:
    [one] = found(BLOCK - bore(4, 5, 2) - frustum(lower_mm=2, upper_mm=4, z0_mm=26, z1_mm=28.001).at(5, 2))
    over = one.moved(scale=1.0, turned_mm=28.0, lift_mm=0.0)
    assert (over.x_mm, over.y_mm) == pytest.approx((5, -2))
    assert over.straight_mm == pytest.approx((28 - one.straight_mm[1], 28 - one.straight_mm[0]))
    assert over.inner_mm == one.inner_mm[::-1]
    assert over.moved(scale=1.0, turned_mm=28.0, lift_mm=0.0).straight_mm == pytest.approx(one.straight_mm)


# ---------------------------------------------------------------- in moulds

CHAMFERED = BLOCK - bore(4, 5, 2) - frustum(lower_mm=2, upper_mm=4, z0_mm=26, z1_mm=28.001).at(5, 2)
TWO = BLOCK - bore(4, 7, 2) - bore(3, -8, -3)


@pytest.mark.parametrize("style", [OPEN, LIDDED])
@pytest.mark.parametrize("part", [BLOCK - bore(4), CHAMFERED, TWO], ids=["centred", "chamfered aside", "two"])
def test_a_mould_with_rods_in_a_files_bores_is_proven(style: str, part: Node) -> None:
    mould = moulded(solid_of(part), pull="as drawn", style=style)
    assert mould.failed() == []
    rods = [piece for piece in mould.design.pieces if piece.role == "core rod"]
    assert len(rods) == (2 if part is TWO else 1)
    assert all(len(rod.places_mm) == 2 for rod in rods)
    assert mould.design.figures["bore_is_rod"] == 1.0


def test_resin_beside_a_rod_is_the_part_but_for_the_hair_by_which_the_rod_is_wider() -> None:
    mould = moulded(solid_of(BLOCK - bore(4, 5, 2)), pull="as drawn", style=LIDDED, cavities=1)
    rod = mould.design.figures["core_rod_1_mm"]
    assert 4.0 * 1.006 < rod < 4.0 * 1.006 + 0.02
    wanted = 1.006**3 * (30 * 20 * 28) - math.pi / 4 * rod**2 * 28 * 1.006
    assert mould.volume_mm3("rubber") == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize("core", [None, "rod"])
def test_a_stout_bore_takes_a_rod_only_when_it_is_asked_for(core: str | None) -> None:
    figures = moulded(solid_of(BLOCK - bore(12)), pull="as drawn", style=OPEN, bore_core=core).design.figures
    assert figures["bore_is_rod"] == float(core == "rod")
    assert figures["bore_ratio"] == pytest.approx(28 / 12, rel=1e-2)


def test_a_soft_core_in_a_files_bore_has_its_neck_and_what_it_bears() -> None:
    chambered = BLOCK - bore(12) - cylinder(radius_mm=8, z0_mm=10, z1_mm=18)
    figures = moulded(solid_of(chambered), pull="as drawn", style=OPEN, bore_core="silicone").design.figures
    assert figures["bore_neck_stretch"] == pytest.approx((8 / 6) ** 2, rel=1e-3)
    assert 0 < figures["bore_pressed_N"] < figures["bore_buckling_N"]


@pytest.mark.parametrize(
    ("part", "why"),
    [
        (BLOCK - bore(4, low=5), "closed at one end"),
        (BLOCK - bore(4) - cylinder(radius_mm=4, z0_mm=10, z1_mm=18), "4.02 mm wide at its narrowest and 8.05 mm"),
        (BLOCK - bore(0.8), "too thin"),
        (BLOCK, "no round bore"),
    ],
)
def test_a_rod_that_cannot_stand_is_refused_with_the_reason(part: Node, why: str) -> None:
    with pytest.raises(CannotBuild, match=why):
        moulded(solid_of(part), pull="as drawn", style=LIDDED, bore_core="rod")


def bushing(tmp_path, **mould: str) -> ShopFolder:
    """A shop with a file of a bushing 20 mm wide and 28 mm long, its bore of 4 mm a little aside."""
    made = shop(tmp_path, STOP, {"part": {"file": "bush.stl"}}, {"mould": {"style": OPEN, **mould}})
    node = cylinder(radius_mm=10, z0_mm=0, z1_mm=28) - bore(4, 1)
    mesh = Evaluator(MeshKernel(48, corrected=False)).mesh(node)
    (made.project.parent / "bush.stl").write_bytes(stl_bytes(mesh))
    return made


def test_a_slender_core_in_a_files_bore_fails_and_the_rod_is_offered_and_passes(tmp_path) -> None:
    told = bushing(tmp_path, bore_core="silicone").run("kit", "part")
    assert told.failed() == ["bore core"]
    assert told.check("bore core")["value"] == pytest.approx(7, rel=1e-2)
    [offer] = told.answer["offers"]
    assert offer["ok"]
    assert offer["change"] == {"mould.bore_core": "rod"}
    assert offer["buy"][0]["diameter_mm"] == pytest.approx(4 * told.answer["scale"], abs=0.02)
    assert offer["identities"] > 20
