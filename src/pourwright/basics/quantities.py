"""Reading what a person types ("2.5 mm", "45 psi", "1h 30min") into SI, and writing SI for a person.

The only reader and the only writer of units. There is no arithmetic in a quantity, ever.
"""

from __future__ import annotations

import itertools
import math
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, overload

from pourwright.basics import quantity_advice as advice
from pourwright.basics.errors import BadQuantity, PourwrightError
from pourwright.basics.quantity_advice import plain
from pourwright.basics.units import HARDNESS_SCALES, KINDS, Kind, Unit

LONGEST_TEXT = 64

_DIGITS = r"[0-9]{1,12}(?![0-9])"
_NUMBER = re.compile(
    rf"(?P<sign>[+-]?)(?:"
    rf"(?P<whole>{_DIGITS})[ -](?P<top>{_DIGITS})/(?P<bottom>{_DIGITS})"
    rf"|(?P<only_top>{_DIGITS})/(?P<only_bottom>{_DIGITS})"
    rf"|(?P<decimal>(?:{_DIGITS}(?:\.{_DIGITS})?|\.{_DIGITS})(?:[eE][+-]?[0-9]{{1,2}}(?![0-9]))?))"
)
# A unit must not run on into one of these: "m" is not read from "mm", nor "N" from "N/mm".
_RUNS_ON = re.compile(r"[^\W\d_]|[°\"/^%.]")
_NO_FRACTION_MARKS = str.maketrans({"º": "°", "˚": "°", "″": '"', "”": '"', "“": '"', "′": "'", "’": "'"})
_AFTER = str.maketrans({"⁄": "/", "−": "-", "μ": "u", "·": ".", "⋅": ".", "*": "."})
_RAISED = re.compile(r"[0-9][⁰¹²³⁴-⁹₀-₉]")
_HARDNESS = re.compile(
    r"(?:(?P<n1>[0-9]{1,3}(?:\.[0-9]{1,2})?) ?(?:Shore )?(?P<s1>OO|A|D)"
    r"|Shore (?P<s2>OO|A|D) ?(?P<n2>[0-9]{1,3}(?:\.[0-9]{1,2})?))"
)


@dataclass(frozen=True)
class Hardness:
    """A durometer reading; never turned into another scale.

    Parameters
    ----------
    scale : "A", "D" or "OO"
    number : 0 to 100
    """

    scale: str
    number: float


@overload
def parse(  # type: ignore[overload-overlap]
    text: str,
    kind: Literal["hardness"],
    *,
    field: str | None = None,
    low: float | None = None,
    high: float | None = None,
) -> Hardness:
    """A hardness is a reading on a scale, not a number in SI."""


@overload
def parse(
    text: str, kind: str, *, field: str | None = None, low: float | None = None, high: float | None = None
) -> float:
    """Every other kind is a number in SI."""


def parse(
    text: str, kind: str, *, field: str | None = None, low: float | None = None, high: float | None = None
) -> float | Hardness:
    """Read a typed quantity of the kind wanted, in SI, rounded once.

    Parameters
    ----------
    text : at most 64 characters.
    kind : a name of `units.KINDS`: "length", "pressure", "vacuum", "temperature", "difference", ...
    field : the name of the field, for the error.
    low, high : SI, the range that the field allows, ends included.

    Returns
    -------
    SI of the kind; a `Hardness` for the kind "hardness"; a plain number for "count" and "number".

    Raises
    ------
    BadQuantity
        The text is not one quantity of this kind, or lies outside the range; the advice says what to write.

    Examples
    --------
    >>> parse("1 1/2 in", "length"), parse("1h 30min", "time"), parse("60A", "hardness")
    (0.0381, 5400.0, Hardness(scale='A', number=60.0))
    """
    wanted = _kind(kind)
    if not isinstance(text, str):
        raise BadQuantity(
            f"{text!r} is not text", advice=f'write it with its unit, like "{wanted.example}"', field=field
        )
    try:
        return _read_hardness(text, low, high) if kind == "hardness" else _read(text, wanted, low, high)
    except BadQuantity as error:
        shown = text if len(text) <= LONGEST_TEXT else text[:LONGEST_TEXT] + "…"
        raise BadQuantity(error.message, advice=error.advice, field=field, value=shown) from None


def show(value: float | Hardness, kind: str, unit: str | None = None, *, digits: int = 4, space: str = " ") -> str:
    """Write an SI value for a person, in a form that `parse` reads back.

    Parameters
    ----------
    value : SI of the kind, or a `Hardness`.
    kind : a name of `units.KINDS`.
    unit : a unit of the kind; None takes the usual one (for a time: s, min, h and min, d and h, by size).
    digits : significant digits, 1 to 12; zeros that say nothing are dropped.
    space : between number and unit; pages hand over a non-breaking one.

    Raises
    ------
    BadQuantity
        The value is not a finite number of a size that can be written (below 1e99 in the unit).

    Examples
    --------
    >>> show(0.0254, "length"), show(310264.0, "pressure", digits=3), show(5400.0, "time", "min")
    ('25.4 mm', '45 psi', '90 min')
    >>> show(296.15, "temperature"), show(8100.0, "time"), show(Hardness("A", 80.0), "hardness")
    ('23 °C', '2 h 15 min', '80A')
    """
    wanted = _kind(kind)
    if isinstance(value, Hardness):
        return f"{plain(value.number, digits=digits)}{value.scale}"
    if not math.isfinite(value):
        raise BadQuantity(f"{value} is no size that can be written", value=str(value))
    if not wanted.units:
        return _written(Fraction(value), digits)
    if unit is None and kind == "time":
        return _show_time(value, digits, space)
    name = unit or wanted.shown
    if name not in wanted.units:
        raise PourwrightError(f"{wanted.noun} cannot be shown in {name!r}")
    number = _written(wanted.units[name].from_si(Fraction(value)), digits)
    return f"{number}{name}" if name == "°" else f"{number}{space}{name}"


def show_fixed(value: float, kind: str, unit: str, *, decimals: int, space: str = " ") -> str:
    """Write an SI value with a fixed number of decimals, as a scale shows it.

    Examples
    --------
    >>> show_fixed(0.1, "mass", "g", decimals=1)
    '100.0 g'
    """
    if not math.isfinite(value):
        raise BadQuantity(f"{value} is no size that can be written", value=str(value))
    number = float(_kind(kind).units[unit].from_si(Fraction(value)))
    text = f"{number:.{decimals}f}"
    return f"{text.lstrip('-') if float(text) == 0 else text}{space}{unit}"


def _kind(name: str) -> Kind:
    if name not in KINDS:
        raise PourwrightError(f"no kind of quantity is called {name!r}", advice=f"known: {', '.join(KINDS)}")
    return KINDS[name]


def _written(number: Fraction, digits: int) -> str:
    if abs(number) >= Fraction(10) ** 99:
        raise BadQuantity(f"{float(number):g} is too large to be written", value=f"{float(number):g}")
    return plain(number, digits=digits)


def _show_time(value: float, digits: int, space: str) -> str:
    size = abs(value)
    if size < 7200:
        unit = "s" if size < 120 else "min"
        return show(value, "time", unit, digits=digits, space=space)
    if value < 0 or size >= 1e12:
        return show(value, "time", "h" if value < 0 else "d", digits=digits, space=space)
    large, small, step = ("d", "h", 3600) if size >= 2 * 86400 else ("h", "min", 60)
    per_large = 24 if large == "d" else 60
    whole, rest = divmod(round(value / step), per_large)
    tail = f" {rest}{space}{small}" if rest else ""
    return f"{whole}{space}{large}{tail}"


def _tidy(text: str, kind: Kind) -> str:
    """The text with one spelling for each sign; refuses what no sign can mend."""
    if len(text) > LONGEST_TEXT:
        raise BadQuantity(
            f"a quantity has at most {LONGEST_TEXT} characters; this one has {len(text)}",
            advice=f"write it like {kind.example}",
        )
    text = text.translate(_NO_FRACTION_MARKS)
    if _RAISED.search(text) or re.search(r"[0-9*] ?\*|\* ?[0-9*]|\^", text):
        raise BadQuantity(
            f"a quantity holds no arithmetic, and this says {text!r}",
            advice=f"work it out and write it like {kind.example}",
        )
    spaced = "".join(f" {c}" if unicodedata.decomposition(c).startswith("<fraction>") else c for c in text)
    folded = unicodedata.normalize("NFKC", spaced).translate(_AFTER)
    tidy = re.sub(r"[ \t]+", " ", folded).strip(" ")
    if not tidy:
        raise BadQuantity("nothing is written here", advice=f"write {kind.noun} like {kind.example}")
    if "," in tidy or "、" in tidy or "٫" in tidy:
        raise BadQuantity(f"a comma stands in {tidy!r}", advice=advice.comma(tidy))
    if "'" in tidy or '"' in tidy:
        raise BadQuantity(f"a mark stands for the unit in {tidy!r}", advice=advice.marks(tidy))
    return tidy


def _read(text: str, kind: Kind, low: float | None, high: float | None) -> float:
    tidy = _tidy(text, kind)
    terms = [_term(tidy, 0, kind)]
    while terms[-1][2] < len(tidy):
        start = terms[-1][2]
        rest = tidy[start:].lstrip(" ")
        if kind.name != "time" or not re.match(r"[+-]?[0-9.]", rest):
            raise BadQuantity(f"{rest!r} follows the quantity", advice=f"write {tidy[:start]}")
        terms.append(_term(tidy, len(tidy) - len(rest), kind))
    if len(terms) > 1:
        _refuse_bad_compound(terms)
    value = float(sum((_si(number, unit) for number, unit, _ in terms), Fraction(0)))
    unit = terms[-1][1]
    if kind.name == "count" and not value.is_integer():
        raise BadQuantity(f"{tidy} is not a whole number", advice=f"write {math.floor(value)} or {math.ceil(value)}")
    _refuse_outside(value, kind, unit, low, high)
    return value


def _si(number: Fraction, unit: Unit | None) -> Fraction:
    return number if unit is None else unit.to_si(number)


def _term(tidy: str, start: int, kind: Kind) -> tuple[Fraction, Unit | None, int]:
    """One number with its unit, and where it ends."""
    found = _NUMBER.match(tidy, start)
    if not found:
        raise _refused(_no_number(tidy[start:], kind))
    number = _value_of(found)
    at = found.end()
    if not kind.units:
        return number, None, _end_of_bare(tidy, at, number, kind)
    after = at + 1 if tidy[at : at + 1] == " " else at
    if after >= len(tidy):
        raise BadQuantity(f"{tidy[start:]} has no unit", advice=advice.no_unit(number, kind))
    for name in sorted(kind.units, key=len, reverse=True):
        end = after + len(name)
        if tidy.startswith(name, after) and not _RUNS_ON.match(tidy, end):
            return number, kind.units[name], end
    raise _refused(advice.wrong_unit(_written_unit(tidy, after), number, kind))


def _refused(message_and_advice: tuple[str, str]) -> BadQuantity:
    message, what_to_write = message_and_advice
    return BadQuantity(message, advice=what_to_write)


def _end_of_bare(tidy: str, at: int, number: Fraction, kind: Kind) -> int:
    if at < len(tidy):
        raise _refused(advice.wrong_unit(tidy[at:].strip(), number, kind))
    return at


def _written_unit(tidy: str, at: int) -> str:
    """What stands in the unit's place, up to a blank before a further number."""
    return re.split(r" (?=[+-]?[0-9.])", tidy[at:], maxsplit=1)[0]


def _value_of(found: re.Match[str]) -> Fraction:
    parts = found.groupdict()
    sign = -1 if parts["sign"] == "-" else 1
    if parts["decimal"]:
        return sign * Fraction(parts["decimal"])
    top, bottom = parts["top"] or parts["only_top"], int(parts["bottom"] or parts["only_bottom"])
    if bottom == 0:
        raise BadQuantity("the fraction divides by zero", advice="write the lower number larger than 0")
    return sign * (int(parts["whole"] or 0) + Fraction(int(top), bottom))


def _no_number(rest: str, kind: Kind) -> tuple[str, str]:
    like = f"write {kind.noun} like {kind.example}"
    if re.match(r"[+-]?[0-9]{13}", rest):
        return "a number has at most 12 digits", "round it, or write it with an exponent such as 1.5e6"
    if re.match(r"[+-] [0-9]", rest):
        return "a blank stands after the sign", f"write {rest[0]}{rest[2:]}"
    if any(unicodedata.category(c) == "Nd" and c not in "0123456789" for c in rest):
        return "the digits are not 0 to 9", like
    return f"{rest!r} does not begin with a number", like


def _refuse_bad_compound(terms: list[tuple[Fraction, Unit | None, int]]) -> None:
    like = "write it like 1h 30min, or as one number such as 1.5 h"
    sizes = [unit.factor for _, unit, _ in terms if unit is not None]
    if any(later >= earlier for earlier, later in itertools.pairwise(sizes)):
        raise BadQuantity("the units of a time go from large to small, each once", advice=like)
    if any(number.denominator != 1 for number, _, _ in terms[:-1]):
        raise BadQuantity("only the last number of a time may have a part", advice=like)
    if any(number < 0 for number, _, _ in terms):
        raise BadQuantity("a time of several numbers has no minus", advice=like)


def _refuse_outside(value: float, kind: Kind, unit: Unit | None, low: float | None, high: float | None) -> None:
    lowest = kind.lowest if low is None else low
    below, above = lowest is not None and value < lowest, high is not None and value > high
    if not (below or above):
        return
    ends = [None if end is None else _in_unit(end, unit) for end in (lowest, high)]
    raise BadQuantity(f"{_in_unit(value, unit)} lies outside what is allowed here", advice=_range_words(ends))


def _in_unit(value: float, unit: Unit | None) -> str:
    if unit is None:
        return plain(value)
    return f"{plain(unit.from_si(Fraction(value)))} {unit.name}"


def _range_words(ends: list[str | None]) -> str:
    low, high = ends
    if low is not None and high is not None:
        return f"write something from {low} to {high}"
    return f"write {low} or more" if low is not None else f"write {high} or less"


def _read_hardness(text: str, low: float | None, high: float | None) -> Hardness:
    kind = KINDS["hardness"]
    tidy = _tidy(text, kind)
    found = _HARDNESS.fullmatch(tidy)
    if not found:
        raise BadQuantity(f"{tidy!r} is no hardness", advice=_hardness_advice(tidy))
    scale = found["s1"] or found["s2"]
    number = float(found["n1"] or found["n2"])
    least, most = (0.0 if low is None else low), (100.0 if high is None else high)
    if not least <= number <= most:
        raise BadQuantity(
            f"{plain(number)}{scale} lies outside what is allowed here",
            advice=f"write something from {plain(least)}{scale} to {plain(most)}{scale}",
        )
    return Hardness(scale, number)


def _hardness_advice(tidy: str) -> str:
    found = re.search(r"[0-9]{1,3}(?:\.[0-9]{1,2})?", tidy)
    letters = re.sub(r"(?i)shore|[^a-z]", "", tidy).upper()
    if re.search(r"(?<![0-9.])00(?![0-9.])", tidy) and not letters:
        number = re.sub(r"(?<![0-9.])00(?![0-9.])|[^0-9.]", "", tidy)
        return f"the scale is two letters: did you mean {number or 50}OO?"
    if found and letters in HARDNESS_SCALES:
        return f"did you mean {found[0]}{letters}?"
    if found and re.fullmatch(r"[0-9.]+", tidy):
        return f"write the scale too: {tidy}A, {tidy}D or {tidy}OO"
    return "write it like 60A, 45D, 30OO or Shore A 60"
