"""What wants to rise in a pour is told with its lift, what holds it and what that must bear."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mould_designs import WISH, evaluator, mould, shape
from pourwright.catalogue.moulds.style import STYLES
from pourwright.domain.floating import Floating
from pourwright.steps.studies.core_study import core_study
from pourwright.steps.studies.float_study import float_study

LIDDED, OPEN = "two-part lidded", "open with cover plate"
SILICONE, RESIN, G = 1100.0, 1080.0, 9.80665
SPARSE = replace(WISH, cavities=1, infill=0.15)


def floats(design) -> dict[str, Floating]:
    cores = core_study(design, evaluator(), resin_density=RESIN)
    found = float_study(design, evaluator(), silicone_density=SILICONE, resin_density=RESIN, measured=cores)
    return {one.piece: one for one in found}


def test_a_sparse_pattern_rises_by_what_it_displaces_less_its_plastic() -> None:
    design = STYLES[LIDDED].build(shape("barrel bushing"), SPARSE, None)
    lower = floats(design)["lower pattern"]
    piece = next(piece for piece in design.pieces if piece.name == "lower pattern")
    displaced = evaluator().volume(design.cell & design.interior_below.at(0.0))
    wanted = (SILICONE * displaced - 0.4 * 1240.0 * evaluator().volume(piece.solid)) * 1e-9 * G
    assert lower.lift == pytest.approx(wanted, rel=1e-9)
    assert lower.lift > 0
    assert lower.must_hold == pytest.approx(5 * wanted)
    assert lower.rigid
    assert floats(design)["bridge bar"].lift < 0  # solid plastic over small wells


def test_solid_patterns_sink() -> None:
    found = floats(mould(OPEN, "straight bushing", 1))
    assert found["pattern"].lift < 0
    assert found["pattern"].must_hold == 0


def test_the_lifts_of_both_pieces_of_a_pattern_add_up_to_that_of_the_whole() -> None:
    design = STYLES[LIDDED].build(shape("barrel bushing"), SPARSE, None)
    found, volume = floats(design), evaluator().volume
    mass = sum(volume(piece.solid) for piece in design.pieces if piece.role == "pattern") * 0.4 * 1240e-9
    both = found["lower pattern"].lift + found["upper pattern"].lift
    assert both == pytest.approx((SILICONE * volume(design.cell) * 1e-9 - mass) * G, rel=1e-9)


def test_a_hard_core_has_its_lift_in_resin_and_what_holds_it() -> None:
    core = floats(mould(LIDDED, "roller", 1))["core"]
    assert core.liquid == "resin"
    assert core.rigid
    assert core.held_by
