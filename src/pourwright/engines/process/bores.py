"""Bores: does the silicone core in the bore bend, buckle or tear, and does poured silicone bridge it? SI units."""

from __future__ import annotations

import math

from pourwright.basics.errors import InputError
from pourwright.engines.process.mould_physics import GRAVITY, above_zero

SILICONE_TENSION = 0.021  # N/m, surface tension of uncured silicone (from memory)
STRAIGHT_ENOUGH = 0.02  # of its diameter a soft core may bend
TIP_CONE_FACTOR = 8.2  # by which a cone that holds the tip raises the buckling force
SLUG_SHARE = 0.25  # of the pot life within which a bridged bore must fill (judgement)


def one_sided_bend(
    *, density: float, length: float, diameter: float, modulus: float, gravity: float = GRAVITY
) -> float:
    """How far the tip of a silicone core moves when resin stands on one side of it only, up to its tip.

    Parameters
    ----------
    density : kg/m3
        Of the resin.
    length : m
        Of the core, fixed at the floor.
    diameter : m
    modulus : Pa
        Of the silicone.
    gravity : m/s2

    Returns
    -------
    m

    Notes
    -----
    A beam fixed at one end under a load that falls from the floor to the tip; small deflections. The worst case of
    a one-sided fill.

    References
    ----------
    beams

    Examples
    --------
    >>> round(one_sided_bend(density=1080.0, length=15e-3, diameter=6e-3, modulus=0.732e6) * 1e3, 3)  # mm
    0.035
    """
    above_zero(diameter=diameter, modulus=modulus)
    return 64.0 * density * gravity * length**5 / (30.0 * math.pi * modulus * diameter**3)


def sideways_sag(*, density: float, length: float, diameter: float, modulus: float, gravity: float = GRAVITY) -> float:
    """How far the tip of a core sags under its own weight when the mould lies on its side.

    Parameters
    ----------
    density : kg/m3
        Of the silicone.
    length : m
    diameter : m
    modulus : Pa
    gravity : m/s2

    Returns
    -------
    m

    References
    ----------
    beams

    Examples
    --------
    >>> round(sideways_sag(density=1100.0, length=15e-3, diameter=6e-3, modulus=0.73e6) * 1e3, 3)  # mm
    0.042
    """
    above_zero(diameter=diameter, modulus=modulus)
    return 2.0 * density * gravity * length**4 / (modulus * diameter**2)


def buckling_force(*, length: float, diameter: float, modulus: float) -> float:
    """Force of a lid on the free tip of a core at which the core gives way sideways.

    Parameters
    ----------
    length : m
    diameter : m
    modulus : Pa

    Returns
    -------
    N
        A tip held by a cone in the lid bears `TIP_CONE_FACTOR` times as much.

    References
    ----------
    beams

    Examples
    --------
    >>> round(buckling_force(length=15e-3, diameter=9.5e-3, modulus=0.73e6), 1)
    3.2
    """
    above_zero(length=length)
    return math.pi**2 * modulus * (math.pi * diameter**4 / 64.0) / (4.0 * length**2)


def neck_stretch(*, wide_area: float, neck_area: float) -> float:
    """How far a core must stretch lengthwise so that its wide end passes a neck of the part.

    Parameters
    ----------
    wide_area : m2
    neck_area : m2

    Returns
    -------
    -, length over length; 1 where nothing is in the way

    Notes
    -----
    Rubber keeps its volume, so it thins as it stretches. At most 1 + a third of the elongation at break.

    Examples
    --------
    >>> round(neck_stretch(wide_area=8.0**2, neck_area=6.0**2), 4)  # 8 mm bulb, 6 mm neck: the ratio counts
    1.7778
    """
    above_zero(neck_area=neck_area)
    return max(1.0, wide_area / neck_area)


# ---------------------------------------------------------------- a bore that poured silicone has bridged


def open_slug_time(
    *, viscosity: float, density: float, length: float, diameter: float, gravity: float = GRAVITY
) -> float:
    """Time in which silicone that has bridged a bore falls to its floor, when the air below can leave.

    Parameters
    ----------
    viscosity : Pa.s
    density : kg/m3
    length : m
        Of the bore.
    diameter : m
    gravity : m/s2

    Returns
    -------
    s

    Notes
    -----
    Slow flow in a tube under its own weight.

    References
    ----------
    laminar-flow

    Examples
    --------
    >>> round(open_slug_time(viscosity=10.0, density=1100.0, length=15e-3, diameter=9.5e-3), 4)
    4.9304
    """
    above_zero(diameter=diameter)
    return 32.0 * viscosity * length / (density * gravity * diameter**2)


def blind_slug_time(
    *,
    viscosity: float,
    density: float,
    length: float,
    diameter: float,
    surface_tension: float = SILICONE_TENSION,
    gravity: float = GRAVITY,
) -> float:
    """Time in which the air below a bridged blind bore rises through the silicone as one long bubble.

    Parameters
    ----------
    viscosity : Pa.s
    density : kg/m3
    length : m
        Of the bore.
    diameter : m
    surface_tension : N/m
    gravity : m/s2

    Returns
    -------
    s
        Infinite below the least diameter: the bubble sticks.

    Raises
    ------
    InputError
        So thin and wide that the formula no longer holds (buoyancy Reynolds number of 10 and more).

    Notes
    -----
    Fitted to data up to 3.9 Pa.s; above that it is extrapolated.

    References
    ----------
    Viana2003, Bretherton1961

    Examples
    --------
    >>> round(blind_slug_time(viscosity=10.0, density=1100.0, length=15e-3, diameter=6e-3), 3)
    102.335
    """
    above_zero(viscosity=viscosity, diameter=diameter, surface_tension=surface_tension)
    if diameter < least_open_bore(density=density, surface_tension=surface_tension, gravity=gravity):
        return math.inf
    reynolds = density * math.sqrt(gravity * diameter**3) / viscosity
    if reynolds >= 10.0:
        raise InputError(
            f"a liquid of {viscosity:g} Pa.s in a bore of {diameter * 1e3:g} mm flows too fast for this formula",
            advice="such a bore fills at once",
        )
    eotvos = density * gravity * diameter**2 / surface_tension
    froude = 9.494e-3 * reynolds**1.026 / (1.0 + 6197.0 / eotvos**2.561) ** 0.5793
    return length / (math.sqrt(gravity * diameter) * froude)


def least_open_bore(*, density: float, surface_tension: float = SILICONE_TENSION, gravity: float = GRAVITY) -> float:
    """The narrowest upright blind bore out of which a bubble still rises by itself.

    Parameters
    ----------
    density : kg/m3
    surface_tension : N/m
    gravity : m/s2

    Returns
    -------
    m, diameter

    References
    ----------
    Bretherton1961

    Examples
    --------
    >>> round(least_open_bore(density=1100.0) * 1e3, 4)  # mm
    2.5606
    """
    return 2.0 * math.sqrt(0.842 * surface_tension / (density * gravity))
