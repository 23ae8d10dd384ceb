"""Numbers as the bench sheet writes them: with their unit, and never broken from it at the end of a line."""

from __future__ import annotations

import math

from pourwright.basics.quantities import show, show_fixed

THIN = "\u00a0"  # between number and unit: a sheet must not break the line there


def grams(mass: float) -> str:
    """A mass to three digits."""
    return show(mass, "mass", "g", digits=3, space=THIN)


def on_scale(mass: float, places: int) -> str:
    """A mass with the decimals of the scale."""
    return show_fixed(mass, "mass", "g", decimals=places, space=THIN)


def decimals(readability: float) -> int:
    """How many decimals of a gram the scale shows."""
    step = readability * 1e3
    return next((digits for digits in range(4) if round(step, digits) == step), 4)


def millimetres(length: float) -> str:
    """A length to three digits."""
    return show(length, "length", "mm", digits=3, space=THIN)


def minutes(seconds: float) -> str:
    """A time to two digits."""
    return show(seconds, "time", "min", digits=2, space=THIN)


def full_minutes(seconds: float) -> str:
    """Rounded down to half minutes: a time to be kept must not grow by rounding."""
    return minutes(60.0 * math.floor(seconds / 30.0) / 2.0)


def about(seconds: float) -> str:
    """Hours up to two days, then days and half days: nobody knows it better."""
    hours = seconds / 3600.0
    if hours <= 48:
        return f"about {max(1, round(hours))}{THIN}h"
    return f"about {round(2 * hours / 24) / 2:g}{THIN}days"
