"""Air pressure at an altitude, and what a gauge pressure means there."""

from __future__ import annotations

from pourwright.basics.errors import InputError

SEA_LEVEL = 101_325.0
_TEMPERATURE = 288.15
_LAPSE = 0.0065
_EXPONENT = 5.25588


def ambient_pressure(altitude: float) -> float:
    """Air pressure of the standard atmosphere.

    Parameters
    ----------
    altitude : m
        From -500 to 11 000.

    Returns
    -------
    Pa, absolute

    Raises
    ------
    InputError
        Outside the range.

    References
    ----------
    ISO2533

    Examples
    --------
    >>> round(ambient_pressure(1000.0))
    89875
    """
    if not -500.0 <= altitude <= 11_000.0:
        raise InputError(
            f"an altitude of {altitude:g} m", advice="give one from -500 m to 11000 m", value=f"{altitude:g} m"
        )
    return float(SEA_LEVEL * (1.0 - _LAPSE * altitude / _TEMPERATURE) ** _EXPONENT)


def pressure_ratio(*, gauge: float, altitude: float) -> float:
    """Absolute pressure in the pot over the air pressure outside it.

    Parameters
    ----------
    gauge : Pa
    altitude : m

    Examples
    --------
    >>> round(pressure_ratio(gauge=310264.0, altitude=0.0), 3)
    4.062
    """
    ambient = ambient_pressure(altitude)
    return (ambient + gauge) / ambient
