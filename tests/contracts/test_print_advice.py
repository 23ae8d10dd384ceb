"""Print advice of whole kits: every piece, the sums, the checks, the fit button, the seam in the file."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest

from mould_designs import evaluator, mould
from pourwright.app.answer_printing import printing_answer
from pourwright.catalogue.moulds.prints.fit_button import fit_button
from pourwright.catalogue.moulds.style import LIDDED, ONE_PART, OPEN, SIDE
from pourwright.domain.printing import Printing
from pourwright.domain.shop import Prices, Printer, Shop
from pourwright.engines.geometry.tree import Box
from pourwright.steps.print_advice import print_advice
from pourwright.steps.print_files import print_files
from pourwright.steps.words.print_words import piece_words, print_checks, printing_rules, seam_metadata

KITS = [(ONE_PART, "disc"), (OPEN, "straight bushing"), (LIDDED, "barrel bushing"), (SIDE, "waisted bushing")]


@cache
def advice(style: str, part: str) -> Printing:
    return for_shop(style, part, Shop())


def for_shop(style: str, part: str, shop: Shop) -> Printing:
    return print_advice(mould(style, part, 2), evaluator(), shop)


@pytest.mark.parametrize(("style", "part"), KITS)
def test_every_printed_piece_gets_advice_and_stands(style: str, part: str) -> None:
    found = advice(style, part)
    assert [one.name for one in found.pieces] == [piece.name for piece in mould(style, part, 2).pieces if piece.printed]
    for one in found.pieces:
        assert one.contact > 25e-6, one.name
        assert one.bridged <= one.overhang * (1 + 1e-9)
        assert one.filament.low < one.filament.best < one.filament.high
        assert one.time.low < one.time.best < one.time.high
        assert one.seam_words
    assert all(check.ok for check in print_checks(found) if check.name == "face on the bed")


@pytest.mark.parametrize(("style", "part"), KITS)
def test_files_lie_so_that_little_or_no_support_is_wanted(style: str, part: str) -> None:
    for one in advice(style, part).pieces:
        assert one.better == "", one.name
        assert one.support < 1e-6, one.name


def test_patterns_are_copied_by_silicone_and_boards_are_not() -> None:
    by_name = {one.name: one for one in advice(LIDDED, "barrel bushing").pieces}
    assert "meet silicone" in by_name["lower pattern"].clean
    assert by_name["levelling board"].clean == "no face meets silicone"
    assert "sand" in by_name["lower pattern"].seam_words
    assert "meets no silicone" in by_name["west wall"].seam_words


def test_sums_count_every_copy() -> None:
    found = advice(LIDDED, "barrel bushing")
    assert found.filament.best == pytest.approx(sum(one.count * one.filament.best for one in found.pieces), rel=1e-12)
    assert found.time.high == pytest.approx(sum(one.count * one.time.high for one in found.pieces), rel=1e-12)


def test_a_solid_pattern_weighs_its_volume_with_a_little_waste() -> None:
    pattern = next(one for one in advice(OPEN, "straight bushing").pieces if one.name == "pattern")
    piece = next(piece for piece in mould(OPEN, "straight bushing", 2).pieces if piece.name == "pattern")
    volume = evaluator().volume(piece.solid) * 1e-9
    assert pattern.support == 0.0
    assert pattern.filament.low == pytest.approx(1040 * volume, rel=1e-9)
    assert pattern.filament.best == pytest.approx(1.03 * 1240 * volume, rel=1e-9)
    assert pattern.filament_length.low == pytest.approx(volume / (math.pi * 0.875e-3**2), rel=1e-9)


def test_half_the_layer_takes_twice_the_time() -> None:
    fine = for_shop(OPEN, "disc", Shop(printers=(Printer(layer=0.1e-3),)))
    coarse = for_shop(OPEN, "disc", Shop(printers=(Printer(layer=0.2e-3),)))
    assert fine.time.best == pytest.approx(2 * coarse.time.best, rel=1e-9)
    assert fine.filament == coarse.filament


def test_money_is_told_only_with_prices() -> None:
    assert advice(OPEN, "disc").cost is None
    priced = for_shop(OPEN, "disc", Shop(prices=Prices(currency="EUR", filament_per_kg=20.0, print_hour=0.5)))
    assert priced.cost is not None
    expected = 20 * priced.filament.best + 0.5 * priced.time.best / 3600
    assert priced.cost.best == pytest.approx(expected, rel=1e-12)
    assert "EUR" in " ".join(printing_rules(priced))


def test_play_at_worst_is_both_fits_less_what_the_printer_may_take() -> None:
    found = for_shop(OPEN, "disc", Shop(printers=(Printer(hole_offset=0.1e-3, size_error=0.05e-3),)))
    assert found.play == pytest.approx(2 * found.fit - 0.15e-3, rel=1e-9)
    assert "play are left" in printing_rules(found)[0]
    worse = replace(found, play=-0.2e-3)
    assert "bind by 0.2" in printing_rules(worse)[0]


def test_a_feature_thinner_than_two_lines_is_a_caution() -> None:
    found = advice(OPEN, "disc")
    sound = tuple(replace(one, thinnest=2e-3) for one in found.pieces)
    thin = replace(found, pieces=(replace(sound[0], thinnest=0.7e-3), *sound[1:]))
    check = print_checks(thin)[0]
    assert (check.name, check.ok, check.severity, check.limit) == ("thin prints", False, "caution", 0.8)
    assert found.pieces[0].name in check.advice
    finer = replace(thin, line=0.3e-3)
    assert print_checks(finer)[0].ok


def test_a_piece_without_a_face_to_stand_on_is_a_caution() -> None:
    found = advice(OPEN, "disc")
    ball = replace(found, pieces=(replace(found.pieces[0], contact=1e-6), *found.pieces[1:]))
    check = print_checks(ball)[1]
    assert not check.ok
    assert "no flat face" in check.advice


@pytest.mark.parametrize("part", ["disc", "straight bushing", "taper bushing"])
def test_no_base_has_a_sliver_beside_the_holes_for_a_driver(part: str) -> None:
    base = next(one for one in advice(OPEN, part).pieces if one.name == "base")
    assert base.thinnest is not None
    assert base.thinnest >= 0.8e-3


def test_two_fit_buttons_go_into_each_other_with_the_fit_on_each_side() -> None:
    button, volume = fit_button(0.15), evaluator().volume
    assert evaluator().bodies(button) == 1
    # The second one's tongue stands in the first one's slot.
    other = button.at(x_mm=30.0)
    assert volume(button & other) == pytest.approx(0.0, abs=1e-9)
    assert volume(button & other.at(y_mm=0.151)) > 0.0
    assert volume(button & other.at(y_mm=-0.151)) > 0.0
    assert volume(button & Box(-100, -100, 0, 100, 100, 6)) == pytest.approx(volume(button), rel=1e-12)


def test_print_files_hold_the_fit_button_and_the_seams_and_are_the_same_twice() -> None:
    design, printing = mould(OPEN, "disc", 2), advice(OPEN, "disc")
    wanted = {"bed_mm": (220.0, 220.0, 250.0), "metadata": {"Seam": seam_metadata(printing)}}
    first, again = (print_files(design, evaluator(), **wanted) for _ in range(2))
    assert first == again
    assert "print/fit-button.stl" in first
    assert seam_metadata(printing).count(";") == len(printing.pieces) - 1


def test_the_answer_and_the_card_say_the_same() -> None:
    found = advice(LIDDED, "barrel bushing")
    told = printing_answer(found)
    assert told["filament_g"]["best"] == pytest.approx(1e3 * found.filament.best, abs=1e-3)  # type: ignore[index]
    assert len(told["pieces"]) == len(found.pieces)  # type: ignore[arg-type]
    card = piece_words(found.pieces[0])
    assert "seam" in card
    assert "each" in card


def test_the_card_says_the_support_as_a_piece_lies_before_the_face_that_wants_less() -> None:
    piece = replace(advice(LIDDED, "barrel bushing").pieces[0], better="left face down", support=0.56e-6)
    assert piece_words(piece).startswith("support 0.56\u00a0mL as it lies; left face down wants less support; seam")
    assert "support" not in piece_words(replace(piece, better="", support=0.0))
