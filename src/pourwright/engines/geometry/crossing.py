"""Find where a closed surface crosses itself: a tree of boxes, then triangle against triangle. Compiled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

_LEAF = 4
# Coarser than the last digits of a float32 file, finer than anything a printer shows.
_RELATIVE = 1e-5
_FLOAT32 = 2.0**-21


@dataclass(frozen=True, eq=False)
class Crossings:
    """Pairs of triangles that cross, and the middle of the first crossing (None where there is none)."""

    count: int
    place_mm: NDArray[np.float64] | None


def self_crossings(
    vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64], shells: NDArray[np.int64]
) -> Crossings:
    """Pairs of triangles of the same shell that pass through one another.

    A pair counts when each triangle has corners on both sides of the other, and the line in which they meet is
    longer than a hundred-thousandth of the diagonal (and than the last digits of a float32). Touching, sharing
    corners and lying in one plane do not count.

    Parameters
    ----------
    vertices_mm : mm, (n, 3)
    triangles : indices, (m, 3)
    shells : number of the shell of each triangle, (m,)

    Examples
    --------
    >>> import numpy as np
    >>> corners = np.array([[0.0, 0, 0], [4, 0, 0], [0, 4, 0], [1, 1, -1], [1, 1, 1], [3, 3, 1]])
    >>> self_crossings(corners, np.array([[0, 1, 2], [3, 4, 5]]), np.zeros(2, dtype=np.int64)).count
    1
    """
    used = vertices_mm[triangles]
    low, high = used.min(axis=1), used.max(axis=1)
    size = high.max(axis=0) - low.min(axis=0)
    tolerance = max(_RELATIVE * float(np.linalg.norm(size)), _FLOAT32 * float(np.abs(used).max()))
    order = _along_a_curve(low + high)
    sorted_triangles = np.ascontiguousarray(triangles[order])
    boxes = _box_tree(low[order], high[order])
    count, place = _crossings(vertices_mm, sorted_triangles, shells[order], boxes, tolerance)
    return Crossings(int(count), place if count else None)


def _along_a_curve(centres: NDArray[np.float64]) -> NDArray[np.int64]:
    """Order in which neighbours in space mostly stand near one another (Morton's curve)."""
    low = centres.min(axis=0)
    span = np.maximum(centres.max(axis=0) - low, 1e-300)
    cells = ((centres - low) / span.max() * (2**20 - 1)).astype(np.uint64)
    number = np.zeros(len(centres), dtype=np.uint64)
    for axis in range(3):
        number |= _spread(cells[:, axis]) << np.uint64(axis)
    return np.argsort(number, kind="stable")


def _spread(bits: NDArray[np.uint64]) -> NDArray[np.uint64]:
    for shift, mask in (
        (32, 0x1F00000000FFFF),
        (16, 0x1F0000FF0000FF),
        (8, 0x100F00F00F00F00F),
        (4, 0x10C30C30C30C30C3),
        (2, 0x1249249249249249),
    ):
        bits = (bits | (bits << np.uint64(shift))) & np.uint64(mask)
    return bits


def _box_tree(low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.float64]:
    """Boxes of a full binary tree, (2·leaves, 6), root at 1; leaf k holds triangles 4k to 4k + 3."""
    leaves = 1 << max(0, (-(-len(low) // _LEAF) - 1).bit_length())
    boxes = np.empty((2 * leaves, 6))
    boxes[:, :3], boxes[:, 3:] = np.inf, -np.inf
    starts = np.arange(0, len(low), _LEAF)
    boxes[leaves : leaves + len(starts), :3] = np.minimum.reduceat(low, starts)
    boxes[leaves : leaves + len(starts), 3:] = np.maximum.reduceat(high, starts)
    level = leaves
    while level > 1:
        below = boxes[level : 2 * level]
        boxes[level // 2 : level, :3] = np.minimum(below[::2, :3], below[1::2, :3])
        boxes[level // 2 : level, 3:] = np.maximum(below[::2, 3:], below[1::2, 3:])
        level //= 2
    return boxes


@njit(cache=True)
def _crossings(vertices, triangles, shells, boxes, tolerance):
    leaves = len(boxes) // 2
    count = 0
    place = np.zeros(3)
    stack = np.empty(128, dtype=np.int64)
    middle = np.empty(3)
    for i in range(len(triangles)):
        p, q, r = triangles[i, 0], triangles[i, 1], triangles[i, 2]
        low_x = min(vertices[p, 0], vertices[q, 0], vertices[r, 0])
        low_y = min(vertices[p, 1], vertices[q, 1], vertices[r, 1])
        low_z = min(vertices[p, 2], vertices[q, 2], vertices[r, 2])
        high_x = max(vertices[p, 0], vertices[q, 0], vertices[r, 0])
        high_y = max(vertices[p, 1], vertices[q, 1], vertices[r, 1])
        high_z = max(vertices[p, 2], vertices[q, 2], vertices[r, 2])
        top = 1
        stack[0] = 1
        while top > 0:
            top -= 1
            node = stack[top]
            if (
                boxes[node, 0] > high_x
                or boxes[node, 3] < low_x
                or boxes[node, 1] > high_y
                or boxes[node, 4] < low_y
                or boxes[node, 2] > high_z
                or boxes[node, 5] < low_z
            ):
                continue
            if node < leaves:
                stack[top] = 2 * node
                stack[top + 1] = 2 * node + 1
                top += 2
                continue
            first = (node - leaves) * _LEAF
            for j in range(max(first, i + 1), min(first + _LEAF, len(triangles))):
                if (
                    shells[i] == shells[j]
                    and _shared(triangles, i, j) < 2
                    and _cross(vertices, triangles[i], triangles[j], tolerance, middle)
                ):
                    if count == 0:
                        place[:] = middle
                    count += 1
    return count, place


@njit(cache=True)
def _shared(triangles, i, j):
    count = 0
    for a in range(3):
        for b in range(3):
            count += triangles[i, a] == triangles[j, b]
    return count


@njit(cache=True)
def _cross(vertices, first, second, tolerance, middle):
    """The two planes meet in a line; each triangle covers a piece of it; do the pieces overlap?"""
    normal_1, normal_2 = _normal(vertices, first), _normal(vertices, second)
    line = np.cross(normal_1, normal_2)
    length = np.sqrt(np.dot(line, line))
    if length < 1e-6:
        return False
    line /= length
    start_2, end_2, there_2 = _piece(vertices, second, first, normal_1, line, tolerance, middle)
    if not there_2:
        return False
    start_1, end_1, there_1 = _piece(vertices, first, second, normal_2, line, tolerance, middle)
    if not there_1:
        return False
    start, end = max(start_1, start_2), min(end_1, end_2)
    if end - start <= tolerance:
        return False
    middle += line * (0.5 * (start + end) - np.dot(middle, line))
    return True


@njit(cache=True)
def _normal(vertices, corners):
    a = vertices[corners[0]]
    normal = np.cross(vertices[corners[1]] - a, vertices[corners[2]] - a)
    length = np.sqrt(np.dot(normal, normal))
    if length > 0.0:
        normal /= length
    return normal


@njit(cache=True)
def _piece(vertices, corners, other, normal, line, tolerance, point):
    """Where the triangle `corners` meets the plane of `other`: from, to (along the line), and whether at all."""
    origin = vertices[other[0]]
    height = np.empty(3)
    above, below = False, False
    for k in range(3):
        height[k] = np.dot(vertices[corners[k]] - origin, normal)
        if abs(height[k]) <= tolerance:
            height[k] = 0.0
        above |= height[k] > 0.0
        below |= height[k] < 0.0
    if not (above and below):
        return 0.0, 0.0, False
    start, end = np.inf, -np.inf
    for k in range(3):
        m = (k + 1) % 3
        if height[k] == 0.0:
            point[:] = vertices[corners[k]]
        elif height[k] * height[m] < 0.0:
            share = height[k] / (height[k] - height[m])
            point[:] = vertices[corners[k]] * (1.0 - share) + vertices[corners[m]] * share
        else:
            continue
        along = np.dot(point, line)
        start, end = min(start, along), max(end, along)
    return start, end, True
