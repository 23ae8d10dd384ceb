"""What to do with patterns in one piece that stand head down in pockets of the base."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts
from pourwright.catalogue.sheets.breather_steps import set_tubes
from pourwright.catalogue.sheets.shared_steps import rising


def fasten_patterns(facts: BenchFacts, patterns: str) -> SheetStep:
    """How the patterns are held to the base."""
    if not facts.in_pocket:
        return SheetStep(
            words=f"Screw {patterns} to the base from below until the rim or flat face of each touches all round. "
            f"Tug each one: none may move, or it will float{rising(facts.floats, ('pattern', 'lower pattern'))}.",
            ticks=("all seated",),
        )
    return SheetStep(
        words=f"Stand {patterns} head down in the pockets of the base until the three pads touch, and screw each from "
        "below (thin double-sided tape on the pads where there is no screw). The parting line lies level with the "
        "base’s face all round. Press wax into the narrow gap and wipe it flush: silicone that creeps in would lock "
        "the pattern. Tug each one: none may move, or it will float"
        f"{rising(facts.floats, ('pattern', 'lower pattern'))}.",
        ticks=("all on their pads", "gaps closed"),
    )


def set_up_for_the_lid(facts: BenchFacts) -> SheetStep:
    """What stands on the lower half before the second pour."""
    rest = (
        "the bridge bar with its well formers into the notches of the walls; strap or screw the bar down, for the "
        f"formers float{rising(facts.floats, ('bridge bar', 'upper pattern'))}.{set_tubes(facts.breathers)}"
    )
    if not facts.in_pocket:
        return SheetStep(
            words="Set the upper pattern pieces on (with their dowels, where there are any), the vent rods into their "
            f"seats, {rest}",
            ticks=("upper pieces", "rods", "bar held"),
        )
    return SheetStep(
        words="The patterns serve for the lid as they stand. Wipe the wax off them, close their screw holes flush with "
        f"it, set the vent rods into their seats, {rest}",
        ticks=("screw holes closed", "rods", "bar held"),
    )
