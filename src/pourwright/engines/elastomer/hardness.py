"""From a hardness reading to stiffness, with the relation named."""

from __future__ import annotations

from pourwright.basics.errors import InputError


def young_modulus(*, hardness: float) -> float:
    """Young's modulus of a rubber from its Shore A hardness, by Gent's indentation formula.

    Parameters
    ----------
    hardness : Shore A
        From 5 to 95. Two published relations differ by 1.6 to 1.9 times between 60 and 80.

    Returns
    -------
    Pa

    Raises
    ------
    InputError
        Outside the range.

    References
    ----------
    Gent1958

    Examples
    --------
    >>> round(young_modulus(hardness=20) / 1e6, 2)
    0.73
    """
    if not 5.0 <= hardness <= 95.0:
        raise InputError(f"a hardness of {hardness:g} Shore A", advice="the relation holds from 5 to 95 Shore A")
    return 1e6 * 0.0981 * (56.0 + 7.62336 * hardness) / (0.137505 * (254.0 - 2.54 * hardness))
