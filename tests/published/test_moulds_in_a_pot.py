"""Equal circles and rectangles side by side in a circle, by simple geometry (calculated)."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from mould_designs import WISH, shape
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.style import OPEN, STYLES
from pourwright.engines.geometry.layouts.side_by_side import circle_round_mm, circles_in_circle, rectangles_in_circle
from pourwright.steps.planning.kit_box import per_pot


@pytest.mark.parametrize(
    ("count", "around"), [(1, 1.0), (2, 2.0), (3, 1 + 2 / math.sqrt(3)), (4, 1 + math.sqrt(2)), (7, 3.0)]
)
def test_so_many_circles_need_the_circle_of_their_closed_form(count: int, around: float) -> None:
    assert circle_round_mm(count, 10.0) == pytest.approx(10 * around, abs=1e-7)
    assert circles_in_circle(10.0, 10 * around + 1e-6) == count
    assert circles_in_circle(10.0, 10 * around - 1e-6) == count - 1 or count == 7  # six need as much as seven
    # A gap works like half of it more radius, less that of the rim.
    assert circle_round_mm(count, 10.0, 2.0) == pytest.approx(11 * around - 1, abs=1e-7)


@pytest.mark.parametrize(
    ("count", "around"),
    [
        (1, math.hypot(20, 10)),
        (2, math.hypot(20, 20)),
        (3, math.hypot(20, 30)),
        (4, math.hypot(40, 10)),
    ],
)
def test_so_many_rectangles_need_the_circle_through_their_corners(count: int, around: float) -> None:
    """40 × 20: one, two and three on top of each other; two beside each other between one below and one above."""
    assert rectangles_in_circle((40.0, 20.0), around + 1e-6) >= count
    assert rectangles_in_circle((20.0, 40.0), around + 1e-6) == rectangles_in_circle((40.0, 20.0), around + 1e-6)
    assert rectangles_in_circle((40.0, 20.0), around - 1e-6) < count


def test_a_pot_takes_moulds_beside_and_on_top_of_each_other_and_says_what_one_more_needs() -> None:
    design = STYLES[OPEN].build(shape("straight bushing"), replace(WISH, cavities=1), None)
    wide, high = design.figures["pot_circle_mm"], design.box_outside_mm[2]
    assert per_pot(design, None) is None
    bore = 2 * (circle_round_mm(3, wide / 2, sizes.BETWEEN_MOULDS_MM) + sizes.FINGER_ROOM_MM)
    found = per_pot(design, (bore + 0.1, 2.5 * high))
    assert found is not None
    assert (found["side_by_side"], found["stacked"], found["moulds"], found["casts"]) == (3, 2, 6, 6)
    more = per_pot(design, (float(found["next_bore_mm"]) + 0.1, float(found["next_height_mm"]) + 0.1))  # type: ignore[arg-type]
    assert more is not None
    assert (more["side_by_side"], more["stacked"]) == (4, 3)
    assert per_pot(design, (bore - 0.1, 0.9 * high))["moulds"] == 0  # type: ignore[index]
