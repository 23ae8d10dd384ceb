"""Filling a mould whose mouth stays open: level, a little proud, struck off or left."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts


def fill_the_mouths(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Level, pour, let air rise, strike off or leave proud, and do not move it any more."""
    into_the_pot = (
        " Carry it to the pot before you fill it, if you can: an open mould spills." if facts.pressure else ""
    )
    return (
        SheetStep(
            words="Level the mould both ways where it will cure: an open face copies every lean, half a degree over "
            f"50 mm is 0.4 mm.{into_the_pot}",
            ticks=("level both ways",),
        ),
        SheetStep(
            words="Pour slowly into the lowest corner of each cavity and let the resin rise. Wait a minute, prick and "
            "skim the bubbles that come up. Then fill on until the resin stands proud by what the check of the free "
            f"face says. Be done {facts.cast.allowed} after A and B touched.",
            readings=("poured by, time", "proud, mm"),
        ),
        SheetStep(
            words="For a flat face strike off once, while it still flows: draw the bar along the walls’ ends in one "
            "slow stroke, with an edge of scrap behind it. Otherwise leave it proud and sand it later. Where it sinks "
            "before it gels, top up from the same cup.",
            readings=("struck off, time",),
        ),
    )
