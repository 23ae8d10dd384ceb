"""What must hold of every dimension chain: nothing wrong gives the size wanted, doubts add up, bands only widen."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.basics.errors import InputError
from pourwright.engines.process.dimension_chain import (
    Link,
    linear_shrinkage,
    pattern_scale,
    run_chain,
    squeezed_by,
    warm_mould_gain,
)
from pourwright.engines.process.uncertainty import coverage_factor, repeated, standard_uncertainty

SIZES = st.floats(1e-3, 0.5)
SHAPES = st.sampled_from(["even", "triangular", "normal"])
LINKS = st.lists(
    st.builds(
        Link,
        name=st.uuids().map(str),
        gain=st.floats(0.9, 1.1),
        offset=st.floats(-1e-3, 1e-3),
        gain_spread=st.floats(0.0, 0.01),
        offset_spread=st.floats(0.0, 1e-3),
        shape=SHAPES,
        freedom=st.one_of(st.just(math.inf), st.integers(1, 30).map(float)),
    ),
    min_size=1,
    max_size=6,
)
SHRINKS = st.floats(-0.02, 0.05)


@given(size=SIZES, resin=SHRINKS, silicone=SHRINKS)
def test_without_errors_the_scaled_pattern_gives_the_size_wanted(size, resin, silicone):
    links = [
        Link(name="scale", gain=pattern_scale(resin, silicone)),
        Link(name="print"),
        Link(name="silicone", gain=1 - silicone),
        Link(name="warmth", gain=warm_mould_gain(mould_expansion=3e-4, part_expansion=2e-4, mould_warmth=0.0)),
        Link(name="resin", gain=1 - resin),
    ]
    end = run_chain(size, links)
    assert end.best == pytest.approx(size, rel=1e-14)
    assert end.half_band == end.deviation == 0.0
    assert set(end.shares.values()) == {0.0}


@given(size=SIZES, links=LINKS)
def test_shifts_add_up_to_the_change_and_shares_to_one(size, links):
    end = run_chain(size, links)
    assert math.fsum(end.shifts.values()) == pytest.approx(end.best - size, abs=1e-14)
    assert math.fsum(end.shares.values()) == pytest.approx(1.0 if end.deviation > 0 else 0.0, abs=1e-12)


@given(size=SIZES, links=LINKS, which=st.integers(0, 5), factor=st.floats(1.0, 5.0))
def test_more_doubt_in_any_even_link_never_narrows_the_band_and_never_moves_the_best(size, links, which, factor):
    # With few degrees of freedom Student's t may fall while the deviation grows; known limits have none.
    sure = [replace(link, freedom=math.inf) for link in links]
    link = sure[which % len(sure)]
    wider = [
        replace(one, gain_spread=one.gain_spread * factor, offset_spread=one.offset_spread * factor)
        if one is link
        else one
        for one in sure
    ]
    before, after = run_chain(size, sure), run_chain(size, wider)
    assert after.half_band >= before.half_band * (1 - 1e-12)
    assert after.deviation >= before.deviation * (1 - 1e-12)
    assert after.best == before.best


@given(size=SIZES, links=LINKS)
def test_the_deviation_is_that_of_a_numerical_derivative(size, links):
    """Each gain and offset moved by its own standard uncertainty, everything else held."""
    squares = 0.0
    for n, link in enumerate(links):
        for key, spread in (("gain", link.gain_spread), ("offset", link.offset_spread)):
            step = standard_uncertainty(spread, link.shape)
            up, down = ([*links[:n], replace(link, **{key: getattr(link, key) + sign * step}), *links[n + 1 :]]
                        for sign in (1, -1))  # fmt: skip
            squares += ((run_chain(size, up).best - run_chain(size, down).best) / 2) ** 2
    assert run_chain(size, links).deviation == pytest.approx(math.sqrt(squares), rel=1e-6, abs=1e-15)


@given(size=SIZES, spread=st.floats(1e-6, 1e-3))
def test_one_known_limit_alone_is_the_band(size, spread):
    assert run_chain(size, [Link(name="a", offset_spread=spread)]).half_band == pytest.approx(spread, rel=1e-12)


def test_many_equal_limits_come_to_twice_their_deviation_not_to_their_sum():
    links = [Link(name=str(n), offset_spread=1e-4) for n in range(9)]
    assert run_chain(0.02, links).half_band == pytest.approx(1.96 * 3e-4 / math.sqrt(3), rel=1e-4)


def test_two_links_of_one_name_or_without_a_gain_are_refused():
    with pytest.raises(InputError):
        run_chain(0.02, [Link(name="a"), Link(name="a")])
    with pytest.raises(InputError):
        run_chain(0.02, [Link(name="a", gain=0.0)])


def test_a_mould_that_widens_as_its_part_changes_nothing_to_first_order():
    gain = warm_mould_gain(mould_expansion=2e-4, part_expansion=2e-4, mould_warmth=20.0)
    assert gain == pytest.approx(1.0, abs=2e-5)


def test_a_part_measured_warm_is_larger_by_its_own_expansion():
    warm = warm_mould_gain(mould_expansion=2.5e-4, part_expansion=1.8e-4, mould_warmth=0.0, measured_warmth=10.0)
    assert warm == pytest.approx(1.0018, abs=1e-12)


def test_a_cavity_takes_its_share_of_the_squeeze():
    whole = squeezed_by(squeeze=1e-4, size=40e-3, thickness=40e-3)
    assert whole == pytest.approx(1e-4, rel=1e-12)
    assert squeezed_by(squeeze=1e-4, size=10e-3, thickness=40e-3) == pytest.approx(whole / 4)
    with pytest.raises(InputError):
        squeezed_by(squeeze=1e-4, size=10e-3, thickness=0.0)


@given(chemical=st.floats(0, 0.1), share=st.floats(0, 1), warm=st.floats(0, 80))
def test_shrink_grows_with_reaction_and_warmth_and_is_a_third_of_the_volume_for_small_ones(chemical, share, warm):
    case = {"volume_expansion": 5e-4, "gel_temperature": 293.15 + warm, "room": 293.15}
    found = linear_shrinkage(chemical=chemical, share_after_gel=share, **case)
    volume = chemical * share + 5e-4 * warm
    assert volume / 3 - 1e-12 <= found <= volume / 3 * (1 + volume) + 1e-12


# ---------------------------------------------------------------- readings

READINGS = st.lists(st.floats(1e-3, 0.1), min_size=2, max_size=3)


@given(readings=READINGS)
def test_few_readings_give_their_mean_with_students_t(readings):
    found = repeated(readings)
    mean = sum(readings) / len(readings)
    spread = math.sqrt(sum((value - mean) ** 2 for value in readings) / (len(readings) - 1) / len(readings))
    assert found.best == pytest.approx(mean, rel=1e-12)
    assert found.deviation == pytest.approx(spread, rel=1e-9, abs=1e-15)
    if found.deviation > 1e-12:
        assert found.half_band() == pytest.approx(coverage_factor(len(readings) - 1) * spread, rel=1e-6)


@given(readings=READINGS, resolution=st.floats(0, 1e-3), instrument=st.floats(0, 1e-3))
def test_repeating_never_hides_what_the_instrument_errs(readings, resolution, instrument):
    many = repeated(readings * 30, resolution=resolution, instrument=instrument)
    least = math.hypot(resolution / 2 / math.sqrt(3), instrument / math.sqrt(3))
    assert many.deviation >= least * (1 - 1e-12)


def test_one_slip_among_five_readings_is_named_and_hardly_moves_the_best():
    found = repeated([27.60, 27.62, 27.58, 27.61, 24.60], resolution=0.01)
    assert found.doubtful == (4,)
    assert found.best == 27.60


def test_one_reading_alone_has_the_spread_of_a_hand():
    assert repeated([27.6], lone_spread=0.02).deviation == pytest.approx(0.02)
    with pytest.raises(InputError):
        repeated([])
