"""The sizes of a cast in words: for the command line, and as rows and rules of the bench sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pourwright.basics.quantities import show_fixed
from pourwright.catalogue.sheets.bench_data import SheetSize
from pourwright.domain.size_forecast import SizeForecast
from pourwright.steps.forecast_sizes import REDRAWN
from pourwright.steps.judge_pattern import Reprint, overall

_WORTH_A_CORRECTION = 0.05e-3  # a smaller offset is lost in the layers of a print (judgement)
_THIN = "\u00a0"
_MARK = {"go": "go", "not sure": "measure first", "no-go": "NO-GO"}


def size_rows(sizes: Sequence[SizeForecast]) -> tuple[SheetSize, ...]:
    """One row for each size: wanted, allowed, forecast, what to find on the pattern."""
    return tuple(
        SheetSize(
            name=words_of(size.name),
            wanted=_plain(size.wanted),
            allowed=f"± {_plain(size.tolerance)}",
            forecast=_band(size),
            mark=_MARK[size.verdict],
            driver=size.driver,
            pattern=_plain(size.pattern) + (f" ± {_plain(size.pattern_room)}" if size.pattern_room > 0 else ""),
            measured="" if size.measured is None else _plain(size.measured),
        )
        for size in sizes
    )


def pattern_words(sizes: Sequence[SizeForecast]) -> str:
    """What to find on the finished pattern, on one line."""
    found = [f"{words_of(size.name)}{_THIN}{_plain(size.pattern)}" for size in sizes]
    return f"wanted, coats and all: {', '.join(found)}{_THIN}mm" if found else ""


def size_rules(sizes: Sequence[SizeForecast], project: str) -> tuple[str, ...]:
    """What the sheet says about the rows."""
    if not sizes:
        return ()
    rules = [
        "Wanted and forecast are sizes of the cast, in mm; 19 in 20 lie within the band. Allowed is to either side: "
        f"{_allowed_by(sizes)}.",
        "“On the pattern” is what calipers should read on the finished pattern, coats and all, for a clear go. "
        f"Read each size three times or more, then: pourwright measure {project}. Buy silicone after that says go.",
    ]
    return (*rules, *(offer for size in sizes if (offer := offer_words(size))))


def size_words(sizes: Sequence[SizeForecast], *, offers: bool = True) -> Iterator[str]:
    """A line for each size, for the command line; with what to correct where `offers`."""
    if not sizes:
        return
    yield "Size of the cast, mm (19 in 20 within the band)"
    for size in sizes:
        measured = "" if size.measured is None else f", pattern measured {_plain(size.measured)}"
        doubt = f"; doubt mostly {size.driver}" if size.driver and size.verdict == "not sure" else ""
        yield (
            f"  {words_of(size.name):<18} wanted {_plain(size.wanted):>7} ± {_plain(size.tolerance)}, "
            f"forecast {_band(size)}{measured}: {size.verdict}{doubt}"
        )
    for size in sizes if offers else ():
        offer = offer_words(size)
        if offer:
            yield f"  {offer}"


def verdict_words(sizes: Sequence[SizeForecast], reprint: Reprint) -> Iterator[str]:
    """Go or no-go, why, and what to print again."""
    verdict = overall(sizes)
    bad = ", ".join(words_of(size.name) for size in sizes if size.verdict == verdict)
    yield {
        "go": "GO: every size of the cast will be within what is allowed. Buy the silicone, print the rest.",
        "not sure": f"NOT SURE: {bad} may be out. Measure it (again) before silicone is bought.",
        "no-go": f"NO-GO: {bad} will more likely be out than in. Do not buy silicone for this pattern.",
    }[verdict]
    again = [words_of(size.name) for size in sizes if REDRAWN in size.shares]
    if again:
        yield f"This rests on an earlier print of {', '.join(again)}: print the pattern anew and measure it first."
    lead = "Nearer still, should you print again: write" if verdict == "go" else "To print again, write"
    if reprint.scale is not None:
        yield f"{lead} under [pattern]: scale = {reprint.scale:.4f}"
    elif reprint.offsets:
        yield f"{lead} under [pattern.offsets]:"
        for name, offset in reprint.offsets.items():
            yield f'  {name} = "{round(offset * 1e3, 2):g} mm"'
    open_ones = [words_of(size.name) for size in sizes if size.measured is None and size.verdict != "go"]
    if open_ones:
        yield f"Not measured yet: {', '.join(open_ones)}."


def offer_words(size: SizeForecast) -> str:
    """What to write into the project so that this size comes right; empty where nothing is worth a new print."""
    if abs(size.miss) < _WORTH_A_CORRECTION or size.name.startswith("size_"):
        return ""
    sense = "small" if size.miss < 0 else "large"
    return (
        f"{words_of(size.name).capitalize()} comes out {_plain(abs(size.miss))} mm {sense}. To correct it, write under "
        f'[pattern.offsets]: {size.name} = "{round(size.offset * 1e3, 2):g} mm"'
    )


def words_of(name: str) -> str:
    """The name of a dimension as a person says it.

    Examples
    --------
    >>> words_of("outer_diameter")
    'outer diameter'
    """
    return name.replace("_", " ")


def _allowed_by(sizes: Sequence[SizeForecast]) -> str:
    said = dict.fromkeys(size.tolerance_from.split(",")[0] for size in sizes)
    across = [words_of(size.name) for size in sizes if size.closure]
    tail = f"; across the parting: {', '.join(across)}" if across else ""
    return " and ".join("your own" if one == "own" else one for one in said) + tail


def _band(size: SizeForecast) -> str:
    estimate = size.estimate
    return f"{_plain(estimate.best)} ({_plain(estimate.low)} to {_plain(estimate.high)})"


def _plain(length: float) -> str:
    return show_fixed(length, "length", "mm", decimals=2, space=_THIN).removesuffix(f"{_THIN}mm")
