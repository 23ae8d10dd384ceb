"""The kinds of value that a shop or project file holds, each read strictly and known to editors."""

from __future__ import annotations

import datetime
import itertools
import math
import re
from collections.abc import Collection
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, WithJsonSchema
from pydantic_core import PydanticCustomError

from pourwright.basics.errors import BadQuantity
from pourwright.basics.quantities import parse
from pourwright.basics.shelf import nearest
from pourwright.basics.units import KINDS

_BARE = ("count", "number")


class Table(BaseModel):
    """A table of a file: no other keys than its own."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


def refuse(message: str, advice: str) -> PydanticCustomError:
    """What a reader of one value raises; pydantic gathers them all."""
    return PydanticCustomError("refused", "{message}", {"message": message, "advice": advice})


def quantity(kind: str, low: str | None = None, high: str | None = None, *, words: str = "") -> Any:
    """The type of a quantity in quotes ("2.5 mm"), or of a bare number for "count" and "number".

    Parameters
    ----------
    kind : a name of `units.KINDS`.
    low, high : as typed, with their units; both allowed.
    words : what it is, for editors.
    """
    least, most = (None if end is None else parse(end, kind) for end in (low, high))

    def read(value: object) -> float:
        return read_quantity(value, kind, low=least, high=most)

    return Annotated[float, BeforeValidator(read), WithJsonSchema(_quantity_schema(kind, low, high, words))]


def read_quantity(value: object, kind: str, *, low: float | None = None, high: float | None = None) -> float:
    """SI of one value as TOML gives it."""
    wanted = KINDS[kind]
    if kind in _BARE:
        return _bare_number(value, kind, low, high)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        written = f"{value} has no unit"
        try:
            parse(str(value), kind)
        except BadQuantity as error:
            raise refuse(written, f"{error.advice}, in quotes") from None
    if not isinstance(value, str):
        raise refuse(f"{what_stands(value)} stands where {wanted.noun} is wanted", f'write "{wanted.example}"')
    try:
        return parse(value, kind, low=low, high=high)
    except BadQuantity as error:
        raise refuse(error.message, error.advice) from None


def _bare_number(value: object, kind: str, low: float | None, high: float | None) -> float:
    noun = KINDS[kind].noun
    if isinstance(value, str) and re.fullmatch(r"[+-]?[0-9]+(\.[0-9]+)?", value.strip()):
        raise refuse(f"{value!r} stands in quotes", f"write {value.strip()} without quotes")
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise refuse(f"{what_stands(value)} stands where {noun} is wanted", f"write {KINDS[kind].example}")
    if not math.isfinite(value) or abs(value) > 1e99:
        raise refuse(f"{value} is no number of use here", f"write {noun} like {KINDS[kind].example}")
    if kind == "count" and not float(value).is_integer():
        raise refuse(f"{value} is not a whole number", f"write {math.floor(value)} or {math.ceil(value)}")
    if (low is not None and value < low) or (high is not None and value > high):
        ends = f"from {low:g} to {high:g}" if low is not None and high is not None else "within its range"
        raise refuse(f"{value} lies outside what is allowed here", f"write something {ends}")
    return float(value)


def choice(*names: str, words: str = "") -> Any:
    """The type of a text that is one of a few."""

    def read(value: object) -> str:
        if value in names:
            return str(value)
        guess = nearest(value, names) if isinstance(value, str) else None
        shown = repr(value) if isinstance(value, str) else what_stands(value)
        known = " or ".join(f'"{name}"' for name in names)
        raise refuse(f"{shown} is not known here", f'did you mean "{guess}"?' if guess else f"write {known}")

    return Annotated[str, BeforeValidator(read), WithJsonSchema(_schema({"enum": list(names)}, words))]


_AXES = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


def direction(*names: str, words: str = "") -> Any:
    """The type of a direction: one of a few texts, "x", "y", "z" (also "-x"), or three numbers that are not all 0."""
    known = (*names, *_AXES, *(f"-{axis}" for axis in _AXES))
    advice = f"write {', '.join(repr(name) for name in known)} in quotes, or three numbers like [0, 1, 1]"

    def read(value: object) -> str | tuple[float, float, float]:
        if isinstance(value, list):
            return _three_numbers(value, advice)
        if not isinstance(value, str) or value not in known:
            shown = repr(value) if isinstance(value, str) else what_stands(value)
            raise refuse(f"{shown} is no direction", advice)
        if value in names:
            return value
        x, y, z = (-part if value.startswith("-") else part for part in _AXES[value[-1]])
        return (x + 0.0, y + 0.0, z + 0.0)

    schema = {"anyOf": [{"enum": list(known)}, {"type": "array", "items": {"type": "number"}, "minItems": 3,
              "maxItems": 3}]}  # fmt: skip
    return Annotated[Any, BeforeValidator(read), WithJsonSchema(_schema(schema, words))]


def _three_numbers(value: list[object], advice: str) -> tuple[float, float, float]:
    plain = [part for part in value if isinstance(part, (int, float)) and not isinstance(part, bool)]
    if len(plain) != 3 or len(value) != 3 or not all(abs(part) < 1e9 for part in plain):
        raise refuse("a direction has three numbers", advice)
    if math.hypot(*plain) < 1e-9:
        raise refuse("a direction of no length", advice)
    x, y, z = (float(part) for part in plain)
    return (x, y, z)


def text(words: str = "", *, known: Collection[str] | None = None, example: str = "", longest: int = 200) -> Any:
    """The type of a short text on one line; `known` are offered by editors, not enforced."""

    def read(value: object) -> str:
        if not isinstance(value, str):
            raise refuse(f"{what_stands(value)} stands where a text is wanted", "write it in quotes")
        if not value.strip():
            raise refuse("the text is empty", "write something, or leave the key out")
        if len(value) > longest or any(ord(c) < 32 for c in value):
            raise refuse(f"the text is not one line of at most {longest} characters", "make it shorter")
        return value

    schema: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": longest}
    if known or example:
        schema["examples"] = list(known or (example,))
    return Annotated[str, BeforeValidator(read), WithJsonSchema(_schema(schema, words))]


def yes_or_no(words: str = "") -> Any:
    """The type of true or false."""

    def read(value: object) -> bool:
        if isinstance(value, bool):
            return value
        raise refuse(f"{what_stands(value)} stands where true or false is wanted", "write true or false, no quotes")

    return Annotated[bool, BeforeValidator(read), WithJsonSchema(_schema({"type": "boolean"}, words))]


def day(words: str = "") -> Any:
    """The type of a date, kept as text (2026-03-14)."""

    def read(value: object) -> str:
        if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
            return value.isoformat()
        try:
            return datetime.date.fromisoformat(value if isinstance(value, str) else "").isoformat()
        except ValueError:
            shown = repr(value) if isinstance(value, str) else what_stands(value)
            raise refuse(f"{shown} is no date", "write it like 2026-03-14") from None

    return Annotated[str, BeforeValidator(read), WithJsonSchema(_schema({"type": "string", "format": "date"}, words))]


def spans_of_day(words: str = "") -> Any:
    """The type of free hours on one day: "18:00-21:30", several with commas between them."""
    span = r"([01][0-9]|2[0-3]):[0-5][0-9]-(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)"
    whole = rf"{span}(, ?{span})*"

    def read(value: object) -> str:
        if isinstance(value, str) and re.fullmatch(whole, value):
            pieces = [piece.strip().split("-") for piece in value.split(",")]
            times = [time for piece in pieces for time in piece]
            if all(earlier < later for earlier, later in itertools.pairwise(times)):
                return value
            raise refuse(f"the times in {value!r} do not follow each other", "write the earlier one first")
        shown = repr(value) if isinstance(value, str) else what_stands(value)
        raise refuse(f"{shown} is no span of a day", 'write it like "18:00-21:30"')

    schema = {"type": "string", "pattern": f"^{whole}$", "examples": ["18:00-21:30"]}
    return Annotated[str, BeforeValidator(read), WithJsonSchema(_schema(schema, words))]


def what_stands(value: object) -> str:
    """What TOML calls a value, in a sentence."""
    names: tuple[tuple[type, str], ...] = (
        (bool, str(value).lower()),
        (dict, "a table"),
        (list, "an array"),
        ((datetime.date), "a date"),
        ((datetime.time), "a time of day"),
    )
    return next((name for kind, name in names if isinstance(value, kind)), repr(value))


def _quantity_schema(kind: str, low: str | None, high: str | None, words: str) -> dict[str, Any]:
    wanted = KINDS[kind]
    ends = f"{low} to {high}" if low and high else f"{low} or more" if low else f"{high} or less" if high else ""
    about = "; ".join(part for part in (words, f"{wanted.noun}, {ends}" if ends else wanted.noun) if part)
    if kind in _BARE:
        schema: dict[str, Any] = {"type": "integer" if kind == "count" else "number", "examples": []}
        schema["examples"] = [int(wanted.example) if kind == "count" else float(wanted.example)]
        schema |= {"minimum": float(low)} if low else {}
        schema |= {"maximum": float(high)} if high else {}
        return _schema(schema, about)
    schema = {"type": "string", "maxLength": 64, "examples": [wanted.example]}
    if wanted.units:
        units = sorted(wanted.units, key=len, reverse=True)
        schema["pattern"] = rf"^[^,'\"]*[0-9½¼¾][^,'\"]*({'|'.join(_escaped(name) for name in units)})\s*$"
    return _schema(schema, about)


def _escaped(unit: str) -> str:
    """A unit in a pattern that both Python and an editor's JavaScript read, with the signs it may be typed with."""
    plain = re.sub(r"([.^$/()])", r"\\\1", unit)
    return plain.replace("°", "[°º˚]").replace("um", "[uµμ]m").replace("cm3", "cm[3³]").replace("m3", "m[3³]")


def _schema(schema: dict[str, Any], words: str) -> dict[str, Any]:
    return {**schema, "description": words} if words else schema
