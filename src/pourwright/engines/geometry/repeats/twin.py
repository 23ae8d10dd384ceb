"""The same body with far fewer triangles, near enough to compare directions on. Millimetres."""

from __future__ import annotations

import numba
import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints


def coarse_twin(vertices: Floats, triangles: Ints, *, share: float) -> tuple[Floats, Ints]:
    """All vertices of a small cube become the one of them where the surface is sharpest.

    A closed mesh stays closed, though thin places may fold onto themselves: good for scans by columns, which only
    count how often the surface is crossed, and for nothing else.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3)
    share : -, width of a cube, of the body's diagonal; no vertex moves farther than its cube's own diagonal.

    Examples
    --------
    >>> corners = np.array([[0.0, 0, 0], [0.001, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> faces = np.array([[0, 2, 3], [0, 1, 2]])
    >>> coarse_twin(corners, faces, share=0.05)[1].tolist()
    [[0, 3, 2]]
    """
    points = np.ascontiguousarray(vertices, dtype=np.float64)
    faces = np.ascontiguousarray(triangles, dtype=np.int64)
    low = points.min(axis=0)
    size = points.max(axis=0) - low
    width = share * float(np.linalg.norm(size))
    cube = np.floor((points - low) / width).astype(np.int64)
    across = cube.max(axis=0) + 1
    number = (cube[:, 0] * across[1] + cube[:, 1]) * across[2] + cube[:, 2]
    order = np.argsort(number, kind="stable")
    ranked = number[order]
    new = np.concatenate(([True], ranked[1:] != ranked[:-1]))
    group = np.empty(len(points), dtype=np.int64)
    group[order] = np.cumsum(new) - 1
    chosen = _chosen(points, _sharpness(points, faces), group, int(group.max()) + 1)
    joined = group[faces]
    a, b, c = joined.T
    return points[chosen], np.ascontiguousarray(joined[(a != b) & (b != c) & (c != a)])


@numba.njit(cache=True)
def _sharpness(points, faces):
    """0 where all triangles round a vertex look the same way, up to 1 at a spike."""
    total = np.zeros((points.shape[0], 3))
    area = np.zeros(points.shape[0])
    for t in range(faces.shape[0]):
        a, b, c = faces[t, 0], faces[t, 1], faces[t, 2]
        ex, ey, ez = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
        fx, fy, fz = points[c, 0] - points[a, 0], points[c, 1] - points[a, 1], points[c, 2] - points[a, 2]
        x, y, z = ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx
        length = np.sqrt(x * x + y * y + z * z)
        for corner in range(3):
            k = faces[t, corner]
            total[k, 0] += x
            total[k, 1] += y
            total[k, 2] += z
            area[k] += length
    sharp = np.zeros(points.shape[0])
    for k in range(points.shape[0]):
        if area[k] > 0.0:
            length = np.sqrt(total[k, 0] ** 2 + total[k, 1] ** 2 + total[k, 2] ** 2)
            sharp[k] = 1.0 - length / area[k]
    return sharp


@numba.njit(cache=True)
def _chosen(points, sharp, group, groups):
    """Of each group the sharpest vertex; where none stands out, the one nearest to their middle."""
    middle, many = np.zeros((groups, 3)), np.zeros(groups)
    for k in range(points.shape[0]):
        many[group[k]] += 1.0
        for axis in range(3):
            middle[group[k], axis] += points[k, axis]
    chosen = np.full(groups, -1, np.int64)
    best = np.full((groups, 2), np.inf)
    for k in range(points.shape[0]):
        g = group[k]
        dull = np.round(1.0 - sharp[k], 2)
        away = 0.0
        for axis in range(3):
            away += (points[k, axis] - middle[g, axis] / many[g]) ** 2
        if dull < best[g, 0] or (dull == best[g, 0] and away < best[g, 1]):
            best[g, 0], best[g, 1] = dull, away
            chosen[g] = k
    return chosen
