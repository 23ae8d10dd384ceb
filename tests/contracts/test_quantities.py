"""What may be typed as a quantity, and what is refused with what to write instead."""

from __future__ import annotations

import math

import pytest

from pourwright.basics.errors import BadQuantity, PourwrightError
from pourwright.basics.quantities import Hardness, parse, show, show_fixed
from pourwright.basics.units import KINDS

ACCEPTED = [
    ("2.5 mm", "length", 0.0025),
    ("2.5mm", "length", 0.0025),
    ("  2.5\u00a0mm ", "length", 0.0025),
    ("0.3 mm", "length", 0.0003),
    ("0 mm", "length", 0.0),
    ("+5 mm", "length", 0.005),
    ("-5 mm", "length", -0.005),
    ("−5 mm", "length", -0.005),
    (".5 mm", "length", 0.0005),
    ("2·5 mm", "length", 0.0025),
    ("1e3 um", "length", 0.001),
    ("1E-2 m", "length", 0.01),
    ("5 µm", "length", 5e-6),
    ("5 μm", "length", 5e-6),
    ("1.5 in", "length", 0.0381),
    ("1 1/2 in", "length", 0.0381),
    ("1-1/2in", "length", 0.0381),
    ("1½ in", "length", 0.0381),
    ("½ in", "length", 0.0127),
    ("3/8 inch", "length", 0.009525),
    ("3⁄8 in", "length", 0.009525),
    ("-1 1/2 in", "length", -0.0381),
    ("２ｍｍ", "length", 0.002),
    ("12 ㎜", "length", 0.012),
    ("45 psi", "pressure", 45 * 6894.757293168361),
    ("3 bar", "pressure", 3e5),
    ("0.3 MPa", "pressure", 3e5),
    ("29 inHg", "vacuum", 29 * 3386.389),
    ("1 lb", "mass", 0.45359237),
    ("4 oz", "mass", 0.45359237 / 4),
    ("250 ml", "volume", 250e-6),
    ("250 cm³", "volume", 250e-6),
    ("1 fl oz", "volume", 29.5735295625e-6),
    ("1.08 g/cm³", "density", 1080.0),
    ("1500 cP", "viscosity", 1.5),
    ("12 Pa·s", "viscosity", 12.0),
    ("12 Pa*s", "viscosity", 12.0),
    ("12 Pa s", "viscosity", 12.0),
    ("800 mPa.s", "viscosity", 0.8),
    ("90 min", "time", 5400.0),
    ("1h 30min", "time", 5400.0),
    ("1h30min", "time", 5400.0),
    ("1 h 30 min", "time", 5400.0),
    ("2 d 4 h", "time", 187200.0),
    ("1 h 2 min 3.5 s", "time", 3723.5),
    ("23 °C", "temperature", 296.15),
    ("23 ºC", "temperature", 296.15),
    ("23 ˚C", "temperature", 296.15),
    ("23℃", "temperature", 296.15),
    ("23C", "temperature", 296.15),
    ("73.4 °F", "temperature", 296.15),
    ("0 K", "temperature", 0.0),
    ("5°", "angle", math.radians(5)),
    ("50 %", "share", 0.5),
    ("150 ppm", "share", 150e-6),
    ("400 N", "force", 400.0),
    ("200 N/mm", "rate", 2e5),
    ("3.5 MPa", "stress", 3.5e6),
    ("4", "count", 4.0),
    ("0.3", "number", 0.3),
    ("60A", "hardness", Hardness("A", 60.0)),
    ("60 A", "hardness", Hardness("A", 60.0)),
    ("Shore A 60", "hardness", Hardness("A", 60.0)),
    ("60 Shore A", "hardness", Hardness("A", 60.0)),
    ("45 Shore D", "hardness", Hardness("D", 45.0)),
    ("30OO", "hardness", Hardness("OO", 30.0)),
]

REFUSED = [
    ("2,5 mm", "length", "a comma can mean a decimal or a thousand; write 2.5 mm"),
    ("1,000 mm", "length", "write 1000 mm or 1.000 mm"),
    ("1,000.5 mm", "length", "write 1000.5 mm"),
    ("2", "length", "write 2 mm or 0.079 in"),
    ("0", "length", "write 0 mm or 0 in"),
    ("23", "temperature", "write 23 °C or 73 °F"),
    ("50", "share", "write 50 %"),
    ("5 m", "time", "write 5 min"),
    ("4 oz", "volume", "fl oz for volume, oz for mass"),
    ('1.5"', "length", "write 1.5 in"),
    ("1.5”", "length", "write 1.5 in"),
    ("1.5″", "length", "write 1.5 in"),
    ("2'", "length", "write 2 ft"),
    ("5'6\"", "length", "write 66 in"),
    ("1/0 in", "length", "larger than 0"),
    ("5 mpa", "pressure", "did you mean MPa?"),
    ("5 PSI", "pressure", "did you mean psi?"),
    ("5 MM", "length", "did you mean mm?"),
    ("3 inches", "length", "write 3 in"),
    ("2 hours", "time", "write 2 h"),
    ("45 psi", "length", "write it like 2.5 mm"),
    ("30 mm", "pressure", "write it like 45 psi"),
    ("29 inHg", "pressure", "vacuum gauge"),
    ("29 psi", "vacuum", "inHg, mbar or kPa"),
    ("400 kg", "force", "3923 N"),
    ("50 lb", "force", "write 50 lbf"),
    ("23°", "temperature", "write 23 °C or 23 °F"),
    ("23 ° C", "temperature", "write 23 °C"),
    ("-300 °C", "temperature", "-273.15 °C or more"),
    ("", "length", "write a length like 2.5 mm"),
    ("   ", "mass", "write a mass like 100 g"),
    ("9**9**9", "length", "work it out"),
    ("9**9**9", "number", "work it out"),
    ("2*3 mm", "length", "work it out"),
    ("10² mm", "length", "work it out"),
    ("2^3 mm", "length", "work it out"),
    ("2+3 mm", "length", "units of a length"),
    ("5 mm 3 mm", "length", "write 5 mm"),
    ("2 mm thick", "length", "write 2 mm"),
    ("2 mm/", "length", ""),
    ("5. mm", "length", ""),
    ("1.2.3 mm", "length", ""),
    ("1e500 mm", "length", ""),
    ("1234567890123 mm", "length", "round it"),
    ("0x10 mm", "length", ""),
    ("1_000 mm", "length", ""),
    ("nan mm", "length", "write a length like 2.5 mm"),
    ("inf mm", "length", "write a length like 2.5 mm"),
    ("mm", "length", "write a length like 2.5 mm"),
    ("- 5 mm", "length", "write -5 mm"),
    ("٣ mm", "length", "write a length like 2.5 mm"),
    ("1\n mm", "length", ""),
    ("1 mm" + " " * 61, "length", "write it like 2.5 mm"),
    ("30min 1h", "time", "write it like 1h 30min"),
    ("1h 1h", "time", "write it like 1h 30min"),
    ("1.5h 30min", "time", "write it like 1h 30min"),
    ("-1h 30min", "time", "write it like 1h 30min"),
    ("1h -30min", "time", "write it like 1h 30min"),
    ("1:30", "time", ""),
    ("60", "hardness", "write the scale too"),
    ("60a", "hardness", "did you mean 60A?"),
    ("A60", "hardness", "did you mean 60A?"),
    ("50 Shore 00", "hardness", "did you mean 50OO?"),
    ("101A", "hardness", "from 0A to 100A"),
    ("60B", "hardness", "write it like 60A"),
    ("4.5", "count", "write 4 or 5"),
    ("4 pieces", "count", "write 4"),
    ("0.3 N", "number", "write 0.3"),
]


@pytest.mark.parametrize(("text", "kind", "value"), ACCEPTED)
def test_what_a_person_types_is_read_as_si_rounded_once(text, kind, value):
    read = parse(text, kind)
    assert read == value or math.isclose(read, value, rel_tol=2.3e-16)


@pytest.mark.parametrize(("text", "kind", "advice"), REFUSED)
def test_what_cannot_be_read_is_refused_with_what_to_write_instead(text, kind, advice):
    with pytest.raises(BadQuantity) as caught:
        parse(text, kind, field="part.height")
    assert advice in caught.value.advice
    assert caught.value.field == "part.height"
    assert caught.value.exit_code == 2
    assert caught.value.value == (text if len(text) <= 64 else text[:64] + "…")


@pytest.mark.parametrize("text", [None, 5, 2.5, True, ["2 mm"], b"2 mm"])
def test_what_is_no_text_is_refused(text):
    with pytest.raises(BadQuantity, match="is not text"):
        parse(text, "length")


def test_a_value_outside_its_range_is_refused_with_the_range_in_the_unit_typed():
    with pytest.raises(BadQuantity) as caught:
        parse("20 in", "length", low=0.0254, high=0.254)
    assert caught.value.message == "20 in lies outside what is allowed here"
    assert caught.value.advice == "write something from 1 in to 10 in"


def test_both_ends_of_a_range_are_allowed():
    assert parse("0.3 mm", "length", low=3e-4, high=3e-4) == 3e-4


def test_a_range_with_one_end_is_told_with_that_end():
    with pytest.raises(BadQuantity) as low:
        parse("1 mm", "length", low=0.002)
    with pytest.raises(BadQuantity) as high:
        parse("3 mm", "length", high=0.002)
    assert (low.value.advice, high.value.advice) == ("write 2 mm or more", "write 2 mm or less")


def test_a_kind_that_does_not_exist_is_a_fault_of_ours():
    with pytest.raises(PourwrightError, match="no kind of quantity") as caught:
        parse("2 mm", "lenght")
    assert caught.value.exit_code == 4


@pytest.mark.parametrize("kind", [kind for kind in KINDS.values() if kind.name != "hardness"], ids=lambda k: k.name)
def test_the_example_that_an_error_offers_can_be_read(kind):
    assert math.isfinite(parse(kind.example, kind.name))


@pytest.mark.parametrize(
    ("value", "kind", "unit", "shown"),
    [
        (0.0254, "length", None, "25.4 mm"),
        (0.0254, "length", "in", "1 in"),
        (1e-9, "length", None, "1e-06 mm"),
        (0.1 + 0.2, "number", None, "0.3"),
        (1234.56, "mass", "kg", "1235 kg"),
        (0.0, "length", None, "0 mm"),
        (-0.0, "length", None, "0 mm"),
        (296.15, "temperature", None, "23 °C"),
        (45 * 6894.757293168361, "pressure", None, "45 psi"),
        (math.radians(5), "angle", None, "5°"),
        (0.55, "share", None, "55 %"),
        (90.0, "time", None, "90 s"),
        (1800.0, "time", None, "30 min"),
        (8100.0, "time", None, "2 h 15 min"),
        (7200.0, "time", None, "2 h"),
        (86400 * 3 + 7200.0, "time", None, "3 d 2 h"),
        (Hardness("OO", 30.0), "hardness", None, "30OO"),
    ],
)
def test_a_value_is_shown_in_its_usual_unit_without_needless_zeros(value, kind, unit, shown):
    assert show(value, kind, unit) == shown


def test_a_page_may_ask_for_a_blank_that_does_not_break():
    assert show(0.0254, "length", space="\u00a0") == "25.4\u00a0mm"
    assert parse(show(8100.0, "time", space="\u202f"), "time") == 8100.0


def test_a_scale_shows_a_fixed_number_of_decimals():
    assert show_fixed(0.1, "mass", "g", decimals=1) == "100.0 g"
    assert show_fixed(-1e-9, "mass", "g", decimals=1) == "0.0 g"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e150])
def test_what_is_no_size_is_not_written(value):
    with pytest.raises(BadQuantity):
        show(value, "length")


def test_a_unit_of_another_kind_cannot_be_asked_for():
    with pytest.raises(PourwrightError, match="a length cannot be shown in 'psi'"):
        show(1.0, "length", "psi")
