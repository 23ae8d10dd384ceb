"""Leaning a closed mould on purpose, so that its air ends where its few vents are."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts


def lean_the_closed_mould(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Right after closing: lean, tap, wait, level, top up; nothing where the mould stands level."""
    if not facts.lean:
        return ()
    return (
        SheetStep(
            words=f"This mould has few vents, and they only do if it leans: {facts.lean}. Tap it all over and keep it "
            "so until resin stands in every well. Then take the block away, level it both ways and top up the "
            "wells. Do it before the resin thickens.",
            readings=("leaned from, time", "level again, time"),
            ticks=("resin in every well while it leaned", "level again"),
        ),
    )
