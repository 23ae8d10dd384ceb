"""The keys of files with caliper readings: those of a pattern, and those of an old part. Imported when one is read."""

from __future__ import annotations

from collections.abc import Collection
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, Field, create_model

from pourwright.domain.old_part import OLD_MATERIALS
from pourwright.domain.size_forecast import CALIPER_ERROR, CALIPER_STEP
from pourwright.store.field_types import Table, choice, day, quantity, text, yes_or_no

LENGTH = quantity("length", "0.01 mm", "1 m", words="one reading")
STEP = quantity("length", "0.001 mm", "1 mm", words="smallest step that the calipers show")
ERROR = quantity("length", "0 mm", "1 mm", words="largest error of the calipers, as their sheet says")


class PatternReadings(Table):
    """One [[pattern]] of measured.toml: one size of a finished pattern, read several times."""

    size: text("the dimension, as in project.toml", example="outer_diameter")
    readings: list[LENGTH] = Field(min_length=1, max_length=100)
    drawn: quantity("length", "0.01 mm", "1 m", words="that the pattern was drawn with")
    resolution: STEP
    instrument: ERROR
    on: day("of the measurement") | None = None


class MeasuredFile(Table):
    """measured.toml: what calipers found."""

    pattern: list[PatternReadings] = Field(default_factory=list, max_length=10_000)


def readings_model(names: Collection[str]) -> type[BaseModel]:
    """A file of readings of one pattern: a list for each size that was measured."""
    several = list[LENGTH] | None
    members: dict[str, Any] = {name: (several, Field(None, min_length=1, max_length=100)) for name in names}
    return create_model(
        "ReadingsFile",
        __base__=Table,
        __doc__="Readings of one pattern: size = [readings].",
        resolution=(STEP, CALIPER_STEP),
        instrument=(ERROR, CALIPER_ERROR),
        **members,
    )


# ---------------------------------------------------------------- an old part


def _as_table(value: object) -> object:
    """A plain list of readings stands for a table with nothing but them."""
    return {"readings": value} if isinstance(value, list) else value


class SizeReadings(Table):
    """One size of an old part; worn = true when a face it is measured between is worn."""

    readings: list[LENGTH] = Field(min_length=1, max_length=100)
    worn: yes_or_no("whether wear took something off") = False


class StationReadings(Table):
    """One [[station]] of a turned part: diameters at one height."""

    z: quantity("length", "-1 m", "1 m", words="height above the lower face")
    diameter: list[LENGTH] = Field(min_length=1, max_length=100)
    inside: list[LENGTH] = Field(default_factory=list, max_length=100)
    worn: yes_or_no("whether wear took something off") = False


class OldPartFile(Table):
    """Readings of an existing part, by a person with calipers."""

    title: text("what the part is called", example="Old gate bushing") | None = None
    material: choice(*OLD_MATERIALS, words="what the old part is made of") = "unknown"
    hardness: text("Shore A of a soft part, which calipers squeeze", example="80A") | None = None
    resolution: STEP = CALIPER_STEP
    instrument: ERROR = CALIPER_ERROR
    sizes: dict[str, Annotated[SizeReadings, BeforeValidator(_as_table)]] = Field(default_factory=dict, max_length=100)
    station: list[StationReadings] = Field(default_factory=list, max_length=200)
