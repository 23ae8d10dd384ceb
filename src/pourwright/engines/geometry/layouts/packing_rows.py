"""Round cells in rows, straight or staggered: every pattern that is worth trying. Pitch 1."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Rows:
    """Cells one pitch apart in rows along x, about the middle of their box.

    `counts` says how many each row holds, lowest first; `staggered` that neighbouring rows stand close, half a pitch
    aside; `shifted` that equal rows do.
    """

    counts: tuple[int, ...]
    staggered: bool
    shifted: bool
    centres: tuple[tuple[float, float], ...]


@cache
def rows_of(n: int) -> tuple[Rows, ...]:
    """Straight and staggered rows of every width, in every mixture.

    Examples
    --------
    >>> [found.counts for found in rows_of(3)]
    [(1, 1, 1), (2, 1), (3,), (1, 2), (1, 1, 1), (2, 1)]
    """
    found = {(one.counts, one.staggered, one.shifted): one for one in _all(n)}
    return tuple(found.values())


def _all(n: int) -> Iterator[Rows]:
    close = math.sqrt(0.75)
    for wide in range(1, n + 1):
        for pattern in _row_counts(n, wide):
            steps = [1.0] + [close if abs(a - b) == 1 else 1.0 for a, b in pairwise(pattern)]
            places = rows(pattern, [0.0] * len(pattern), steps)
            yield Rows(tuple(pattern), close in steps, False, pairs(places))
    for wide in range(2, n + 1):
        for depth in range(2, 6):
            pattern = [wide - 1 + row % 2 for row in range(depth)]
            if sum(pattern) == n:
                yield Rows(tuple(pattern), True, False, pairs(rows(pattern, [0.0] * depth, [close] * depth)))
    for wide in range(1, n + 1):
        full = [wide] * (n // wide) + ([n % wide] if n % wide else [])
        if len(full) > 1 and full[-1] in (wide, wide - 1):
            shifts = [0.25 * (-1) ** row for row in range(len(full))]
            if full[-1] != wide:
                shifts[-1] += 0.5 * (-1) ** len(full)
            places = rows(full, shifts, [1.0] + [close] * (len(full) - 1))
            yield Rows(tuple(full), True, True, pairs(places))


def rows(counts: list[int], shifts: list[float], steps: list[float]) -> Floats:
    """Rows of cells one pitch apart, each centred and then shifted, `steps` above one another; about the middle."""
    heights = np.concatenate(([0.0], np.cumsum(steps[1:])))
    points = np.array(
        [
            (place - (count - 1) / 2 + shift, height)
            for count, shift, height in zip(counts, shifts, heights, strict=True)
            for place in range(count)
        ]
    )
    return points - 0.5 * (points.max(axis=0) + points.min(axis=0))


def _row_counts(n: int, wide: int) -> Iterator[list[int]]:
    """Rows of `wide` cells with a row of one less between the first few of them."""
    for staggered in range(n // max(1, 2 * wide - 1) + 1):
        counts: list[int] = []
        left = n
        while left > 0:
            narrow = len(counts) % 2 == 1 and len(counts) < 2 * staggered and wide > 1
            take = min(left, wide - 1 if narrow else wide)
            counts.append(take)
            left -= take
        yield counts


def pairs(points: Floats) -> tuple[tuple[float, float], ...]:
    """Points as plain pairs, without minus nought."""
    return tuple((float(x) + 0.0, float(y) + 0.0) for x, y in points)
