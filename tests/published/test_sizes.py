"""Figures that others printed: tolerances of moulded rubber, Student's t, the end gauge of the uncertainty guide.

Tolerances: ISO 3302-1 table 1 as reprinted by four rubber firms alike (the standard itself was not at hand). Student's
t and the end gauge: JCGM 100:2008 table G.2 and H.1, from memory. Tolerance half the last printed digit.
"""

from __future__ import annotations

import math

import pytest

from pourwright.basics.errors import InputError, UnknownName
from pourwright.engines.process import dimension_chain as chain
from pourwright.engines.process.moulded_tolerance import GRADES, moulded_tolerance
from pourwright.engines.process.uncertainty import combined, coverage_factor, effective_freedom

# Up to, mm: M1 F C, M2 F C, M3 F C, M4; written again from the reprints, not from the program.
TOLERANCES = """
4.0   0.08 0.10 0.10 0.15 0.25 0.40 0.50
6.3   0.10 0.12 0.15 0.20 0.25 0.40 0.50
10    0.10 0.15 0.20 0.20 0.30 0.50 0.70
16    0.15 0.20 0.20 0.25 0.40 0.60 0.80
25    0.20 0.20 0.25 0.35 0.50 0.80 1.00
40    0.20 0.25 0.35 0.40 0.60 1.00 1.30
63    0.25 0.35 0.40 0.50 0.80 1.30 1.60
100   0.35 0.40 0.50 0.70 1.00 1.60 2.00
160   0.40 0.50 0.70 0.80 1.30 2.00 2.50
"""
ROWS = [tuple(map(float, line.split())) for line in TOLERANCES.strip().splitlines()]
BEYOND = (0.3, 0.4, 0.5, 0.7, 0.8, 1.3, 1.5)  # % of the size, above 160 mm
COLUMNS = [("M1", False), ("M1", True), ("M2", False), ("M2", True), ("M3", False), ("M3", True), ("M4", False)]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"up to {row[0]:g} mm")
def test_a_tolerance_is_the_one_in_the_table_up_to_and_including_its_size(row):
    before = max((other[0] for other in ROWS if other[0] < row[0]), default=0.0)
    for size in (before + 0.001, row[0]):
        found = [moulded_tolerance(size=size / 1e3, grade=grade, closure=closure) for grade, closure in COLUMNS]
        assert found == pytest.approx([value / 1e3 for value in row[1:]], abs=1e-12)
        assert moulded_tolerance(size=size / 1e3, grade="M4", closure=True) == pytest.approx(row[7] / 1e3, abs=1e-12)


def test_above_160_mm_a_tolerance_is_a_share_of_the_size():
    found = [moulded_tolerance(size=0.4, grade=grade, closure=closure) for grade, closure in COLUMNS]
    assert found == pytest.approx([0.4 * share / 100 for share in BEYOND], rel=1e-12)


@pytest.mark.parametrize("size", [0.5, 4, 4.1, 9, 16, 33, 90, 150, 160, 161, 500])
def test_a_coarser_class_and_a_closure_never_allow_less(size):
    for closure in (False, True):
        allowed = [moulded_tolerance(size=size / 1e3, grade=grade, closure=closure) for grade in GRADES]
        assert allowed == sorted(allowed)
    for grade in GRADES:
        fixed, across = (moulded_tolerance(size=size / 1e3, grade=grade, closure=end) for end in (False, True))
        assert fixed <= across


def test_an_unknown_class_and_a_size_that_is_none_are_refused():
    with pytest.raises(UnknownName):
        moulded_tolerance(size=0.01, grade="M5", closure=False)
    with pytest.raises(InputError):
        moulded_tolerance(size=math.nan, grade="M3", closure=False)


@pytest.mark.parametrize(
    ("freedom", "t68", "t95", "t99"),
    [(1, 1.84, 12.71, 63.66), (2, 1.32, 4.30, 9.92), (3, 1.20, 3.18, 5.84), (4, 1.14, 2.78, 4.60),
     (5, 1.11, 2.57, 4.03), (9, 1.06, 2.26, 3.25), (16, 1.03, 2.12, 2.92), (50, 1.01, 2.01, 2.68),
     (math.inf, 1.00, 1.96, 2.576)],
)  # fmt: skip
def test_student_t_is_that_of_the_table(freedom, t68, t95, t99):
    assert coverage_factor(freedom, 0.6827) == pytest.approx(t68, abs=0.0051)
    assert coverage_factor(freedom, 0.95) == pytest.approx(t95, abs=0.0051)
    assert coverage_factor(freedom, 0.99) == pytest.approx(t99, abs=0.0051)


def test_the_end_gauge_of_the_guide_comes_out():
    # H.1, nm: standard 25 (18 degrees of freedom), comparison 9.7 (25.6), expansions 2.9 (50), temperatures 16.6 (2).
    parts, freedoms = [25.0, 9.7, 2.9, 16.6], [18, 25.6, 50, 2]
    assert combined(parts) == pytest.approx(32, abs=0.5)
    assert combined([5.8, 3.9, 6.7]) == pytest.approx(9.7, abs=0.05)
    assert effective_freedom([5.8, 3.9, 6.7], [24, 5, 8]) == pytest.approx(25.6, abs=0.3)  # printed from rounded parts
    freedom = effective_freedom(parts, freedoms)
    assert freedom == pytest.approx(16.7, abs=0.1)
    assert coverage_factor(math.floor(freedom), 0.99) * 32 == pytest.approx(93, abs=0.5)


def test_shrink_after_gel_is_the_one_worked_by_hand():
    # 3 % of which 40 % after gel, three times the expansion 5e-4 per kelvin, 20 K: 1 - (1 - 0.022)^(1/3).
    found = chain.linear_shrinkage(
        chemical=0.03, share_after_gel=0.4, volume_expansion=5e-4, gel_temperature=316.15, room=296.15
    )
    assert found == pytest.approx(0.00739, abs=5e-6)
    assert chain.pattern_scale(found) == pytest.approx(1.00744, abs=5e-6)
