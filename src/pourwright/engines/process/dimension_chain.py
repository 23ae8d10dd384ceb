"""From the size wanted to the size of the cast, link by link, each with what it shifts and how unsure it is."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pourwright.basics.errors import InputError
from pourwright.engines.process.uncertainty import (
    COVERAGE,
    Spread,
    combined,
    coverage_factor,
    effective_freedom,
    standard_uncertainty,
)


@dataclass(frozen=True, kw_only=True)
class Link:
    """One step on the way: size after = gain · size before + offset.

    `gain_spread` and `offset_spread` (m) say how far off gain and offset can be, as `shape` has it: the largest
    miss for "even" and "triangular", one standard deviation for "normal"; `freedom` are its degrees of freedom.
    """

    name: str
    gain: float = 1.0
    offset: float = 0.0
    gain_spread: float = 0.0
    offset_spread: float = 0.0
    shape: Spread = "even"
    freedom: float = math.inf


@dataclass(frozen=True, kw_only=True)
class ChainEnd:
    """The size at the end of a chain, m: best value, standard uncertainty, half the width of the band.

    `shifts` is what each link adds (m): their sum is the best size less the size at the start. `shares` is how
    much of the variance each link causes: their sum is 1, or 0 where nothing is unsure. `gain` is that of all
    links together.
    """

    best: float
    deviation: float
    half_band: float
    shifts: Mapping[str, float]
    shares: Mapping[str, float]
    gain: float


def run_chain(size: float, links: Sequence[Link], *, coverage: float = COVERAGE) -> ChainEnd:
    """Follow a size through its links and add up what is unsure.

    Parameters
    ----------
    size : m
        At the start, without uncertainty.
    links : in the order of the work; names differ.
    coverage : share
        That the band is to cover.

    Returns
    -------
    ChainEnd

    Raises
    ------
    InputError
        Two links of one name, or a gain that is not above zero.

    Notes
    -----
    Uncertainties add as root of the sum of squares, each times the gain of all later links. The band is
    Student's t with the effective degrees of freedom times that, and never wider than the sum of all largest
    misses, where these are known.

    References
    ----------
    GUM2008

    Examples
    --------
    >>> end = run_chain(0.028, [Link(name="print", offset_spread=2e-4), Link(name="shrink", gain=0.997)])
    >>> round(end.best * 1e3, 3), round(end.half_band * 1e3, 3), end.shares["print"]
    (27.916, 0.199, 1.0)
    """
    _check(links)
    shifts: dict[str, float] = {}
    before, deviations, worst = size, [], []
    after = [math.prod(link.gain for link in links[n + 1 :]) for n in range(len(links))]
    for link, later in zip(links, after, strict=True):
        misses = (link.gain_spread * before * later, link.offset_spread * later)
        deviations.append(combined([standard_uncertainty(miss, link.shape) for miss in misses]))
        worst.append(math.inf if link.shape == "normal" and any(misses) else sum(map(abs, misses)))
        reached = link.gain * before + link.offset
        shifts[link.name] = reached - before
        before = reached
    deviation = combined(deviations)
    freedom = effective_freedom(deviations, [link.freedom for link in links])
    wide = 0.0 if deviation == 0.0 else coverage_factor(freedom, coverage) * deviation
    return ChainEnd(
        best=before,
        deviation=deviation,
        half_band=min(wide, math.fsum(worst)),
        shifts=shifts,
        shares={
            link.name: (part / deviation) ** 2 if deviation > 0.0 else 0.0
            for link, part in zip(links, deviations, strict=True)
        },
        gain=math.prod(link.gain for link in links),
    )


def _check(links: Sequence[Link]) -> None:
    names = [link.name for link in links]
    if len(set(names)) < len(names):
        raise InputError(f"two links of one name among {', '.join(names)}", advice="name each link once")
    for link in links:
        if not link.gain > 0.0:
            raise InputError(f"the link {link.name!r} multiplies by {link.gain:g}", advice="a gain is near 1")


# ---------------------------------------------------------------- shrink and warmth


def linear_shrinkage(
    *, chemical: float, share_after_gel: float, volume_expansion: float, gel_temperature: float, room: float
) -> float:
    """Shrink of a length from gel to room temperature, free to shrink.

    Parameters
    ----------
    chemical : share
        Loss of volume by the reaction.
    share_after_gel : share
        Of that loss which comes after gel; before gel the liquid flows after.
    volume_expansion : 1/K
        Three times the linear expansion.
    gel_temperature, room : K

    Returns
    -------
    share of the length

    References
    ----------
    shrink-after-gel

    Examples
    --------
    >>> case = dict(share_after_gel=0.4, volume_expansion=5e-4, gel_temperature=316.15, room=296.15)
    >>> round(linear_shrinkage(chemical=0.03, **case), 5)
    0.00739
    """
    volume = chemical * share_after_gel + volume_expansion * (gel_temperature - room)
    if not volume < 1.0:
        raise InputError(f"a shrink of {volume:g} of the volume", advice="give shares and kelvins")
    return float(1.0 - (1.0 - volume) ** (1.0 / 3.0))


def pattern_scale(*shrinks: float) -> float:
    """How much larger than the part the pattern is made, so that after every shrink the part comes out right.

    Parameters
    ----------
    *shrinks : share
        Of the length, one for each step.

    Returns
    -------
    1

    References
    ----------
    shrink-after-gel

    Examples
    --------
    >>> round(pattern_scale(0.00739), 5)
    1.00745
    """
    return 1.0 / math.prod(1.0 - shrink for shrink in shrinks)


def warm_mould_gain(
    *, mould_expansion: float, part_expansion: float, mould_warmth: float, measured_warmth: float = 0.0
) -> float:
    """How much larger a part is for a mould that is not at room temperature when the part sets in it.

    Parameters
    ----------
    mould_expansion, part_expansion : 1/K
        Linear.
    mould_warmth : K
        Mould and setting part above the room in which the mould was made.
    measured_warmth : K
        Where the part is measured, above that room.

    Returns
    -------
    1

    Notes
    -----
    The cavity widens with the mould; the part cools from the mould's warmth to where it is measured.

    References
    ----------
    thermal-size

    Examples
    --------
    >>> round(warm_mould_gain(mould_expansion=250e-6, part_expansion=185e-6, mould_warmth=20.0), 5)
    1.00128
    """
    cavity = 1.0 + mould_expansion * mould_warmth
    return cavity * (1.0 - part_expansion * (mould_warmth - measured_warmth))


def squeezed_by(*, squeeze: float, size: float, thickness: float) -> float:
    """How much lower a cavity stands when the whole mould is pressed down by hard stops.

    Parameters
    ----------
    squeeze : m
        Set by the stops, of the whole mould.
    size : m
        Of the cavity, in the direction of the press.
    thickness : m
        Of the whole mould; above 0.

    Returns
    -------
    m

    References
    ----------
    beams

    Examples
    --------
    >>> round(squeezed_by(squeeze=0.1e-3, size=26e-3, thickness=42e-3) * 1e3, 3)
    0.062
    """
    if not thickness > 0.0:
        raise InputError(f"a mould {thickness:g} m thick", advice="give its thickness")
    return squeeze * size / thickness
