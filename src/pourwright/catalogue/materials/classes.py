"""Reading the material classes on the shelf."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from pourwright.basics.errors import UnknownName
from pourwright.basics.quantities import parse
from pourwright.basics.shelf import unknown_name
from pourwright.catalogue.materials.fields import NUMBERS, Field
from pourwright.domain.estimate import Basis, Estimate
from pourwright.domain.material import Fact, Material, Ratio

FOLDER = Path(__file__).parent


def material_names() -> tuple[str, ...]:
    """The names of all classes, softest first within a kind.

    Examples
    --------
    >>> material_names()[-1]
    'urethane 95A'
    """
    return tuple(_files())


def load_class(name: str) -> Material:
    """One class with its placeholder ratio.

    Parameters
    ----------
    name : one of `material_names`

    Raises
    ------
    UnknownName
        No class is called so; the nearest name is offered.

    Examples
    --------
    >>> round(load_class("urethane 80A").best("density"))
    1070
    """
    if name not in _files():
        raise _unknown(name)
    return _read(name)


def band(low: float, high: float, *, field: Field, rests_on: Basis = "class default") -> Estimate:
    """A range as an estimate whose best value is its middle, or its geometric mean.

    Parameters
    ----------
    low, high : SI
    field : says which mean
    rests_on : what the range comes from

    References
    ----------
    planning-judgement

    Examples
    --------
    >>> band(300.0, 1800.0, field=NUMBERS["pot_life"]).best == (300 * 1800) ** 0.5
    True
    """
    best = math.sqrt(low * high) if field.mean == "geometric" else (low + high) / 2
    return Estimate(low=low, best=min(max(best, low), high), high=high, rests_on=rests_on)


def in_si(number: float, field: Field, unit: str | None = None) -> float:
    """A number of the field's unit (or of another of its kind), in SI.

    Examples
    --------
    >>> in_si(1.08, NUMBERS["density"]), in_si(80, NUMBERS["hardness"])
    (1080.0, 80.0)
    """
    if field.kind == "hardness":
        return float(number)
    return parse(f"{number!r} {field.unit if unit is None else unit}".strip(), field.kind, field=field.name)


def _unknown(name: str) -> UnknownName:
    error = unknown_name(name, _files(), noun="material")
    return UnknownName(
        error.message,
        advice=f"{error.advice}; for a sheet of your own write a file in materials/ that names its class",
        value=name,
    )


@cache
def _files() -> Mapping[str, Path]:
    return {_name(path): path for path in sorted(FOLDER.glob("*.toml"))}


def _name(path: Path) -> str:
    kind, _, hardness = path.stem.replace("_", " ").rpartition(" ")
    return f"{kind} {hardness.upper()}"


@cache
def _read(name: str) -> Material:
    record = tomllib.loads(_files()[name].read_text(encoding="utf-8"))
    ratio = record["ratio_by_weight"]
    return Material(
        name=name,
        kind=record["kind"],
        facts={key: _fact(NUMBERS[key], entry) for key, entry in record["facts"].items()},
        ratio_by_weight=Ratio(a=float(ratio["a"]), b=float(ratio["b"]), source=ratio["source"], status=ratio["status"]),
        cautions=tuple(record["cautions"]),
        class_name=name,
    )


def _fact(field: Field, entry: Mapping[str, Any]) -> Fact:
    low, high = (in_si(entry[end], field, entry["unit"]) for end in ("low", "high"))
    return Fact(
        estimate=band(low, high, field=field),
        source=entry["source"],
        status=entry["status"],
        condition=entry.get("condition", ""),
    )
