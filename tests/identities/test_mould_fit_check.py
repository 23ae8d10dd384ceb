"""The mould fit check holds for sound moulds, and every one of its identities fails for a mould that breaks it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from pourwright.basics.errors import Cancelled, KernelFault
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.domain.kit import Proof
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Box, union
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_exact import compare, prove_exact
from reference_kits import SHRINK, barrel, bushing, keys, lidded_kit, open_kit, rod

KITS = {"open": open_kit, "lidded": lidded_kit}
MESH = Evaluator(MeshKernel(24))
WIDE = 60.0


@pytest.fixture(scope="module", autouse=True)
def _let_go() -> Iterator[None]:
    yield
    MESH.forget()


@cache
def mesh_proof(kit: str) -> Proof:
    return prove(KITS[kit](), MESH)


def failed(proof: Proof) -> set[str]:
    """The identities that fail, by what stands before the colon."""
    return {identity.name.split(":")[0] for identity in proof.identities if not identity.ok}


def with_halves(**solids: object) -> MouldDesign:
    """The lidded mould with other halves; its cavity is what they leave."""
    kit = replace(lidded_kit(), **solids)
    return replace(kit, cavity=kit.interior - kit.lower - kit.closing)


# ---------------------------------------------------------------- sound moulds


@pytest.mark.parametrize("kit", KITS)
@pytest.mark.parametrize("kernel", [MeshKernel(24), MeshKernel(48), BrepKernel()], ids=["24", "48", "exact"])
def test_every_identity_holds_for_the_reference_moulds(kit: str, kernel: MeshKernel | BrepKernel) -> None:
    found = prove(KITS[kit](), Evaluator(kernel))
    assert failed(found) == set()
    assert not found.missing
    assert not any(identity.close for identity in found.identities)


def test_all_eight_identities_are_asked_of_a_lidded_mould() -> None:
    asked = {identity.name.split(":")[0] for identity in mesh_proof("lidded").identities}
    assert asked == {"I1", "I2", "I3", "I4", "I5", "I6", "I7", "I8", "containment"}


def test_an_open_mould_has_no_release_area() -> None:
    assert mesh_proof("open").areas["release"] == 0.0
    assert mesh_proof("open").volumes["silicone lid"] == 0.0


@pytest.mark.parametrize("kit", KITS)
def test_both_kernels_agree_on_every_volume(kit: str) -> None:
    found = prove_exact(KITS[kit](), lambda fuzzy: BrepKernel(fuzzy_mm=fuzzy), mesh=MESH, mesh_proof=mesh_proof(kit))
    assert found.ok
    assert found.proof is not None
    assert found.proof.fuzzy == 0.0
    for name, volume in mesh_proof(kit).volumes.items():
        assert found.proof.volumes[name] == pytest.approx(volume, rel=1e-9)


def test_the_halves_have_the_same_surface_in_a_second_mesh() -> None:
    found = prove(lidded_kit(), MESH, second=Evaluator(MeshKernel(96)))
    assert failed(found) == set()
    assert sum(identity.name.startswith("S2") for identity in found.identities) == 2


def test_the_check_can_be_stopped() -> None:
    def stop(fraction: float, words: str) -> None:
        if fraction > 0.3:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        prove(lidded_kit(), Evaluator(MeshKernel(24)), report=stop)


# ---------------------------------------------------------------- moulds that are wrong


class ForgetfulCuts(MeshKernel):
    """Leaves out the last tool of a cut with several, as a faulty boolean may."""

    def cut(self, first: object, *rest: object) -> object:
        return super().cut(first, *(rest[:-1] if len(rest) > 1 else rest))


def test_a_kernel_that_forgets_a_cut_breaks_the_sum_of_volumes() -> None:
    kernel = ForgetfulCuts(24)
    assert "I1" in failed(prove(lidded_kit(), Evaluator(kernel)))


def test_a_vent_inside_the_lower_half_is_filled_and_named() -> None:
    found = prove(lidded_kit(extra_voids=rod(1.0, -3, 12, at=(11.5, 0))), MESH)
    assert "I2" in failed(found)
    assert set(found.missing) == {"vents and wells inside the lower half"}


def test_a_well_that_leaves_the_box_is_named() -> None:
    kit = lidded_kit(extra_voids=Box(20, -2, 14, 32, 2, 18))
    found = prove(kit, MESH)
    assert found.missing == pytest.approx({"vents and wells outside the box": 2 * 4 * 4 * 1e-9})
    short = found.volumes["wanted void"] - found.volumes["cavity"]
    assert sum(found.missing.values()) == pytest.approx(short, rel=1e-9)


def test_a_part_that_leaves_the_box_is_named() -> None:
    kit = lidded_kit()
    out = barrel().at(25)
    lower, closing = kit.interior_below - out, kit.interior_above - out
    far = replace(kit, parts=out, formers_first=None, formers_second=None, release_groups={}, containment=())
    far = replace(far, lower=lower, closing=closing, cavity=kit.interior - lower - closing)
    found = prove(far, MESH)
    assert set(found.missing) == {"part outside the box"}
    short = found.volumes["wanted void"] - found.volumes["cavity"]
    assert found.missing["part outside the box"] == pytest.approx(short, rel=1e-9)


def test_a_hole_in_the_lid_is_an_unwanted_void() -> None:
    kit = lidded_kit()
    found = prove(with_halves(closing=kit.closing - Box(20, -2, 5, 24, 2, 18)), MESH)
    broken = [identity.name for identity in found.identities if not identity.ok]
    assert "I2: nothing but the wanted void is empty" in broken
    assert "I4: the closing piece is what is left" in broken


def test_a_sheet_too_thin_for_volumes_is_caught_by_the_surface() -> None:
    kit = lidded_kit()
    sheet = Box(-5, -5, 0, 5, 5, 1e-9)
    found = prove(with_halves(closing=kit.closing | sheet), MESH)
    broken = {identity.name for identity in found.identities if not identity.ok}
    assert "I2: the cavity has the surface of the wanted void" in broken
    assert "I1: the halves and the cavity fill the interior" not in broken
    assert "I2: nothing of the wanted void is filled" not in broken


def test_silicone_on_the_wrong_side_of_the_parting_breaks_the_lower_volume_only() -> None:
    kit = lidded_kit()
    bit = Box(24, -10, -5, 30, -4, 0)
    found = prove(with_halves(lower=kit.lower - bit, closing=kit.closing | bit), MESH)
    assert "I3" in failed(found)
    assert not {"I1", "I2", "I4"} & failed(found)


def test_cells_that_overlap_are_found() -> None:
    cell = bushing().scaled(SHRINK)
    kit = replace(open_kit(), cavities=2, parts=cell.at(0) | cell.at(10), cell=cell)
    assert "I5" in failed(prove(kit, MESH))
    assert "I5" in failed(prove(replace(kit, cell=None), MESH))


def test_a_cell_too_few_is_found() -> None:
    assert "I5" in failed(prove(replace(open_kit(), cavities=5), MESH))


@pytest.mark.parametrize("half", ["lower", "closing"])
def test_a_half_in_two_pieces_is_found(half: str) -> None:
    saw = Box(-WIDE, 23.5, -WIDE, WIDE, 24, WIDE)
    found = prove(with_halves(**{half: getattr(lidded_kit(), half) - saw}), MESH)
    name = "the lower half" if half == "lower" else "the closing piece"
    assert f"I6: {name} is one body" in {identity.name for identity in found.identities if not identity.ok}


def test_halves_that_overlap_are_found() -> None:
    found = prove(with_halves(closing=lidded_kit().closing | Box(24, -10, -5, 30, -4, 0)), MESH)
    assert "I6: the halves do not overlap" in {identity.name for identity in found.identities if not identity.ok}


def test_a_cavity_with_too_many_bodies_is_found() -> None:
    kit = lidded_kit(extra_voids=Box(22, -2, 8, 26, 2, 12))
    assert "I6" in failed(prove(kit, MESH))
    assert "I6" not in failed(prove(replace(kit, cavity_bodies=2), MESH))


def test_a_printed_piece_in_two_bodies_is_found() -> None:
    kit = lidded_kit()
    broken = replace(kit.pieces[0], solid=kit.pieces[0].solid | Box(20, 0, 0, 21, 1, 1))
    assert "I7" in failed(prove(replace(kit, pieces=(broken, *kit.pieces[1:])), MESH))


def test_pieces_that_overlap_are_found_and_named() -> None:
    kit = lidded_kit()
    fat = replace(kit.pieces[0], solid=kit.pieces[0].solid | Box(-2, -2, -1, 2, 2, 0.5))
    found = prove(replace(kit, pieces=(fat, *kit.pieces[1:])), MESH)
    assert "I7" in failed(found)
    assert "lower pattern and base overlap" in found.missing


def test_pieces_overlap_only_where_they_stand_together() -> None:
    kit = open_kit()
    assert failed(prove(kit, MESH)) == set()
    together = tuple(replace(piece, stands=("use",)) for piece in kit.pieces)
    assert "I7" in failed(prove(replace(kit, pieces=together), MESH))


def test_copies_of_one_piece_that_overlap_are_found() -> None:
    post = Piece(
        name="post",
        role="pattern",
        solid=Box(0, 0, 0, 2, 2, 2),
        places_mm=((0.0, 0.0, 0.0, 0.0), (1.0, 0.0, 0.0, 90.0)),
        touches_silicone=(1,),
    )
    found = prove(replace(lidded_kit(), pieces=(post,)), MESH)
    assert found.missing == pytest.approx({"post and post overlap": 1 * 2 * 2 * 1e-9})


def test_a_rod_hole_too_near_the_side_of_the_part_is_found() -> None:
    # The barrel is 10.125 mm wide at height 5, where the rod ends: 7.625 is the last good place.
    good = replace(lidded_kit(), containment=(("rod", rod(2.5, 3, 5, at=(7.6, 0)), barrel()),))
    assert "containment" not in failed(prove(good, MESH))
    kit = replace(lidded_kit(), containment=(("rod", rod(2.5, 3, 5, at=(7.75, 0)), barrel()),))
    found = prove(kit, MESH)
    assert "containment" in failed(found)
    assert found.missing["rod outside its place"] > 0


def test_a_release_group_left_out_is_found() -> None:
    kit = lidded_kit()
    groups = {name: node for name, node in kit.release_groups.items() if name != "keys"}
    assert "I8" in failed(prove(replace(kit, release_groups=groups), MESH))


class WideMesh(MeshKernel):
    """Measures every surface a hundredth too large."""

    def area(self, solid: object) -> float:
        return 1.01 * super().area(solid)


def test_a_surface_that_differs_in_a_second_mesh_is_found() -> None:
    found = prove(lidded_kit(), Evaluator(MeshKernel(96)), second=Evaluator(WideMesh(192)))
    assert failed(found) == {"S2"}


# ---------------------------------------------------------------- two kernels, and the ladder


class FaultyBelow(BrepKernel):
    """Silently cuts nothing away with the last tool of a cut, until the fuzzy value is large enough."""

    wanted_mm = 1e-4

    def cut(self, first: object, *rest: object) -> object:
        return super().cut(first, *(rest if self.fuzzy_mm >= self.wanted_mm or len(rest) < 2 else rest[:-1]))


class Breaking(BrepKernel):
    """Gives up in the first rung."""

    def cut(self, first: object, *rest: object) -> object:
        if self.fuzzy_mm == 0:
            raise KernelFault("no result")
        return super().cut(first, *rest)


class Hopeless(FaultyBelow):
    wanted_mm = 1.0


def climbed(kernel: type[BrepKernel], kit: MouldDesign | None = None):  # type: ignore[no-untyped-def]
    design = kit or lidded_kit()
    proof = mesh_proof("lidded") if kit is None else prove(kit, MESH)
    return prove_exact(design, lambda fuzzy: kernel(fuzzy_mm=fuzzy), mesh=MESH, mesh_proof=proof)


def test_the_ladder_is_climbed_until_the_whole_kit_holds() -> None:
    found = climbed(FaultyBelow)
    assert found.ok
    assert found.proof.fuzzy == pytest.approx(1e-7)  # 1e-4 mm


def test_a_kernel_that_gives_up_is_tried_again_one_rung_higher() -> None:
    found = climbed(Breaking)
    assert found.ok
    assert found.proof.fuzzy == pytest.approx(1e-8)


def test_exact_files_are_refused_with_the_reason_when_no_rung_holds() -> None:
    found = climbed(Hopeless)
    assert not found.ok
    assert found.evaluator is None
    assert not found.proof.ok
    assert "I1" in found.why
    assert "mm³" in found.why


def test_the_ladder_stops_before_a_tenth_of_the_shortest_edge() -> None:
    tried: list[float] = []
    tiny = replace(lidded_kit(), part=Box(0, 0, 0, 5e-4, 1, 1))

    def kernel(fuzzy: float) -> BrepKernel:
        tried.append(fuzzy)
        return Hopeless(fuzzy_mm=fuzzy)

    proof = mesh_proof("lidded")
    found = prove_exact(tiny, kernel, mesh=MESH, mesh_proof=proof)
    assert not found.ok
    assert tried == [0.0, 1e-5, 1e-4]  # the last is made to measure the edge, and not used
    assert found.proof.fuzzy == pytest.approx(1e-8)


def test_a_design_that_the_mesh_kernel_refuses_never_reaches_the_exact_one() -> None:
    bad = replace(lidded_kit(), cavity_bodies=2)

    def never(fuzzy: float) -> BrepKernel:
        raise AssertionError("the ladder must not start")

    found = prove_exact(bad, never, mesh=MESH, mesh_proof=prove(bad, MESH))
    assert not found.ok
    assert "I6" in found.why


def test_a_volume_that_differs_between_the_kernels_is_found() -> None:
    exact = Evaluator(BrepKernel())
    kit = lidded_kit()
    proof = prove(kit, exact)
    off = replace(proof, volumes={**proof.volumes, "cavity": proof.volumes["cavity"] * 1.02})
    twins = compare(mesh_proof("lidded"), off, kit, mesh=MESH, exact=exact)
    assert [twin.name for twin in twins if not twin.ok] == ["S3: cavity is the same in both kernels"]


def test_an_area_that_differs_between_the_kernels_is_found() -> None:
    exact = Evaluator(BrepKernel())
    kit = lidded_kit()
    proof = prove(kit, exact)
    off = replace(proof, areas={**proof.areas, "release": proof.areas["release"] * 1.03})
    twins = compare(mesh_proof("lidded"), off, kit, mesh=MESH, exact=exact)
    assert [twin.name for twin in twins if not twin.ok] == ["S3: surface of release is the same in both kernels"]


def test_keys_in_three_corners_are_three_bodies() -> None:
    assert MESH.bodies(keys()) == 3
    assert MESH.bodies(union(*(barrel().at(x) for x in (0, 30)))) == 2
