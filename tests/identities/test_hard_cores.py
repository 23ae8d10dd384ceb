"""Rubber round a hard core: the mould leaves the rubber, only lands press on the core, rigid sockets hold it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import Phase, example, given, settings
from hypothesis import strategies as st

from family_parts import drawn, with_defaults
from mould_designs import WISH, evaluator, standing
from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.core_locks import LOCKS
from pourwright.catalogue.families.cores import CoreWish
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import LIDDED, OPEN, STYLES
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part, Project
from pourwright.domain.size_forecast import PatternWish
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.files.write_step import step_bytes
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Node, Revolve, Turned, polygon, tube
from pourwright.steps.forecast_sizes import wanted_sizes
from pourwright.steps.planning.pattern_part import pattern_part
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_assembly import prove_assembly
from pourwright.steps.proofs.prove_exact import prove_exact
from pourwright.steps.studies.core_study import core_study

both = pytest.mark.parametrize("style", [OPEN, LIDDED])


def tyre(**mm: float) -> PartShape:
    """A sharp-edged tyre of radius 20 on a core of radius 8, 20 mm wide."""
    return drawn("roller", **{"outer_diameter": 40, "height": 20, "core_diameter": 16, "core_bore": 8.2, **mm})


def mould(style: str, shape: PartShape, **wish: float) -> MouldDesign:
    return STYLES[style].build(shape, replace(WISH, **{"cavities": 1, "scale": 1.0, **wish}), None)


def piece(design: MouldDesign, name: str):  # type: ignore[no-untyped-def]
    return next(one for one in design.pieces if one.name == name)


# ---------------------------------------------------------------- closed forms


@both
@pytest.mark.parametrize("overhang", [0.0, 2.0])
def test_resin_of_a_plain_tyre_is_its_closed_form_besides_vents_and_wells(style: str, overhang: float) -> None:
    design, volume = mould(style, tyre(core_overhang=overhang)), evaluator().volume
    resin = volume(design.resin) - volume(design.vents) - volume(design.wells)
    assert resin == pytest.approx((20**2 - 8**2) * 20 * math.pi, rel=1e-10)
    assert f"{resin:.3f}" == "21111.503"


@both
def test_the_core_stands_into_the_silicone_by_the_squeeze_of_its_lands_alone(style: str) -> None:
    design, volume = mould(style, tyre(core_overhang=2.0), squeeze_mm=0.2), evaluator().volume
    lands = (2 if style == LIDDED else 1) * math.pi * (8**2 - 4.1**2)
    assert volume(piece(design, "core").solid - design.cavity.at(*_back(design))) == pytest.approx(
        0.2 * lands, rel=1e-9
    )
    assert design.figures["core_land_mm2"] == pytest.approx(lands, rel=1e-12)
    assert design.figures["core_land_mm"] == pytest.approx(8 - 4.1)


def _back(design: MouldDesign) -> tuple[float, float]:
    (x, y), *_ = design.centres_mm
    return -x, -y


@both
def test_only_the_outside_of_the_rubber_is_scaled(style: str) -> None:
    """Outside and length grow with the shrink, the hole for the core does not."""
    design, volume = mould(style, tyre(core_overhang=3.0), scale=1.01), evaluator().volume
    assert volume(design.cored.rubber) == pytest.approx((20.2**2 - 8**2) * 20.2 * math.pi, rel=1e-10)
    core = piece(design, "core").solid
    low, high = evaluator().bounds(core)
    assert high[2] - low[2] == pytest.approx(26.0, abs=1e-12)
    assert volume(core) == pytest.approx((8**2 - 4.1**2) * 26 * math.pi, rel=1e-10)


def test_a_core_keeps_its_place_to_the_mouth_in_the_open_style_and_to_the_middle_under_a_lid() -> None:
    for style, wanted in ((OPEN, 2.0), (LIDDED, None)):
        design = mould(style, tyre(core_overhang=2.0), scale=1.01)
        low, high = evaluator().bounds(piece(design, "core").solid)
        floor, top = evaluator().bounds(design.cored.one_rubber)
        if wanted is not None:
            assert high[2] - top[2] == pytest.approx(wanted, abs=1e-12)
        else:
            assert high[2] + low[2] == pytest.approx(top[2] + floor[2], abs=1e-12)


# ---------------------------------------------------------------- what centres it


@both
def test_the_spindle_stands_in_rigid_sockets_below_and_above_and_runs_through_core_and_silicone(style: str) -> None:
    design, ev = mould(style, tyre()), evaluator()
    rod = piece(design, "spindle")
    assert not rod.printed
    assert rod.print_note.startswith("8 mm rod")
    low, high = ev.bounds(rod.solid)
    assert low[2] == pytest.approx(design.fill_lower_mm - sizes.SOCKET_MM)
    upper = "press board" if style == LIDDED else "cover plate"
    for name in ("levelling board", upper):
        # A rod a little thicker than its socket meets the rigid piece all round it.
        assert ev.is_empty(standing(piece(design, name)) & standing(rod)), name
        thick = _thick(design, low[2] + 1, high[2] - 1)
        assert ev.volume(standing(piece(design, name)) & thick) > 50.0, name
    assert ev.volume(design.lower & standing(rod)) < 1e-9


def _thick(design: MouldDesign, low: float, high: float):  # type: ignore[no-untyped-def]
    from pourwright.engines.geometry.tree import cylinder

    (x, y), *_ = design.centres_mm
    return cylinder(radius_mm=5.0, z0_mm=low, z1_mm=high).at(x, y)


def test_a_bore_that_no_rod_fits_gets_a_printed_spindle() -> None:
    assert piece(mould(OPEN, tyre(core_bore=11.0)), "spindle").printed
    assert piece(mould(OPEN, tyre(core_bore=11.0)), "spindle").solid != piece(mould(OPEN, tyre()), "spindle").solid


def test_a_core_without_a_bore_has_no_spindle() -> None:
    design = mould(OPEN, tyre(core_bore=0.0, core_overhang=3.0))
    assert {one.name for one in design.pieces if one.role == "core rod"} == {"core"}
    assert prove(design, evaluator()).ok


@both
def test_a_core_without_a_bore_that_stands_out_is_held_by_printed_cups(style: str) -> None:
    design, volume = mould(style, tyre(core_bore=0.0, core_overhang=5.0)), evaluator().volume
    found = prove(design, evaluator())
    assert [one.name for one in found.identities if not one.ok] == []
    # V(T) = pi (20^2 - 8^2) 20, and no land presses on the core.
    assert found.volumes["rubber"] * 1e9 == pytest.approx(math.pi * 336 * 20, rel=1e-9)
    assert design.cored.squeezed_mm3 == 0.0
    names = {one.name for one in design.pieces if one.role == "core rod"}
    assert names == ({"core", "core cup", "core cap"} if style == LIDDED else {"core", "core cup"})
    cup, core = piece(design, "core cup").solid, piece(design, "core").solid
    assert volume(cup & core) == pytest.approx(0.0, abs=1e-9)
    # The cup is a tube of wall 2 round the core's end, 3 high, on a foot.
    hole = 8 + WISH.fit_mm
    low, high = (bound[2] for bound in evaluator().bounds(cup))
    assert volume(cup) == pytest.approx(math.pi * ((hole + 2) ** 2 * (high - low) - hole**2 * 3), rel=1e-9)


@both
def test_a_mould_with_cups_comes_apart_with_the_play_of_the_printer(style: str) -> None:
    found = prove_assembly(mould(style, tyre(core_bore=0.0, core_overhang=5.0)), evaluator())
    assert [one.piece for one in found.removals if not one.ok] == []
    assert [(one.one, one.other) for one in found.meetings if not one.ok] == []


@both
def test_a_cup_is_centred_in_the_rigid_pieces_and_not_in_silicone(style: str) -> None:
    design, volume = mould(style, tyre(core_bore=0.0, core_overhang=5.0)), evaluator().volume
    board, cup = piece(design, "levelling board").solid, piece(design, "core cup").solid
    grown = cup.at(0.5)
    assert volume(board & cup) == 0.0
    assert volume(board & grown) > 0.0
    if style == LIDDED:
        cap = piece(design, "core cap").solid.at(0.5)
        assert volume(piece(design, "press board").solid & cap) > 0.0
        assert volume(piece(design, "bridge bar").solid & cap) > 0.0


def test_a_core_that_hardly_stands_out_is_left_to_the_silicone_and_the_way_out_is_told() -> None:
    short = mould(OPEN, tyre(core_bore=0.0, core_overhang=3.0))
    assert short.figures["core_cups"] == 0.0
    assert mould(OPEN, tyre(core_bore=0.0, core_overhang=4.0)).figures["core_cups"] == 1.0


# ---------------------------------------------------------------- any size, both styles, both kernels


@settings(max_examples=5, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(
    outer=st.integers(240, 600).map(lambda tenths: tenths / 10),
    share=st.floats(0.3, 0.55),
    bore=st.sampled_from([0.0, 5.0, 6.2, 7.4]),
    height=st.integers(100, 400).map(lambda tenths: tenths / 10),
    overhang=st.sampled_from([0.0, 0.15, 1.0, 6.0]),
    scale=st.sampled_from([1.0, 1.006, 1.015]),
    style=st.sampled_from([OPEN, LIDDED]),
    crown=st.sampled_from([0.0, 1.0]),
    edge=st.sampled_from([0.0, 0.5]),
)
@example(
    outer=24.0, share=0.5, bore=0.0, height=10.0, overhang=0.0, scale=1.006, style=LIDDED, crown=0.0, edge=0.0
)  # the lid has no room for a squeeze
def test_any_roller_makes_a_mould_that_leaves_its_rubber(
    outer: float,
    share: float,
    bore: float,
    height: float,
    overhang: float,
    scale: float,
    style: str,
    crown: float,
    edge: float,
) -> None:
    core = max(round(outer * share, 1), bore + 5)
    part = drawn(
        "roller", outer_diameter=outer, height=height, core_diameter=core, core_bore=bore, core_overhang=overhang,
        crown=crown, edge_radius=edge,
    )  # fmt: skip
    found = prove(mould(style, part, cavities=2, scale=scale), evaluator(48))
    assert [one.name for one in found.identities if not one.ok] == []
    assert {name.split(":")[0] for name in (one.name for one in found.identities)} >= {"K1", "K2", "K3"}


@both
def test_the_exact_kernel_agrees_on_a_wheel_with_a_groove(style: str) -> None:
    part = drawn(
        "wheel", outer_diameter=50, height=20, core_diameter=30, core_bore=8, groove_width=8, groove_depth=1.5,
        shoulder_drop=2, shoulder_width=3, edge_radius=0.5,
    )  # fmt: skip
    design = mould(style, part, scale=1.005)
    mesh = Evaluator(evaluator().kernel)
    proof = prove(design, mesh)
    found = prove_exact(design, lambda fuzzy: BrepKernel(fuzzy_mm=fuzzy), mesh=mesh, mesh_proof=proof)
    assert found.ok, found.why
    assert found.proof.volumes["resin"] == pytest.approx(proof.volumes["resin"], rel=1e-9)


# ---------------------------------------------------------------- planted faults


@pytest.mark.parametrize(
    ("spoil", "failing"),
    [
        (lambda cored: replace(cored, squeezed_mm3=cored.squeezed_mm3 * 1.01), {"K2"}),
        (lambda cored: replace(cored, rubber=cored.rubber.at(0.0, 0.0, 0.05)), {"K1", "K3"}),
        (lambda cored: replace(cored, held=cored.cores), {"K1"}),
    ],
)
def test_a_core_that_is_not_where_it_should_be_is_found(spoil: object, failing: set[str]) -> None:
    design = mould(OPEN, tyre())
    found = prove(replace(design, cored=spoil(design.cored)), evaluator())  # type: ignore[operator]
    assert {one.name.split(":")[0] for one in found.identities if not one.ok} == failing


# ---------------------------------------------------------------- locks


def locked(locks: str, **mm: float) -> PartShape:
    sizes_mm = {"outer_diameter": 36, "height": 24, "core_diameter": 20, "core_bore": 8.2, "core_overhang": 1, **mm}
    family = FAMILIES["roller"]
    return family.build(with_defaults(family, {"edge_radius": 0.5, **sizes_mm}), CoreWish(locks=locks))


@pytest.mark.parametrize("locks", [name for name in LOCKS if name != "none"])
def test_rubber_fills_the_locks_drawn_into_a_core_and_holds_by_them(locks: str) -> None:
    design, ev = mould(OPEN, locked(locks)), evaluator(48)
    assert [one.name for one in prove(design, ev).identities if not one.ok] == []
    plain = mould(OPEN, locked("none"))
    filled = ev.volume(plain.cored.one_filled) - ev.volume(design.cored.one_filled)
    more = ev.volume(design.cored.rubber) - ev.volume(plain.cored.rubber)
    assert more == pytest.approx(filled, rel=1e-9)
    found = core_study(design, ev, resin_density=1080.0)
    # Every lock is cut from the side, so that all of it lies behind the core's own surface.
    assert found["core_holds_mm3"] == pytest.approx(filled, rel=0.03)
    assert (found["core_turns_mm3"] > 10.0) == (locks != "grooves")


def test_a_smooth_core_neither_holds_nor_stops_turning() -> None:
    found = core_study(mould(OPEN, locked("none")), evaluator(48), resin_density=1080.0)
    assert found["core_holds_mm3"] == 0.0
    assert found["core_turns_mm3"] == pytest.approx(0.0, abs=1e-6)


def test_a_groove_holds_the_volume_of_its_closed_form() -> None:
    ev = evaluator(48)
    lost = ev.volume(locked("none").core) - ev.volume(locked("grooves").core)
    # A quarter of the wall deep, six times as wide, sides at 45 degrees: a floor and two corners, by Pappus.
    deep, wide, core = 1.5, 9.0, 10.0
    floor = math.pi * (core**2 - (core - deep) ** 2) * (wide - 2 * deep)
    corner = 2 * math.pi * deep**2 / 2 * (core - deep / 3)
    assert lost == pytest.approx(floor + 2 * corner, rel=1e-9)


def test_a_core_with_too_thin_a_wall_is_given_no_locks() -> None:
    with pytest.raises(CannotBuild, match="need a wall") as caught:
        locked("flats", core_bore=19)
    assert caught.value.field == "part.locks"


# ---------------------------------------------------------------- cores from files


def hub_solid() -> Node:
    """A hub with a bore of 8 mm, a groove, and a boss at each end; 28 mm long."""
    side = [(7, -14), (7, -11), (10, -11), (10, -4), (8.5, -2.5), (8.5, 2.5), (10, 4), (10, 11), (7, 11), (7, 14)]
    return Revolve(polygon([(4, -14), *side, (4, 14)]))


def hub_file(ending: str, node: Node | None = None) -> ImportedSolid:
    node = node or hub_solid()
    if ending == "step":
        kernel = Evaluator(BrepKernel())
        return read_solid(step_bytes([("hub", kernel.solid(node))]), name="hub.step").solid
    mesh = Evaluator(MeshKernel(64, corrected=False)).mesh(node)
    return read_solid(stl_bytes(mesh), name="hub.stl", unit="mm").solid


def on_file(solid: ImportedSolid, height_mm: float, **texts: str) -> PartShape:
    part = Part(
        family="roller",
        dimensions={"outer_diameter": 0.034, "height": height_mm / 1e3, "edge_radius": 0.0},
        texts={"core_file": "hub.step", **texts},
        core_digest=solid.digest,
    )
    return shape_of(part, {solid.digest: solid})


@pytest.mark.parametrize(("ending", "axis"), [("step", "z"), ("stl", "y")])
def test_a_core_from_a_file_keeps_its_size_and_its_axis_is_found_by_its_bore(ending: str, axis: str) -> None:
    turned = hub_solid() if axis == "z" else Turned(hub_solid(), "x", 90.0)
    solid = hub_file(ending, turned)
    shape = on_file(solid, 18.0)
    assert (shape.hub.low_mm, shape.hub.high_mm) == pytest.approx((-5.0, 23.0))
    assert shape.hub.bore_mm == pytest.approx(4.0, abs=1e-4)
    assert shape.exact == (ending == "step")
    ev = Evaluator(MeshKernel(48, library={solid.digest: solid}))
    within = math.pi * (17**2 - 10**2) * 18
    lost = math.pi * (10**2 - 8.5**2) * 5 + 2 * 2 * math.pi * (1.5**2 / 2) * (10 - 0.5)
    assert ev.volume(shape.node) == pytest.approx(within + lost, rel=2e-3)


@both
def test_a_mould_round_a_core_from_a_file_leaves_its_rubber_in_both_kernels(style: str) -> None:
    solid = hub_file("step")
    library = {solid.digest: solid}
    design, mesh = mould(style, on_file(solid, 18.0), scale=1.006), Evaluator(MeshKernel(48, library=library))
    proof = prove(design, mesh)
    assert [one.name for one in proof.identities if not one.ok] == []
    assert piece(design, "spindle").print_note.startswith("8 mm rod")
    found = prove_exact(design, lambda fuzzy: BrepKernel(library=library, fuzzy_mm=fuzzy), mesh=mesh, mesh_proof=proof)
    assert found.ok, found.why


def test_a_cover_follows_the_shoulders_of_a_core_that_stands_out_of_the_rubber() -> None:
    solid = hub_file("stl")
    design = mould(OPEN, on_file(solid, 18.0))
    ev = Evaluator(MeshKernel(48, library={solid.digest: solid}))
    cover, core = standing(piece(design, "cover plate")), standing(piece(design, "core"))
    assert ev.volume(cover & core) < 1e-6
    # Over the shoulder, 10 mm wide up to 2 mm, all is cover but for the clearance of 0.15 mm round the boss.
    (x, y), *_ = design.centres_mm
    ring = tube(inner_mm=7.2, outer_mm=9.9, z0_mm=2.2, z1_mm=4.9).at(x, y)
    assert ev.volume(ring - cover) < 1e-6


def test_what_leaves_the_mould_round_a_core_from_a_file_is_free_of_its_spindle() -> None:
    solid = hub_file("stl")
    design = mould(OPEN, on_file(solid, 18.0))
    ev = Evaluator(MeshKernel(48, library={solid.digest: solid}))
    assert ev.is_empty(design.cored.casts & standing(piece(design, "spindle")))
    assert prove_assembly(design, ev).ok


def test_a_roller_on_a_file_is_planned_without_a_diameter_of_its_core() -> None:
    solid = hub_file("stl")
    part = Part(
        family="roller",
        dimensions={"outer_diameter": 0.034, "height": 0.018},
        texts={"core_file": "hub.stl"},
        core_digest=solid.digest,
    )
    project = Project(name="hub", title="Hub", part=part, resin="urethane 90A", silicone="platinum silicone 30A")
    assert wanted_sizes(project, shape_of(part, {solid.digest: solid})) == pytest.approx(
        {"outer_diameter": 0.034, "height": 0.018, "edge_radius": 0.0005}
    )
    longer = replace(project, pattern=PatternWish(offsets={"outer_diameter": 1e-4}))
    assert pattern_part(longer).dimensions["outer_diameter"] == pytest.approx(0.0341)


@pytest.mark.parametrize(
    ("texts", "height", "field"),
    [
        ({}, 40.0, "part.core_file"),  # rubber would close over its ends
        ({"locks": "grooves"}, 18.0, "part.locks"),
        ({"core_axis": "w"}, 18.0, "part.core_axis"),
        ({"core_axle": "z"}, 18.0, "part.core_axle"),
    ],
)
def test_what_a_core_from_a_file_cannot_be_is_refused_by_its_key(
    texts: dict[str, str], height: float, field: str
) -> None:
    with pytest.raises(CannotBuild) as caught:
        on_file(hub_file("stl"), height, **texts)
    assert caught.value.field == field


def test_a_roller_without_any_core_is_told_of_both_ways_to_give_one() -> None:
    with pytest.raises(CannotBuild, match="core_diameter") as caught:
        shape_of(Part(family="roller", dimensions={"outer_diameter": 0.03, "height": 0.02}))
    assert "core_file" in caught.value.advice
