"""What measuring does to a soft part: jaws squeeze it while they touch."""

from __future__ import annotations

from pourwright.basics.errors import InputError

_FORCE = 3.0  # N, of a hand on slide calipers (judgement)
_JAW = 30e-6  # m2, of a jaw on a flat part (judgement)


def jaw_squeeze(*, size: float, modulus: float, force: float = _FORCE, area: float = _JAW) -> float:
    """How much smaller calipers read a soft part than it is.

    Parameters
    ----------
    size : m
    modulus : Pa
        Young's.
    force : N
    area : m2
        Of one jaw.

    Returns
    -------
    m

    Notes
    -----
    Even stress over the whole size: an upper bound for a part wider than the jaws.

    References
    ----------
    beams

    Examples
    --------
    >>> round(jaw_squeeze(size=10e-3, modulus=3.605e6) * 1e3, 2)  # 60 Shore A
    0.28
    """
    if not modulus > 0.0 or not area > 0.0:
        raise InputError("a part without stiffness cannot be measured by jaws", advice="give its hardness")
    return size * force / (area * modulus)
