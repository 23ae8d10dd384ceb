"""Unit factors against pint, a registry of units that nobody here wrote."""

from __future__ import annotations

import math
from fractions import Fraction

import pint
import pytest

from pourwright.basics.quantities import parse
from pourwright.basics.units import KINDS

REGISTRY = pint.UnitRegistry()
REGISTRY.define("inHg_here = 3386.389 pascal")  # the conventional inch of mercury at 0 °C, to seven digits

SI = {
    "length": "m",
    "area": "m**2",
    "angle": "rad",
    "pressure": "Pa",
    "vacuum": "Pa",
    "mass": "kg",
    "volume": "m**3",
    "density": "kg/m**3",
    "viscosity": "Pa*s",
    "time": "s",
    "temperature": "kelvin",
    "difference": "kelvin",
    "force": "N",
    "rate": "N/m",
    "stress": "Pa",
    "share": "",
    "expansion": "1/kelvin",
    "conductivity": "W/m/kelvin",
    "specific heat": "J/kg/kelvin",
}
SPELLED = {
    "°": "deg",
    "um": "micrometer",
    "in": "inch",
    "mL": "milliliter",
    "ml": "milliliter",
    "cc": "centimeter**3",
    "cm3": "centimeter**3",
    "mm2": "mm**2",
    "cm2": "cm**2",
    "m2": "m**2",
    "L": "liter",
    "l": "liter",
    "fl oz": "US_fluid_ounce",
    "imp fl oz": "imperial_fluid_ounce",
    "g/cm3": "g/cm**3",
    "g/mL": "g/milliliter",
    "g/cc": "g/cm**3",
    "kg/m3": "kg/m**3",
    "mPa.s": "mPa*s",
    "mPa s": "mPa*s",
    "Pa.s": "Pa*s",
    "Pa s": "Pa*s",
    "cP": "centipoise",
    "lbf": "pound_force",
    "lbf/in": "pound_force/inch",
    "inHg": "inHg_here",
    "%": "percent",
    "d": "day",
    "h": "hour",
    "min": "minute",
}
DEGREES = {"°C": "degC", "C": "degC", "degC": "degC", "°F": "degF", "F": "degF", "degF": "degF", "K": "kelvin"}
ENTRIES = [(kind.name, unit) for kind in KINDS.values() for unit in kind.units]


def by_pint(number: float, kind: str, unit: str) -> float:
    if kind == "temperature":
        return float(REGISTRY.Quantity(number, DEGREES[unit]).to("kelvin").magnitude)
    if kind == "difference":
        name = DEGREES[unit]
        return float(REGISTRY.Quantity(number, name if name == "kelvin" else f"delta_{name}").to("kelvin").magnitude)
    name = SPELLED.get(unit, unit).replace("°C", "delta_degC").replace("K", "kelvin")
    return float(REGISTRY.Quantity(number, name).to(SI[kind]).magnitude)


@pytest.mark.parametrize(("kind", "unit"), ENTRIES)
@pytest.mark.parametrize("number", ["1", "2.5", "137"])
def test_every_unit_of_every_kind_has_the_size_that_pint_gives_it(kind, unit, number):
    read = parse(f"{number} {unit}", kind)
    assert math.isclose(read, by_pint(float(number), kind, unit), rel_tol=1e-12)


def test_the_pound_force_per_square_inch_is_the_exact_quotient_of_its_definition():
    psi = KINDS["pressure"].units["psi"].factor
    assert psi == Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2
    assert abs(psi - Fraction("6894.757293168361")) < Fraction(1, 2 * 10**12)


def test_the_us_and_the_imperial_fluid_ounce_differ_by_four_per_cent():
    assert parse("1 fl oz", "volume") / parse("1 imp fl oz", "volume") == pytest.approx(1.0408, abs=5e-5)


def test_a_difference_of_ten_degrees_is_no_temperature():
    assert parse("10 °C", "difference") == 10.0
    assert parse("10 °C", "temperature") == 283.15
    assert parse("18 °F", "difference") == 10.0
    assert parse("212 °F", "temperature") == 373.15
