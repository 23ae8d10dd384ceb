"""Whatever is typed, reading a quantity ends in a number or in one kind of refusal; what is shown is read back."""

from __future__ import annotations

import math
from fractions import Fraction

from hypothesis import assume, example, given
from hypothesis import strategies as st

from pourwright.basics.errors import BadQuantity
from pourwright.basics.quantities import Hardness, parse, show
from pourwright.basics.units import HARDNESS_SCALES, KINDS

UNITS = [(kind.name, unit) for kind in KINDS.values() for unit in kind.units]
NEAR_MISSES = "0123456789.,/+-eE °ºµμ²½⁄*^\"'×mpsicgMPaNFKhd\t\n%"


@given(st.one_of(st.text(max_size=80), st.text(alphabet=NEAR_MISSES, max_size=30)), st.sampled_from(sorted(KINDS)))
@example("1 " * 32, "time")
@example("9" * 64, "length")
@example("1h" * 32, "time")
@example("½" * 64, "length")
@example("\ufdfa" * 64, "length")  # one character that folds to eighteen
def test_reading_any_text_gives_a_finite_value_or_a_refusal_that_says_why(text, kind):
    assert _reads_or_refuses(text, kind)


@given(
    st.floats(min_value=1e-12, max_value=1e12),
    st.sampled_from(UNITS),
    st.integers(min_value=3, max_value=12),
)
def test_what_is_shown_is_read_back_within_half_of_its_last_digit(value, entry, digits):
    kind, unit = entry
    assume(kind != "temperature" or value > 1.0)  # rounded to three digits, a colder one may lie below absolute zero
    in_unit = _in_unit(value, kind, unit)
    read_in_unit = _in_unit(parse(show(value, kind, unit, digits=digits), kind), kind, unit)
    half_digit = 0.5 * 10.0 ** (math.floor(math.log10(abs(in_unit))) - digits + 1) if in_unit else 0.0
    # SI is a float: near 0 °C its last bit is 273.15 times the relative one.
    last_bit = 2.3e-16 * value / float(KINDS[kind].units[unit].factor)
    assert abs(read_in_unit - in_unit) <= half_digit * (1 + 1e-9) + 2 * last_bit


@given(st.sampled_from(UNITS), st.integers(min_value=0, max_value=10**11), st.integers(min_value=0, max_value=9))
def test_a_number_of_eleven_digits_survives_reading_and_showing(entry, digits, decimals):
    kind, unit = entry
    value = parse(f"{digits / 10**decimals:.{decimals}f} {unit}", kind)
    assert math.isclose(parse(show(value, kind, unit, digits=12), kind), value, rel_tol=6e-12, abs_tol=1e-12)


@given(st.floats(min_value=0, max_value=1e7))
def test_a_time_without_a_unit_is_shown_to_within_half_of_its_smallest_unit(seconds):
    step = 0.05 if seconds < 7200 else 60.0 if seconds < 2 * 86400 else 3600.0
    assert abs(parse(show(seconds, "time", digits=6), "time") - seconds) <= step / 2 * (1 + 1e-9)


@given(st.sampled_from(HARDNESS_SCALES), st.integers(min_value=0, max_value=1000))
def test_a_hardness_is_read_back_as_it_was_shown(scale, tenths):
    hardness = Hardness(scale, tenths / 10)
    assert parse(show(hardness, "hardness"), "hardness") == hardness


@given(
    st.sampled_from([entry for entry in UNITS if entry[1] != "1/K"]),
    st.integers(min_value=1, max_value=9999),
    st.sampled_from(["", " ", "\u00a0"]),
)
def test_the_blank_between_a_number_and_a_unit_without_a_number_says_nothing(entry, number, blank):
    kind, unit = entry
    assert parse(f"{number}{blank}{unit}", kind) == parse(f"{number} {unit}", kind)


def _in_unit(value: float, kind: str, unit: str) -> float:
    return float(KINDS[kind].units[unit].from_si(Fraction(value)))


def _reads_or_refuses(text: str, kind: str) -> bool:
    try:
        value = parse(text, kind)
    except BadQuantity as error:
        return bool(error.message) and error.value is not None
    return 0 <= value.number <= 100 if isinstance(value, Hardness) else math.isfinite(value)
