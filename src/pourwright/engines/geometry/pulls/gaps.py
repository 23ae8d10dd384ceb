"""Where silicone lies above part material in its column: the gaps, piece by piece, with mouths and depths. mm."""

from __future__ import annotations

import numba
import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints
from pourwright.engines.geometry.air.filling import beside, root
from pourwright.engines.geometry.pulls.webs import web_lengths

Point = tuple[float, float, float]
Bools = NDArray[np.bool_]

_THIN_SHARE = 0.01  # of the part's height: a thinner film is flash, and no bar
_MOUTH_SHARE = 0.05  # of a piece's widest mouth, or of its own width: a narrower one is a fault of the grid
_LEAST_MOUTH_CELLS = 4.0
_WEB_LENGTH = 4.0  # times its width: a shorter web can be dragged out along the part (judgement)
_LEAST_WEB = 4e-3  # of the part's volume


class Gaps:
    """The silicone of one half that lies above part material in its column, seen with the part pulled upward."""

    def __init__(self, columns: Columns, height: float) -> None:
        self.columns = columns
        low, high = columns.span_mm
        self._height = min(height, high)
        self.starts, self.low, self.high, self._free, self._open = _gaps_below(
            columns.starts, columns.bottom_mm, columns.top_mm, self._height, _THIN_SHARE * (high - low)
        )
        self.group = np.empty(0, dtype=np.int64)
        self._away = np.empty(0)

    def pieces(self) -> tuple[Floats, Ints, Floats, Ints]:
        """Volume, mouths, depth and deepest gap of each piece, at the number of the gap that names it."""
        columns = self.columns
        self.group, door, mouth, away, source = _joined(
            self.starts, self.low, self.high, self._free, *columns.counts, *columns.cell_mm
        )
        self._away = away
        count = len(self.low)
        volume = np.bincount(self.group, weights=self.high - self.low, minlength=count) * columns.cell_mm2
        area = np.bincount(mouth[mouth >= 0], weights=door[mouth >= 0], minlength=4 * count)
        mouths = self._mouths(area, volume)
        # A web has a mouth on either side, even where the two meet round an end of the part.
        asked = (mouths == 1) & (volume > _LEAST_WEB * columns.volume_mm3)
        mouths[self._webs(asked, source)] = 2
        depth, deepest = np.zeros(count), np.full(count, -1, dtype=np.int64)
        order = np.argsort(away, kind="stable")
        deepest[self.group[order]] = order
        depth[self.group[order]] = away[order]
        return volume, mouths, depth, deepest

    def moments(self) -> Floats:
        """Volume times the way to the mouth, of each piece."""
        weights = (self.high - self.low) * self._away
        return np.bincount(self.group, weights=weights, minlength=len(self.low)) * self.columns.cell_mm2

    def _mouths(self, area: Floats, volume: Floats) -> Ints:
        """Mouths of each piece that are wide enough to be more than a fault of the grid.

        A film along a whole face has a mouth far wider than the piece is thick: a bar that ends in it is still a bar.
        """
        names = np.flatnonzero(area > _LEAST_MOUTH_CELLS * self.columns.cell_mm2)
        piece = self.group[names // 4]
        widest = np.zeros(len(volume))
        np.maximum.at(widest, piece, area[names])
        wide = _MOUTH_SHARE * np.minimum(widest, volume ** (2 / 3))
        return np.bincount(piece[area[names] >= wide[piece]], minlength=len(volume))

    def _webs(self, asked: Bools, source: Ints) -> Bools:
        """Which of the pieces asked for hang on free silicone before and behind, for longer than they are wide."""
        return (
            web_lengths(
                self.group,
                asked,
                self.starts,
                self.low,
                self.high,
                self._free,
                self._open,
                source,
                *self.columns.counts,
            )
            > _WEB_LENGTH
        )

    def point_mm(self, gap: int) -> Point:
        """The middle of a gap in the mesh's own coordinates."""
        u, v = self._middles(np.array([gap]))[0]
        x, y, z = np.array([u, v, 0.5 * (self.low[gap] + self.high[gap])]) @ self.columns.frame
        return float(x), float(y), float(z)

    def _middles(self, gaps: Ints) -> Floats:
        column = np.searchsorted(self.starts, gaps, side="right") - 1
        row, place = np.divmod(column, self.columns.counts[0])
        return np.column_stack((place, row)) * self.columns.cell_mm + self.columns.origin_mm

    def own_mask(self, own: Ints, height: float) -> Bools:
        """The cells (rows, places) in which the given gaps reach over a height."""
        there = own[(self.low[own] < height) & (height < self.high[own])]
        return self._mask(np.searchsorted(self.starts, there, side="right") - 1)

    def solid_mask(self, height: float) -> Bools:
        """The cells (rows, places) in which the part is cut at a height."""
        columns = self.columns
        cut = np.flatnonzero((columns.bottom_mm < height) & (height < columns.top_mm))
        return self._mask(np.searchsorted(columns.starts, cut, side="right") - 1)

    def _mask(self, column: Ints) -> Bools:
        n_u, n_v = self.columns.counts
        mask = np.zeros(n_u * n_v, dtype=bool)
        mask[column] = True
        return mask.reshape(n_v, n_u)


# ---------------------------------------------------------------- compiled


@numba.njit(cache=True)
def _gaps_below(starts, bottom, top, height, thin):
    """Silicone above part material in each column, up to the parting, and how high the free silicone reaches.

    Last, which of the gaps have no part above them, not even beyond the parting.
    """
    columns = starts.shape[0] - 1
    first = np.zeros(columns + 1, np.int64)
    low, high = np.empty(top.shape[0]), np.empty(top.shape[0])
    bare = np.empty(top.shape[0], np.bool_)
    free = np.full(columns, height)
    kept = 0
    for c in range(columns):
        for k in range(starts[c], starts[c + 1]):
            if k == starts[c]:
                free[c] = min(bottom[k], height)
            end = min(bottom[k + 1], height) if k + 1 < starts[c + 1] else height
            if end - top[k] > thin:
                low[kept], high[kept], bare[kept] = top[k], end, k + 1 == starts[c + 1]
                kept += 1
        first[c + 1] = kept
    return first, low[:kept].copy(), high[:kept].copy(), free, bare[:kept].copy()


@numba.njit(cache=True)
def gap_at(starts, low, high, column, height):
    """The gap of its column in which each point lies, -1 for none."""
    found = np.full(column.shape[0], -1, np.int64)
    for k in range(column.shape[0]):
        if column[k] >= 0:
            for i in range(starts[column[k]], starts[column[k] + 1]):
                if low[i] <= height[k] <= high[i]:
                    found[k] = i
    return found


@numba.njit(cache=True)
def _join(parent, i, j):
    a, b = root(parent, i), root(parent, j)
    parent[max(a, b)] = min(a, b)


@numba.njit(cache=True)
def _joined(starts, low, high, free, n_u, n_v, h_u, h_v):
    """The piece of each gap; area of its door on each side; the mouth that the door is part of; way to a
    door, and the column of that door.

    Doors (4 k + side) make one mouth where they meet at an edge: round a corner of one gap, side by side on two
    gaps that meet, or at a right angle on one free column. Doors that look apart never meet, however thin the
    silicone between them.
    """
    count, columns = low.shape[0], starts.shape[0] - 1
    piece, mouth = np.arange(count), np.arange(4 * count)
    door = np.zeros(4 * count)
    for c in range(columns):
        for side in range(4):
            other = beside(c, side, n_u, n_v)
            # Outside of the grid silicone is free all the way up.
            reach = np.inf if other < 0 else free[other]
            across = h_v if side % 2 == 0 else h_u
            for i in range(starts[c], starts[c + 1]):
                door[4 * i + side] = max(0.0, min(high[i], reach) - low[i]) * across
    for c in range(columns):
        for i in range(starts[c], starts[c + 1]):
            for side in range(4):
                if door[4 * i + side] > 0.0 and door[4 * i + (side + 1) % 4] > 0.0:
                    _join(mouth, 4 * i + side, 4 * i + (side + 1) % 4)
        for way in range(2):
            other = beside(c, way, n_u, n_v)
            if other < 0:
                continue
            for i in range(starts[c], starts[c + 1]):
                for j in range(starts[other], starts[other + 1]):
                    if min(high[i], high[j]) > max(low[i], low[j]):
                        _join(piece, i, j)
                        for side in (1 - way, 3 - way):
                            if door[4 * i + side] > 0.0 and door[4 * j + side] > 0.0:
                                _join(mouth, 4 * i + side, 4 * j + side)
    for k in range(count):
        piece[k] = root(piece, k)
    for c in range(columns):
        _join_round(c, starts, low, high, free, n_u, n_v, piece, mouth)
    for k in range(4 * count):
        mouth[k] = root(mouth, k) if door[k] > 0.0 else -1
    way, source = _ways(starts, low, high, door, n_u, n_v, h_u, h_v)
    return piece, door, mouth, way, source


@numba.njit(cache=True)
def _join_round(c, starts, low, high, free, n_u, n_v, piece, mouth):
    """Doors of one piece that open on this free column at a right angle and at one height share a mouth."""
    for side in range(4):
        one, other = beside(c, side, n_u, n_v), beside(c, (side + 1) % 4, n_u, n_v)
        if one < 0 or other < 0:
            continue
        for i in range(starts[one], starts[one + 1]):
            for j in range(starts[other], starts[other + 1]):
                if piece[i] == piece[j] and min(high[i], high[j], free[c]) > max(low[i], low[j]):
                    _join(mouth, 4 * i + (side + 2) % 4, 4 * j + (side + 3) % 4)


@numba.njit(cache=True)
def _ways(starts, low, high, door, n_u, n_v, h_u, h_v):
    """Straight way from each gap to the nearest door that it was reached from, and its column; 0 and -1 for none."""
    count = low.shape[0]
    column = np.empty(count, np.int64)
    for c in range(starts.shape[0] - 1):
        column[starts[c] : starts[c + 1]] = c
    way = np.full(count, np.inf)
    source = np.full(count, -1, np.int64)
    queue, waits = np.empty(count + 1, np.int64), np.zeros(count, np.bool_)
    head = tail = 0
    for k in range(count):
        if door[4 * k : 4 * k + 4].max() > 0.0:
            way[k], source[k], queue[tail], waits[k] = 0.5 * min(h_u, h_v), column[k], k, True
            tail += 1
    while head != tail:
        i = queue[head]
        head = (head + 1) % (count + 1)
        waits[i] = False
        for side in range(4):
            c = beside(column[i], side, n_u, n_v)
            if c < 0:
                continue
            du = (c % n_u - source[i] % n_u) * h_u
            dv = (c // n_u - source[i] // n_u) * h_v
            there = np.sqrt(du * du + dv * dv) + 0.5 * min(h_u, h_v)
            for j in range(starts[c], starts[c + 1]):
                if min(high[i], high[j]) > max(low[i], low[j]) and there < way[j] - 1e-9:
                    way[j], source[j] = there, source[i]
                    if not waits[j]:
                        queue[tail], waits[j] = j, True
                        tail = (tail + 1) % (count + 1)
    for k in range(count):
        if source[k] < 0:
            way[k] = 0.0
    return way, source
