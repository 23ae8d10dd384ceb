"""When parts could be in hand, counted from the first silicone pour with the pieces printed."""

from __future__ import annotations

from pourwright.basics.quantities import show
from pourwright.domain.estimate import Estimate
from pourwright.domain.material import Material
from pourwright.engines.process.pour_clock import warmth_factor

# A person's hands, s (judgement; the logbook knows better).
SILICONE_POUR = 45 * 60.0  # set up, release, weigh, mix, pour
OPEN_MOULD = 30 * 60.0  # turn over or strip the walls, take patterns out
CASTING = 45 * 60.0  # make ready, weigh, mix, pour, close
FINISHING = 10 * 60.0  # demould and trim one part

TIN_REST = 48 * 3600.0  # before urethane goes into a fresh tin-cured mould: "some days", read as two


def time_to_parts(
    *, resin: Material, silicone: Material, has_lid: bool, cavities: int, temperature: float
) -> tuple[Estimate, str]:
    """Seconds from the first silicone pour to trimmed parts, and in words what was counted.

    Parameters
    ----------
    resin, silicone : for their demould times at 23 °C
    has_lid : two silicone pours instead of one
    cavities : parts of one cast
    temperature : K, of the room
        Curing is taken to slow down and speed up with it as pot life does.

    References
    ----------
    trade-pot-life-warmth, trade-hands
    """
    pours = 2 if has_lid else 1
    warmth = warmth_factor(temperature)
    hands = pours * (SILICONE_POUR + OPEN_MOULD) + CASTING + cavities * FINISHING
    rest = TIN_REST if silicone.kind == "tin silicone" and resin.kind == "urethane" else 0.0
    mould, part = silicone.facts["demould_time"].estimate, resin.facts["demould_time"].estimate
    low, best, high = (
        warmth * (pours * in_mould + of_part) + rest + hands
        for in_mould, of_part in ((mould.low, part.low), (mould.best, part.best), (mould.high, part.high))
    )
    by_class = "class default" in (mould.rests_on, part.rests_on)
    words = (
        f"{pours} silicone cure{'s' if pours > 1 else ''} of {_hours(mould.best * warmth)}, "
        + (f"{_hours(rest)} rest of the mould, " if rest else "")
        + f"{_hours(part.best * warmth)} for the cast to leave the mould and {_hours(hands)} of hands; "
        "printing, nights and post-cure not counted"
    )
    return Estimate(low=low, best=best, high=high, rests_on="class default" if by_class else "data sheet"), words


def _hours(seconds: float) -> str:
    return show(seconds, "time", "h", digits=2)
