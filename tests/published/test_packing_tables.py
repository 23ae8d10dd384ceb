"""Tightest packings of equal discs, by their closed forms and published decimals.

Circle: 2-7 by simple geometry and Graham 1968, 8-10 Pirl 1969, 11 Melissen 1994, 12 Fodor 2000; decimals from
Graham, Lubachevsky, Nurmela & Östergård, Discrete Math. 181 (1998) 139. Square: proven to 30 discs; closed forms and
decimals as tabulated in the literature on packings in a square.
Boxes: cells of radius 12.07 mm, 8 mm between and 10 mm beside: pitch 32.14, side 22.07.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.layouts.packing import (
    Layout,
    Packing,
    circle_layout,
    grid,
    hull_layout,
    pack_circle,
    pack_rectangle,
    pack_square,
)

D, RHO = 32.14, 22.07
R2, R3 = math.sqrt(2), math.sqrt(3)
CIRCLE = {
    1: 1.0,
    2: 2.0,
    3: 1 + 2 / R3,
    4: 1 + R2,
    5: 1 + math.sqrt(2 * (1 + 1 / math.sqrt(5))),
    6: 3.0,
    7: 3.0,
    8: 1 + 1 / math.sin(math.pi / 7),
    9: 1 + math.sqrt(2 * (2 + R2)),
    11: 1 + 1 / math.sin(math.pi / 9),
}
SQUARE = {
    1: 2.0,
    2: 2 + R2,
    3: 2 + R2 / 2 + math.sqrt(6) / 2,
    4: 4.0,
    5: 2 + 2 * R2,
    6: 2 + 12 / math.sqrt(13),
    7: 4 + R3,
    8: 2 + R2 + math.sqrt(6),
    9: 6.0,
    12: 2 + 15 * math.sqrt(2 / 17),
}


def least_gap(packing: Packing) -> float:
    points = np.array(packing.centres)
    first, second = np.triu_indices(len(points), 1)
    return float(np.linalg.norm(points[first] - points[second], axis=1).min(initial=math.inf))


@pytest.mark.parametrize("n", CIRCLE)
def test_discs_in_a_circle_are_as_tight_as_the_closed_form(n: int) -> None:
    found = pack_circle(n)
    assert found.size == pytest.approx(CIRCLE[n], abs=1e-8)
    assert found.proven


@pytest.mark.parametrize("n", SQUARE)
def test_discs_in_a_square_are_as_tight_as_the_closed_form(n: int) -> None:
    found = pack_square(n)
    assert found.size == pytest.approx(SQUARE[n], abs=1e-8)
    assert found.proven


@pytest.mark.parametrize(("n", "published"), [(10, 3.813), (12, 4.029)])
def test_discs_in_a_circle_reach_the_published_decimals(n: int, published: float) -> None:
    # The table cuts its decimals off.
    assert published <= pack_circle(n).size < published + 1e-3


@pytest.mark.parametrize(("n", "published"), [(10, 6.747), (11, 7.022)])
def test_discs_in_a_square_reach_the_published_decimals(n: int, published: float) -> None:
    assert published <= pack_square(n).size < published + 1e-3


@pytest.mark.parametrize("n", [*range(1, 21), 22])
def test_packed_discs_neither_overlap_nor_leave_their_container(n: int) -> None:
    circle, square = pack_circle(n), pack_square(n)
    for packing in (circle, square):
        assert len(packing.centres) == n
        assert least_gap(packing) >= 2 - 1e-12
    assert np.hypot(*np.array(circle.centres).T).max() + 1 <= circle.size + 1e-12
    assert np.abs(np.array(square.centres)).max() + 1 <= square.size / 2 + 1e-12


def test_packing_again_gives_the_same_places_to_the_last_digit() -> None:
    assert pack_circle(9) == pack_circle(9)
    assert pack_square(21) == pack_square(21)


# ---------------------------------------------------------------- boxes


@pytest.mark.parametrize(
    ("n", "wide", "deep"),
    [
        (2, 2 * RHO + D, 2 * RHO),
        (3, 2 * RHO + 2 * D, 2 * RHO),
        (4, 2 * RHO + D, 2 * RHO + D),
        (5, 2 * RHO + D, 2 * RHO + R3 * D),
        (6, 2 * RHO + D, 2 * RHO + 2 * D),
        (7, 2 * RHO + D, 2 * RHO + (1 + R3) * D),
        (12, 2 * RHO + 2 * D, 2 * RHO + 3 * D),
    ],
)
def test_the_rectangle_is_as_small_as_its_pattern(n: int, wide: float, deep: float) -> None:
    found = pack_rectangle(n, pitch_mm=D, side_mm=RHO)
    assert found.area_mm2 == pytest.approx(wide * deep, rel=1e-8)
    assert sorted(found.size_mm) == pytest.approx(sorted((wide, deep)), abs=1e-5)
    assert found.pot_bore_mm == pytest.approx(math.hypot(wide, deep), abs=1e-5)


@pytest.mark.parametrize(
    ("n", "area", "bore"),
    [
        (2, 4570, 76.3),
        (3, 5185, 81.3),
        (4, 6304, 89.6),
        (5, 7670, 98.8),
        (6, 9232, 108.4),
        (7, 9232, 108.4),
        (12, 15728, 141.5),
    ],
)
def test_a_round_box_has_the_area_and_pot_worked_out_for_it(n: int, area: float, bore: float) -> None:
    found = circle_layout(n, pitch_mm=D, side_mm=RHO)
    assert found.area_mm2 == pytest.approx(area, abs=0.5)
    assert found.pot_bore_mm == pytest.approx(bore, abs=0.05)


@pytest.mark.parametrize(
    ("layout", "area"),
    [
        pytest.param(pack_rectangle(2, pitch_mm=D, side_mm=RHO), 2 * D * RHO + math.pi * RHO**2, id="two"),
        pytest.param(circle_layout(3, pitch_mm=D, side_mm=RHO), 4106, id="three in a triangle"),
        pytest.param(grid(4, 2, pitch_mm=D, side_mm=RHO), D**2 + 4 * D * RHO + math.pi * RHO**2, id="two by two"),
        pytest.param(pack_rectangle(5, pitch_mm=D, side_mm=RHO), 7195, id="five"),
        pytest.param(grid(6, 2, pitch_mm=D, side_mm=RHO), 7852, id="two by three"),
        pytest.param(circle_layout(7, pitch_mm=D, side_mm=RHO), 8470, id="seven in a hexagon"),
        pytest.param(grid(12, 3, pitch_mm=D, side_mm=RHO), 14821, id="three by four"),
    ],
)
def test_a_box_along_the_hull_of_the_cells_takes_less_than_any_other(layout: Layout, area: float) -> None:
    found = hull_layout(layout, side_mm=RHO)
    assert found.area_mm2 == pytest.approx(area, abs=0.5)
    assert found.area_mm2 < min(
        layout.area_mm2, pack_rectangle(len(layout.centres_mm), pitch_mm=D, side_mm=RHO).area_mm2
    )


@given(n=st.integers(1, 8), pitch=st.floats(5, 60), side=st.floats(3, 40))
@settings(max_examples=12, deadline=None)
def test_no_rectangle_is_worse_than_a_straight_grid_and_no_round_box_needs_a_wider_pot(
    n: int, pitch: float, side: float
) -> None:
    found = pack_rectangle(n, pitch_mm=pitch, side_mm=side)
    points = np.array(found.centres_mm)
    first, second = np.triu_indices(n, 1)
    assert np.linalg.norm(points[first] - points[second], axis=1).min(initial=math.inf) >= pitch * (1 - 1e-12)
    for columns in range(1, n + 1):
        assert found.area_mm2 <= grid(n, columns, pitch_mm=pitch, side_mm=side).area_mm2 * (1 + 1e-8)
    assert circle_layout(n, pitch_mm=pitch, side_mm=side).pot_bore_mm <= found.pot_bore_mm * (1 + 1e-9)


def test_a_rectangle_keeps_within_the_bed_or_says_that_it_cannot() -> None:
    narrow = pack_rectangle(4, pitch_mm=D, side_mm=RHO, most_mm=(50.0, 200.0))
    assert narrow.size_mm == pytest.approx((2 * RHO, 2 * RHO + 3 * D))
    with pytest.raises(CannotBuild, match="do not fit"):
        pack_rectangle(4, pitch_mm=D, side_mm=RHO, most_mm=(60.0, 60.0))


def test_a_short_last_row_stands_in_the_middle() -> None:
    found = grid(5, 2, pitch_mm=10.0, side_mm=8.0)
    assert found.size_mm == (26.0, 36.0)
    assert found.centres_mm[-1] == (0.0, 10.0)
