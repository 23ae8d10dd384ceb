"""How long a mix can be worked, how long the work takes, and how long a cure lasts in this room. SI units.

The minutes of a person's hands are judgement: replace them with your own from the logbook.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

SHEET_TEMPERATURE = 296.15  # K, at which sheets give pot life and demould time
KELVIN_TO_HALVE = 10.0  # K warmer that halve pot life
USABLE_SHARE = 2 / 3  # of pot life; in the last third the mix is too thick to fill a mould (judgement)
IN_POT_SHARE = 1 / 3  # of pot life, before which a mould should be under pressure
SHEET_MASS = 0.100  # kg, for which pot life is usually given

MIXING = 150.0  # s to mix, scrape the sides and mix again in a second clean cup: 2 to 3 minutes
CLOSING = 60.0  # s to close, clamp and set down one mould
STREAM = {"resin": 1.0e-6, "silicone": 1.7e-6}  # m3/s of a thin stream into a mould


@dataclass(frozen=True, kw_only=True)
class PourClock:
    """Seconds from the moment A and B touch: what may be used, what the work needs, `spare` between them."""

    pot_life: float
    allowed: float
    needed: float
    in_pot_by: float

    @property
    def spare(self) -> float:
        """Left for degassing and mishaps; negative when the mix is too fast."""
        return self.allowed - self.needed

    @property
    def too_fast(self) -> bool:
        """The mix thickens before the work is done."""
        return self.spare < 0


def warmth_factor(temperature: float, *, sheet_temperature: float = SHEET_TEMPERATURE) -> float:
    """By what a time of the sheet is multiplied in this room: 2 where it is 10 °C colder, a half where warmer.

    Parameters
    ----------
    temperature : K
    sheet_temperature : K
        At which the sheet gives the time.

    Returns
    -------
    1

    Notes
    -----
    Holds from about 10 to 40 °C.

    References
    ----------
    trade-pot-life-warmth

    Examples
    --------
    >>> round(warmth_factor(301.15), 2)
    0.71
    """
    return float(2.0 ** ((sheet_temperature - temperature) / KELVIN_TO_HALVE))


def pour_time(volume: float, *, liquid: str) -> float:
    """Time to pour in a thin stream.

    Parameters
    ----------
    volume : m3
    liquid : "resin" or "silicone"

    Returns
    -------
    s

    Examples
    --------
    >>> round(pour_time(60e-6, liquid="resin"))
    60
    """
    return volume / STREAM[liquid]


def pour_clock(
    *,
    pot_life: float,
    temperature: float,
    volume: float,
    liquid: str,
    closings: int = 0,
    sheet_temperature: float = SHEET_TEMPERATURE,
) -> PourClock:
    """What the clock allows and what the work needs.

    Parameters
    ----------
    pot_life : s, of the sheet, at `sheet_temperature`
    temperature : K, of room and material
    volume : m3, to pour
    liquid : "resin" or "silicone"
    closings : moulds to close before the mix thickens
    sheet_temperature : K

    Returns
    -------
    PourClock, s

    References
    ----------
    trade-pot-life-warmth, trade-hands, trade-in-pot

    Examples
    --------
    >>> clock = pour_clock(pot_life=900.0, temperature=296.15, volume=60e-6, liquid="resin", closings=1)
    >>> round(clock.allowed), round(clock.needed), clock.too_fast
    (600, 270, False)
    """
    here = pot_life * warmth_factor(temperature, sheet_temperature=sheet_temperature)
    return PourClock(
        pot_life=here,
        allowed=USABLE_SHARE * here,
        needed=MIXING + pour_time(volume, liquid=liquid) + CLOSING * closings,
        in_pot_by=IN_POT_SHARE * here,
    )


def mixes_to_keep_up(clock: PourClock, *, volume: float, liquid: str) -> int | None:
    """Into how many equal mixes to split the pour so that each is in time; None when no split is enough.

    Parameters
    ----------
    clock : of the whole in one mix
    volume : m3
    liquid : "resin" or "silicone"

    Examples
    --------
    >>> clock = pour_clock(pot_life=450.0, temperature=296.15, volume=300e-6, liquid="resin", closings=1)
    >>> mixes_to_keep_up(clock, volume=300e-6, liquid="resin")
    4
    """
    pouring = pour_time(volume, liquid=liquid)
    left_to_pour = clock.allowed - (clock.needed - pouring)
    return max(1, math.ceil(pouring / left_to_pour - 1e-9)) if left_to_pour > 0 else None


def temperature_to_keep_up(clock: PourClock, *, temperature: float) -> float:
    """The room and material temperature at which the work is just in time.

    Parameters
    ----------
    clock : at `temperature`
    temperature : K

    Returns
    -------
    K

    Examples
    --------
    >>> clock = pour_clock(pot_life=300.0, temperature=296.15, volume=60e-6, liquid="resin", closings=1)
    >>> round(temperature_to_keep_up(clock, temperature=296.15) - 273.15, 1)
    18.7
    """
    return temperature - KELVIN_TO_HALVE * math.log2(clock.needed / clock.allowed)
