"""The mix ratio of a sheet: by weight, by volume, and whether the two agree."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pourwright.basics.errors import InputError
from pourwright.basics.quantities import show
from pourwright.domain.material import Fact, Material, Ratio
from pourwright.engines.process.mixing import ratio_gap, weight_ratio

AGREE = 0.02  # ratios by weight and by volume of one sheet agree within this share

_RATIO = re.compile(r" *([0-9]{1,6}(?:\.[0-9]{1,6})?) *: *([0-9]{1,6}(?:\.[0-9]{1,6})?) *")


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """The ratio to weigh, where it comes from, and what is doubtful about it."""

    by_weight: Ratio | None
    by_volume: Ratio | None = None
    basis: str = "weight"
    placeholder: bool = False
    doubts: tuple[str, ...] = ()

    def as_fields(self) -> dict[str, Any]:
        """As the fields of a `Material`."""
        return {
            "ratio_by_weight": self.by_weight,
            "ratio_by_volume": self.by_volume,
            "ratio_basis": self.basis,
            "placeholder_ratio": self.placeholder,
        }


def parse_ratio(value: object, *, field: str) -> tuple[float, float]:
    """Parts of A and B from text such as "100:90", or from a pair of numbers.

    Parameters
    ----------
    value : text or pair
    field : the name of the line, for the error

    Raises
    ------
    InputError
        Not two positive numbers.

    Examples
    --------
    >>> parse_ratio("100 : 90", field="ratio_by_weight"), parse_ratio([1, 1], field="ratio_by_volume")
    ((100.0, 90.0), (1.0, 1.0))
    """
    parts = _parts(value)
    if parts is None or not all(part > 0 and math.isfinite(part) for part in parts):
        raise InputError(
            f"{value!r} is no ratio of A to B",
            advice='write it like "100:90", both above 0',
            field=field,
            value=str(value),
        )
    return parts


def _parts(value: object) -> tuple[float, float] | None:
    if isinstance(value, str):
        found = _RATIO.fullmatch(value)
        return (float(found.group(1)), float(found.group(2))) if found else None
    if isinstance(value, (list, tuple)) and len(value) == 2:
        a, b = value
        if all(isinstance(part, (int, float)) and not isinstance(part, bool) for part in (a, b)):
            return float(a), float(b)
    return None


def words(ratio: tuple[float, float]) -> str:
    """A ratio for a person, four digits.

    Examples
    --------
    >>> words((100.0, 88.696))
    '100:88.7'
    """
    return ":".join(f"{part:.4g}" for part in ratio)


def resolve_ratio(
    base: Material, own_sheet: Mapping[str, Any], own: Mapping[str, Fact], errors: list[InputError]
) -> Resolved:
    """What to weigh, from whatever the sheet says; contradictions go to `errors`.

    Parameters
    ----------
    base : the class, whose placeholder holds while nothing is typed
    own_sheet : for its two ratio lines
    own : typed numbers, for the densities of A and B
    errors : takes what is wrong
    """
    by_weight, by_volume = (_typed(own_sheet, key, errors) for key in ("ratio_by_weight", "ratio_by_volume"))
    densities = _densities(own)
    if by_weight is not None:
        doubts = _cross_check(by_weight, by_volume, densities, errors)
        return Resolved(
            by_weight=_own(by_weight), by_volume=by_volume and _own(by_volume), basis="weight", doubts=doubts
        )
    if by_volume is None:
        return Resolved(by_weight=base.ratio_by_weight, placeholder=True)
    if densities is None:
        missing = Ratio(a=by_volume[0], b=by_volume[1], source="own sheet", status="densities missing")
        return Resolved(by_weight=missing, by_volume=_own(by_volume), basis="volume", placeholder=True)
    a, b = weight_ratio(by_volume=by_volume, density_a=densities[0], density_b=densities[1])
    return Resolved(
        by_weight=Ratio(a=a, b=b, source="own sheet", status="calculated"), by_volume=_own(by_volume), basis="volume"
    )


def _typed(own_sheet: Mapping[str, Any], key: str, errors: list[InputError]) -> tuple[float, float] | None:
    if key not in own_sheet:
        return None
    try:
        return parse_ratio(own_sheet[key], field=key)
    except InputError as error:
        errors.append(error)
        return None


def _own(parts: tuple[float, float]) -> Ratio:
    return Ratio(a=parts[0], b=parts[1], source="own sheet", status="data sheet")


def _densities(own: Mapping[str, Fact]) -> tuple[float, float] | None:
    if "density_a" not in own or "density_b" not in own:
        return None
    return own["density_a"].estimate.best, own["density_b"].estimate.best


def _cross_check(
    by_weight: tuple[float, float],
    by_volume: tuple[float, float] | None,
    densities: tuple[float, float] | None,
    errors: list[InputError],
) -> tuple[str, ...]:
    if by_volume is None:
        return ()
    if densities is None:
        return ("the sheet gives a ratio by weight and one by volume: type the densities of A and B to check them",)
    expected = weight_ratio(by_volume=by_volume, density_a=densities[0], density_b=densities[1])
    gap = abs(ratio_gap(by_weight, wanted=expected))
    if gap > AGREE:
        a, b = (show(density, "density", "g/mL") for density in densities)
        errors.append(
            InputError(
                f"{words(by_weight)} by weight contradicts {words(by_volume)} by volume: with A {a} and B {b} "
                f"that is {words(expected)} by weight, and weighing {words(by_weight)} would be {100 * gap:.1f} % off",
                advice="look at the sheet again: one of the two ratios or densities is wrong; "
                "weigh nothing until they agree within 2 %",
                field="ratio_by_weight",
                value=words(by_weight),
            )
        )
    return ()
