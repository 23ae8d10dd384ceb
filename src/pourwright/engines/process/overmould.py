"""Rubber cast around a hard core: how true it runs, how it shrinks, whether the core floats. SI units."""

from __future__ import annotations

from pourwright.basics.errors import InputError
from pourwright.engines.process.mould_physics import GRAVITY, above_zero


def run_out(*, bore_play: float, socket_play: float, span: float, height: float) -> float:
    """Largest offset of a core's axis from the cavity's, at the far end of the core.

    The core may stand half the play of its bore beside the spindle and the spindle half the play of its sockets
    beside their middle; a spindle that leans in its sockets carries the core's far end further out.

    Parameters
    ----------
    bore_play : m, at least 0
        Bore less spindle, in diameter.
    socket_play : m, at least 0
        Socket less spindle, in diameter.
    span : m
        Between the middles of the two sockets.
    height : m, at least 0
        Of the core over the middle of the span, where the lean is felt.

    Returns
    -------
    m
        Twice this is what a dial gauge shows in one turn.

    Examples
    --------
    >>> round(run_out(bore_play=0.2e-3, socket_play=0.3e-3, span=40e-3, height=10e-3), 6)
    0.000325
    """
    above_zero(span=span)
    for name, value in {"bore_play": bore_play, "socket_play": socket_play, "height": height}.items():
        if not value >= 0.0:
            raise InputError(f"{name.replace('_', ' ')} is {value:g}", advice="it must not be below zero")
    tilt = socket_play / span
    return (bore_play + socket_play) / 2 + tilt * height


def bonded_shrink(*, shrink: float, outside_radius: float, core_radius: float) -> tuple[float, float]:
    r"""How much the outside of a rubber ring comes in when it shrinks on a rigid core that it holds on to.

    Between two limits: a thin disc, whose faces are free to move along the axis, and a long roller, that cannot
    shorten at all because the core holds it from end to end.

    Parameters
    ----------
    shrink : -, linear, of free rubber, 0 to 0.1
    outside_radius : m
    core_radius : m, below the outside radius; 0 for none

    Returns
    -------
    m, thin disc; m, long roller

    Notes
    -----
    A thick ring of linear elastic rubber that keeps its volume but for the shrink, its inner face fixed, its outer
    face free: u = A r + B / r with u = 0 at the core. With plane stress (nu = 1/2)
    u(R) = s (R^2 - r^2) / R / (1 + r^2 / (3 R^2)); with no motion along the axis 1.5 s (R^2 - r^2) / R, for all three
    directions then come out of the thickness.

    References
    ----------
    thick-ring

    Examples
    --------
    >>> [round(x, 7) for x in bonded_shrink(shrink=0.005, outside_radius=20e-3, core_radius=10e-3)]
    [6.92e-05, 0.0001125]
    """
    above_zero(outside_radius=outside_radius)
    if not 0.0 <= core_radius < outside_radius or not 0.0 <= shrink <= 0.1:
        raise InputError("no ring of rubber with that shrink", advice="the core must be narrower than the outside")
    ring = shrink * (outside_radius**2 - core_radius**2) / outside_radius
    return ring / (1.0 + core_radius**2 / (3.0 * outside_radius**2)), 1.5 * ring


def held_share(*, length: float, thickness: float) -> float:
    """How near a ring of rubber on a core comes to a long roller: 0 a thin disc, 1 a roller without ends.

    Ends are free about as deep as the rubber is thick (judgement), two of them.

    Parameters
    ----------
    length : m, of the rubber on its core
    thickness : m, from core to outside

    Returns
    -------
    share

    Examples
    --------
    >>> held_share(length=20e-3, thickness=10e-3), held_share(length=180e-3, thickness=10e-3)
    (0.5, 0.9)
    """
    above_zero(length=length, thickness=thickness)
    return length / (length + 2.0 * thickness)


def end_shrink(*, shrink: float, length: float, thickness: float) -> tuple[float, float]:
    """How much shorter the outside of rubber on a core gets: least and most.

    Where the core holds it not at all; at the ends by up to 1.5 times the free shrink of what lies within one thickness
    of each end (the limit of a thin layer that is held round about but not along the axis).

    Parameters
    ----------
    shrink : -, linear, of free rubber
    length : m
    thickness : m

    Returns
    -------
    m, least; m, most

    References
    ----------
    thick-ring

    Examples
    --------
    >>> least, most = end_shrink(shrink=0.005, length=40e-3, thickness=5e-3)
    >>> least, round(most, 9)
    (0.0, 7.5e-05)
    """
    above_zero(length=length, thickness=thickness)
    return 0.0, 1.5 * shrink * min(length, 2.0 * thickness)


def core_lift(*, resin_density: float, core_volume: float, core_mass: float, gravity: float = GRAVITY) -> float:
    """Force with which a core wants to rise in the resin; below zero it sinks.

    Parameters
    ----------
    resin_density : kg/m3
    core_volume : m3
        Its bore closed.
    core_mass : kg

    Returns
    -------
    N

    References
    ----------
    Archimedes

    Examples
    --------
    >>> round(core_lift(resin_density=1080.0, core_volume=10e-6, core_mass=5e-3), 4)
    0.0569
    """
    above_zero(resin_density=resin_density, core_volume=core_volume)
    return (resin_density * core_volume - core_mass) * gravity
