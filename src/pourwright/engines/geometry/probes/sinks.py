"""Where screws go down into a part from above, wherever its surface lies, and where it can rest on pads. mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Columns, Floats

Place = tuple[float, float]
Sunk = tuple[float, float, float]
Mask = NDArray[np.bool_]

_STEEP_MM = 3.0  # how uneven the surface under a screw's head may be


class Tops:
    """The upper surface of a part: for each column its highest point, and how far down the material goes from there.

    Parameters
    ----------
    columns : of the part, scanned along z.
    """

    def __init__(self, columns: Columns) -> None:
        counts = np.diff(columns.starts)
        filled = np.flatnonzero(counts > 0)
        last = columns.starts[filled + 1] - 1
        top, bottom = np.full(len(counts), -np.inf), np.full(len(counts), np.inf)
        top[filled], bottom[filled] = columns.top_mm[last], columns.bottom_mm[last]
        across = (columns.counts[1], columns.counts[0])
        self._top, self._bottom = top.reshape(across), bottom.reshape(across)
        self._cell = columns.cell_mm
        self._x = columns.origin_mm[0] + columns.cell_mm[0] * np.arange(across[1])
        self._y = columns.origin_mm[1] + columns.cell_mm[1] * np.arange(across[0])

    def screws(
        self, *, depth_mm: float, around_mm: float, most: int, clear_of: Sequence[Place], clear_mm: float
    ) -> tuple[Sunk, ...]:
        """Places (x, y, z) for screws, z where the material begins all round; as far apart as can be.

        Parameters
        ----------
        depth_mm : how deep the material must go below z.
        around_mm : mm, radius that must be material.
        clear_of, clear_mm : places to keep away from, and how far.
        """
        disc = self._disc(around_mm)
        inside = _least(self._top, disc)
        good = inside - depth_mm >= -_least(-self._bottom, disc)
        known = np.isfinite(inside)
        good &= known & (-_least(-self._top, disc) - np.where(known, inside, 0.0) <= _STEEP_MM)
        for place in clear_of:
            good &= self._away(place) >= clear_mm
        spots = self._spread(good, most, 4 * around_mm)
        return tuple((float(self._x[i]), float(self._y[j]), float(inside[j, i])) for j, i in spots)

    def pads(self, *, around_mm: float, over_mm: float, count: int) -> tuple[Place, ...]:
        """Places where the surface lies over a height all round, far apart; fewer where it has no room for more."""
        good = _least(self._top, self._disc(around_mm)) >= over_mm
        return tuple((float(self._x[i]), float(self._y[j])) for j, i in self._spread(good, count, 2 * around_mm))

    def _spread(self, good: Mask, most: int, apart_mm: float) -> list[tuple[int, int]]:
        """Columns far from each other: the first far from the middle; the middle alone where no two have room."""
        if not good.any():
            return []
        rows, columns = np.nonzero(good)
        middle = float(self._x[columns].mean()), float(self._y[rows].mean())
        away = self._away(middle)
        nearest = self._at(np.argmin(np.where(good, away, np.inf)))
        found = [self._at(np.argmax(np.where(good, away, -1.0)))]
        while len(found) < most:
            apart = np.min([self._away(self._place(one)) for one in found], axis=0)
            far = self._at(np.argmax(np.where(good, apart, -1.0)))
            if apart[far] < apart_mm:
                break
            found.append(far)
        return found if len(found) > 1 else [nearest]

    def _at(self, index: np.intp) -> tuple[int, int]:
        row, column = np.unravel_index(int(index), self._top.shape)
        return int(row), int(column)

    def _place(self, at: tuple[int, int]) -> Place:
        return float(self._x[at[1]]), float(self._y[at[0]])

    def _away(self, place: Place) -> Floats:
        away: Floats = np.hypot(self._x[None, :] - place[0], self._y[:, None] - place[1])
        return away

    def _disc(self, radius: float) -> Mask:
        reach = radius + math.hypot(*self._cell)
        wide, deep = (math.ceil(reach / cell) for cell in self._cell)
        rows, columns = np.ogrid[-deep : deep + 1, -wide : wide + 1]
        found: Mask = (rows * self._cell[1]) ** 2 + (columns * self._cell[0]) ** 2 <= reach**2
        return found


def _least(values: Floats, disc: Mask) -> Floats:
    from scipy.ndimage import grey_erosion

    least: Floats = grey_erosion(values, footprint=disc, mode="constant", cval=-np.inf)
    return least
