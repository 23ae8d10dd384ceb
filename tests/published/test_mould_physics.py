"""Forces, leaks, wells and bores of silicone moulds, worked by hand; tolerance half the last printed digit.

The formulas are those of textbooks (Archimedes, slow flow in tubes and slots, beams and columns). Long bubbles:
Viana et al., J. Fluid Mech. 494 (2003) 379. Least bore: Bretherton 1961, from memory. The silicone has 1100 kg/m3
and 0.73 MPa or Gent's 20A modulus, prints 500 kg/m3: assumed.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.basics.errors import InputError
from pourwright.engines.process import bores, mould_physics

MM, MM2, MM3 = 1e-3, 1e-6, 1e-9
POT = 4.062068  # 45 psi gauge over 1 atmosphere
GENT_20A = 0.0981e6 * (56 + 7.62336 * 20) / (0.137505 * (254 - 2.54 * 20))


def _float(volume: float, solid: float, pieces: int = 1) -> float:
    mass = 500.0 * solid * MM3
    return pieces * mould_physics.float_force(liquid_density=1100.0, displaced_volume=volume * MM3, mass=mass)


def _wells(part: float, ratio: float) -> float:
    return mould_physics.wells_needed(part_volume=part * MM3, pressure_ratio=ratio) / MM3


def _leak(gap: float) -> float:
    seam = {"depth": 36 * MM, "width": 36 * MM, "gap": gap * MM, "path": 6 * MM}
    return mould_physics.seam_leak(viscosity=10.0, liquid_density=1100.0, **seam) * 3600e6


def _open(diameter: float, viscosity: float = 10.0) -> float:
    bore = {"length": 15 * MM, "diameter": diameter * MM}
    return bores.open_slug_time(viscosity=viscosity, density=1100.0, **bore)


def _blind(diameter: float, viscosity: float = 10.0) -> float:
    bore = {"length": 15 * MM, "diameter": diameter * MM}
    return bores.blind_slug_time(viscosity=viscosity, density=1100.0, **bore)


def _bend(diameter: float, length: float) -> float:
    return bores.one_sided_bend(density=1080.0, length=length * MM, diameter=diameter * MM, modulus=GENT_20A) / MM


def _buckle(diameter: float) -> float:
    return bores.buckling_force(length=15 * MM, diameter=diameter * MM, modulus=GENT_20A)


def _bulge(length: float) -> float:
    wall = {"depth": 36 * MM, "free_length": length * MM, "thickness": 3 * MM}
    return mould_physics.wall_bulge(liquid_density=1100.0, **wall) / MM


ROWS = [
    ("wells, bushing at 45 psi, mm3", lambda: _wells(4738.749939, POT), 344.102, 5e-4),
    ("wells, barrel at 45 psi, mm3", lambda: _wells(5973.214832, POT), 433.743, 5e-4),
    ("wells, barrel without pressure, mm3", lambda: _wells(5973.214832, 1.0), 298.661, 5e-4),
    ("wells, share of the part, %", lambda: 100 * _wells(1.0, POT), 7.26, 5e-3),
    ("float, lower piece, N", lambda: _float(3183.4806, 2949.9882), 0.019876, 5e-7),
    ("float, four patterns, N", lambda: _float(4738.7499, 4506.5784, 4), 0.116085, 5e-7),
    ("sealed foot, N", lambda: _foot(), 0.063260, 5e-7),
    ("slug, open, 3 mm, s", lambda: _open(3), 49.4408, 5e-5),
    ("slug, open, 6 mm, s", lambda: _open(6), 12.3602, 5e-5),
    ("slug, open, 9.5 mm, s", lambda: _open(9.5), 4.9304, 5e-5),
    ("slug, blind, 3 mm, s", lambda: _blind(3), 2859.38, 5e-3),
    ("slug, blind, 6 mm, s", lambda: _blind(6), 102.335, 5e-4),
    ("slug, blind, 9.5 mm, s", lambda: _blind(9.5), 19.7650, 5e-5),
    ("least bore, mm", lambda: bores.least_open_bore(density=1100.0) / MM, 2.5606, 5e-5),
    ("seam, 0.1 mm, mL/h", lambda: _leak(0.1), 0.03495, 5e-6),
    ("seam, 0.2 mm, mL/h", lambda: _leak(0.2), 0.27961, 5e-6),
    ("seam, 0.3 mm, mL/h", lambda: _leak(0.3), 0.94367, 5e-6),
    ("press board, N", lambda: _press(), 5.9937, 5e-5),
    ("bulge, 93 mm wall, mm", lambda: _bulge(93), 0.07, 5e-3),
    ("core bend, 9.5 × 15, mm", lambda: _bend(9.5, 15), 0.009, 5e-4),
    ("core bend, 6 × 15, mm", lambda: _bend(6, 15), 0.035, 5e-4),
    ("core bend, 6 × 30, mm", lambda: _bend(6, 30), 1.1, 5e-2),
    ("core bend, 3 × 30, mm", lambda: _bend(3, 30), 8.8, 5e-2),
    ("core buckles, 9.5 × 15, N", lambda: _buckle(9.5), 3.2, 5e-2),
    ("core buckles, 6 × 15, N", lambda: _buckle(6), 0.51, 5e-3),
    ("neck, 8 mm bulb through 6 mm", lambda: bores.neck_stretch(wide_area=64.0, neck_area=36.0), 1.7778, 5e-5),
]


def _foot() -> float:
    foot = math.pi * 12**2 * MM2
    volume = 3183.4806 * MM3
    return mould_physics.sealed_foot_force(
        liquid_density=1100.0, depth=20 * MM, foot_area=foot, displaced_volume=volume
    )


def _press() -> float:
    return mould_physics.press_force(squeeze=0.1 * MM, modulus=0.73e6, area=60 * 52 * MM2, thickness=38 * MM)


@pytest.mark.parametrize(("figure", "value", "tolerance"), [row[1:] for row in ROWS], ids=[row[0] for row in ROWS])
def test_the_figure_is_the_one_worked_by_hand(figure: Callable[[], float], value: float, tolerance: float) -> None:
    assert figure() == pytest.approx(value, abs=tolerance * 1.0001)


def test_water_runs_nine_thousand_times_faster_than_thick_silicone() -> None:
    # 10 / 0.001 × 1000 / 1100 at the same head.
    seam = {"depth": 0.036, "width": 0.036, "gap": 2e-4, "path": 0.006}
    water = mould_physics.seam_leak(viscosity=1e-3, liquid_density=1000.0, **seam)
    silicone = mould_physics.seam_leak(viscosity=10.0, liquid_density=1100.0, **seam)
    assert water / silicone == pytest.approx(9090.909, abs=5e-4)


def test_thicker_silicone_takes_about_five_times_as_long_at_fifty_pascal_seconds() -> None:
    assert _open(6, 50.0) / _open(6) == pytest.approx(5.0, rel=1e-12)
    assert _blind(6, 50.0) / _blind(6) == pytest.approx(5.0**1.026, rel=1e-9)


def test_below_the_least_bore_the_air_never_leaves() -> None:
    assert _blind(2.56) == math.inf
    assert _blind(2.57) < math.inf


def test_a_bend_is_the_area_moment_integral_of_the_falling_load() -> None:
    # Tip of a cantilever under q0(1 - x/L): q0 L⁴ / (30 E I), with q0 = ρ g L d and I = π d⁴ / 64.
    length, diameter, modulus = 0.02, 0.006, 0.7e6
    load = 1080.0 * 9.80665 * length * diameter
    expected = load * length**4 / (30 * modulus * math.pi * diameter**4 / 64)
    found = bores.one_sided_bend(density=1080.0, length=length, diameter=diameter, modulus=modulus)
    assert found == pytest.approx(expected, rel=1e-12)


def test_a_sag_is_that_of_a_cantilever_under_its_own_weight() -> None:
    length, diameter, modulus = 0.02, 0.006, 0.7e6
    load = 1100.0 * 9.80665 * math.pi / 4 * diameter**2
    expected = load * length**4 / (8 * modulus * math.pi * diameter**4 / 64)
    found = bores.sideways_sag(density=1100.0, length=length, diameter=diameter, modulus=modulus)
    assert found == pytest.approx(expected, rel=1e-12)


def test_a_vent_feeds_back_within_milliseconds_through_three_millimetres() -> None:
    found = mould_physics.feed_back_time(viscosity=1.5, length=9e-3, volume=0.1e-6, radius=1.5e-3, pressure=310e3)
    assert 1e-3 < found < 1e-2


@given(ratio=st.floats(1.0, 20.0), more=st.floats(0.0, 5.0), air=st.floats(0.0, 1e-7))
def test_more_pressure_never_needs_a_smaller_well(ratio: float, more: float, air: float) -> None:
    def needed(pressure: float) -> float:
        return mould_physics.wells_needed(part_volume=5e-6, pressure_ratio=pressure, trapped_volume=air)

    assert needed(ratio + more) >= needed(ratio) * (1 - 1e-15)
    assert needed(ratio) <= 5e-6 * 0.08 + air


@given(gap=st.floats(1e-5, 1e-3), factor=st.floats(1.0, 5.0))
def test_a_leak_grows_with_the_cube_of_the_gap(gap: float, factor: float) -> None:
    def leak(wide: float) -> float:
        return mould_physics.seam_leak(
            viscosity=10.0, liquid_density=1100.0, depth=0.03, width=0.03, gap=wide, path=0.006
        )

    assert leak(gap * factor) == pytest.approx(leak(gap) * factor**3, rel=1e-9)


def test_sizes_that_cannot_be_are_refused_with_their_name() -> None:
    with pytest.raises(InputError, match="diameter is 0"):
        bores.open_slug_time(viscosity=10.0, density=1100.0, length=0.015, diameter=0.0)
    with pytest.raises(InputError, match="pressure ratio"):
        mould_physics.wells_needed(part_volume=1e-6, pressure_ratio=0.9)
    with pytest.raises(InputError, match="too fast"):
        bores.blind_slug_time(viscosity=0.001, density=1000.0, length=0.015, diameter=0.02)


def test_a_ribbed_wall_has_the_second_moment_of_its_section_worked_by_hand() -> None:
    """6 mm wall, ribs 10 deep and 5 high every 25 mm: middle at 5 mm, 3266.67 mm4 for each 25 mm (by hand)."""
    ribs = {"thickness": 6 * MM, "rib_depth": 10 * MM, "rib_height": 5 * MM, "spacing": 25 * MM}
    found = mould_physics.ribbed_thickness(**ribs) / MM
    assert 25 * found**3 / 12 == pytest.approx(450 + 600 + 1250 / 3 + 1800, rel=1e-12)
