"""Every line of a material record: its name, kind of quantity, unit to show, and what it means."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Mean = Literal["middle", "geometric"]


@dataclass(frozen=True, kw_only=True)
class Field:
    """One number of a material record.

    `kind` names a kind of quantity; `unit` is the one to show it in; `low` and `high` are the ends, in
    that unit, beyond which a typed value is refused as a slip; `mean` says which middle of a band is best.
    """

    name: str
    kind: str
    unit: str
    low: float
    high: float
    words: str
    mean: Mean = "middle"


def _field(name: str, kind: str, unit: str, low: float, high: float, words: str, mean: Mean = "middle") -> Field:
    return Field(name=name, kind=kind, unit=unit, low=low, high=high, words=words, mean=mean)


_NUMBERS = (
    _field("hardness", "hardness", "Shore A", 0, 100, "Shore A hardness; say in the condition after how many seconds"),
    _field("density", "density", "g/mL", 0.5, 5, "density of the cured rubber"),
    _field("density_a", "density", "g/mL", 0.5, 5, "density of part A"),
    _field("density_b", "density", "g/mL", 0.5, 5, "density of part B"),
    _field("viscosity_a", "viscosity", "Pa.s", 1e-3, 2000, "viscosity of part A", "geometric"),
    _field("viscosity_b", "viscosity", "Pa.s", 1e-3, 2000, "viscosity of part B", "geometric"),
    _field("mixed_viscosity", "viscosity", "Pa.s", 1e-3, 2000, "viscosity of A and B, just mixed", "geometric"),
    _field("pot_life", "time", "min", 0.2, 3000, "working time of the mix, as the sheet gives it", "geometric"),
    _field("pot_life_mass", "mass", "g", 1, 5000, "mass for which the sheet gives pot life"),
    _field("pot_life_temperature", "temperature", "°C", 0, 60, "temperature for which the sheet gives pot life"),
    _field("gel_time", "time", "min", 0.2, 10000, "time to gel, as the sheet gives it", "geometric"),
    _field("peak_exotherm", "temperature", "°C", 20, 250, "hottest temperature of the curing mix"),
    _field("demould_time", "time", "h", 0.02, 500, "earliest time to take it out of the mould, at 23 °C", "geometric"),
    _field("full_cure", "time", "d", 0.02, 60, "time to full cure, at 23 °C", "geometric"),
    _field("tensile_strength", "stress", "MPa", 0.1, 100, "tensile strength"),
    _field("elongation", "share", "%", 5, 2000, "elongation at break"),
    _field("modulus_100", "stress", "MPa", 0.01, 100, "stress at 100 % elongation; not Young's modulus"),
    _field("modulus_300", "stress", "MPa", 0.01, 100, "stress at 300 % elongation; not Young's modulus"),
    _field("tear_strength", "rate", "kN/m", 0.1, 300, "tear strength; say which test piece in the condition"),
    _field("rebound", "share", "%", 0, 100, "rebound"),
    _field("compression_set", "share", "%", 0, 100, "compression set; say hours and temperature in the condition"),
    _field("shrink", "share", "%", -2, 12, "linear shrinkage"),
    _field("expansion", "expansion", "ppm/K", 1, 1000, "linear thermal expansion"),
    _field("conductivity", "conductivity", "W/m/K", 0.02, 5, "heat conductivity"),
    _field("specific_heat", "specific heat", "kJ/kg/K", 0.3, 5, "specific heat"),
    _field("heat_limit", "temperature", "°C", 30, 400, "hottest temperature of long use"),
    _field("nco", "share", "%", 0, 60, "isocyanate content of its part"),
    _field("mould_life", "count", "", 1, 1000, "casts from one mould of it"),
    _field("library_life", "time", "d", 1, 20000, "storage life of a mould of it", "geometric"),
    _field("shelf_life_unopened", "time", "d", 1, 5000, "storage life, unopened", "geometric"),
    _field("shelf_life_opened", "time", "d", 0.1, 5000, "storage life, opened", "geometric"),
)

NUMBERS: Mapping[str, Field] = {field.name: field for field in _NUMBERS}

RATIOS: Mapping[str, str] = {
    "ratio_by_weight": 'parts A to B by weight, like "100:90"',
    "ratio_by_volume": 'parts A to B by volume, like "1:1"',
}

WORDS: Mapping[str, str] = {
    "class": "the class whose defaults fill the gaps",
    "sheet": "title of the data sheet",
    "revision": "its revision",
    "date": "its date",
    "safety_sheet": "revision or date of the safety sheet",
    "lot": "lot numbers of A and B",
    "curative": "the curative or hardener, by name, from section 3 of the safety sheet",
    "notes": "anything else",
}

TABLES: Mapping[str, str] = {
    "measured": "own test values: the same names, with the same units",
    "conditions": "for a name above, at what mass, temperature, dwell or age it holds",
}


def field_names() -> tuple[str, ...]:
    """Every key that a person's own sheet may hold, in the order of a form."""
    return (*WORDS, *RATIOS, *NUMBERS, *TABLES)
