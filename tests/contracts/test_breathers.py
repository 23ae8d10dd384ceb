"""Hollow patterns in the pot: in every style their air has a way out that meets neither silicone nor a print."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mould_designs import WISH, evaluator, shape
from pourwright.catalogue.moulds.design import Breather, MouldDesign
from pourwright.catalogue.moulds.style import STYLES
from pourwright.engines.geometry.tree import Box
from pourwright.steps.proofs.fit_book import FitBook
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_assembly import assembly_checks, prove_assembly
from pourwright.steps.proofs.prove_breathers import breathers
from solid_kits import moulded, solid_of

OPEN, ONE_PART, LIDDED, SIDE = "open with cover plate", "one-part open", "two-part lidded", "two-part side-parted"
ROUND = [
    (OPEN, "straight bushing"),
    (ONE_PART, "disc"),
    (LIDDED, "straight bushing"),
    (LIDDED, "barrel bushing"),
    (LIDDED, "disc"),
    (SIDE, "straight bushing"),
]
BREATHING = replace(WISH, cavities=2, infill=0.15, breathers=True, free_face=True)


def mould(style: str, part: str) -> MouldDesign:
    return STYLES[style].build(shape(part), BREATHING, None)


def pours(design: MouldDesign) -> set[int]:
    return {pour for piece in design.pieces if piece.role == "pattern" for pour in piece.touches_silicone}


@pytest.mark.parametrize(("style", "part"), ROUND)
def test_no_breather_meets_silicone_or_a_print_in_any_pour(style: str, part: str) -> None:
    design = mould(style, part)
    proof = prove(design, evaluator())
    assert [identity.name for identity in proof.identities if not identity.ok] == []
    kinds = [identity.name for identity in proof.identities if identity.name.startswith("breathers")]
    assert len(kinds) >= 2 * len(pours(design))
    assert all(piece.breather != piece.solid_print for piece in design.pieces if piece.role == "pattern")
    assert any(piece.breather for piece in design.pieces if piece.role == "pattern")


@pytest.mark.parametrize(("style", "part"), ROUND)
def test_in_every_pour_a_way_leads_from_inside_the_pattern_out_of_the_mould(style: str, part: str) -> None:
    design = mould(style, part)
    for pour in pours(design):
        standing = dict(design.states)[f"pour {pour}"]
        solids = [piece.solid for piece in design.pieces if piece.name in standing and piece.role != "wall"]
        top = max(evaluator().bounds(solid)[1][2] for solid in solids)
        wide = max(evaluator().bounds(piece.solid)[1][0] for piece in design.pieces if piece.role == "wall")
        highs = [evaluator().bounds(one.way)[1] for one in design.breathers if one.pour == pour]
        assert any(high[2] > top or high[0] > wide for high in highs)
    body = design.parts
    assert all(evaluator().volume(one.way & body) > 0 for one in design.breathers)


@pytest.mark.parametrize("pour", [1, 2])
def test_a_breather_that_opens_into_silicone_or_a_print_is_told(pour: int) -> None:
    design = mould(LIDDED, "barrel bushing")
    beside = Box(-1, -1, -1, 1, 1, 40).at(22.0)
    book = FitBook(evaluator())
    breathers(replace(design, breathers=(Breather(pour=pour, way=beside),)), book)
    failed = {identity.name for identity in book.proof().identities if not identity.ok}
    assert f"breathers: no silicone of pour {pour} stands in them" in failed
    assert any("in a breather" in cause for cause in book.missing_mm3)


@pytest.mark.parametrize(("style", "part"), [(LIDDED, "barrel bushing"), (SIDE, "straight bushing")])
def test_a_mould_with_breathers_still_comes_apart(style: str, part: str) -> None:
    found = prove_assembly(mould(style, part), evaluator())
    assert [one.advice for one in assembly_checks(found) if not one.ok] == []


@pytest.mark.parametrize("style", [OPEN, LIDDED])
def test_a_solid_from_a_file_breathes_too(style: str) -> None:
    kit = moulded(solid_of(Box(-15, -10, 0, 15, 10, 20)), pull="as drawn", style=style, infill=0.15, breathers=True)
    assert kit.failed() == []
    assert len({one.pour for one in kit.design.breathers}) == (2 if style == LIDDED else 1)


@pytest.mark.parametrize(("style", "part"), [(LIDDED, "ring"), (SIDE, "waisted bushing")])
def test_patterns_without_room_for_a_breather_are_to_be_printed_solid(style: str, part: str) -> None:
    design = mould(style, part)
    assert design.breathers == ()
    patterns = [piece for piece in design.pieces if piece.role == "pattern"]
    assert all(piece.solid_print and "solid" in piece.print_note for piece in patterns)


def test_without_breathers_nothing_is_drilled_and_nothing_is_a_tube() -> None:
    design = STYLES[LIDDED].build(shape("barrel bushing"), replace(BREATHING, breathers=False), None)
    assert design.breathers == ()
    with_tubes = mould(LIDDED, "barrel bushing")
    solid, hollow = (
        next(evaluator().volume(piece.solid) for piece in one.pieces if piece.name == "vent rod")
        for one in (design, with_tubes)
    )
    assert hollow == pytest.approx(solid * (1 - (1.0 / 1.5) ** 2), rel=1e-6)
