"""Patterns in one piece whose tops the base holds: every identity holds, and the silicone sees no pocket."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

import mould_designs
from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.style import STYLES
from pourwright.engines.geometry.tree import Box, Node, Prism, Revolve, Turned, polygon
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_assembly import prove_assembly
from solid_kits import Moulded, moulded, solid_of

LIDDED = "two-part lidded"
# Widest just under the top, with a slope above that a rigid pocket can hold.
LENS = Revolve(polygon([(0, 0), (8, 0), (13, 9), (13, 11), (11.5, 12.5), (0, 12.5)]))
# The same in flat faces, its corners sharp.
HIP = Turned(
    Prism(polygon([(-14, 0), (14, 0), (18, 9), (18, 10), (14, 14), (-14, 14), (-18, 10), (-18, 9)]), -12, 12), "x", 90
)
# Widest low down, with a head over a waist above it.
KNOB = Revolve(polygon([(0, 0), (8, 0), (12, 4), (12, 6), (6, 10), (9, 14), (9, 16), (0, 16)]))
NODES = {"lens": LENS, "hip": HIP, "knob": KNOB}


@cache
def made(name: str, **wish: object) -> Moulded:
    return moulded(solid_of(NODES[name]), pull="as drawn", style=LIDDED, **wish)


def piece(design: MouldDesign, role: str) -> Piece:
    [found] = [one for one in design.pieces if one.role == role]
    return found


@pytest.mark.parametrize("name", ["lens", "hip"])
def test_every_identity_holds_and_all_comes_apart_with_patterns_in_pockets(name: str) -> None:
    kit = made(name, pattern="pocket")
    assert not kit.failed(), kit.proof.missing
    proof = prove_assembly(kit.design, kit.evaluator)
    assert proof.ok, [one for one in proof.removals if not one.ok] + [one for one in proof.meetings if not one.ok]
    # One piece serves both pours.
    assert piece(kit.design, "pattern").touches_silicone == (1, 2)


def test_a_pocket_is_not_seen_by_the_silicone() -> None:
    pocket, split = (made("lens", pattern=way) for way in ("pocket", "split"))
    assert pocket.design.interior == split.design.interior
    assert pocket.design.lower == split.design.lower
    assert not split.failed()


def test_the_pattern_is_the_part_and_the_base_keeps_out_of_it_and_of_the_silicone() -> None:
    kit = made("lens", pattern="pocket")
    look, design = kit.evaluator, kit.design
    pattern, base = piece(design, "pattern").solid, piece(design, "base").solid
    assert look.volume(pattern - design.cell) == pytest.approx(0.0, abs=1e-9)
    assert look.volume(base & design.lower) == pytest.approx(0.0, abs=1e-6)
    upper: Node = design.cell & Box(-99, -99, 0.01, 99, 99, 99)
    for x, y in design.centres_mm:
        assert look.volume(upper.at(x, y) & base) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", ["lens", "hip"])
def test_the_pattern_rests_on_three_pads_and_nowhere_else(name: str) -> None:
    kit = made(name, pattern="pocket")
    x, y = kit.design.centres_mm[0]
    sunk = piece(kit.design, "pattern").solid.at(x, y, 0.02) & piece(kit.design, "base").solid
    assert kit.evaluator.bodies(sunk) == 3


def test_a_piece_that_would_be_too_thin_is_not_cut_off_but_put_in_a_pocket_and_it_says_why() -> None:
    design = made("lens").design
    assert design.pattern_scheme == "pocket"
    assert "1.5 mm thick" in design.pattern_reason
    assert made("hip").design.pattern_scheme == "split"


def test_a_part_that_widens_above_the_parting_is_not_put_in_a_pocket() -> None:
    with pytest.raises(CannotBuild, match="reach wider above the parting"):
        made("knob", pattern="pocket", flat_face=False, parting="flat")


def in_pocket(part: str) -> MouldDesign:
    return STYLES[LIDDED].build(mould_designs.shape(part), replace(mould_designs.WISH, pattern="pocket"), None)


@pytest.mark.parametrize("part", ["bushing with a 1 mm edge", "barrel bushing", "stepped bushing"])
def test_families_may_have_their_patterns_in_one_piece_too(part: str) -> None:
    design, look = in_pocket(part), mould_designs.evaluator(48)
    proof = prove(design, look)
    assert proof.ok, [identity for identity in proof.identities if not identity.ok]
    assert prove_assembly(design, look).ok


def test_a_hard_core_is_not_put_in_a_pocket() -> None:
    with pytest.raises(CannotBuild, match="hard core"):
        in_pocket("roller with an overhang")
