"""Lids under a hand against the figures printed in tables of plates and worked by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.engines.process.lid_press import SUPPORTED, lid_bend, lid_shear, refill_time

LID = {"force": 50.0, "radius": 30e-3, "thickness": 10e-3, "modulus": 0.73e6}


def test_a_twenty_shore_lid_gives_what_the_tables_say() -> None:
    (bend, bow), (shear, more) = lid_bend(**LID), lid_shear(**LID)
    assert bend * 1e3 == pytest.approx(2.76, rel=0.01)
    assert shear * 1e3 == pytest.approx(1.96, rel=0.01)
    assert bow * 1e6 == pytest.approx(2.60, rel=0.01)
    assert more * 1e6 == pytest.approx(2.77, rel=0.01)
    load = LID["force"] / (math.pi * LID["radius"] ** 2)
    assert (bow + more) / load == pytest.approx(3.04e-10, rel=0.01)


@pytest.mark.parametrize(("slender", "percent"), [(1 / 4, 40), (1 / 3, 71), (1 / 2, 160)])
def test_shear_adds_its_share_to_the_bend(slender: float, percent: float) -> None:
    lid = {**LID, "thickness": slender * LID["radius"]}
    assert 100 * lid_shear(**lid)[0] / lid_bend(**lid)[0] == pytest.approx(percent, abs=0.5)


def test_a_lid_that_is_only_laid_on_bends_almost_four_times_as_much() -> None:
    assert pytest.approx(11 / 3) == SUPPORTED


def test_thick_resin_comes_back_twenty_times_as_slowly() -> None:
    load = LID["force"] / (math.pi * LID["radius"] ** 2)
    vent = {"length": 15e-3, "radius": 1.5e-3, "vents": 1, "volume": 5.37e-6, "load": load}
    assert refill_time(viscosity=20.0, **vent) == pytest.approx(46.0, rel=0.01)


@given(factor=st.floats(1.1, 4.0))
def test_a_thicker_lid_gives_less_by_its_cube_and_by_its_thickness(factor: float) -> None:
    thick = {**LID, "thickness": factor * LID["thickness"]}
    assert lid_bend(**thick)[0] == pytest.approx(lid_bend(**LID)[0] / factor**3)
    assert lid_shear(**thick)[1] == pytest.approx(lid_shear(**LID)[1] / factor)
