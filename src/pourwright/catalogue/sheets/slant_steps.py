"""What a parting that rises and falls asks for besides: patterns laid right, a mouth that is not level."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_data import SheetStep
from pourwright.catalogue.sheets.bench_facts import BenchFacts


def lie_on_a_slant(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """How the lower pieces lie on a base whose face rises and falls; nothing where it is level."""
    if not facts.slanted:
        return ()
    return (
        SheetStep(
            words="The base’s face rises and falls like the cut of the patterns: lay each lower piece on it the way "
            "round in which the two close without light between them. Draw a thin bead of wax along its edge and "
            "wipe it flush: silicone creeps into a cut that stands open.",
            ticks=("no light under the pieces", "edges sealed"),
        ),
    )


def close_on_a_slant(facts: BenchFacts) -> tuple[SheetStep, ...]:
    """Fill and close a mould whose parting rises and falls: its mouth is not level."""
    return (
        SheetStep(
            words="The mouth of the lower half is not level: pour slowly until the resin stands at its lowest place, "
            "and wet what lies higher and the hollows of the lid with a brush. Rock and tap the mould; prick what "
            "rises.",
            readings=("poured by, time",),
        ),
        SheetStep(
            words="Set the lid down at the low side first, keys to hollows (it fits one way only), and lower it so "
            "that it drives air uphill. Press board on its stops, straps near both ends, none across the middle. Then "
            "feed resin with a syringe into one vent, slowly, until it stands in every well. Closed at the latest "
            f"{facts.cast.allowed} after A and B touched.",
            readings=("closed, time",),
            ticks=("resin in every well", "board on its stops"),
        ),
    )
