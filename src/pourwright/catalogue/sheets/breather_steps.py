"""What hollow patterns ask for at the bench, so that their air keeps the pot's pressure and never meets silicone."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.catalogue.sheets.bench_data import SheetStep

HOLES, TUBES, GROOVES = "holes", "tubes", "grooves"  # how the patterns of a kit breathe

_DRILLED = (
    "Open the breathers: the slicer has closed each hole with a skin. Drill on through its bottom by hand, 2 mm, until "
    "the drill drops into the sparse inside; blow through it. Patterns that the print card calls solid have none."
)
_WAYS = {
    HOLES: " Keep the holes in the base free, and tape and sealer out of both.",
    TUBES: " The seats of the vent tubes are breathers too: drill through their bottoms. Keep the holes in the base "
    "free, and tape and sealer out of all of them.",
    GROOVES: " Keep the groove along the feed and the hole in the wall free: no tape or sealer there.",
}


def way_of_breathing(style: str, patterns: Sequence[str], rods: Sequence[str]) -> str:
    """How the patterns of a kit breathe, from what the print card says of them and of the vent rods; "" for not at all.

    Examples
    --------
    >>> way_of_breathing("two-part lidded", ["drill the breather on through its skin"], ["3 mm tube"])
    'tubes'
    """
    if not any("breather" in note for note in patterns):
        return ""
    if style == "two-part side-parted":
        return GROOVES
    return TUBES if any("tube" in note for note in rods) else HOLES


def open_breathers(kind: str) -> tuple[SheetStep, ...]:
    """Drill them open before anything is screwed down; nothing for prints without them."""
    return (SheetStep(words=_DRILLED + _WAYS[kind], ticks=("every breather blows free",)),) if kind else ()


def set_tubes(kind: str) -> str:
    """What stands in for the vent rods in the second pour, as a sentence; empty without."""
    if kind != TUBES:
        return ""
    return (
        " Tubes stand in for the vent rods: blow through each; they end in the open holes of the bridge bar, which "
        "stay free of silicone and tape."
    )
