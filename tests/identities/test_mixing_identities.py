"""What must hold for any masses, ratio and scale."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.engines.process import mixing
from pourwright.engines.process.pour_clock import mixes_to_keep_up, pour_clock, pour_time, warmth_factor

parts = st.floats(min_value=0.5, max_value=200.0)
ratios = st.tuples(parts, parts)
masses = st.floats(min_value=1e-3, max_value=5.0)
scales = st.sampled_from([1e-5, 1e-4, 5e-4, 1e-3])
densities = st.floats(min_value=800.0, max_value=2000.0)


@given(volume=st.floats(1e-6, 5e-3), density=densities, ratio=ratios)
def test_a_and_b_are_the_total_in_the_ratio_asked(volume, density, ratio):
    mix = mixing.batch(volume=volume, density=density, ratio=ratio)
    assert mix.a + mix.b == pytest.approx(mix.total, rel=1e-14)
    assert mix.b * ratio[0] == pytest.approx(mix.a * ratio[1], rel=1e-14)
    assert mix.total - mix.spare == pytest.approx(volume * density, rel=1e-13)


@given(poured=masses, ratio=ratios)
def test_the_corrected_b_restores_the_ratio_exactly(poured, ratio):
    b = mixing.correct_b(poured, ratio=ratio)
    assert abs(mixing.ratio_gap((poured, b), wanted=ratio)) < 1e-14


@given(a=masses, b=masses, readability=scales)
def test_a_stop_figure_is_a_whole_count_and_never_more_than_half_a_count_off(a, b, readability):
    figures = mixing.stop_figures(a, b, readability=readability)
    for figure, wanted in zip(figures, (a, a + b), strict=True):
        assert abs(figure - wanted) <= readability / 2 * (1 + 1e-9)
        assert figure / readability == pytest.approx(round(figure / readability), abs=1e-6)


@given(ratio=ratios, density_a=densities, density_b=densities)
def test_volume_to_weight_and_back_is_the_same_ratio(ratio, density_a, density_b):
    by_weight = mixing.weight_ratio(by_volume=ratio, density_a=density_a, density_b=density_b)
    back = (by_weight[0] / density_a, by_weight[1] / density_b)
    assert abs(mixing.ratio_gap(back, wanted=ratio)) < 1e-12


@given(ratio=ratios, density_a=densities, density_b=densities)
def test_the_mix_is_no_lighter_and_no_heavier_than_its_parts(ratio, density_a, density_b):
    density = mixing.mixed_density(ratio=ratio, density_a=density_a, density_b=density_b)
    assert min(density_a, density_b) * (1 - 1e-12) <= density <= max(density_a, density_b) * (1 + 1e-12)


@given(ratio=ratios, readability=scales, share=st.floats(0.0, 3.0), error=st.floats(1e-3, 0.1))
def test_the_batch_for_an_error_has_just_that_error(ratio, readability, share, error):
    scale = {"readability": readability, "repeatability": share * readability}
    total = mixing.batch_for_error(error, ratio=ratio, **scale)
    assert mixing.ratio_error(*mixing.split(total, ratio=ratio), **scale) == pytest.approx(error, rel=1e-12)


@given(ratio=ratios, readability=scales)
def test_the_smallest_batch_has_a_hundred_counts_of_the_smaller_part(ratio, readability):
    total = mixing.smallest_batch(ratio=ratio, readability=readability)
    assert min(mixing.split(total, ratio=ratio)) == pytest.approx(100 * readability, rel=1e-12)


@given(a=masses, b=masses, readability=scales, repeatability=st.floats(0.0, 1e-3))
def test_the_worst_ratio_error_is_at_least_the_root_of_three_halves_standard_deviations(
    a, b, readability, repeatability
):
    worst = mixing.ratio_error(a, b, readability=readability, repeatability=repeatability)
    deviation = mixing.ratio_deviation(a, b, readability=readability, repeatability=repeatability)
    assert worst >= math.sqrt(1.5) * deviation * (1 - 1e-12)


@given(a=masses, b=masses, readability=scales, up=st.booleans(), b_up=st.booleans())
def test_half_a_count_in_each_mass_never_puts_the_ratio_off_by_more_than_the_worst_error(a, b, readability, up, b_up):
    off_a = a + (readability if up else -readability) / 2
    off_b = b + (readability if b_up else -readability) / 2
    gap = abs(math.log((off_b / off_a) / (b / a)))
    worst = mixing.ratio_error(a, b, readability=readability, repeatability=0.0)
    # The formula is the first order; the second order of log(1 ± x) is below x² for x up to a half.
    assert gap <= worst + worst**2


@given(low=st.floats(283.15, 313.15), step=st.floats(0.0, 10.0))
def test_pot_life_factors_multiply_over_temperature_steps(low, step):
    assert warmth_factor(low + 10.0) == pytest.approx(warmth_factor(low) / 2, rel=1e-12)
    assert warmth_factor(low + step) <= warmth_factor(low)


@given(pot_life=st.floats(120.0, 5400.0), volume=st.floats(1e-6, 3e-3), closings=st.integers(0, 4))
def test_the_number_of_mixes_is_the_fewest_that_keep_up(pot_life, volume, closings):
    clock = pour_clock(pot_life=pot_life, temperature=296.15, volume=volume, liquid="resin", closings=closings)
    mixes = mixes_to_keep_up(clock, volume=volume, liquid="resin")
    fixed = clock.needed - pour_time(volume, liquid="resin")
    if mixes is None:
        assert fixed >= clock.allowed
        return
    assert fixed + pour_time(volume / mixes, liquid="resin") <= clock.allowed * (1 + 1e-8)
    if mixes > 1:
        assert fixed + pour_time(volume / (mixes - 1), liquid="resin") > clock.allowed


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_a_mass_that_is_not_a_positive_number_is_refused(wrong):
    with pytest.raises(ValueError, match="more than nothing"):
        mixing.correct_b(wrong, ratio=(1.0, 1.0))
    with pytest.raises(ValueError, match="more than nothing"):
        mixing.batch(volume=wrong, density=1000.0)
