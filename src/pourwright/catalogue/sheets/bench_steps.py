"""What to do at the bench, step by step, for each mould style: from the first print to the last reading."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from pourwright.basics.shelf import unknown_name
from pourwright.catalogue.sheets.bench_data import SheetPhase, SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts
from pourwright.catalogue.sheets.cast_steps import (
    before_cast,
    close_with_cover,
    close_with_lid,
    cure_cast,
    measure,
    mix_resin,
    take_out,
)
from pourwright.catalogue.sheets.lean_steps import lean_the_closed_mould
from pourwright.catalogue.sheets.open_mouth_steps import fill_the_mouths
from pourwright.catalogue.sheets.side_steps import open_the_block, stand_and_fill, turn_and_set_upper_patterns
from pourwright.catalogue.sheets.silicone_steps import (
    look,
    make_ready,
    open_the_lidded,
    open_the_open,
    silicone,
    turn_and_release,
)


def phases_for(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    """The phases of a style, in the order of the work.

    Raises
    ------
    UnknownName
        No steps are written for this style.
    """
    if facts.style not in _STYLES:
        raise unknown_name(facts.style, _STYLES, noun="mould style with bench steps")
    return _STYLES[facts.style](facts)


def _open(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    return (
        SheetPhase(title="Make ready", steps=make_ready(facts)),
        SheetPhase(title="Pour the silicone", steps=silicone(facts, facts.silicone_pours[0], "the fill line")),
        SheetPhase(title="Open and look", steps=(*open_the_open(facts), *look(facts))),
        SheetPhase(title="Cast", steps=_cast(facts, close_with_cover(facts))),
        *_after(facts),
    )


def _cast(facts: BenchFacts, closed: tuple[SheetStep, ...]) -> tuple[SheetStep, ...]:
    return (*before_cast(facts), *mix_resin(facts), *closed, *lean_the_closed_mould(facts))


def _one_part(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    return (
        SheetPhase(title="Make ready", steps=make_ready(facts)),
        SheetPhase(title="Pour the silicone", steps=silicone(facts, facts.silicone_pours[0], "the fill line")),
        SheetPhase(title="Open and look", steps=(*open_the_open(facts), *look(facts))),
        SheetPhase(title="Cast", steps=(*before_cast(facts), *mix_resin(facts), *fill_the_mouths(facts))),
        *_after(facts),
    )


def _lidded(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    first, second = facts.silicone_pours
    return (
        SheetPhase(title="Make ready", steps=make_ready(facts)),
        SheetPhase(title="Pour 1: the lower half", steps=silicone(facts, first, "fill line 1")),
        SheetPhase(title="Turn over and release", steps=turn_and_release(facts)),
        SheetPhase(title="Pour 2: the lid", steps=silicone(facts, second, "fill line 2")),
        SheetPhase(title="Open and look", steps=(*open_the_lidded(facts), *look(facts))),
        SheetPhase(title="Cast", steps=_cast(facts, close_with_lid(facts))),
        *_after(facts),
    )


def _side_parted(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    first, second = facts.silicone_pours
    solid = replace(facts, core="")  # the bore is printed with the patterns: no silicone has to run into it
    return (
        SheetPhase(title="Make ready", steps=make_ready(facts)),
        SheetPhase(title="Pour 1: the lower half", steps=silicone(solid, first, "fill line 1")),
        SheetPhase(title="Turn over and release", steps=turn_and_set_upper_patterns(facts)),
        SheetPhase(title="Pour 2: the upper half", steps=silicone(solid, second, "fill line 2")),
        SheetPhase(title="Open and look", steps=(*open_the_block(facts), *look(facts))),
        SheetPhase(title="Cast", steps=(*before_cast(solid), *mix_resin(facts), *stand_and_fill(facts))),
        *_after(facts),
    )


_STYLES: Mapping[str, Callable[[BenchFacts], tuple[SheetPhase, ...]]] = {
    "one-part open": _one_part,
    "open with cover plate": _open,
    "two-part lidded": _lidded,
    "two-part side-parted": _side_parted,
}


def _after(facts: BenchFacts) -> tuple[SheetPhase, ...]:
    return (
        SheetPhase(title="Cure", steps=cure_cast(facts)),
        SheetPhase(title="Take out and finish", steps=take_out(facts)),
        SheetPhase(title="Measure and decide", steps=measure()),
    )
