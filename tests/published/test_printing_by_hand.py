"""Filament and time of prints worked by hand; the model and its class defaults are our own (judgement)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.basics.errors import InputError
from pourwright.engines.process.printing import filament_length, print_time, printed_plastic

CUBE = {"volume": 8e-6, "area": 24e-4}  # 20 mm


def test_a_solid_cube_takes_its_own_volume() -> None:
    assert printed_plastic(**CUBE, shell=1.2e-3, infill=1.0) == pytest.approx(8e-6, rel=1e-12)
    # 9.92 g of a plastic of 1.24 g/cm3, 3.326 m of 1.75 mm filament.
    assert pytest.approx(9.92) == 1.24e6 * 8e-6
    assert filament_length(plastic=8e-6) == pytest.approx(8 / (100 * math.pi * 0.0875**2), rel=1e-12)


def test_a_hollow_cube_takes_its_skin_and_a_share_of_the_rest() -> None:
    # Skin 24 cm2 x 0.08 cm = 1.92 cm3, and 15 % of the other 6.08.
    assert printed_plastic(**CUBE, shell=0.8e-3, infill=0.15) == pytest.approx(1.92e-6 + 0.15 * 6.08e-6, rel=1e-12)
    assert printed_plastic(**CUBE, shell=0.8e-3, infill=0.0) == pytest.approx(1.92e-6, rel=1e-12)


@given(st.floats(0.0, 1.0), st.floats(1e-5, 1e-2))
def test_no_print_takes_more_than_its_volume_or_less_than_its_infill(infill: float, shell: float) -> None:
    taken = printed_plastic(**CUBE, shell=shell, infill=infill)
    assert infill * 8e-6 * (1 - 1e-12) <= taken <= 8e-6 * (1 + 1e-12)


def test_a_cube_takes_the_length_of_its_lines_and_a_pause_for_each_layer() -> None:
    # 8 cm3 in lines of 0.4 x 0.2 mm is 100 m, at 50 mm/s 2000 s; 100 layers of 4 s.
    taken = print_time(plastic=8e-6, height=0.02, line=0.4e-3, layer=0.2e-3, speed=0.05, pause=4.0)
    assert taken == pytest.approx(2400.0, rel=1e-12)


@given(st.floats(0.05e-3, 0.4e-3), st.floats(1.1, 4.0))
def test_time_goes_with_one_over_the_layer_height(layer: float, times: float) -> None:
    def taken(height_of_layer: float) -> float:
        return print_time(plastic=8e-6, height=0.02, line=0.4e-3, layer=height_of_layer, speed=0.05, pause=4.0)

    assert taken(layer) == pytest.approx(times * taken(layer * times), rel=1e-9)


def test_nothing_prints_without_a_line_or_a_volume() -> None:
    with pytest.raises(InputError, match="layer"):
        print_time(plastic=1e-6, height=0.01, line=0.4e-3, layer=0.0, speed=0.05, pause=1.0)
    with pytest.raises(InputError, match="volume"):
        printed_plastic(volume=0.0, area=1e-3, shell=1e-3, infill=1.0)


@pytest.mark.parametrize(("across_mm", "printed_m"), [(1.75, 335), (2.85, 126)])
def test_a_kilogram_of_filament_is_as_long_as_spools_say(across_mm: float, printed_m: int) -> None:
    # Common practice: spools of 1 kg at 1.24 g/cm3 are sold as some 330 m of 1.75 mm, some 125 m of 2.85 mm.
    assert filament_length(plastic=1.0 / 1240.0, diameter=across_mm * 1e-3) == pytest.approx(printed_m, abs=0.5)


def drawn_mm2(side: float, layer: int, layers: int) -> float:
    """What a slicer fills of one layer of a cube: two lines of 0.4 mm round it, all of it in the outer four layers."""
    inner = 0.0 if min(layer, layers - 1 - layer) < 4 else side - 2 * 0.8
    return side**2 - inner**2 + 0.15 * inner**2


@pytest.mark.parametrize("side", [20.0, 40.0, 60.0])
def test_the_plastic_of_a_cube_is_that_of_its_lines_drawn_layer_by_layer(side: float) -> None:
    layers = round(side / 0.2)
    areas = [drawn_mm2(side, layer, layers) for layer in range(layers)]
    drawn = 0.2 * sum(areas)
    estimate = 1e9 * printed_plastic(volume=side**3 * 1e-9, area=6 * side**2 * 1e-6, shell=0.8e-3, infill=0.15)
    # The skin from the surface counts the edges twice: never less, and a twentieth more at most from 20 mm on.
    assert drawn <= estimate <= 1.05 * drawn
    seconds = sum(area / 0.4 / 50.0 + 4.0 for area in areas)
    taken = print_time(plastic=drawn * 1e-9, height=side * 1e-3, line=0.4e-3, layer=0.2e-3, speed=0.05, pause=4.0)
    assert taken == pytest.approx(seconds, rel=1e-9)
