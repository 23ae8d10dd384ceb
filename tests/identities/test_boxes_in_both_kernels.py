"""Boxes of every outline: the exact kernel proves them too, and no number of cells or way to set them breaks a rule."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mould_designs import WISH, evaluator, shape
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.stand.layout import BOXES
from pourwright.catalogue.moulds.stand.plan import hull
from pourwright.catalogue.moulds.style import LIDDED, OPEN, STYLES
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.tree import Box
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_exact import prove_exact


@cache
def design(style: str, box: str | None, cavities: int, layout: str | None = None) -> MouldDesign:
    wish = replace(WISH, box=box, cavities=cavities, layout=layout)
    return STYLES[style].build(shape("disc"), wish, None)


@pytest.mark.parametrize(
    ("style", "box", "cavities"),
    [(LIDDED, "form-fitting", 2), (OPEN, "round", 1)],
)
def test_the_exact_kernel_proves_boxes_of_every_outline_without_fuzz(style: str, box: str, cavities: int) -> None:
    """Walls in half shells, hulls with arcs, beads and ticks: all three bounds hold at the first rung."""
    mould, mesh = design(style, box, cavities), evaluator(48)
    found = prove_exact(mould, lambda fuzzy_mm: BrepKernel(fuzzy_mm=fuzzy_mm), mesh=mesh, mesh_proof=prove(mould, mesh))
    assert found.ok, found.why
    assert found.proof is not None
    assert found.proof.fuzzy == 0.0


@settings(max_examples=8, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(
    style=st.sampled_from([OPEN, LIDDED]),
    box=st.sampled_from(BOXES),
    cavities=st.integers(1, 7),
    pick=st.integers(0, 9),
)
def test_identities_hold_for_any_number_of_cells_in_any_layout_and_box(
    style: str, box: str, cavities: int, pick: int
) -> None:
    names = [layout.name for layout in design(style, box, cavities).layouts if layout.box == box]
    mould = design(style, box, cavities, names[pick % len(names)])
    assert mould.layout is not None
    assert (mould.layout.box, len(mould.centres_mm)) == (box, cavities)
    found = prove(mould, evaluator())
    assert [identity.name for identity in found.identities if not identity.ok] == []


@pytest.mark.parametrize(("box", "cavities"), [("rectangle", 1), ("form-fitting", 4)])
def test_ticks_on_straight_walls_take_exactly_their_volume_and_tell_a_turned_half(box: str, cavities: int) -> None:
    mould, volume = design(LIDDED, box, cavities), evaluator().volume
    assert mould.layout is not None
    lost = mould.layout.area_mm2 * mould.box_inside_mm[2] - volume(mould.interior)
    # Three triangles of 0.8 x 0.6 mm, 10 mm long less the 2 mm within the bead.
    assert lost - mould.figures["bead_mm3"] == pytest.approx(3 * 0.8 * 0.6 * 8, abs=1e-6)
    above = mould.interior & Box(-500, -500, 1.5, 500, 500, 6.5)
    turned = volume(above.at(turn_deg=180.0) - above)
    assert turned == pytest.approx(2 * 0.8 * 0.6 * 5 + 0.8 * 0.6 * 5, rel=1e-6)  # no tick meets another


def test_ticks_stand_higher_over_the_parting_than_under_it_so_that_the_poured_side_shows() -> None:
    mould = design(LIDDED, "rectangle", 1)
    assert mould.layout is not None
    ticks = mould.layout.plan.block(-20, 20) & mould.layout.plan.block(-8, 8) - mould.interior
    beside_bead = [ticks & Box(-500, -500, z0, 500, 500, z1) for z0, z1 in ((-8, -1), (1, 8))]
    below, above = (evaluator().volume(solid) for solid in beside_bead)
    assert above == pytest.approx(3 * below, rel=1e-9)


@given(
    points=st.lists(st.tuples(st.floats(-40, 40), st.floats(-40, 40)), min_size=3, max_size=9),
    radius=st.floats(5, 30),
    angle=st.floats(0, 360),
    grow=st.floats(0, 8),
)
def test_a_ray_from_the_middle_ends_on_the_grown_outline(
    points: list[tuple[float, float]], radius: float, angle: float, grow: float
) -> None:
    reach = [max(abs(point[axis]) for point in points) for axis in (0, 1)]
    spread = [*points, (reach[0] + 1, 0.0), (-reach[0] - 1, 0.0), (0.0, reach[1] + 1)]  # round the middle
    plan = hull(spread, radius)
    assert plan.inside_mm(*plan.ray_mm(angle, grow_mm=grow)) + grow == pytest.approx(0.0, abs=1e-9)
