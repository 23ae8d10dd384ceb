"""Grams, ratios and scale errors worked by hand, and the trade's own figures. The source stands beside each."""

import pytest

from pourwright.engines.process import mixing
from pourwright.engines.process.pour_clock import (
    mixes_to_keep_up,
    pour_clock,
    temperature_to_keep_up,
    warmth_factor,
)

GRAM = 1e-3


def test_one_to_one_with_overflow_and_cup_loss_gives_the_grams_worked_by_hand():
    # By hand: 52.0 mL × 1.08 g/mL = 56.16 g; + 10 % = 61.776 g; + 8 g = 69.776 g; half each 34.888 g.
    mix = mixing.batch(volume=52e-6, density=1080.0, overflow=0.10, cup_loss=8 * GRAM)
    assert mix.total == pytest.approx(69.776 * GRAM, rel=1e-12)
    assert mix.a == pytest.approx(34.888 * GRAM, rel=1e-12)
    assert mix.b == pytest.approx(34.888 * GRAM, rel=1e-12)
    assert mix.spare == pytest.approx(13.616 * GRAM, rel=1e-12)  # 5.616 + 8
    assert mixing.stop_figures(mix.a, mix.b, readability=0.1 * GRAM) == pytest.approx([34.9 * GRAM, 69.8 * GRAM])


def test_part_a_poured_three_per_cent_heavy_moves_b_and_the_figure_to_stop_at():
    # By hand: 34.888 g × 1.03 = 35.93464 g, read as 35.9 g; B = 35.9 g; stop at 71.8 g instead of 69.8 g.
    b = mixing.correct_b(35.9 * GRAM, ratio=(1.0, 1.0))
    assert b == pytest.approx(35.9 * GRAM, rel=1e-12)
    assert mixing.stop_figures(35.9 * GRAM, b, readability=0.1 * GRAM) == pytest.approx([35.9 * GRAM, 71.8 * GRAM])


def test_part_a_poured_three_per_cent_heavy_at_100_to_90_asks_three_per_cent_more_b():
    # By hand: 95 g at 100:90 is 50 g + 45 g; 51.5 g of A wants 46.35 g of B; stop at 97.85 g, shown as 97.8 or 97.9.
    a, b = mixing.split(95 * GRAM, ratio=(100.0, 90.0))
    assert (a, b) == pytest.approx((50 * GRAM, 45 * GRAM), rel=1e-12)
    assert mixing.correct_b(51.5 * GRAM, ratio=(100.0, 90.0)) == pytest.approx(46.35 * GRAM, rel=1e-12)


@pytest.mark.parametrize(
    ("volume_ml", "density", "total_g"),
    [
        (50.0, 1080.0, 64.0),  # 54 g; 7 % is 3.78 g, less than 10 g
        (200.0, 1080.0, 231.12),  # 216 g; 7 % is 15.12 g
        (142.857142857, 1000.0, 152.857142857),  # where 7 % is 10 g
    ],
)
def test_spare_is_the_larger_of_seven_per_cent_and_ten_grams_a_cup(volume_ml, density, total_g):
    # Common practice: 5-10 %; a cup keeps 5-15 g (from memory).
    assert mixing.batch(volume=volume_ml * 1e-6, density=density).total == pytest.approx(total_g * GRAM, rel=1e-9)


def test_two_cups_keep_twice_ten_grams():
    assert mixing.spare_mass(50 * GRAM, cups=2) == pytest.approx(20 * GRAM)


def test_a_stated_cup_loss_or_overflow_replaces_the_common_allowance():
    # 100 g in the mould: 8 g stated; 10 % stated leaves the cup its 10 g.
    assert mixing.spare_mass(100 * GRAM, cup_loss=8 * GRAM) == pytest.approx(8 * GRAM)
    assert mixing.spare_mass(100 * GRAM, overflow=0.10) == pytest.approx(20 * GRAM)
    assert mixing.spare_mass(100 * GRAM, overflow=0.0, cup_loss=0.0) == 0.0


def test_one_to_one_by_volume_with_115_and_102_is_about_100_to_89_by_weight():
    # By hand: 1.02 / 1.15 = 0.88696; weighed 1:1, B is 1 / 0.88696 - 1 = 12.745 % too much.
    ratio = mixing.weight_ratio(by_volume=(1.0, 1.0), density_a=1150.0, density_b=1020.0)
    assert ratio == pytest.approx((100.0, 88.696), abs=5e-4)
    assert mixing.ratio_gap((1.0, 1.0), wanted=ratio) == pytest.approx(0.12745, abs=5e-6)


def test_one_to_one_by_volume_with_102_and_110_is_one_to_1078_and_weighed_one_to_one_b_is_short():
    # By hand: A 1.02, B 1.10 g/mL: 1:1.078 by weight; weighed 1:1, B is 1 - 1/1.0784 = 7.3 % short.
    ratio = mixing.weight_ratio(by_volume=(1.0, 1.0), density_a=1020.0, density_b=1100.0)
    assert ratio[1] / ratio[0] == pytest.approx(1.078, abs=5e-4)
    assert mixing.ratio_gap((1.0, 1.0), wanted=ratio) == pytest.approx(-0.073, abs=5e-4)


def test_equal_volumes_mix_to_the_mean_density():
    assert mixing.mixed_density(ratio=(115.0, 102.0), density_a=1150.0, density_b=1020.0) == pytest.approx(1085.0)


@pytest.mark.parametrize(
    ("ratio", "total_g", "readability_g", "percent"),
    [
        ((1, 1), 20, 1.0, 10.0),
        ((1, 1), 20, 0.1, 1.0),
        ((1, 1), 50, 1.0, 4.0),
        ((1, 1), 50, 0.1, 0.4),
        ((1, 1), 100, 1.0, 2.0),
        ((1, 1), 100, 0.1, 0.2),
        ((10, 1), 50, 0.1, 1.2),
        ((10, 1), 110, 0.1, 0.55),
    ],
)
def test_the_worst_ratio_error_from_rounding_alone_is_the_trades_table(ratio, total_g, readability_g, percent):
    # Calculated table: r/2 (1/m_A + 1/m_B); its last printed digit is half a unit wide.
    a, b = mixing.split(total_g * GRAM, ratio=ratio)
    error = mixing.ratio_error(a, b, readability=readability_g * GRAM, repeatability=0.0)
    assert 100 * error == pytest.approx(percent, rel=0.01)


def test_repeatability_counts_twice_in_each_mass():
    # By hand: 25 g + 25 g, 0.1 g scale with 0.1 g repeatability: (0.05 + 0.2)(1/25 + 1/25) = 2 %.
    error = mixing.ratio_error(25 * GRAM, 25 * GRAM, readability=0.1 * GRAM, repeatability=0.1 * GRAM)
    assert error == pytest.approx(0.02, rel=1e-12)


@pytest.mark.parametrize(
    ("each_g", "readability_g", "repeatability_g", "percent"),
    [(25, 0.1, 0.07, 0.61), (25, 1.0, 0.5, 4.6), (5, 0.1, 0.07, 3.0)],
)
def test_the_spread_of_a_ratio_from_two_readings_a_mass_is_the_root_sum_of_squares(
    each_g, readability_g, repeatability_g, percent
):
    # GUM types B and C: u² = 2 d²/12 + 2 s² for a mass by difference.
    spread = mixing.ratio_deviation(
        each_g * GRAM, each_g * GRAM, readability=readability_g * GRAM, repeatability=repeatability_g * GRAM
    )
    assert 100 * spread == pytest.approx(percent, rel=0.02)


def test_the_smallest_batch_has_a_hundred_counts_of_its_smaller_component():
    # Judgement of the trade: 100 × readability. At 100:10 and 0.1 g: 10 g of B and 100 g of A.
    assert mixing.smallest_batch(ratio=(100, 10), readability=0.1 * GRAM) == pytest.approx(110 * GRAM)
    assert mixing.smallest_batch(ratio=(1, 1), readability=1 * GRAM) == pytest.approx(200 * GRAM)


@pytest.mark.parametrize(("celsius", "factor"), [(18, 1.4), (23, 1.0), (28, 0.7), (30, 0.6), (13, 2.0), (33, 0.5)])
def test_pot_life_halves_for_ten_degrees_more(celsius, factor):
    # General articles, three of them; the table's figures have one decimal.
    assert warmth_factor(celsius + 273.15) == pytest.approx(factor, abs=0.05)


def test_a_fast_resin_in_a_warm_room_is_too_fast_and_says_at_what_temperature_it_would_do():
    # By hand: 6 min at 33 °C are 3 min, two thirds of it 2 min; mixing 2.5 + pouring 1 + closing 1 = 4.5 min.
    clock = pour_clock(pot_life=360.0, temperature=306.15, volume=60e-6, liquid="resin", closings=1)
    assert (clock.allowed, clock.needed, clock.too_fast) == (pytest.approx(120.0), pytest.approx(270.0), True)
    assert mixes_to_keep_up(clock, volume=60e-6, liquid="resin") is None
    cooler = temperature_to_keep_up(clock, temperature=306.15)
    again = pour_clock(pot_life=360.0, temperature=cooler, volume=60e-6, liquid="resin", closings=1)
    assert again.spare == pytest.approx(0.0, abs=1e-9)


def test_a_large_pour_is_in_time_once_split():
    # By hand: 12 min of pot life allow 8; 2.5 + 1 + 10 min are needed; 4.5 min remain to pour in: 3 mixes.
    clock = pour_clock(pot_life=720.0, temperature=296.15, volume=600e-6, liquid="resin", closings=1)
    assert clock.too_fast
    assert mixes_to_keep_up(clock, volume=600e-6, liquid="resin") == 3
