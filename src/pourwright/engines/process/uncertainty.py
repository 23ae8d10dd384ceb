"""How sure a number is: standard uncertainties, their sum, the band for 19 in 20, and repeated readings."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pourwright.basics.errors import InputError
from pourwright.basics.need import need

Spread = Literal["even", "triangular", "normal"]

COVERAGE = 0.95  # of a band, unless said otherwise: 19 in 20
_DIVISOR: dict[str, float] = {"even": math.sqrt(3.0), "triangular": math.sqrt(6.0), "normal": 1.0}
_SCALED_MAD = 1.4826  # median distance from the median to a standard deviation, for normal readings
_FAR = 3.5


def standard_uncertainty(spread: float, shape: Spread = "even") -> float:
    """One standard deviation of what is known only by how far off it can be.

    Parameters
    ----------
    spread : same unit as the result
        Largest miss to either side for "even" (every value as likely) and "triangular" (the middle likeliest);
        one standard deviation for "normal".
    shape : how values are spread.

    Returns
    -------
    in the unit of `spread`

    References
    ----------
    GUM2008

    Examples
    --------
    >>> round(standard_uncertainty(0.2), 4), round(standard_uncertainty(0.2, "triangular"), 4)
    (0.1155, 0.0816)
    """
    return abs(spread) / _DIVISOR[shape]


def combined(parts: Sequence[float]) -> float:
    """The standard uncertainty of a sum of things that do not depend on each other.

    Parameters
    ----------
    parts : any unit, (n,)
        Standard uncertainties, each already times how strongly the sum follows it.

    Returns
    -------
    in the unit of `parts`

    References
    ----------
    GUM2008

    Examples
    --------
    >>> round(combined([25.0, 9.7, 2.9, 16.6]))  # nm, the guide's end gauge
    32
    """
    return math.hypot(*parts)


def effective_freedom(parts: Sequence[float], freedoms: Sequence[float]) -> float:
    """Degrees of freedom of a combined uncertainty (Welch and Satterthwaite).

    Parameters
    ----------
    parts : any unit, (n,)
        Standard uncertainties.
    freedoms : 1, (n,)
        Of each; infinity for a limit that is known.

    Returns
    -------
    1, infinity when every part is sure or nothing is unsure

    References
    ----------
    GUM2008

    Examples
    --------
    >>> round(effective_freedom([25.0, 9.7, 2.9, 16.6], [18, 25.6, 50, 2]), 1)
    16.8
    """
    whole = combined(parts)
    share = math.fsum(part**4 / freedom for part, freedom in zip(parts, freedoms, strict=True))
    return math.inf if share <= 0.0 else whole**4 / share


def coverage_factor(freedom: float, coverage: float = COVERAGE) -> float:
    """How many standard uncertainties reach to either side of the best value.

    Parameters
    ----------
    freedom : 1
        Above 0; infinity for the normal distribution.
    coverage : share
        Between 0 and 1.

    Returns
    -------
    1, Student's t

    Raises
    ------
    InputError
        No freedom, or a coverage that is none.

    References
    ----------
    GUM2008

    Examples
    --------
    >>> round(coverage_factor(16, 0.99), 2), round(coverage_factor(float("inf")), 2)
    (2.92, 1.96)
    """
    if not freedom > 0.0 or not 0.0 < coverage < 1.0:
        raise InputError(f"a band for {coverage:g} with {freedom:g} degrees of freedom", advice="take more readings")
    if math.isinf(freedom):
        return statistics.NormalDist().inv_cdf((1.0 + coverage) / 2.0)
    return float(need("scipy.special").stdtrit(freedom, (1.0 + coverage) / 2.0))


# ---------------------------------------------------------------- readings


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What repeated readings say: best value, standard uncertainty with its degrees of freedom, and the doubtful.

    `doubtful` are places in the given readings that lie far from all others. They stay in the data, but the
    best value is then the median, which they hardly move.
    """

    best: float
    deviation: float
    freedom: float
    number: int
    doubtful: tuple[int, ...] = ()

    def half_band(self, coverage: float = COVERAGE) -> float:
        """Half the width of the band."""
        return 0.0 if self.deviation == 0.0 else coverage_factor(self.freedom, coverage) * self.deviation


def repeated(
    readings: Sequence[float], *, resolution: float = 0.0, instrument: float = 0.0, lone_spread: float = 0.0
) -> Reading:
    """The best value of repeated readings and how sure it is.

    Parameters
    ----------
    readings : any unit, (n,)
        At least one.
    resolution : same unit
        Smallest step shown; the truth lies evenly within half a step.
    instrument : same unit
        Largest error of the instrument, the same in every reading, so that repeating does not help against it.
    lone_spread : same unit
        Standard deviation of one reading by hand, taken where there is only one.

    Returns
    -------
    Reading, in the unit of `readings`

    Raises
    ------
    InputError
        No reading, or one that is no number.

    Notes
    -----
    The mean with s/√n and n - 1 degrees of freedom. With a doubtful reading, further than 3.5 scaled median
    distances (and than the resolution) from the median of four or more, the median and its 1.2533 times larger
    deviation from the scaled median distance.

    References
    ----------
    GUM2008

    Examples
    --------
    >>> found = repeated([27.60, 27.62, 27.58], resolution=0.01, instrument=0.03)
    >>> round(found.best, 3), round(found.deviation, 4)
    (27.6, 0.021)
    """
    if not readings or not all(math.isfinite(value) for value in readings):
        raise InputError("no reading of use", advice="give at least one number with its unit")
    number = len(readings)
    middle = statistics.median(readings)
    doubtful = _far(readings, middle, resolution)
    if number == 1:
        best, spread, freedom = readings[0], lone_spread, math.inf
    elif doubtful:
        typical = _SCALED_MAD * statistics.median(abs(value - middle) for value in readings)
        best, spread = middle, math.sqrt(math.pi / 2.0) * typical / math.sqrt(number)
        freedom = float(number - 1)
    else:
        best = math.fsum(readings) / number
        spread, freedom = statistics.stdev(readings) / math.sqrt(number), float(number - 1)
    parts = [spread, standard_uncertainty(resolution / 2.0), standard_uncertainty(instrument)]
    return Reading(
        best=best,
        deviation=combined(parts),
        freedom=effective_freedom(parts, [freedom, math.inf, math.inf]),
        number=number,
        doubtful=doubtful,
    )


def _far(readings: Sequence[float], middle: float, resolution: float) -> tuple[int, ...]:
    if len(readings) < 4:
        return ()
    typical = _SCALED_MAD * statistics.median(abs(value - middle) for value in readings)
    limit = _FAR * max(typical, resolution)
    if limit <= 0.0:
        return ()
    return tuple(place for place, value in enumerate(readings) if abs(value - middle) > limit * (1.0 + 1e-9))
