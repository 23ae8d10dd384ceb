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
    corners = used[order]
    boxes = _box_tree(low[order], high[order])
    count, place = _crossings(corners, _normals(corners), triangles[order], shells[order], boxes, tolerance)
    return Crossings(int(count), np.array(place) if count else None)


def _normals(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    return np.divide(normals, length, out=np.zeros_like(normals), where=length > 0)


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
    """A full binary tree, (2·leaves, 7), root at 1; leaf k holds triangles 4k to 4k + 3.

    Each row is a box, low corner and high corner, and the number of the last triangle in it.
    """
    leaves = 1 << max(0, (-(-len(low) // _LEAF) - 1).bit_length())
    boxes = np.full((2 * leaves, 7), -np.inf)
    boxes[:, :3] = np.inf
    starts = np.arange(0, len(low), _LEAF)
    boxes[leaves : leaves + len(starts), :3] = np.minimum.reduceat(low, starts)
    boxes[leaves : leaves + len(starts), 3:6] = np.maximum.reduceat(high, starts)
    boxes[leaves : leaves + len(starts), 6] = np.minimum(starts + _LEAF, len(low)) - 1
    level = leaves
    while level > 1:
        below = boxes[level : 2 * level]
        boxes[level // 2 : level, :3] = np.minimum(below[::2, :3], below[1::2, :3])
        boxes[level // 2 : level, 3:] = np.maximum(below[::2, 3:], below[1::2, 3:])
        level //= 2
    return boxes


@njit(cache=True)
def _crossings(corners, normals, names, shells, boxes, tolerance):
    """Each triangle goes down the tree of boxes and meets the triangles that stand after it."""
    count = 0
    place = (0.0, 0.0, 0.0)
    leaves = len(boxes) // 2
    stack = np.empty(128, dtype=np.int64)
    for i in range(len(corners)):
        low_x = min(corners[i, 0, 0], corners[i, 1, 0], corners[i, 2, 0])
        low_y = min(corners[i, 0, 1], corners[i, 1, 1], corners[i, 2, 1])
        low_z = min(corners[i, 0, 2], corners[i, 1, 2], corners[i, 2, 2])
        high_x = max(corners[i, 0, 0], corners[i, 1, 0], corners[i, 2, 0])
        high_y = max(corners[i, 0, 1], corners[i, 1, 1], corners[i, 2, 1])
        high_z = max(corners[i, 0, 2], corners[i, 1, 2], corners[i, 2, 2])
        top, stack[0] = 1, 1
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
                or boxes[node, 6] <= i
            ):
                continue
            if node < leaves:
                stack[top], stack[top + 1] = 2 * node, 2 * node + 1
                top += 2
                continue
            first = (node - leaves) * _LEAF
            for j in range(max(first, i + 1), min(first + _LEAF, len(corners))):
                if shells[i] == shells[j] and _shared(names, i, j) < 2:
                    crossed, middle = _cross(corners, normals, i, j, tolerance)
                    if crossed and count == 0:
                        place = middle
                    count += crossed
    return count, place


@njit(cache=True)
def _shared(names, i, j):
    count = 0
    for a in range(3):
        for b in range(3):
            count += names[i, a] == names[j, b]
    return count


@njit(cache=True)
def _cross(corners, normals, i, j, tolerance):
    """The two planes meet in a line; each triangle covers a piece of it; do the pieces overlap?"""
    nowhere = (0.0, 0.0, 0.0)
    heights_j = _heights(corners, normals, j, i, tolerance)
    if not (max(heights_j) > 0.0 > min(heights_j)):
        return False, nowhere
    heights_i = _heights(corners, normals, i, j, tolerance)
    if not (max(heights_i) > 0.0 > min(heights_i)):
        return False, nowhere
    x = normals[i, 1] * normals[j, 2] - normals[i, 2] * normals[j, 1]
    y = normals[i, 2] * normals[j, 0] - normals[i, 0] * normals[j, 2]
    z = normals[i, 0] * normals[j, 1] - normals[i, 1] * normals[j, 0]
    length = np.sqrt(x * x + y * y + z * z)
    if length < 1e-6:
        return False, nowhere
    line = (x / length, y / length, z / length)
    start_i, end_i, point = _piece(corners, i, heights_i, line)
    start_j, end_j, point = _piece(corners, j, heights_j, line)
    start, end = max(start_i, start_j), min(end_i, end_j)
    if end - start <= tolerance:
        return False, nowhere
    move = 0.5 * (start + end) - (point[0] * line[0] + point[1] * line[1] + point[2] * line[2])
    return True, (point[0] + move * line[0], point[1] + move * line[1], point[2] + move * line[2])


@njit(cache=True)
def _heights(corners, normals, of, over, tolerance):
    """Heights of the corners of triangle `of` over the plane of `over`; 0 within the tolerance."""
    return (
        _height(corners, normals, of, 0, over, tolerance),
        _height(corners, normals, of, 1, over, tolerance),
        _height(corners, normals, of, 2, over, tolerance),
    )


@njit(cache=True)
def _height(corners, normals, of, k, over, tolerance):
    height = 0.0
    for axis in range(3):
        height += (corners[of, k, axis] - corners[over, 0, axis]) * normals[over, axis]
    return 0.0 if abs(height) <= tolerance else height


@njit(cache=True)
def _piece(corners, i, heights, line):
    """The part of the line that triangle i covers, from and to along it, and a point of the line."""
    start, end = np.inf, -np.inf
    point = (0.0, 0.0, 0.0)
    for k in range(3):
        m = (k + 1) % 3
        if heights[k] == 0.0:
            share = 0.0
        elif heights[k] * heights[m] < 0.0:
            share = heights[k] / (heights[k] - heights[m])
        else:
            continue
        point = (
            corners[i, k, 0] + share * (corners[i, m, 0] - corners[i, k, 0]),
            corners[i, k, 1] + share * (corners[i, m, 1] - corners[i, k, 1]),
            corners[i, k, 2] + share * (corners[i, m, 2] - corners[i, k, 2]),
        )
        along = point[0] * line[0] + point[1] * line[1] + point[2] * line[2]
        start, end = min(start, along), max(end, along)
    return start, end, point
