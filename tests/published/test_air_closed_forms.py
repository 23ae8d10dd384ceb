"""Trapped air in cavities whose pockets have closed-form volumes (half balls, cylinders, wedges under a tilt).

The allowances are those of the method at 512 columns.
"""

from __future__ import annotations

import math

import pytest

from mesh_bodies import cap_mm3, domed_cavity, ducted_boxes, meshed
from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.air.air_paths import Point, TrapReport, tilted, trapped
from pourwright.engines.geometry.tree import Box, Node

UP = (0.0, 0.0, 1.0)
DOME, BORE = (-10.0, 0.0, 26.0), (10.0, 0.0, 27.0)
PLAIN = Box(-20, -20, 0, 20, 20, 20)
T = math.tan(0.1)
SLIVER = cap_mm3(6, 6 * (1 - math.cos(0.1)))  # beyond a vent at the top of the level dome


def standing(solid: Node, up: Point, vents: list[Point], columns: int = 512) -> TrapReport:
    return trapped(*meshed(solid), up=up, vents=vents, columns=columns, tilts_deg=(0.0,))


@pytest.mark.parametrize(
    ("up", "vent", "volume", "allow"),
    [
        pytest.param(UP, DOME, 112 * math.pi, 2e-3, id="vent on the dome: the bore stays full"),
        pytest.param(UP, BORE, 144 * math.pi, 1e-3, id="vent on the bore: the dome stays full"),
        pytest.param((math.sin(0.1), 0, math.cos(0.1)), DOME, 11520 * T + 112 * math.pi + SLIVER, 5e-3, id="bore up"),
        pytest.param(
            (0, math.sin(0.1), math.cos(0.1)),
            DOME,
            3920 * T + 112 * math.pi - 64 * math.pi * T + SLIVER,
            1e-2,
            id="leaning to one side",
        ),
        pytest.param(
            (0, -math.sin(0.1), math.cos(0.1)),
            DOME,
            3920 * T + 112 * math.pi - 64 * math.pi * T + SLIVER,
            1e-2,
            id="leaning to the other side",
        ),
    ],
)
def test_a_dome_and_a_bore_hold_the_air_that_their_shapes_hold(
    up: Point, vent: Point, volume: float, allow: float
) -> None:
    assert standing(domed_cavity(), up, [vent]).worst_mm3 == pytest.approx(volume, rel=allow)


@pytest.mark.parametrize("tilt", [2.0, 5.0])
def test_a_tilted_flat_ceiling_keeps_the_wedge_above_its_middle_vent(tilt: float) -> None:
    found = standing(PLAIN, tilted(UP, tilt, 0.0), [(0.0, 0.0, 20.0)])
    assert found.worst_mm3 == pytest.approx(8000 * math.tan(math.radians(tilt)), rel=5e-3)


def test_a_level_flat_ceiling_traps_nothing_only_while_it_stands_level() -> None:
    found = trapped(*meshed(PLAIN), vents=[(0.0, 0.0, 20.0)], columns=256)
    assert found.level_mm3 == pytest.approx(0.0, abs=1e-9)
    # At 5° towards 0° the wedge is 8000 tan 5°; across a corner it is larger.
    assert found.worst_mm3 > 8000 * math.tan(math.radians(5)) * 0.98
    assert found.best_tilt.tilt_deg == 0.0
    assert len(found.per_tilt) == 1 + 4 * 12


def test_air_does_not_pass_a_duct_at_the_floor() -> None:
    # The second box keeps all that is above the duct: 10 × 10 × 16.
    found = standing(ducted_boxes(), UP, [(5.0, 5.0, 20.0)])
    assert found.worst_mm3 == pytest.approx(1600, rel=5e-3)
    (trap,) = found.traps
    assert trap.depth_mm == pytest.approx(16.0, abs=1e-9)
    assert trap.peak_mm == pytest.approx((25.0, 5.0, 20.0), abs=0.1)


def test_two_pockets_are_told_apart_with_depth_and_peak() -> None:
    # Vented at the corner of the block's own ceiling: dome and bore both keep their air.
    first, second = standing(domed_cavity(), UP, [(19.9, 19.9, 20.0)]).traps
    assert (first.volume_mm3, second.volume_mm3) == pytest.approx((144 * math.pi, 112 * math.pi), rel=2e-3)
    assert (first.depth_mm, second.depth_mm) == pytest.approx((6.0, 7.0), abs=1e-3)
    assert first.peak_mm == pytest.approx((-10, 0, 26), abs=0.1)
    assert second.peak_mm == pytest.approx((10, 0, 27), abs=0.1)


def test_a_pour_that_is_open_at_its_fill_line_keeps_air_only_under_what_hangs_in_it() -> None:
    # A bell hangs from the top: 10 × 10 wide and 10 deep inside.
    bell = Box(8, 8, 5, 22, 22, 30) - Box(10, 10, 0, 20, 20, 15)
    found = trapped(*meshed(Box(0, 0, 0, 40, 40, 20) - bell), open_level=20.0, columns=400, tilts_deg=(0.0,))
    assert found.worst_mm3 == pytest.approx(1000, rel=5e-3)
    free = trapped(*meshed(Box(0, 0, 0, 40, 40, 20)), open_level=20.0, columns=128)
    assert free.worst_mm3 == pytest.approx(0.0, abs=1e-9)


def test_a_cavity_without_any_vent_keeps_all_its_air() -> None:
    found = standing(PLAIN, UP, [], 64)
    assert found.worst_mm3 == pytest.approx(32000, rel=1e-12)


def test_a_vent_that_misses_the_cavity_is_refused() -> None:
    with pytest.raises(CannotBuild, match="does not touch the cavity"):
        standing(PLAIN, UP, [(0.0, 0.0, 30.0)], 64)
