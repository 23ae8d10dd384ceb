"""What a hollow in the patterns' face asks for, which the base closes for the first pour and the lid then fills."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts


def keep_hollows_empty(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Seal the edge of each hollow to the base before the first pour; nothing where there is none."""
    if not facts.lid_fills:
        return ()
    return (
        SheetStep(
            words="The hollow in each pattern faces the base, which closes it: it must stay empty in this pour. Before "
            "you screw the pattern down lay a thin bead of wax round the edge of the hollow too, not only round the "
            "outside, and press the pattern on until both touch all round.",
            ticks=("edge of the hollow sealed",),
        ),
    )


def fill_hollows(facts: BenchFacts, number: int) -> tuple[SheetStep, ...]:
    """Fill each hollow before the lid is poured; nothing where there is none, or in another pour."""
    if not facts.lid_fills or number != 2:
        return ()
    return (
        SheetStep(
            words=f"The lid fills the hollow in each pattern, {facts.lid_fills}. Look into it first: cut away any skin "
            "of silicone, wipe off the wax, put on release. Then fill it slowly from one side, or by syringe from the "
            "bottom, until it stands level with the face; let the bubbles rise before you pour the rest of the lid.",
            ticks=("hollows clean", "hollows full"),
        ),
    )
