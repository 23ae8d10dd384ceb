"""Boxes of every outline: the exact kernel proves them too, and no number of cells or way to set them breaks a rule."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mould_designs import WISH, evaluator, shape
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.layout import BOXES
from pourwright.catalogue.moulds.style import LIDDED, OPEN, STYLES
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.steps.prove import prove
from pourwright.steps.prove_exact import prove_exact


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
