"""Working with a block that is parted along the part's side: pour its halves lying, cast it standing on its end."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts
from pourwright.catalogue.sheets.shared_steps import release_the_half, told, turned_over


def turn_and_set_upper_patterns(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Turn the half over, base off, upper half patterns on, release."""
    return (
        turned_over("The lower patterns stay in the silicone: do not ease them.", facts.apart.get("pour 1", "")),
        SheetStep(
            words="Press the dowels into the lower patterns, put thin double-sided tape on the flat faces, and set the "
            "upper patterns on: channels on channels, basins at the same end. Press each one down all round; it would "
            "float.",
            ticks=("upper patterns flat and held",),
        ),
        release_the_half(),
    )


def open_the_block(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Walls off, halves apart, patterns out, channels opened to the air."""
    words = (
        "Take the walls away, ease the upper half off all round and take the patterns out. Slice off the film of "
        "silicone over the ends of basins and vents with a sharp blade, so that they open at the block’s end."
    )
    return (SheetStep(words=told(facts.apart.get("pour 2", ""), words), ticks=("every basin and vent open",)),)


def stand_and_fill(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Close, board, strap, stand on end, fill by the basins."""
    within = f" {facts.level_within}" if facts.level_within else ""
    rod = "Lay the core rods, released, into their seats, flush at the foot. " if facts.core == "rod" else ""
    return (
        SheetStep(
            words=f"{rod}Close the halves, keys to hollows (they fit one way only), a side board on each, straps near "
            "both ends, tight enough to close the seam and no more. Stand the block on its end, basins up, and level "
            f"it both ways{within}; wedge it so that it cannot fall.",
            ticks=("seam closed all round", "upright and level"),
        ),
        SheetStep(
            words="Pour a thin stream into each basin and keep it filled until resin stands in the vent beside it. Tap "
            "the block, wait, top up. Leave every basin full: it feeds back what shrinks and what the pressure takes. "
            f"Be done {facts.cast.allowed} after A and B touched.",
            readings=("poured by, time",),
            ticks=("resin in every vent", "every basin full"),
        ),
    )
