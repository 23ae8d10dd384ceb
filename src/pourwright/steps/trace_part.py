"""From caliper readings of an existing part to a family with its dimensions, each with a band and what is doubtful."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild, InputError, InputErrors
from pourwright.basics.shelf import unknown_name
from pourwright.catalogue.cast_sizes import HAND_SPREAD, feature_of
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.domain.old_part import OldPart, OldSize
from pourwright.domain.part import Part
from pourwright.engines.elastomer.hardness import young_modulus
from pourwright.engines.process.moulded_tolerance import moulded_tolerance
from pourwright.engines.process.traced import jaw_squeeze
from pourwright.engines.process.uncertainty import Reading, repeated

VERSION = 1
_FEW = 3  # readings of one size below which more are asked for (judgement)
_UNSURE = 0.5  # share of the usual tolerance above which a band asks for more readings (judgement)
_NOT_TRACED = ("file", "profile")
_SOFT = ("urethane", "natural rubber", "other rubber", "silicone")


@dataclass(frozen=True, kw_only=True)
class TracedSize:
    """One size of the old part, m: the value to draw with, and the band that 19 in 20 lie within.

    `high` is None where wear took some of an outside, `low` where it took from an inside: then only one end is
    known. `again` says why to measure again; empty when it need not be.
    """

    name: str
    best: float
    low: float | None
    high: float | None
    number: int
    worn: bool = False
    again: str = ""


@dataclass(frozen=True, kw_only=True)
class Traced:
    """What the readings say: the part, every size, other families that explain them, and what does not fit."""

    part: Part
    sizes: tuple[TracedSize, ...]
    others: Mapping[str, str]
    notes: tuple[str, ...] = ()


def trace_part(old: OldPart, *, family: str | None = None) -> Traced:
    """The part that explains the readings.

    Parameters
    ----------
    old : the readings.
    family : its family; None takes the one that explains all readings with the fewest sizes left to their defaults.

    Raises
    ------
    UnknownName
        No such family.
    InputError
        No family explains the readings; the advice says what each lacks.
    """
    sizes = tuple(traced_size(one, old) for one in old.sizes)
    if old.stations:
        return _turned(old, sizes)
    if not sizes:
        raise InputError("no readings", advice='write [sizes.outer_diameter] with readings = ["28 mm", …]')
    values = {size.name: size.best for size in sizes}
    against = {name: _against(name, values) for name in FAMILIES if name not in _NOT_TRACED}
    if family is not None and family not in against:
        raise unknown_name(family, tuple(against), noun="family for readings")
    fitting = sorted((name for name, why in against.items() if not why), key=lambda name: (_left(name, values), name))
    taken = family if family is not None else (fitting[0] if fitting else None)
    if taken is None or against[taken]:
        asked = {taken: against[taken]} if taken is not None else against
        raise _nothing_fits(asked, fitting)
    return Traced(
        part=Part(family=taken, dimensions=values),
        sizes=sizes,
        others={name: why for name, why in against.items() if name != taken},
        notes=(*_alike(sizes), *_by_default(taken, values), *_soft(old)),
    )


def _against(name: str, values: Mapping[str, float]) -> str:
    """Why a family does not explain the readings; empty when it does."""
    family = FAMILIES[name]
    known = {one.key for one in family.dimensions}
    strange = [key for key in values if key not in known]
    if strange:
        return f"has no {strange[0]}"
    missing = [one.key for one in family.dimensions if one.default is None and one.key not in values]
    if missing:
        return f"needs {', '.join(missing)} too"
    try:
        shape_of(Part(family=name, dimensions=dict(values)))
    except (CannotBuild, InputErrors) as error:
        return str(error)
    return ""


def _left(name: str, values: Mapping[str, float]) -> int:
    return sum(one.key not in values for one in FAMILIES[name].dimensions)


def _nothing_fits(against: Mapping[str, str], fitting: Sequence[str]) -> InputError:
    told = "; ".join(f"a {name} {why}" for name, why in against.items())
    tail = f"; what fits: {', '.join(fitting)}" if fitting else ""
    return InputError("these readings make no part", advice=told + tail, field="sizes")


# ---------------------------------------------------------------- one size


def traced_size(one: OldSize, old: OldPart) -> TracedSize:
    """The best value of one size with its band; of a worn one only the bound that wear leaves."""
    hole = feature_of(one.name).hole
    reading = read(one.readings, old, hole=hole)
    half = reading.half_band()
    low: float | None = reading.best - half
    high: float | None = reading.best + half
    best = reading.best
    if one.worn:
        best = min(one.readings) if hole else max(one.readings)
        low, high = (None, high) if hole else (low, None)
    return TracedSize(
        name=one.name,
        best=round(best, 5),
        low=low,
        high=high,
        number=reading.number,
        worn=one.worn,
        again=_again(one, reading, half),
    )


def read(readings: Sequence[float], old: OldPart, *, hole: bool = False) -> Reading:
    """Best value of readings on the old part; of a soft one, half of what the jaws may have pressed is given back."""
    found = repeated(readings, resolution=old.resolution, instrument=old.instrument, lone_spread=HAND_SPREAD)
    if old.hardness is None:
        return found
    squeezed = jaw_squeeze(size=found.best, modulus=young_modulus(hardness=old.hardness))
    wider = repeated(
        readings, resolution=old.resolution, instrument=old.instrument + squeezed / 2, lone_spread=HAND_SPREAD
    )
    return replace(wider, best=found.best + (-squeezed if hole else squeezed) / 2)


def _again(one: OldSize, reading: Reading, half: float) -> str:
    if one.worn:
        end = "at most" if feature_of(one.name).hole else "at least"
        return f"worn: when new it was {end} this; measure where nothing rubbed, or on a part that is not worn"
    if reading.doubtful:
        places = ", ".join(str(place + 1) for place in reading.doubtful)
        return f"reading {places} lies far from the others and was left out of account: look again"
    if reading.number < _FEW:
        return f"read it {_FEW} times or more: one or two readings say little of their own spread"
    if half > _UNSURE * moulded_tolerance(size=max(reading.best, 0.0), grade="M3", closure=False):
        return "the readings differ much: is it round, is it parallel? Turn the part between readings"
    return ""


def _by_default(name: str, values: Mapping[str, float]) -> tuple[str, ...]:
    left = [f"{one.key} {one.default}" for one in FAMILIES[name].dimensions if one.default and one.key not in values]
    return (f"not measured, drawn as usual: {', '.join(left)}",) if left else ()


def _soft(old: OldPart) -> tuple[str, ...]:
    if old.hardness is not None:
        return ("calipers press soft rubber: half of what they may press is given back, the rest is in the band",)
    if old.material in _SOFT:
        return ('calipers press soft rubber and read it small: give its hardness = "80A" to have that in the band',)
    return ()


def _alike(sizes: Sequence[TracedSize]) -> tuple[str, ...]:
    """Diameters that the readings do not tell apart."""
    wide = [size for size in sizes if size.name.endswith("diameter") and None not in (size.low, size.high)]
    found = []
    for n, one in enumerate(wide):
        for other in wide[n + 1 :]:
            if _overlap(one, other):
                names = " and ".join(size.name.replace("_", " ") for size in (one, other))
                found.append(f"{names} differ by less than the readings tell apart: they may be the same")
    return tuple(found)


def _overlap(one: TracedSize, other: TracedSize) -> bool:
    apart = abs(one.best - other.best)
    halves = sum(((size.high or 0.0) - (size.low or 0.0)) / 2 for size in (one, other))
    return apart <= halves


# ---------------------------------------------------------------- a turned outline


def _turned(old: OldPart, sizes: Sequence[TracedSize]) -> Traced:
    """A profile through stations along the axis; a size "bore" fills in the inside where a station has none."""
    strange = [size.name for size in sizes if size.name != "bore"]
    if strange:
        raise InputError(
            f"stations and a {strange[0]} stand in one file",
            advice="beside stations only a bore is read",
            field="sizes",
        )
    stations = sorted(old.stations, key=lambda one: one.height)
    if len({one.height for one in stations}) < max(2, len(stations)):
        raise InputError("a turned part needs stations at two heights or more, each once", field="station")
    bore = next((size.best for size in sizes), 0.0)
    found: list[TracedSize] = list(sizes)
    outside, inside = [], []
    for number, one in enumerate(stations, start=1):
        outer = traced_size(OldSize(name=f"outside_{number}_diameter", readings=one.outside, worn=one.worn), old)
        found.append(outer)
        outside.append({"r": round(outer.best / 2, 6), "z": one.height})
        r = bore / 2
        if one.inside:
            inner = traced_size(OldSize(name=f"inside_{number}_bore", readings=one.inside, worn=one.worn), old)
            found.append(inner)
            r = inner.best / 2
        inside.append({"r": round(r, 6), "z": one.height})
    part = Part(family="profile", outline=(*outside, *_straight(inside)[::-1]))
    shape_of(part)
    note = "Between stations the outline is drawn straight: add stations where the part curves, or a bulge to a side."
    return Traced(part=part, sizes=tuple(found), others={}, notes=(note, *_soft(old)))


def _straight(inside: list[dict[str, float]]) -> list[dict[str, float]]:
    """A bore of one width needs its two ends only."""
    same = len({one["r"] for one in inside}) == 1
    return [inside[0], inside[-1]] if same else inside
