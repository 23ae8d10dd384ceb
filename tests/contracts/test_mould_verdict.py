"""The verdict on two-part moulds: which scheme for which figures, and what an honest no says."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pourwright.domain.inspection import HeldSilicone, PullChoice
from pourwright.steps.mould_verdict import LIDDED, NOT_FLAT, OPEN, POCKET, against, judge

VOLUME, ALLOWED = 1e-5, 2.0
FREE = PullChoice(
    direction=(0, 0, 1),
    parting_height=0.02,
    height=0.02,
    undercut_lower=0.0,
    undercut_upper=0.0,
    stretch_lower=1.0,
    stretch_upper=1.0,
    unavoidable_undercut=0.0,
    runs_through=0.0,
    allowed=True,
    flat_top=1.0,
)
BAR = HeldSilicone(half="lid", volume=5e-7, depth=4e-3, runs_through=True, stretch=1.0, place=(1e-3, 2e-3, 3e-3))
DEEP = replace(BAR, runs_through=False, stretch=2.4)


def verdict(pull: PullChoice, *others: PullChoice, held: tuple[HeldSilicone, ...] = ()):
    return judge(pull, others, held, volume=VOLUME, allowed=ALLOWED)


@pytest.mark.parametrize(
    ("change", "scheme"),
    [
        ({}, OPEN),
        ({"flat_top": 0.9}, LIDDED),
        ({"parting_height": 0.012, "flat_top": 0.0}, POCKET),
        ({"parting_height": 0.012, "undercut_upper": 1e-6, "unavoidable_undercut": 1e-6}, LIDDED),
        ({"undercut_lower": 1e-6, "stretch_lower": 1.4, "unavoidable_undercut": 1e-6}, OPEN),
        # Nothing lies between two walls of the part, yet every level parting blocks a tenth of it.
        ({"undercut_lower": 1e-6, "unavoidable_undercut": 0.0}, NOT_FLAT),
        ({"undercut_lower": 1e-6, "stretch_lower": 3.0, "unavoidable_undercut": 0.0}, NOT_FLAT),
    ],
)
def test_the_scheme_follows_from_the_figures(change, scheme) -> None:
    found = verdict(replace(FREE, **change))
    assert found.opens
    assert found.scheme == scheme
    assert found.reasons


def test_a_bar_through_the_part_is_no_scheme_though_it_need_not_stretch() -> None:
    found = verdict(replace(FREE, undercut_upper=5e-7, unavoidable_undercut=5e-7, runs_through=5e-7), held=(BAR,))
    assert not found.opens
    assert "500 mm³" in found.reasons[0]
    assert "(1.0, 2.0, 3.0) mm" in found.reasons[0]
    assert "loose core" in found.advice[0]
    assert "least bad" in found.reasons[-1]


def test_a_place_that_asks_more_than_the_silicone_gives_is_no_scheme_though_the_whole_ring_would_pass() -> None:
    pull = replace(FREE, undercut_lower=5e-7, unavoidable_undercut=5e-7, stretch_lower=1.2)
    assert verdict(pull, held=(replace(DEEP, stretch=1.9),)).opens
    found = verdict(pull, held=(DEEP,))
    assert not found.opens
    assert "2.40 times" in found.reasons[0]
    assert "softer silicone" in found.advice[0]


def test_another_way_without_anything_between_walls_is_offered_with_a_parting_that_is_not_flat() -> None:
    blocked = replace(FREE, undercut_upper=5e-7, unavoidable_undercut=5e-7, runs_through=5e-7)
    other = replace(FREE, direction=(1, 0, 0), undercut_lower=2e-6, unavoidable_undercut=0.0)
    found = verdict(blocked, other, held=(BAR,))
    assert found.opens
    assert (found.scheme, found.direction) == (NOT_FLAT, (1, 0, 0))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"runs_through": 1e-6}, "would run through"),
        ({"stretch_upper": 2.5, "allowed": False}, "2.00 is allowed"),
        ({"undercut_lower": 1e-6}, "in the way, against 0 mm³"),
        ({"stretch_lower": 1.3}, "1.30 times, against 1.00"),
        ({"flat_top": 0.2}, "less of a flat face"),
        ({}, "as good by every figure"),
    ],
)
def test_a_runner_up_says_why_it_comes_second(change, words) -> None:
    assert words in against(replace(FREE, **change), FREE, volume=VOLUME, allowed=ALLOWED)
