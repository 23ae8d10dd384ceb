"""General tolerances of moulded rubber by class: how far a size may be off when nobody said otherwise."""

from __future__ import annotations

import math

from pourwright.basics.errors import InputError
from pourwright.basics.shelf import unknown_name

GRADES = ("M1", "M2", "M3", "M4")

# Millimetres. Up to this size: M1 fixed, closure; M2 fixed, closure; M3 fixed, closure; M4 both.
_TABLE = (
    (4.0, 0.08, 0.10, 0.10, 0.15, 0.25, 0.40, 0.50),
    (6.3, 0.10, 0.12, 0.15, 0.20, 0.25, 0.40, 0.50),
    (10.0, 0.10, 0.15, 0.20, 0.20, 0.30, 0.50, 0.70),
    (16.0, 0.15, 0.20, 0.20, 0.25, 0.40, 0.60, 0.80),
    (25.0, 0.20, 0.20, 0.25, 0.35, 0.50, 0.80, 1.00),
    (40.0, 0.20, 0.25, 0.35, 0.40, 0.60, 1.00, 1.30),
    (63.0, 0.25, 0.35, 0.40, 0.50, 0.80, 1.30, 1.60),
    (100.0, 0.35, 0.40, 0.50, 0.70, 1.00, 1.60, 2.00),
    (160.0, 0.40, 0.50, 0.70, 0.80, 1.30, 2.00, 2.50),
)
_BEYOND = (0.003, 0.004, 0.005, 0.007, 0.008, 0.013, 0.015)  # share of the size


def moulded_tolerance(*, size: float, grade: str, closure: bool) -> float:
    """How far a moulded size may be off to either side.

    Parameters
    ----------
    size : m
        Nominal, 0 or more.
    grade : "M1" (very fine) to "M4" (coarse); "M3" is usual.
    closure : whether the size runs across the parting, so that it changes with how the mould closes.

    Returns
    -------
    m

    Raises
    ------
    UnknownName
        No such class.
    InputError
        A size that is none.

    References
    ----------
    ISO3302-1

    Examples
    --------
    >>> round(moulded_tolerance(size=28e-3, grade="M3", closure=False) * 1e3, 2)
    0.6
    """
    if grade not in GRADES:
        raise unknown_name(grade, GRADES, noun="tolerance class")
    if not (math.isfinite(size) and size >= 0.0):
        raise InputError(f"a size of {size:g} m has no tolerance", advice="give one of 0 or more")
    column = min(2 * GRADES.index(grade) + int(closure), 6)
    for most, *allowed in _TABLE:
        if size * 1e3 <= most + 1e-9:
            return allowed[column] * 1e-3
    return _BEYOND[column] * size
