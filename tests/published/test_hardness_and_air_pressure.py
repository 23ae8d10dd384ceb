"""Printed numbers of hardness, stiffness and air pressure."""

from __future__ import annotations

import pytest

from pourwright.basics.errors import InputError
from pourwright.engines.elastomer.hardness import young_modulus
from pourwright.engines.process.air_pressure import ambient_pressure, pressure_ratio

# Gent, Trans. Inst. Rubber Ind. 34 (1958) 46, as tabulated for the trade, MPa (from memory).
GENT = {10: 0.41, 20: 0.73, 30: 1.14, 40: 1.69, 50: 2.46, 60: 3.6, 70: 5.5, 80: 9.4, 90: 21.0, 95: 44.0}


@pytest.mark.parametrize("hardness", GENT)
def test_gents_relation_gives_its_table(hardness: int) -> None:
    digit = 0.005 if GENT[hardness] < 3 else (0.05 if GENT[hardness] < 10 else 0.5)
    assert young_modulus(hardness=hardness) / 1e6 == pytest.approx(GENT[hardness], abs=digit)


# ISO 2533, standard atmosphere (from memory), hPa.
STANDARD = {0: 1013.25, 500: 954.61, 1000: 898.76, 2000: 795.01, 3000: 701.21, 5000: 540.48}


@pytest.mark.parametrize("altitude", STANDARD)
def test_air_pressure_is_that_of_the_standard_atmosphere(altitude: int) -> None:
    # The standard counts geopotential metres; the shop's altitude differs from them by 0.08 % at 5000 m.
    assert ambient_pressure(altitude) / 100 == pytest.approx(STANDARD[altitude], rel=1.2e-3)


def test_45_psi_gauge_at_sea_level_is_four_times_the_air_pressure() -> None:
    # By hand: (101325 + 45 · 6894.757) / 101325.
    assert pressure_ratio(gauge=45 * 6894.757293168361, altitude=0.0) == pytest.approx(4.062068, abs=5e-7)


def test_values_outside_the_range_are_refused() -> None:
    with pytest.raises(InputError, match="12000 m"):
        ambient_pressure(12000)
    with pytest.raises(InputError, match="99 Shore A"):
        young_modulus(hardness=99)
