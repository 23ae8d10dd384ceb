"""Rubber round a hard core: the mould leaves the rubber, only lands press on the core, rigid sockets hold it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from family_parts import drawn
from mould_designs import WISH, evaluator, standing
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import LIDDED, OPEN, STYLES
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.steps.prove import prove
from pourwright.steps.prove_exact import prove_exact

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


# ---------------------------------------------------------------- any size, both styles, both kernels


@settings(max_examples=5, deadline=None)
@given(
    outer=st.integers(240, 600).map(lambda tenths: tenths / 10),
    share=st.floats(0.3, 0.55),
    bore=st.sampled_from([0.0, 5.0, 6.2, 7.4]),
    height=st.integers(100, 400).map(lambda tenths: tenths / 10),
    overhang=st.sampled_from([0.0, 0.15, 1.0, 6.0]),
    scale=st.sampled_from([1.0, 1.006, 1.015]),
    style=st.sampled_from([OPEN, LIDDED]),
    crown=st.sampled_from([0.0, 1.0]),
)
def test_any_roller_makes_a_mould_that_leaves_its_rubber(
    outer: float, share: float, bore: float, height: float, overhang: float, scale: float, style: str, crown: float
) -> None:
    core = max(round(outer * share, 1), bore + 5)
    part = drawn(
        "roller", outer_diameter=outer, height=height, core_diameter=core, core_bore=bore, core_overhang=overhang,
        crown=crown, edge_radius=0.5,
    )  # fmt: skip
    found = prove(mould(style, part, cavities=2, scale=scale), evaluator())
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
        (lambda cored: replace(cored, squeezed_mm3=cored.squeezed_mm3 * 1.01), "K2"),
        (lambda cored: replace(cored, rubber=cored.rubber.at(0.0, 0.0, 0.05)), "K3"),
        (lambda cored: replace(cored, held=cored.cores), "K3"),
    ],
)
def test_a_core_that_is_not_where_it_should_be_is_found(spoil: object, failing: str) -> None:
    design = mould(OPEN, tyre())
    found = prove(replace(design, cored=spoil(design.cored)), evaluator())  # type: ignore[operator]
    assert {one.name.split(":")[0] for one in found.identities if not one.ok} == {failing}
