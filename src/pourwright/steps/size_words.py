"""The sizes of a cast in words: for the command line, and as rows and rules of the bench sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pourwright.basics.quantities import show_fixed
from pourwright.catalogue.sheets.bench_data import SheetSize
from pourwright.domain.size_forecast import SizeForecast

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


def size_rules(sizes: Sequence[SizeForecast]) -> tuple[str, ...]:
    """What the sheet says about the rows."""
    if not sizes:
        return ()
    rules = [
        "Wanted and forecast are sizes of the cast, in mm; 19 in 20 lie within the band. Allowed is to either side: "
        f"{_allowed_by(sizes)}.",
        "“On the pattern” is what calipers should read on the finished pattern, coats and all, for a clear go. "
        "Read each size three times or more, and buy silicone only when they are right.",
    ]
    return (*rules, *(offer for size in sizes if (offer := offer_words(size))))


def size_words(sizes: Sequence[SizeForecast]) -> Iterator[str]:
    """A line for each size, for the command line."""
    if not sizes:
        return
    yield "Size of the cast, mm (19 in 20 within the band)"
    for size in sizes:
        measured = "" if size.measured is None else f", pattern measured {_plain(size.measured)}"
        doubt = f"; doubt mostly {size.driver}" if size.driver and size.verdict != "go" else ""
        yield (
            f"  {words_of(size.name):<18} wanted {_plain(size.wanted):>7} ± {_plain(size.tolerance)}, "
            f"forecast {_band(size)}{measured}: {size.verdict}{doubt}"
        )
    for size in sizes:
        offer = offer_words(size)
        if offer:
            yield f"  {offer}"


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
