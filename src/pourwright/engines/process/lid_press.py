"""Pressing on a silicone lid: how far it gives, what volume it pushes out, how fast that flows back. SI units."""

from __future__ import annotations

import math

from pourwright.engines.process.mould_physics import above_zero

SILICONE_POISSON = 0.5  # rubber keeps its volume
SHEAR_SHARE = 5.0 / 6.0  # of a solid plate
SUPPORTED = (5.0 + SILICONE_POISSON) / (1.0 + SILICONE_POISSON)  # times the bend of a clamped lid, if only laid on


def lid_bend(*, force: float, radius: float, thickness: float, modulus: float) -> tuple[float, float]:
    """How far the middle of a round lid, held all round, bends under a load spread over it; and the volume of that bow.

    Parameters
    ----------
    force : N
    radius : m
        Of the free lid, to where it is held.
    thickness : m
    modulus : Pa
        Of the silicone.

    Returns
    -------
    m, m3
        By bending alone; a lid that is only laid on bends `SUPPORTED` times as much.

    Notes
    -----
    Holds while the whole deflection, with that of `lid_shear`, stays below half the thickness.

    References
    ----------
    plates

    Examples
    --------
    >>> bend, bow = lid_bend(force=50.0, radius=30e-3, thickness=10e-3, modulus=0.73e6)
    >>> round(bend * 1e3, 2), round(bow * 1e6, 2)  # mm, mL
    (2.76, 2.6)
    """
    above_zero(radius=radius, thickness=thickness, modulus=modulus)
    load = force / (math.pi * radius**2)
    stiffness = modulus * thickness**3 / (12.0 * (1.0 - SILICONE_POISSON**2))
    return load * radius**4 / (64.0 * stiffness), math.pi * load * radius**6 / (192.0 * stiffness)


def lid_shear(*, force: float, radius: float, thickness: float, modulus: float) -> tuple[float, float]:
    """What shear adds to the bend of a thick lid, and to the volume of its bow.

    Parameters
    ----------
    force : N
    radius : m
    thickness : m
    modulus : Pa
        Young's; the shear modulus of rubber is a third of it.

    Returns
    -------
    m, m3

    References
    ----------
    plates

    Examples
    --------
    >>> bend, bow = lid_shear(force=50.0, radius=30e-3, thickness=10e-3, modulus=0.73e6)
    >>> round(bend * 1e3, 2), round(bow * 1e6, 2)  # mm, mL
    (1.96, 2.77)
    """
    above_zero(radius=radius, thickness=thickness, modulus=modulus)
    load, shear = force / (math.pi * radius**2), modulus / 3.0
    flexible = SHEAR_SHARE * shear * thickness
    return load * radius**2 / (4.0 * flexible), math.pi * load * radius**4 / (8.0 * flexible)


def refill_time(*, viscosity: float, length: float, radius: float, vents: int, volume: float, load: float) -> float:
    """Time in which a lid that was pressed draws resin back through its vents, once it is let go.

    Parameters
    ----------
    viscosity : Pa.s
        Of the mixed resin.
    length : m
        Of a vent.
    radius : m
    vents : -
        Open ones over the cavity.
    volume : m3
        Of the bow.
    load : Pa
        That made the bow.

    Returns
    -------
    s
        In which all but a third has come back. No suction is greater than the air's pressure.

    References
    ----------
    laminar-flow

    Examples
    --------
    >>> load = 50.0 / (math.pi * 30e-3**2)
    >>> round(refill_time(viscosity=1.0, length=15e-3, radius=1.5e-3, vents=1, volume=5.37e-6, load=load), 1)
    2.3
    """
    above_zero(radius=radius, vents=vents, load=load)
    return 8.0 * viscosity * length / (math.pi * radius**4 * vents) * volume / load
