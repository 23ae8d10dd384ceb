"""What the triangles of a mesh measure, one by one. Compiled, for meshes of a million. Millimetres."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True)
def signed_volumes(vertices, triangles, middle):
    """Six times the volume between each triangle and a point, positive where the triangle looks away from it."""
    out = np.empty(len(triangles))
    x, y, z = middle[0], middle[1], middle[2]
    for t in range(len(triangles)):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        ax, ay, az = vertices[a, 0] - x, vertices[a, 1] - y, vertices[a, 2] - z
        bx, by, bz = vertices[b, 0] - x, vertices[b, 1] - y, vertices[b, 2] - z
        cx, cy, cz = vertices[c, 0] - x, vertices[c, 1] - y, vertices[c, 2] - z
        out[t] = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    return out


@njit(cache=True)
def crosses(vertices, triangles):
    """The cross product of two sides of each triangle: twice its area along its normal, (m, 3)."""
    out = np.empty((len(triangles), 3))
    for t in range(len(triangles)):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        px, py, pz = vertices[b, 0] - vertices[a, 0], vertices[b, 1] - vertices[a, 1], vertices[b, 2] - vertices[a, 2]
        qx, qy, qz = vertices[c, 0] - vertices[a, 0], vertices[c, 1] - vertices[a, 1], vertices[c, 2] - vertices[a, 2]
        out[t, 0] = py * qz - pz * qy
        out[t, 1] = pz * qx - px * qz
        out[t, 2] = px * qy - py * qx
    return out


@njit(cache=True)
def lengths(vectors):
    """Length of each vector, (m,)."""
    out = np.empty(len(vectors))
    for k in range(len(vectors)):
        x, y, z = vectors[k, 0], vectors[k, 1], vectors[k, 2]
        out[k] = np.sqrt(x * x + y * y + z * z)
    return out


@njit(cache=True)
def box_of_used(vertices, triangles):
    """Lowest and highest place of the corners that triangles use, (2, 3)."""
    out = np.empty((2, 3))
    out[0], out[1] = np.inf, -np.inf
    for t in range(len(triangles)):
        for k in range(3):
            for axis in range(3):
                value = vertices[triangles[t, k], axis]
                out[0, axis] = min(out[0, axis], value)
                out[1, axis] = max(out[1, axis], value)
    return out


@njit(cache=True)
def square_from_axis(vertices, triangles):
    """Square of the least distance of the triangles' shadows on z = 0 from the origin; 0 when one lies over it."""
    least = np.inf
    for t in range(len(triangles)):
        left, right = 0, 0
        for k in range(3):
            one, other = triangles[t, k], triangles[t, (k + 1) % 3]
            x, y = vertices[one, 0], vertices[one, 1]
            u, v = vertices[other, 0] - x, vertices[other, 1] - y
            turn = x * vertices[other, 1] - y * vertices[other, 0]
            left += turn > 0
            right += turn < 0
            share = min(max(-(x * u + y * v) / max(u * u + v * v, 1e-300), 0.0), 1.0)
            least = min(least, (x + share * u) ** 2 + (y + share * v) ** 2)
        if left == 3 or right == 3:
            return 0.0
    return least


@njit(cache=True)
def volumes_below(vertices, triangles, level):
    """Volume between each triangle and a level plane, of what of it lies below the plane; negative where it looks up.

    The integral of min(z - level, 0) over the triangle's shadow.
    """
    out = np.empty(len(triangles))
    for t in range(len(triangles)):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        px, py = vertices[b, 0] - vertices[a, 0], vertices[b, 1] - vertices[a, 1]
        qx, qy = vertices[c, 0] - vertices[a, 0], vertices[c, 1] - vertices[a, 1]
        p, q, r = vertices[a, 2] - level, vertices[b, 2] - level, vertices[c, 2] - level
        low, high = min(p, q, r), max(p, q, r)
        middle = max(min(p, q), min(max(p, q), r))
        mean = 0.0
        if high <= 0:
            mean = (low + middle + high) / 3
        elif middle < 0:
            mean = (low + middle + high) / 3 - high**3 / (3 * (high - low) * (high - middle))
        elif low < 0:
            mean = low**3 / (3 * (low - middle) * (low - high))
        out[t] = (px * qy - py * qx) / 2 * mean
    return out
