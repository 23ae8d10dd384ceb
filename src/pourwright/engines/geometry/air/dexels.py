"""Scan a solid along one direction: for every column of a grid, the heights at which material begins and ends.

Undercuts, shadows and air traps are all read from these columns. Millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

import numba
import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# Samples lie near the middle of a cell, but off every point that a symmetric mesh is likely to have.
_OFFSET_U = 0.5137
_OFFSET_V = 0.4829


@dataclass(frozen=True, eq=False)
class Columns:
    """The solid intervals of every column, scanned along a direction.

    Parameters
    ----------
    frame : (3, 3), rows u, v, d, right-handed; coordinates in the scan are `frame @ point`.
    origin_mm : mm, (2,), u and v of the sample of column (0, 0).
    cell_mm : mm, (2,), width of a cell along u and v.
    counts : (2,), number of columns along u and v; column (i, j) has index `j * counts[0] + i`.
    starts : (columns + 1,), the intervals of column c are `starts[c]:starts[c + 1]`, from the lowest up.
    bottom_mm, top_mm : mm, heights along d at which each interval begins and ends.
    span_mm : mm, (2,), lowest and highest point of the mesh along d.
    bad : number of columns in which the surface does not close; they are left empty.
    """

    frame: Floats
    origin_mm: tuple[float, float]
    cell_mm: tuple[float, float]
    counts: tuple[int, int]
    starts: Ints
    bottom_mm: Floats
    top_mm: Floats
    span_mm: tuple[float, float]
    bad: int

    @property
    def direction(self) -> Floats:
        """Unit vector along which the heights run."""
        return self.frame[2]

    @property
    def cell_mm2(self) -> float:
        """Area of one cell."""
        return self.cell_mm[0] * self.cell_mm[1]

    @property
    def volume_mm3(self) -> float:
        """Volume of the material in all columns."""
        return float((self.top_mm - self.bottom_mm).sum()) * self.cell_mm2

    @property
    def shadow_mm2(self) -> float:
        """Area of the shadow along the direction."""
        return int(np.count_nonzero(np.diff(self.starts))) * self.cell_mm2

    def point_mm(self, interval: int, height_mm: float) -> tuple[float, float, float]:
        """The point in the mesh's own coordinates, on the column of one interval at a height."""
        column = int(np.searchsorted(self.starts, interval, side="right")) - 1
        row, place = divmod(column, self.counts[0])
        u = self.origin_mm[0] + place * self.cell_mm[0]
        v = self.origin_mm[1] + row * self.cell_mm[1]
        x, y, z = np.array([u, v, height_mm]) @ self.frame
        return float(x), float(y), float(z)


def unit(direction: object) -> Floats:
    """The direction as a unit vector.

    Raises
    ------
    CannotBuild
        Zero or not finite.
    """
    vector = np.asarray(direction, dtype=np.float64)
    length = float(np.linalg.norm(vector))
    if vector.shape != (3,) or not np.isfinite(length) or length == 0.0:
        raise CannotBuild(f"{direction} is no direction", advice="give three numbers that are not all zero")
    return vector / length


def frame_along(direction: object) -> Floats:
    """Right-handed unit vectors u, v, d with d along the direction; x, y, z for the direction z.

    Examples
    --------
    >>> frame_along((0, 0, 2)).tolist()
    [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
    """
    d = unit(direction)
    u = -d[int(np.argmin(np.abs(d)))] * d
    u[int(np.argmin(np.abs(d)))] += 1.0
    u /= np.linalg.norm(u)
    return np.array([u, np.cross(d, u), d]) + 0.0


def scan(vertices: Floats, triangles: Ints, *, direction: object = (0.0, 0.0, 1.0), columns: int = 256) -> Columns:
    """Scan a closed mesh along a direction.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward. Shells that overlap count as their union.
    direction : along which heights are measured.
    columns : number of columns across the wider side of the shadow.

    Returns
    -------
    Columns
        Heights are exact. Volumes err by at most about half a cell times the area of the walls that run
        along the direction.

    Raises
    ------
    CannotBuild
        The mesh is empty, flat across the direction, or not finite.
    """
    frame = frame_along(direction)
    faces = np.ascontiguousarray(triangles, dtype=np.int64)
    grid, low, high, finite = _turned(np.ascontiguousarray(vertices, dtype=np.float64), faces, frame)
    if len(faces) == 0 or not finite:
        raise CannotBuild("a mesh without triangles, or with a vertex that is no number, cannot be scanned")
    width = high - low
    if min(width[0], width[1]) <= 0.0:
        raise CannotBuild("a flat mesh has no volume to scan")
    # Whole cells across both widths: a ragged last cell costs two digits.
    aim = max(width[0], width[1]) / columns
    n_u, n_v = max(1, round(width[0] / aim)), max(1, round(width[1] / aim))
    h_u, h_v = width[0] / n_u, width[1] / n_v
    origin = (float(low[0] + _OFFSET_U * h_u), float(low[1] + _OFFSET_V * h_v))
    _in_cells(grid, origin[0], origin[1], h_u, h_v)
    starts, heights, signs = _crossings(grid, faces, n_u, n_v)
    first, bottom, top, bad = _intervals(starts, heights, signs)
    return Columns(
        frame=frame,
        origin_mm=origin,
        cell_mm=(float(h_u), float(h_v)),
        counts=(n_u, n_v),
        starts=first,
        bottom_mm=bottom,
        top_mm=top,
        span_mm=(float(low[2]), float(high[2])),
        bad=int(bad),
    )


def scan_like(grid: Columns, vertices: Floats, triangles: Ints) -> Columns:
    """Scan another closed mesh in the columns of a scan already made; what lies outside them is not seen.

    Parameters
    ----------
    grid : the scan whose columns are used.
    vertices, triangles : mm (n, 3) and (m, 3) of the other mesh.
    """
    n_u, n_v = grid.counts
    h_u, h_v = grid.cell_mm
    turned = np.ascontiguousarray(np.asarray(vertices, dtype=np.float64) @ grid.frame.T)
    turned[:, 0] = (turned[:, 0] - grid.origin_mm[0]) / h_u
    turned[:, 1] = (turned[:, 1] - grid.origin_mm[1]) / h_v
    faces = np.ascontiguousarray(triangles, dtype=np.int64)
    starts, heights, signs = _crossings(turned, faces, n_u, n_v)
    first, bottom, top, bad = _intervals(starts, heights, signs)
    span = (float(turned[:, 2].min()), float(turned[:, 2].max())) if len(turned) else (0.0, 0.0)
    return Columns(
        frame=grid.frame,
        origin_mm=grid.origin_mm,
        cell_mm=grid.cell_mm,
        counts=grid.counts,
        starts=first,
        bottom_mm=bottom,
        top_mm=top,
        span_mm=span,
        bad=int(bad),
    )


@numba.njit(cache=True)
def _turned(points, faces, frame):
    """Vertices in the frame; lowest and highest of those that triangles use; whether all are numbers."""
    used = np.zeros(points.shape[0], np.bool_)
    for t in range(faces.shape[0]):
        for corner in range(3):
            used[faces[t, corner]] = True
    turned = np.empty(points.shape)
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    finite = True
    for k in range(points.shape[0]):
        x, y, z = points[k, 0], points[k, 1], points[k, 2]
        for axis in range(3):
            value = frame[axis, 0] * x + frame[axis, 1] * y + frame[axis, 2] * z
            turned[k, axis] = value
            finite = finite and np.isfinite(value)
            if used[k]:
                low[axis] = value if value < low[axis] else low[axis]
                high[axis] = value if value > high[axis] else high[axis]
    return turned, low, high, finite


@numba.njit(cache=True)
def _in_cells(points, origin_u, origin_v, cell_u, cell_v):
    """u and v counted in cells from the first sample."""
    for k in range(points.shape[0]):
        points[k, 0] = (points[k, 0] - origin_u) / cell_u
        points[k, 1] = (points[k, 1] - origin_v) / cell_v


@numba.njit(cache=True)
def bounds_of(points, faces):
    """Lowest and highest coordinates of the vertices that the triangles use."""
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    for t in range(faces.shape[0]):
        for corner in range(3):
            for axis in range(3):
                value = points[faces[t, corner], axis]
                low[axis] = value if value < low[axis] else low[axis]
                high[axis] = value if value > high[axis] else high[axis]
    return low, high


@numba.njit(cache=True)
def _longer(array):
    longer = np.empty(2 * array.shape[0], array.dtype)
    for k in range(array.shape[0]):  # a loop: to compile the assignment of a whole slice takes seconds
        longer[k] = array[k]
    return longer


@numba.njit(cache=True, error_model="numpy")
def _crossings(grid, faces, n_u, n_v):
    """Heights and signs of all crossings of columns with the surface, column by column."""
    starts = np.zeros(n_u * n_v + 1, np.int64)
    found = 0
    # A crossing seen from below is noted under the complement of its column.
    column, height = np.empty(4 * n_u * n_v, np.int32), np.empty(4 * n_u * n_v)
    for t in range(faces.shape[0]):
        a, b, c = faces[t, 0], faces[t, 1], faces[t, 2]
        au, av, bu, bv, cu, cv = grid[a, 0], grid[a, 1], grid[b, 0], grid[b, 1], grid[c, 0], grid[c, 1]
        double = (bu - au) * (cv - av) - (cu - au) * (bv - av)
        # Corners in the order of their rows, so that both neighbours of an edge compute the same crossing.
        u0, v0, u1, v1, u2, v2 = au, av, bu, bv, cu, cv
        if v0 > v1:
            u0, v0, u1, v1 = u1, v1, u0, v0
        if v1 > v2:
            u1, v1, u2, v2 = u2, v2, u1, v1
        if v0 > v1:
            u0, v0, u1, v1 = u1, v1, u0, v0
        first_row, last_row = max(0, int(np.ceil(v0))), min(n_v - 1, int(np.ceil(v2)) - 1)
        if last_row < first_row or double == 0.0:
            continue
        known = False
        az, low_z, high_z, slope_u, slope_v = 0.0, 0.0, 0.0, 0.0, 0.0
        for row in range(first_row, last_row + 1):
            low_u = u0 + (row - v0) * (u2 - u0) / (v2 - v0)
            below = row < v1
            high_u = u0 + (row - v0) * (u1 - u0) / (v1 - v0) if below else u1 + (row - v1) * (u2 - u1) / (v2 - v1)
            if low_u > high_u:
                low_u, high_u = high_u, low_u
            first, last = max(0, int(np.ceil(low_u))), min(n_u - 1, int(np.ceil(high_u)) - 1)
            if last < first:
                continue
            if not known:
                known = True
                az, bz, cz = grid[a, 2], grid[b, 2], grid[c, 2]
                low_z, high_z = min(az, bz, cz), max(az, bz, cz)
                slope_u = ((bz - az) * (cv - av) - (cz - az) * (bv - av)) / double
                slope_v = ((bu - au) * (cz - az) - (cu - au) * (bz - az)) / double
            while found + last - first >= column.shape[0]:
                column, height = _longer(column), _longer(height)
            for place in range(first, last + 1):
                here = row * n_u + place
                z = az + (place - au) * slope_u + (row - av) * slope_v
                column[found] = here if double > 0.0 else ~here
                height[found] = min(max(z, low_z), high_z)
                starts[here + 1] += 1
                found += 1
    for k in range(1, starts.shape[0]):
        starts[k] += starts[k - 1]
    heights, signs = _by_column(column[:found], height[:found], starts)
    return starts, heights, signs


@numba.njit(cache=True)
def _by_column(column, height, starts):
    """Crossings in the order of their columns; a column is complemented where the surface is seen from below."""
    slot = starts[:-1].copy()
    heights, signs = np.empty(height.shape[0]), np.empty(height.shape[0], np.int8)
    for k in range(height.shape[0]):
        here, sign = column[k], 1
        if here < 0:
            here, sign = ~here, -1
        at = slot[here]
        heights[at], signs[at] = height[k], sign
        slot[here] = at + 1
    return heights, signs


@numba.njit(cache=True)
def _intervals(starts, heights, signs):
    """Sort each column and keep the stretches that are inside at least one shell."""
    columns = starts.shape[0] - 1
    first = np.zeros(columns + 1, dtype=np.int64)
    bottom = np.empty(heights.shape[0])
    top = np.empty(heights.shape[0])
    kept, bad = 0, 0
    for column in range(columns):
        begin, end = starts[column], starts[column + 1]
        for k in range(begin + 1, end):
            z, s = heights[k], signs[k]
            m = k - 1
            while m >= begin and heights[m] > z:
                heights[m + 1], signs[m + 1] = heights[m], signs[m]
                m -= 1
            heights[m + 1], signs[m + 1] = z, s
        inside, before, opened = 0, kept, 0.0
        for k in range(begin, end):
            was = inside
            inside -= signs[k]
            if was == 0:
                opened = heights[k]
            if inside == 0 and heights[k] > opened:
                if kept > before and top[kept - 1] >= opened:
                    top[kept - 1] = heights[k]
                else:
                    bottom[kept], top[kept] = opened, heights[k]
                    kept += 1
        if inside != 0:
            kept = before
            bad += 1
        first[column + 1] = kept
    return first, bottom[:kept].copy(), top[:kept].copy(), bad
