"""Solids from files with walls too thin for what a mould needs of them."""

from __future__ import annotations

import pytest

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.tree import Box, Revolve, polygon
from solid_kits import moulded, solid_of


def test_a_tube_with_no_room_for_a_vent_rod_is_refused_with_the_room_that_a_rod_needs() -> None:
    tube = solid_of(Revolve(polygon([(8, 0), (9.5, 0), (9.5, 20), (8, 20)])))
    with pytest.raises(CannotBuild, match=r"no place for a vent rod.* 5 mm") as refused:
        moulded(tube, style="two-part lidded")
    assert refused.value.field == "mould.style"
    assert "a boss of 5 mm" in refused.value.advice


def test_a_part_as_small_as_a_grain_is_refused_in_words() -> None:
    with pytest.raises(CannotBuild) as refused:
        moulded(solid_of(Box(0.0, 0.0, 0.0, 0.2, 0.2, 0.2)))
    assert refused.value.advice
