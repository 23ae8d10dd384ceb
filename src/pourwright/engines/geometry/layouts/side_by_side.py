"""How many equal things stand side by side in a round pot: as circles, or as rectangles in rows. Millimetres."""

from __future__ import annotations

import math

from pourwright.engines.geometry.layouts.packing import pack_circle

_MOST = 20


def circles_in_circle(radius_mm: float, around_mm: float, gap_mm: float = 0.0) -> int:
    """How many circles lie in a circle, at least a gap apart; at most 20 are looked for.

    Parameters
    ----------
    radius_mm : mm, of each.
    around_mm : mm, radius of the circle round them.
    gap_mm : mm, between two of them.

    Examples
    --------
    >>> circles_in_circle(10.0, 21.6), circles_in_circle(10.0, 21.5), circles_in_circle(10.0, 9.9)
    (3, 2, 0)
    """
    most = 0
    while most < _MOST and circle_round_mm(most + 1, radius_mm, gap_mm) <= around_mm + 1e-9:
        most += 1
    return most


def circle_round_mm(count: int, radius_mm: float, gap_mm: float = 0.0) -> float:
    """Radius of the smallest circle round so many circles, mm.

    Examples
    --------
    >>> round(circle_round_mm(7, 10.0, 2.0), 6)
    32.0
    """
    return (pack_circle(count, tighten=False).size - 1) * (radius_mm + gap_mm / 2) + radius_mm


def rectangles_in_circle(size_mm: tuple[float, float], around_mm: float, gap_mm: float = 0.0) -> int:
    """How many rectangles lie in a circle, in centred rows, at least a gap apart.

    Parameters
    ----------
    size_mm : mm, (2,), of each.
    around_mm : mm, radius of the circle round them.
    gap_mm : mm, between two of them.

    Examples
    --------
    >>> rectangles_in_circle((40.0, 20.0), 28.3), rectangles_in_circle((40.0, 20.0), 28.2)
    (2, 1)
    """
    return max(_in_rows(*sides, around_mm, gap_mm) for sides in (size_mm, size_mm[::-1]))


def _in_rows(wide: float, deep: float, around: float, gap: float) -> int:
    best = 0
    for rows in range(1, int((2 * around + gap) // (deep + gap)) + 1):
        foot = -(rows * (deep + gap) - gap) / 2
        best = max(best, sum(_in_row(wide, foot + row * (deep + gap), deep, around, gap) for row in range(rows)))
    return best


def _in_row(wide: float, foot: float, deep: float, around: float, gap: float) -> int:
    reach = max(abs(foot), abs(foot + deep))
    chord = 2 * math.sqrt(max(0.0, around**2 - reach**2))
    return int((chord + gap + 1e-9) // (wide + gap))
