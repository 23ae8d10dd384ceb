"""Steps that several stages of the work share: weigh a pour, turn a half over, release silicone from silicone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pourwright.catalogue.sheets.bench_data import SheetPour, SheetStep

TURN_OVER = "Lay the levelling board on the walls, its boss on the silicone, strap it and turn everything over onto it."
_LIFT = "Take out the screws, then lift the base by its jack screws, half a turn each in their round."


def weigh(pour: SheetPour, *cautions: str) -> SheetStep:
    """Weigh A, then B into the same cup."""
    return SheetStep(
        words=f"Weigh the {pour.name.lower()} as its card says: A until the scale shows {pour.stop_a}, then B into the "
        f"same cup until it shows {pour.stop_ab}. If A came out different, weigh B = A × {pour.b_per_a}. The clock "
        "runs from the moment A and B touch.",
        cautions=cautions,
        readings=("A, g", "A and B, g", "A and B touch, time"),
    )


def told(*sentences: str) -> str:
    """Sentences in a row, empty ones left out."""
    return " ".join(sentence for sentence in sentences if sentence)


def turned_over(*sentences: str) -> SheetStep:
    """Turn a half over and take its base off; what is said besides ends with what must stay."""
    return SheetStep(words=told(TURN_OVER, _LIFT, *sentences), ticks=("patterns untouched",))


def release_the_half() -> SheetStep:
    """Two coats of release on every face where silicone will meet silicone."""
    return SheetStep(
        words="Silicone sticks to silicone, and one bare spot ruins the mould. Brush release over every face of "
        "the release map, two light coats, each brushed out and left to dry. Release both coats before you mix.",
        cautions=("release solvent",),
        readings=("release used", "dry, min"),
        ticks=("first coat", "second coat"),
    )


def rising(floats: Mapping[str, str], names: Sequence[str]) -> str:
    """How hard pieces want to rise, to add to a sentence; empty when all of them sink.

    Examples
    --------
    >>> rising({"lower pattern": "4.0 g", "core": "1.0 g"}, ("pattern", "lower pattern"))
    ' (each lower pattern wants to rise as hard as 4.0 g press down; what holds it must bear five times that)'
    """
    found = [f"each {name} wants to rise as hard as {floats[name]} press down" for name in names if name in floats]
    if not found:
        return ""
    return f" ({', '.join(found)}; what holds {'it' if len(found) == 1 else 'them'} must bear five times that)"
