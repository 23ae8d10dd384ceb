"""Where a rod or screw finds room in a solid: material all round it, as far down as it must go. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numba
import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Floats, Ints, scan

Mask = NDArray[np.bool_]
Place = tuple[float, float]

_LEVEL_MM = 0.05  # tops within this of the highest are one plateau
_FINE_MM, _COARSE, _FINE = 0.1, 192, 512  # cells that tell a narrow rim, and columns at least and at most
_SKIN_MM = 0.02  # columns are samples: what they say of a height is trusted to this


def fine_columns(vertices: Floats) -> int:
    """Columns across a solid that tell how wide a narrow rim is, in bounded time.

    Parameters
    ----------
    vertices : mm, (n, 3)

    Examples
    --------
    >>> fine_columns(np.array([[0.0, 0.0, 0.0], [30.0, 5.0, 2.0]])), fine_columns(np.array([[0.0, 0, 0], [9, 9, 9]]))
    (300, 192)
    """
    wider = float(np.ptp(vertices[:, :2], axis=0).max())
    return min(_FINE, max(_COARSE, math.ceil(wider / _FINE_MM - 1e-9)))


@dataclass(frozen=True)
class Seat:
    """Room for an upright rod at (x, y).

    `top_mm` is where its axis leaves the solid; `inside_mm` is up to where it lies in the solid all round.
    """

    x_mm: float
    y_mm: float
    top_mm: float
    inside_mm: float

    def away_mm(self, place: Place) -> float:
        """Distance across from a place."""
        return math.hypot(self.x_mm - place[0], self.y_mm - place[1])


class Room:
    """A solid scanned from above, asked where rods and screws fit.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    columns : across the wider side.

    Examples
    --------
    >>> corners = np.array([[x, y, z] for z in (0.0, 9.0) for y in (-8.0, 8.0) for x in (-20.0, 20.0)])
    >>> quads = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5)]
    >>> faces = np.array([half for a, b, c, d in quads for half in ((a, b, c), (a, c, d))])
    >>> seat = Room(corners, faces).highest(foot_mm=4.0, around_mm=2.5)
    >>> seat is not None and round(seat.inside_mm, 6), round(seat.top_mm, 6), abs(seat.x_mm) < 0.2
    (9.0, 9.0, True)
    """

    def __init__(self, vertices: Floats, triangles: Ints, *, columns: int = 192) -> None:
        self._scan = scan(vertices, triangles, columns=columns)
        across, along = self._scan.counts
        self._x = self._scan.origin_mm[0] + self._scan.cell_mm[0] * np.arange(across)
        self._y = self._scan.origin_mm[1] + self._scan.cell_mm[1] * np.arange(along)
        # A disc is asked at columns: what lies between the outermost of them and its edge must be covered too.
        self._between_mm = math.hypot(*self._scan.cell_mm)
        self._known: dict[tuple[float, float], tuple[Floats, Floats]] = {}

    def highest(
        self,
        *,
        foot_mm: float,
        around_mm: float,
        near: Place | None = None,
        within_mm: float = math.inf,
        least_mm: float = 1.0,
        clear_of: Sequence[Place] = (),
        clear_mm: float = 0.0,
    ) -> Seat | None:
        """The seat with the highest material for a rod that stands on `foot_mm`; None when there is none.

        Parameters
        ----------
        foot_mm : height that must lie in the material all round.
        around_mm : mm, radius that must be material.
        near, within_mm : only so near to a place; among equals the nearest to it.
        least_mm : mm of material over the foot at least.
        clear_of, clear_mm : places to keep away from, and how far.
        """
        tops, inside = self._inside(foot_mm, around_mm)
        good = inside >= foot_mm + least_mm
        if near is not None:
            good &= self._away(near) <= within_mm
        for place in clear_of:
            good &= self._away(place) >= clear_mm
        if not good.any():
            return None
        level = np.where(good, inside, -np.inf)
        plateau = level >= level.max() - _LEVEL_MM
        row, column = self._nearest(plateau, near if near is not None else self._middle(plateau))
        x, y = self._place(row, column)
        return Seat(x, y, float(tops[row, column]), float(inside[row, column]))

    def spread(
        self,
        *,
        face_mm: float,
        depth_mm: float,
        around_mm: float,
        most: int,
        clear_of: Sequence[Place] = (),
        clear_mm: float = 0.0,
        only: Callable[[Floats, Floats], Mask] | None = None,
    ) -> tuple[Place, ...]:
        """Places for screws that go `depth_mm` down from a level face, as far apart as can be.

        Parameters
        ----------
        face_mm : height of the face.
        depth_mm : how deep the material must go under it.
        around_mm : mm, radius that must be material.
        most : how many places at most; fewer where they would meet.
        clear_of, clear_mm : places to keep away from, and how far.
        only : which places are asked about, of x (1, n) and y (m, 1), mm.
        """
        tops = self._tops_over(face_mm - depth_mm)
        whole = np.where(tops >= face_mm - _SKIN_MM, 0.0, -np.inf)
        good = np.isfinite(self._least_within(whole, around_mm + self._between_mm))
        for place in clear_of:
            good &= self._away(place) >= clear_mm + self._between_mm
        if only is not None:
            good &= only(self._x[None, :], self._y[:, None])
        if not good.any():
            return ()
        middle = self._place(*self._nearest(good, self._middle(good)))
        found = [self._farthest(good, [middle])]
        if math.dist(found[0], middle) < 2 * around_mm:
            return (middle,)
        while len(found) < most:
            place = self._farthest(good, found)
            if min(math.dist(place, other) for other in found) < 4 * around_mm:
                break
            found.append(place)
        return tuple(found) if len(found) > 1 else (middle,)

    def _inside(self, foot_mm: float, around_mm: float) -> tuple[Floats, Floats]:
        """Tops over a foot, and up to where a rod on it lies in the solid all round; looked at once for each."""
        key = (foot_mm, around_mm)
        if key not in self._known:
            tops = self._tops_over(foot_mm)
            self._known[key] = (tops, self._least_within(tops, around_mm + self._between_mm))
        return self._known[key]

    def _tops_over(self, height: float) -> Floats:
        """For each column the top of the interval that holds a height; -inf where none does."""
        s = self._scan
        holds = (s.bottom_mm <= height - _SKIN_MM) & (s.top_mm > height + _SKIN_MM)
        column = np.repeat(np.arange(len(s.starts) - 1), np.diff(s.starts))
        tops = np.full(len(s.starts) - 1, -np.inf)
        tops[column[holds]] = s.top_mm[holds]
        return tops.reshape(len(self._y), len(self._x))

    def _least_within(self, values: Floats, reach_mm: float) -> Floats:
        """The least value within a reach of each column; beyond the grid there is nothing."""
        wide, deep = (math.ceil(reach_mm / cell) for cell in self._scan.cell_mm)
        # A tiny part: every disc sticks out of it, and one of millions of columns need not be drawn to know.
        if any(2 * (reach - 1) >= count for reach, count in zip((wide, deep), self._scan.counts, strict=True)):
            return np.full(values.shape, -np.inf)
        rows, columns = np.ogrid[-deep : deep + 1, -wide : wide + 1]
        disc = (rows * self._scan.cell_mm[1]) ** 2 + (columns * self._scan.cell_mm[0]) ** 2 <= reach_mm**2
        steps = np.argwhere(disc) - (deep, wide)
        # From the rim inwards: where a disc sticks out, its rim tells at once.
        outer = np.argsort(-np.hypot(*(steps * self._scan.cell_mm[::-1]).T), kind="stable")
        least: Floats = _eroded(values, np.ascontiguousarray(steps[outer]))
        return least

    def _place(self, row: int, column: int) -> Place:
        return float(self._x[column]), float(self._y[row])

    def _away(self, place: Place) -> Floats:
        away: Floats = np.hypot(self._x[None, :] - place[0], self._y[:, None] - place[1])
        return away

    def _middle(self, mask: Mask) -> Place:
        rows, columns = np.nonzero(mask)
        return float(self._x[columns].mean()), float(self._y[rows].mean())

    def _nearest(self, mask: Mask, place: Place) -> tuple[int, int]:
        row, column = np.unravel_index(int(np.argmin(np.where(mask, self._away(place), np.inf))), mask.shape)
        return int(row), int(column)

    def _farthest(self, mask: Mask, places: Sequence[Place]) -> Place:
        away = np.min([self._away(place) for place in places], axis=0)
        row, column = np.unravel_index(int(np.argmax(np.where(mask, away, -1.0))), mask.shape)
        return self._place(int(row), int(column))


@numba.njit(cache=True)
def _eroded(values, steps):
    """The least value at some steps from each place; -inf beyond the table."""
    rows, columns = values.shape
    out = np.empty((rows, columns))
    for row in range(rows):
        for column in range(columns):
            least = values[row, column]
            for k in range(len(steps)):
                if least == -np.inf:
                    break
                r, c = row + steps[k, 0], column + steps[k, 1]
                least = min(least, values[r, c]) if 0 <= r < rows and 0 <= c < columns else -np.inf
            out[row, column] = least
    return out
