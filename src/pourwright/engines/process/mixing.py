"""What to weigh: masses of A and B, how far the scale can put the ratio off, the smallest honest batch. SI units."""

from __future__ import annotations

import math
from dataclasses import dataclass

MARGIN_SHARE = 0.07  # spare material as a share of what the mould takes; suppliers say 5 to 10 %
CUP_LOSS = 0.010  # kg that stay in one cup and on its stick; 5 to 15 g in practice
COUNTS_AT_LEAST = 100  # the smaller component in counts of the scale, below which a reading says too little


@dataclass(frozen=True, kw_only=True)
class Batch:
    """One mix: `total` = `a` + `b`, of which `spare` is more than the mould takes. kg."""

    total: float
    a: float
    b: float
    spare: float


def batch(
    *,
    volume: float,
    density: float,
    ratio: tuple[float, float] = (1.0, 1.0),
    overflow: float | None = None,
    cup_loss: float | None = None,
    cups: int = 1,
) -> Batch:
    """Masses to weigh so that `volume` reaches the mould.

    Parameters
    ----------
    volume : m3
        What the mould takes, feeds, vents and wells included.
    density : kg/m3
        Of the mix.
    ratio : parts by weight (A, B)
    overflow, cup_loss : see `spare_mass`
    cups : mixes that the batch is split into

    Returns
    -------
    Batch, kg

    Raises
    ------
    ValueError
        A volume, density or part that is not positive.

    References
    ----------
    trade-silicone-quantity, trade-cup-loss

    Examples
    --------
    >>> mix = batch(volume=100e-6, density=1080.0, overflow=0.10, cup_loss=0.008)
    >>> round(mix.total, 4), round(mix.a, 4), round(mix.b, 4)
    (0.1268, 0.0634, 0.0634)
    """
    _positive(volume=volume, density=density)
    mould_takes = volume * density
    spare = spare_mass(mould_takes, overflow=overflow, cup_loss=cup_loss, cups=cups)
    a, b = split(mould_takes + spare, ratio=ratio)
    return Batch(total=mould_takes + spare, a=a, b=b, spare=spare)


def spare_mass(
    mould_takes: float, *, overflow: float | None = None, cup_loss: float | None = None, cups: int = 1
) -> float:
    """What to mix beyond what the mould takes.

    With nothing stated it is the larger of 7 % and 10 g a cup. As soon as a person states either number
    the two are counted apart and added: `overflow` of the mould's mass (0 unless stated) and `cup_loss`
    for each cup (10 g unless stated).

    Parameters
    ----------
    mould_takes : kg
    overflow : share of `mould_takes`
    cup_loss : kg a cup
    cups : mixes

    Returns
    -------
    kg

    References
    ----------
    trade-silicone-quantity, trade-cup-loss

    Examples
    --------
    >>> round(spare_mass(0.050), 4), round(spare_mass(0.500), 4), round(spare_mass(0.500, cup_loss=0.008), 4)
    (0.01, 0.035, 0.008)
    """
    if overflow is None and cup_loss is None:
        return max(MARGIN_SHARE * mould_takes, CUP_LOSS * cups)
    return (overflow or 0.0) * mould_takes + (CUP_LOSS if cup_loss is None else cup_loss) * cups


def split(total: float, *, ratio: tuple[float, float]) -> tuple[float, float]:
    """Masses of A and B in a mix.

    Parameters
    ----------
    total : kg
    ratio : parts by weight (A, B)

    Returns
    -------
    (kg, kg)

    Examples
    --------
    >>> [round(mass, 6) for mass in split(0.110, ratio=(100.0, 10.0))]
    [0.1, 0.01]
    """
    parts_a, parts_b = ratio
    _positive(parts_a=parts_a, parts_b=parts_b)
    one_part = total / (parts_a + parts_b)
    return parts_a * one_part, parts_b * one_part


def weight_ratio(*, by_volume: tuple[float, float], density_a: float, density_b: float) -> tuple[float, float]:
    """Parts by weight, for 100 of A, that a ratio by volume means.

    Parameters
    ----------
    by_volume : parts by volume (A, B)
    density_a, density_b : kg/m3, both at one temperature

    Returns
    -------
    parts by weight (100, B)

    Examples
    --------
    >>> a, b = weight_ratio(by_volume=(1.0, 1.0), density_a=1150.0, density_b=1020.0)
    >>> a, round(b, 1)
    (100.0, 88.7)
    """
    _positive(parts_a=by_volume[0], parts_b=by_volume[1], density_a=density_a, density_b=density_b)
    return 100.0, 100.0 * (by_volume[1] * density_b) / (by_volume[0] * density_a)


def ratio_gap(ratio: tuple[float, float], *, wanted: tuple[float, float]) -> float:
    """How far B per A in `ratio` lies from the wanted one, as a share with its sign.

    Examples
    --------
    >>> round(ratio_gap((1.0, 1.0), wanted=(100.0, 88.7)), 3)  # a volume ratio weighed as if by weight
    0.127
    """
    return (ratio[1] / ratio[0]) / (wanted[1] / wanted[0]) - 1.0


def mixed_density(*, ratio: tuple[float, float], density_a: float, density_b: float) -> float:
    """Density of the fresh mix when volumes add up.

    Parameters
    ----------
    ratio : parts by weight (A, B)
    density_a, density_b : kg/m3

    Returns
    -------
    kg/m3

    Examples
    --------
    >>> round(mixed_density(ratio=(115.0, 102.0), density_a=1150.0, density_b=1020.0))
    1085
    """
    return (ratio[0] + ratio[1]) / (ratio[0] / density_a + ratio[1] / density_b)


def ratio_error(mass_a: float, mass_b: float, *, readability: float, repeatability: float) -> float:
    """The furthest that scale readings can put the ratio off: half a count and two repeatabilities in each.

    Parameters
    ----------
    mass_a, mass_b : kg
    readability : kg, the last digit of the scale
    repeatability : kg, one standard deviation

    Returns
    -------
    share of the ratio

    References
    ----------
    GUM2008

    Examples
    --------
    >>> round(ratio_error(0.010, 0.010, readability=0.001, repeatability=0.0), 3)
    0.1
    """
    _positive(mass_a=mass_a, mass_b=mass_b)
    return (readability / 2 + 2 * repeatability) * (1 / mass_a + 1 / mass_b)


def ratio_deviation(mass_a: float, mass_b: float, *, readability: float, repeatability: float) -> float:
    """The standard deviation of the ratio when each mass is the difference of two readings.

    Parameters
    ----------
    mass_a, mass_b : kg
    readability : kg
    repeatability : kg, one standard deviation

    Returns
    -------
    share of the ratio

    References
    ----------
    GUM2008

    Examples
    --------
    >>> round(ratio_deviation(0.025, 0.025, readability=1e-4, repeatability=0.7e-4), 4)
    0.0061
    """
    _positive(mass_a=mass_a, mass_b=mass_b)
    one = math.sqrt(2 * readability**2 / 12 + 2 * repeatability**2)
    return math.hypot(one / mass_a, one / mass_b)


def smallest_batch(*, ratio: tuple[float, float], readability: float) -> float:
    """The total whose smaller component is 100 counts of the scale.

    Parameters
    ----------
    ratio : parts by weight (A, B)
    readability : kg

    Returns
    -------
    kg

    References
    ----------
    trade-scale-rule

    Examples
    --------
    >>> round(smallest_batch(ratio=(1.0, 1.0), readability=1e-4), 4)
    0.02
    """
    return COUNTS_AT_LEAST * readability * sum(ratio) / min(ratio)


def batch_for_error(error: float, *, ratio: tuple[float, float], readability: float, repeatability: float) -> float:
    """The total from which `ratio_error` is no more than `error`.

    Parameters
    ----------
    error : share of the ratio
    ratio : parts by weight (A, B)
    readability, repeatability : kg

    Returns
    -------
    kg

    Examples
    --------
    >>> round(batch_for_error(0.02, ratio=(1.0, 1.0), readability=1e-4, repeatability=1e-4), 4)
    0.05
    """
    _positive(error=error)
    a, b = split(1.0, ratio=ratio)
    return ratio_error(a, b, readability=readability, repeatability=repeatability) / error


def stop_figures(a: float, b: float, *, readability: float) -> tuple[float, float]:
    """What the scale shows when to stop: A alone, then A and B in one vessel.

    Parameters
    ----------
    a, b : kg
    readability : kg

    Returns
    -------
    (kg, kg), each the nearest figure that the scale can show

    Examples
    --------
    >>> [round(figure, 4) for figure in stop_figures(0.06337, 0.06337, readability=1e-4)]
    [0.0634, 0.1267]
    """
    _positive(readability=readability)
    return round(a / readability) * readability, round((a + b) / readability) * readability


def correct_b(poured_a: float, *, ratio: tuple[float, float]) -> float:
    """The mass of B that suits the A really poured.

    Parameters
    ----------
    poured_a : kg
    ratio : parts by weight (A, B)

    Returns
    -------
    kg

    References
    ----------
    trade-correct-second

    Examples
    --------
    >>> round(correct_b(0.0653, ratio=(100.0, 90.0)), 5)
    0.05877
    """
    _positive(poured_a=poured_a, parts_a=ratio[0], parts_b=ratio[1])
    return poured_a * (ratio[1] / ratio[0])


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not (value > 0 and math.isfinite(value)):
            raise ValueError(f"{name.replace('_', ' ')} must be more than nothing, not {value!r}")
