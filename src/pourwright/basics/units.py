"""The units that a person may write, by kind of quantity, with their exact SI factors."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, kw_only=True)
class Unit:
    """One unit: SI = (number + offset) * factor."""

    name: str
    factor: Fraction
    offset: Fraction = Fraction(0)

    def to_si(self, number: Fraction) -> Fraction:
        """The number of this unit, in SI."""
        return (number + self.offset) * self.factor

    def from_si(self, value: Fraction) -> Fraction:
        """The SI value, in this unit."""
        return value / self.factor - self.offset


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of quantity: what it is called, its units by name, and the two that an error offers.

    `shown` is the unit in which it is written when nobody asks for another; "" where it has none.
    """

    name: str
    noun: str
    units: Mapping[str, Unit]
    shown: str
    other: str
    example: str
    lowest: float | None = None


def _kind(
    name: str, noun: str, factors: str, *, shown: str, other: str = "", example: str, lowest: float | None = None
) -> Kind:
    """A kind from lines like "mm 1e-3 | in .0254"; a name may hold blanks, the factor stands last."""
    units = {}
    for entry in filter(None, (part.strip() for part in factors.split("|"))):
        unit_name, factor = entry.rsplit(" ", 1)
        units[unit_name] = Unit(name=unit_name, factor=_factor(factor))
    return Kind(name=name, noun=noun, units=units, shown=shown, other=other, example=example, lowest=lowest)


def _factor(text: str) -> Fraction:
    product = Fraction(1)
    for piece in text.split("x"):
        top, _, bottom = piece.partition("/")
        product *= Fraction(top) / Fraction(bottom or 1)
    return product


_POUND = "0.45359237"
_POUND_FORCE = f"{_POUND}x9.80665"
_PSI = f"{_POUND_FORCE}/0.0254x1/0.0254"
_DEGREE = str(Fraction(math.pi) / 180)

_TEMPERATURE = Kind(
    name="temperature",
    noun="a temperature",
    units={
        name: Unit(name=name, factor=factor, offset=offset)
        for names, factor, offset in (
            (("°C", "C", "degC"), Fraction(1), Fraction("273.15")),
            (("°F", "F", "degF"), Fraction(5, 9), Fraction("459.67")),
            (("K",), Fraction(1), Fraction(0)),
        )
        for name in names
    },
    shown="°C",
    other="°F",
    example="23 °C",
    lowest=0.0,
)

_ALL = (
    _kind(
        "length",
        "a length",
        "mm 1e-3 | cm 0.01 | m 1 | um 1e-6 | in 0.0254 | inch 0.0254 | ft 0.3048",
        shown="mm",
        other="in",
        example="2.5 mm",
    ),
    _kind("area", "an area", "mm2 1e-6 | cm2 1e-4 | m2 1", shown="cm2", other="mm2", example="12 cm2"),
    _kind("angle", "an angle", f"° {_DEGREE} | deg {_DEGREE} | rad 1", shown="°", other="rad", example="5 deg"),
    _kind(
        "pressure",
        "a pressure",
        f"psi {_PSI} | bar 1e5 | mbar 100 | kPa 1e3 | MPa 1e6",
        shown="psi",
        other="bar",
        example="45 psi",
    ),
    _kind(
        "vacuum",
        "a vacuum gauge reading",
        "inHg 3386.389 | mbar 100 | kPa 1e3",
        shown="inHg",
        other="kPa",
        example="29 inHg",
    ),
    _kind(
        "mass",
        "a mass",
        f"g 1e-3 | kg 1 | lb {_POUND} | oz {_POUND}/16",
        shown="g",
        other="oz",
        example="100 g",
    ),
    _kind(
        "volume",
        "a volume",
        "mL 1e-6 | ml 1e-6 | cc 1e-6 | cm3 1e-6 | L 1e-3 | l 1e-3 | fl oz 29.5735295625e-6 | imp fl oz 28.4130625e-6",
        shown="mL",
        other="fl oz",
        example="250 mL",
    ),
    _kind(
        "density",
        "a density",
        "g/cm3 1e3 | g/mL 1e3 | g/cc 1e3 | kg/m3 1",
        shown="g/cm3",
        other="kg/m3",
        example="1.08 g/cm3",
    ),
    _kind(
        "viscosity",
        "a viscosity",
        "mPa.s 1e-3 | Pa.s 1 | Pa s 1 | mPa s 1e-3 | cP 1e-3",
        shown="mPa.s",
        other="Pa.s",
        example="1200 mPa.s",
    ),
    _kind("time", "a time", "s 1 | min 60 | h 3600 | d 86400", shown="min", other="h", example="1h 30min"),
    _TEMPERATURE,
    _kind(
        "difference",
        "a temperature difference",
        "K 1 | °C 1 | C 1 | degC 1 | °F 5/9 | F 5/9 | degF 5/9",
        shown="K",
        other="°F",
        example="10 K",
    ),
    _kind("hardness", "a hardness", "", shown="", example="60A"),
    _kind("force", "a force", f"N 1 | kN 1e3 | lbf {_POUND_FORCE}", shown="N", other="lbf", example="400 N"),
    _kind(
        "rate",
        "a spring rate",
        f"N/mm 1e3 | kN/m 1e3 | N/m 1 | lbf/in {_POUND_FORCE}/0.0254",
        shown="N/mm",
        other="lbf/in",
        example="200 N/mm",
    ),
    _kind(
        "stress",
        "a stress",
        f"MPa 1e6 | Pa 1 | kPa 1e3 | GPa 1e9 | psi {_PSI}",
        shown="MPa",
        other="psi",
        example="3.5 MPa",
    ),
    _kind(
        "expansion",
        "a thermal expansion",
        "ppm/K 1e-6 | 1/K 1",
        shown="ppm/K",
        other="1/K",
        example="200 ppm/K",
    ),
    _kind(
        "conductivity",
        "a heat conductivity",
        "W/m/K 1 | mW/m/K 1e-3",
        shown="W/m/K",
        other="mW/m/K",
        example="0.2 W/m/K",
    ),
    _kind(
        "specific heat",
        "a specific heat",
        "J/kg/K 1 | kJ/kg/K 1e3",
        shown="J/kg/K",
        other="kJ/kg/K",
        example="1800 J/kg/K",
    ),
    _kind("share", "a share", "% 0.01 | ppm 1e-6", shown="%", other="ppm", example="50 %"),
    _kind("count", "a whole number without a unit", "", shown="", example="4"),
    _kind("number", "a number without a unit", "", shown="", example="0.3"),
)

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ALL}

HARDNESS_SCALES = ("A", "D", "OO")

# What people write in full, and the unit that is read instead.
SPELT_OUT: Mapping[str, str] = {
    word: unit
    for unit, words in {
        "mm": "millimeter millimeters millimetre millimetres",
        "cm": "centimeter centimeters centimetre centimetres",
        "m": "meter meters metre metres",
        "um": "micron microns micrometre micrometer",
        "in": "inches ins",
        "ft": "foot feet",
        "deg": "degree degrees",
        "psi": "psig psia",
        "mL": "millilitre millilitres milliliter milliliters ccm",
        "L": "litre litres liter liters",
        "fl oz": "floz fl.oz",
        "g": "gram grams gramme grammes gr gm",
        "kg": "kilo kilos kilogram kilograms",
        "lb": "lbs pound pounds",
        "oz": "ounce ounces",
        "s": "sec secs second seconds",
        "min": "mins minute minutes",
        "h": "hr hrs hour hours",
        "d": "day days",
        "°C": "celsius centigrade",
        "°F": "fahrenheit",
        "K": "kelvin",
        "N": "newton newtons",
        "cP": "cps centipoise",
        "g/cm3": "g/ccm gcc",
        "%": "percent pct",
    }.items()
    for word in words.split()
}
