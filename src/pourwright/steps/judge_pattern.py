"""From readings of a first pattern to go or no-go, and what to print again: one factor, or offsets of single sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from pourwright.basics.errors import InputError
from pourwright.basics.quantities import show
from pourwright.basics.shelf import unknown_name
from pourwright.catalogue.cast_sizes import feature_of
from pourwright.domain.part import Project
from pourwright.domain.size_forecast import Measured, SizeForecast, Verdict
from pourwright.steps.forecast_sizes import reading_of

_SLIP = 0.2  # share of a size by which no printer errs: a slip of the hand or of the unit (judgement)
_LEAST_SLIP = 2e-3
_WORTH_IT = 0.05e-3  # a smaller correction is lost in the layers of a print (judgement)
_ORDER: tuple[Verdict, ...] = ("go", "not sure", "no-go")


@dataclass(frozen=True, kw_only=True)
class Reprint:
    """What to write under [pattern] before the next print.

    `scale` corrects all sizes, where all measured ones are off by the same share; None where they are not.
    `offsets` (m, by dimension) correct those that are off, one by one; it is either this or that.
    """

    scale: float | None = None
    offsets: Mapping[str, float] = field(default_factory=dict)

    @property
    def needed(self) -> bool:
        """Something is off by more than a print can be told apart."""
        return self.scale is not None or bool(self.offsets)


def overall(sizes: Sequence[SizeForecast]) -> Verdict:
    """The worst verdict of all sizes."""
    return max((size.verdict for size in sizes), key=_ORDER.index, default="go")


def refuse_slips(found: Sequence[Measured], drawn: Mapping[str, float]) -> None:
    """Refuse readings of sizes that the part does not have, and readings that no print could give.

    Parameters
    ----------
    found : the readings.
    drawn : m, what each size of the pattern is drawn with.

    Raises
    ------
    UnknownName
        No such size.
    InputError
        A reading far from what was drawn.
    """
    for one in found:
        if one.name not in drawn:
            raise unknown_name(one.name, tuple(drawn), noun="size of this part")
        for value in one.readings:
            if abs(value - drawn[one.name]) > max(_SLIP * drawn[one.name], _LEAST_SLIP):
                read, was = (show(length, "length", "mm") for length in (value, drawn[one.name]))
                raise InputError(
                    f"{one.name} reads {read}, and the pattern is drawn {was}",
                    advice="see that the size and the unit are right; of a print in two pieces, put them together",
                    field=one.name,
                    value=read,
                )


def reprint_for(project: Project, sizes: Sequence[SizeForecast]) -> Reprint:
    """The correction for the next pattern, from the sizes that were measured on this one.

    Notes
    -----
    One factor k' = k · wanted / measured when the factors of two outsides or more agree within what the readings
    are unsure of, or when the part has no sizes that could be corrected one by one.
    """
    found = [size for size in sizes if size.measured is not None]
    off = [size for size in found if abs(size.miss) >= _WORTH_IT]
    if not off:
        return Reprint()
    factor = _common_factor(project, [size for size in found if feature_of(size.name).faces > 0])
    if factor is not None and all(size in found for size in off):
        return Reprint(scale=project.pattern.scale * factor)
    single = {size.name: size.offset for size in off if not size.name.startswith("size_")}
    if project.part.outline or project.part.family == "file":
        return Reprint(scale=project.pattern.scale * _mean([_factor(size) for size in off]))
    return Reprint(offsets=single)


def _common_factor(project: Project, outsides: Sequence[SizeForecast]) -> float | None:
    if len(outsides) < 2:
        return None
    unsure = {one.name: 2.0 * reading_of(one).deviation for one in project.measured}
    mean = _mean([_factor(size) for size in outsides])
    agree = all(abs(_factor(size) - mean) * size.pattern <= unsure[size.name] for size in outsides)
    return mean if agree and abs(mean - 1.0) * max(size.pattern for size in outsides) >= _WORTH_IT else None


def _factor(size: SizeForecast) -> float:
    return size.pattern / (size.measured or size.pattern)


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
