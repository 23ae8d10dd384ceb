"""What a part family is: its dimensions with their ranges, and how a part of it is drawn."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from pourwright.basics.errors import CannotBuild, InputErrors
from pourwright.basics.quantities import parse
from pourwright.basics.shelf import nearest
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.imported import Library
from pourwright.engines.geometry.measure import to_mm

_DRAWN: Mapping[str, Callable[[float], float]] = {
    "length": to_mm,
    "angle": math.degrees,
    "count": float,
    "mass": float,
}
_UNIT: Mapping[str, str] = {"length": " mm", "angle": "°", "count": "", "mass": " kg"}


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """One thing that a person types about a part.

    Parameters
    ----------
    key : the name in the file.
    kind : "length", "angle", "count" or "mass".
    default : as typed, with its unit; None when it must be given.
    low, high : as typed, with their units; both allowed.
    words : what it is, for forms and pages.
    unless : a key that holds words and says it in its stead, like the file of a core.
    """

    key: str
    kind: str = "length"
    default: str | None
    low: str
    high: str
    words: str
    unless: str = ""

    def drawn(self, value: float) -> float:
        """Millimetres of a length in m, degrees of an angle in rad, a count and kg as they are."""
        return _DRAWN[self.kind](value)

    def typed(self, text: str) -> float:
        """Millimetres, degrees or a count of what a person types."""
        return self.drawn(float(text) if self.kind == "count" else parse(text, self.kind, field=self.key))

    def shown(self, value: float) -> str:
        """A drawn value in words."""
        return f"{value:.9g}{_UNIT[self.kind]}"


@dataclass(frozen=True, kw_only=True)
class Text:
    """One thing that a person writes about a part in words: one of `options`, or anything (a file's name).

    `example` shows how it is written where there are no options.
    """

    key: str
    words: str
    options: tuple[str, ...] = ()
    example: str = ""
    kind: str = "text"
    default: None = None


@dataclass(frozen=True, kw_only=True)
class Family:
    """A kind of part: what to type, and how it becomes a shape.

    Parameters
    ----------
    name : as written in `[part] family`.
    words : one sentence for a person.
    dimensions : in the order of a form.
    build : from values (mm, degrees, counts; all keys present) to the shape. It gets the results of
        `more` after the values.
    texts : keys that hold words.
    more : what else the family draws from: given the part and the imported solids, further arguments
        of `build`. Left out for a family that is all dimensions.
    corner : the keys of one corner, for a family that takes a free outline.
    example : a part of this family as typed, without what has a default.
    example_outline : the corners of one, for a family that takes a free outline.
    """

    name: str
    words: str
    dimensions: tuple[Dimension, ...]
    build: Callable[..., PartShape]
    texts: tuple[Text, ...] = ()
    more: Callable[[Part, Library], tuple[Any, ...]] | None = None
    corner: tuple[Dimension, ...] = ()
    example: Mapping[str, str] = field(default_factory=dict)
    example_outline: tuple[Mapping[str, str], ...] = ()

    def shape(self, part: Part, library: Library) -> PartShape:
        """The shape of a part of this family (its dimensions in SI)."""
        values = self.values(part)
        check_texts(part, self.texts)
        return self.build(values, *(self.more or nothing_more)(part, library))

    def values(self, part: Part) -> dict[str, float]:
        """All dimensions of a part in mm, degrees or counts; what its words say in their stead is at its least."""
        said = {d.key for d in self.dimensions if d.unless and d.unless in part.texts}
        asked = tuple(replace(d, default=d.low) if d.key in said else d for d in self.dimensions)
        return drawn_values(asked, part.dimensions, owner=f"a {self.name}")


def check_texts(part: Part, texts: Sequence[Text]) -> None:
    """Refuse words under a key that the family does not have, or that are none of its options."""
    by_key = {text.key: text for text in texts}
    for key, value in part.texts.items():
        if key not in by_key:
            raise _unknown(key, {}, f"a {part.family}", "part")
        options = by_key[key].options
        if options and value not in options:
            guess = nearest(value, options)
            advice = f"did you mean {guess!r}?" if guess else f"write one of {', '.join(options)}"
            raise CannotBuild(f"{key} {value!r} is not known", advice=advice, field=f"part.{key}", value=value)


def nothing_more(part: Part, library: Library) -> tuple[Any, ...]:
    """Nothing besides its dimensions; an outline or a file is refused."""
    if part.outline:
        raise refusal("outline", None, f"a {part.family} takes no outline", 'write family = "profile"')
    if part.file is not None:
        raise refusal("file", None, f"a {part.family} takes no file", "leave out the family, or the file")
    return ()


# ---------------------------------------------------------------- reading values


def drawn_values(
    dimensions: Sequence[Dimension], given: Mapping[str, float], *, owner: str, place: str = "part"
) -> dict[str, float]:
    """All values in mm, degrees or counts: those given (SI), then the defaults.

    Raises
    ------
    CannotBuild
        An unknown key, a missing one, or a value outside its range.
    InputErrors
        Several of these.
    """
    by_key = {dimension.key: dimension for dimension in dimensions}
    unknown = [key for key in given if key not in by_key]
    faults = [_unknown(key, by_key, owner, place) for key in unknown]
    misspelt = {nearest(key, by_key) for key in unknown}
    values: dict[str, float] = {}
    for dimension in dimensions:
        if dimension.key in misspelt and dimension.key not in given:
            continue
        try:
            values[dimension.key] = _value(dimension, given, owner, place)
        except CannotBuild as fault:
            faults.append(fault)
    if faults:
        raise faults[0] if len(faults) == 1 else InputErrors(faults)
    return values


def _unknown(key: str, known: Mapping[str, object], owner: str, place: str) -> CannotBuild:
    guess = nearest(key, known)
    advice = f"did you mean {guess}?" if guess else f"it has {', '.join(known)}" if known else "leave it out"
    return CannotBuild(f"{owner} has no {key}", advice=advice, field=f"{place}.{key}", value=key)


def _value(dimension: Dimension, given: Mapping[str, float], owner: str, place: str) -> float:
    where = f"{place}.{dimension.key}"
    if dimension.key not in given:
        if dimension.default is None:
            raise CannotBuild(
                f"{owner} needs {dimension.key}: {dimension.words}",
                advice=f"write {dimension.key} with a value from {dimension.low} to {dimension.high}"
                + (f", or write {dimension.unless}" if dimension.unless else ""),
                field=where,
            )
        return dimension.typed(dimension.default)
    value = dimension.drawn(given[dimension.key])
    low, high = dimension.typed(dimension.low), dimension.typed(dimension.high)
    if not low <= value <= high:  # also refuses what is not a number
        raise CannotBuild(
            f"{dimension.key} is {dimension.shown(value)}",
            advice=f"give it from {dimension.low} to {dimension.high}",
            field=where,
            value=dimension.shown(value),
        )
    return value


def refusal(key: str, value_mm: float | None, message: str, advice: str) -> CannotBuild:
    """The error for a dimension that cannot be drawn together with the others."""
    value = None if value_mm is None else f"{value_mm:.9g} mm"
    return CannotBuild(message, advice=advice, field=f"part.{key}", value=value)
