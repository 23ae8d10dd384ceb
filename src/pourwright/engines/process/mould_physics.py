"""Forces, leaks and volumes at a silicone mould: float, wells, seams, bulging walls, pressing the lid. SI units."""

from __future__ import annotations

import math

from pourwright.basics.errors import InputError

GRAVITY = 9.80665  # m/s2, standard
PRINT_DENSITY = 1240.0  # kg/m3, of printed plastic without hollows (from memory)
PRINT_LEAST_SHARE = 0.4  # of a small sparse print that is plastic all the same: its walls and faces (judgement)
PRINT_MODULUS = 2.5e9  # Pa, of a printed wall (from memory)

WELL_OVERFILL = 0.05  # of the part, so that a full well can be seen
MOST_OVERFILL = 0.15  # of the part; more is waste
ENTRAINED_GAS = 0.03  # of the part, unless measured (judgement)
FLOAT_RESERVE = 5.0  # the screw or bar alone must hold this many times the float force (judgement)
MOST_LEAK = 1e-6 / 3600  # m3/s, 1 mL an hour for all seams of a pour
RIBS_FROM_BULGE = 0.2e-3  # m, above which a wall wants ribs


def above_zero(**values: float) -> None:
    """Refuse the first of the named values that is not above zero."""
    for name, value in values.items():
        if not value > 0.0:
            words = name.replace("_", " ")
            raise InputError(f"{words} is {value:g}", advice="it must be above zero", value=f"{value:g}")


# ---------------------------------------------------------------- float


def float_force(*, liquid_density: float, displaced_volume: float, mass: float, gravity: float = GRAVITY) -> float:
    """Force with which a piece wants to rise in the silicone that is poured round it; below zero it sinks.

    Parameters
    ----------
    liquid_density : kg/m3
    displaced_volume : m3
        Liquid that the piece pushes away when the pour is full.
    mass : kg
        Of the piece as printed, infill and all.
    gravity : m/s2

    Returns
    -------
    N

    References
    ----------
    Archimedes

    Examples
    --------
    >>> round(float_force(liquid_density=1100.0, displaced_volume=3183.4806e-9, mass=0.5 * 2949.9882e-6), 6)
    0.019876
    """
    return (liquid_density * displaced_volume - mass) * gravity


def sealed_foot_force(
    *, liquid_density: float, depth: float, foot_area: float, displaced_volume: float, gravity: float = GRAVITY
) -> float:
    """Force of the liquid alone that presses a piece down while its foot is sealed; below zero it lifts.

    Never lean on it: when silicone creeps under the foot it is gone.

    Parameters
    ----------
    liquid_density : kg/m3
    depth : m
        Of liquid above the foot.
    foot_area : m2
    displaced_volume : m3
    gravity : m/s2

    Returns
    -------
    N

    References
    ----------
    Archimedes

    Examples
    --------
    >>> area = math.pi * 12e-3**2
    >>> round(sealed_foot_force(liquid_density=1100.0, depth=0.02, foot_area=area, displaced_volume=3183.4806e-9), 6)
    0.06326
    """
    return liquid_density * gravity * (depth * foot_area - displaced_volume)


# ---------------------------------------------------------------- overflow wells


def wells_needed(
    *,
    part_volume: float,
    pressure_ratio: float,
    overfill: float = WELL_OVERFILL,
    entrained_gas: float = ENTRAINED_GAS,
    trapped_volume: float = 0.0,
) -> float:
    """Volume of overflow wells that feeds a cavity back when pressure shrinks the gas in it.

    Parameters
    ----------
    part_volume : m3
        Of one cell, or of all cells that share the wells.
    pressure_ratio : -, at least 1
        Absolute pressure during the cure over the air pressure while pouring.
    overfill : -, 0 to 0.15
    entrained_gas : -, 0 to 1
        Share of the part's volume that is bubbles when the mould is closed.
    trapped_volume : m3
        Air caught by the cavity's shape, at the worst tilt.

    Returns
    -------
    m3

    Raises
    ------
    InputError
        A pressure below that of the air.

    References
    ----------
    wells-judgement

    Examples
    --------
    >>> round(wells_needed(part_volume=4738.749939e-9, pressure_ratio=4.062068) * 1e9, 3)
    344.102
    """
    if pressure_ratio < 1.0:
        raise InputError(f"a pressure ratio of {pressure_ratio:g}", advice="give absolute over ambient, at least 1")
    shrinks = 1.0 - 1.0 / pressure_ratio
    return part_volume * (overfill + entrained_gas * shrinks) + trapped_volume * shrinks


def feed_back_time(*, viscosity: float, length: float, volume: float, radius: float, pressure: float) -> float:
    """Time in which a volume flows back through a round vent under a pressure difference.

    Parameters
    ----------
    viscosity : Pa.s
        Of the mixed resin at that moment.
    length : m
        Of the vent.
    volume : m3
    radius : m
    pressure : Pa

    Returns
    -------
    s

    Notes
    -----
    Slow flow of a liquid whose viscosity does not change; it fails where the vent gels first.

    References
    ----------
    laminar-flow

    Examples
    --------
    >>> round(feed_back_time(viscosity=1.5, length=9e-3, volume=0.1e-6, radius=1.5e-3, pressure=310e3), 4)
    0.0022
    """
    above_zero(radius=radius, pressure=pressure)
    return 8.0 * viscosity * length * volume / (math.pi * radius**4 * pressure)


# ---------------------------------------------------------------- seams and walls


def seam_leak(
    *,
    viscosity: float,
    liquid_density: float,
    depth: float,
    width: float,
    gap: float,
    path: float,
    gravity: float = GRAVITY,
) -> float:
    """Liquid lost through an upright seam between two printed pieces, as a flow.

    Parameters
    ----------
    viscosity : Pa.s
    liquid_density : kg/m3
    depth : m
        Of the liquid; half of its head drives the flow on average.
    width : m
        Length of seam that the liquid stands against, usually the depth.
    gap : m
    path : m
        Way through the seam, from the liquid to the air.
    gravity : m/s2

    Returns
    -------
    m3/s

    Notes
    -----
    Slow flow between plane walls. Another liquid at the same head passes in proportion to density over viscosity.

    References
    ----------
    laminar-flow

    Examples
    --------
    >>> seam = dict(viscosity=10.0, liquid_density=1100.0, depth=0.036, width=0.036, path=0.006)
    >>> round(seam_leak(gap=0.2e-3, **seam) * 3600e6, 5)  # mL an hour
    0.27961
    """
    above_zero(viscosity=viscosity, path=path)
    driving = 0.5 * liquid_density * gravity * depth
    return driving * gap**3 * width / (12.0 * viscosity * path)


def wall_bulge(
    *,
    liquid_density: float,
    depth: float,
    free_length: float,
    thickness: float,
    modulus: float = PRINT_MODULUS,
    gravity: float = GRAVITY,
) -> float:
    """Most that a flat wall can bow out under the liquid that stands against it.

    Parameters
    ----------
    liquid_density : kg/m3
    depth : m
        Of the liquid.
    free_length : m
        Between the corners that hold the wall.
    thickness : m
    modulus : Pa
        Of the wall.
    gravity : m/s2

    Returns
    -------
    m

    Notes
    -----
    A beam on two supports under the pressure at the floor: an upper bound, since base and corners help.

    References
    ----------
    beams

    Examples
    --------
    >>> wall = dict(liquid_density=1100.0, depth=0.036, thickness=3e-3)
    >>> round(wall_bulge(free_length=0.14, **wall) * 1e3, 2)  # mm
    0.35
    """
    above_zero(thickness=thickness, modulus=modulus)
    load = liquid_density * gravity * depth
    return 5.0 * load * free_length**4 / (384.0 * modulus * thickness**3 / 12.0)


def ribbed_thickness(*, thickness: float, rib_depth: float, rib_height: float, spacing: float) -> float:
    r"""Thickness of a plain wall that is as stiff, lengthwise, as one with ribs along it.

    Parameters
    ----------
    thickness : m
        Of the wall between its ribs.
    rib_depth : m
        How far a rib stands out of the wall.
    rib_height : m
        Of one rib, across its length.
    spacing : m
        From rib to rib.

    Returns
    -------
    m

    Notes
    -----
    Wall and rib bend as one about the middle of their common section (parallel axes); the plain wall has the same
    second moment of area for each spacing: :math:`I = s t^3 / 12`.

    References
    ----------
    beams

    Examples
    --------
    >>> round(ribbed_thickness(thickness=6e-3, rib_depth=10e-3, rib_height=5e-3, spacing=25e-3) * 1e3, 2)  # mm
    11.62
    """
    above_zero(thickness=thickness, rib_depth=rib_depth, rib_height=rib_height, spacing=spacing)
    wall, rib = spacing * thickness, rib_height * rib_depth
    wall_at, rib_at = thickness / 2.0, thickness + rib_depth / 2.0
    middle = (wall * wall_at + rib * rib_at) / (wall + rib)
    second_moment = spacing * thickness**3 / 12.0 + wall * (middle - wall_at) ** 2
    second_moment += rib_height * rib_depth**3 / 12.0 + rib * (rib_at - middle) ** 2
    return (12.0 * second_moment / spacing) ** (1.0 / 3.0)


# ---------------------------------------------------------------- closing


def press_force(*, squeeze: float, modulus: float, area: float, thickness: float) -> float:
    """Least force that a press board needs to squeeze a silicone mould by a set way.

    Parameters
    ----------
    squeeze : m
        Set by the hard stops.
    modulus : Pa
        Of the silicone.
    area : m2
        Of the mould, seen from above.
    thickness : m
        Of both halves together.

    Returns
    -------
    N

    Notes
    -----
    Free sides; silicone held by walls is stiffer, so that this is a lower bound.

    References
    ----------
    beams

    Examples
    --------
    >>> round(press_force(squeeze=0.1e-3, modulus=0.73e6, area=60e-3 * 52e-3, thickness=38e-3), 4)
    5.9937
    """
    above_zero(thickness=thickness)
    return modulus * squeeze * area / thickness
