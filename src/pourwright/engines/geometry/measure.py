"""The door between drawings in millimetres and everything else in SI."""

from __future__ import annotations

_DECIMALS = 9  # a thousandth of a millionth of a millimetre: 0.012 m is 12 mm, not 12.000000000000002


def to_mm(metres: float) -> float:
    """Millimetres of a length in metres, rounded to 1e-9 mm.

    Examples
    --------
    >>> to_mm(0.0341)
    34.1
    """
    return round(metres * 1e3, _DECIMALS)


def to_m(length_mm: float) -> float:
    """Metres of a length in millimetres.

    Examples
    --------
    >>> to_m(26.0)
    0.026
    """
    return length_mm / 1e3


def to_m2(area_mm2: float) -> float:
    """Square metres of an area in square millimetres.

    Examples
    --------
    >>> to_m2(100.0)
    0.0001
    """
    return area_mm2 / 1e6


def to_m3(volume_mm3: float) -> float:
    """Cubic metres of a volume in cubic millimetres.

    Examples
    --------
    >>> to_m3(1000.0)
    1e-06
    """
    return volume_mm3 / 1e9


def to_mm2(area: float) -> float:
    """Square millimetres of an area in square metres.

    Examples
    --------
    >>> to_mm2(2e-6)
    2.0
    """
    return area * 1e6


def to_mm3(volume: float) -> float:
    """Cubic millimetres of a volume in cubic metres.

    Examples
    --------
    >>> to_mm3(2e-9)
    2.0
    """
    return volume * 1e9
