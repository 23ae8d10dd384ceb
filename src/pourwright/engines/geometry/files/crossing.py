"""Find where a closed surface crosses itself: a tree of boxes, then triangle against triangle. Compiled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pourwright.engines.geometry.probes.facets import box_of_used

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
    vertices = np.ascontiguousarray(vertices_mm, dtype=np.float64)
    names = np.ascontiguousarray(triangles, dtype=np.int64)
    box = box_of_used(vertices, names)
    tolerance = max(_RELATIVE * float(np.linalg.norm(box[1] - box[0])), _FLOAT32 * float(np.abs(box).max()))
    order = _along_a_curve(vertices, names)
    corners, normals, names = _laid(vertices, names, order)
    boxes = _box_tree(corners)
    count, place = _crossings(corners, normals, names, shells[order], boxes, tolerance)
    return Crossings(int(count), np.array(place) if count else None)


@njit(cache=True)
def _laid(vertices, triangles, order):
    """Corners, unit normals and names of the corners of the triangles, in a new order."""
    corners = np.empty((len(order), 3, 3))
    normals = np.zeros((len(order), 3))
    names = np.empty((len(order), 3), dtype=np.int64)
    for at in range(len(order)):
        t = order[at]
        for k in range(3):
            names[at, k] = triangles[t, k]
            for axis in range(3):
                corners[at, k, axis] = vertices[triangles[t, k], axis]
        one, other = corners[at, 1] - corners[at, 0], corners[at, 2] - corners[at, 0]
        x = one[1] * other[2] - one[2] * other[1]
        y = one[2] * other[0] - one[0] * other[2]
        z = one[0] * other[1] - one[1] * other[0]
        length = np.sqrt(x * x + y * y + z * z)
        if length > 0:
            normals[at, 0], normals[at, 1], normals[at, 2] = x / length, y / length, z / length
    return corners, normals, names


def _along_a_curve(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Order in which neighbours in space mostly stand near one another (Morton's curve)."""
    centres = _twice_centres(vertices, triangles)
    low = centres.min(axis=0)
    return np.argsort(_on_curve(centres, low, max(float((centres.max(axis=0) - low).max()), 1e-300)), kind="stable")


@njit(cache=True)
def _twice_centres(vertices, triangles):
    """Lowest plus highest corner of the box of each triangle."""
    out = np.empty((len(triangles), 3))
    for t in range(len(triangles)):
        for axis in range(3):
            a, b, c = (
                vertices[triangles[t, 0], axis],
                vertices[triangles[t, 1], axis],
                vertices[triangles[t, 2], axis],
            )
            out[t, axis] = min(a, b, c) + max(a, b, c)
    return out


@njit(cache=True)
def _on_curve(centres, low, span):
    """Where on the curve each point stands."""
    out = np.empty(len(centres), dtype=np.uint64)
    for k in range(len(centres)):
        number = np.uint64(0)
        for axis in range(3):
            cell = np.uint64((centres[k, axis] - low[axis]) / span * (2**20 - 1))
            number |= _spread(cell) << np.uint64(axis)
        out[k] = number
    return out


@njit(cache=True)
def _spread(bits):
    """The bits of a number of twenty bits, two empty places after each."""
    bits = (bits | (bits << np.uint64(32))) & np.uint64(0x1F00000000FFFF)
    bits = (bits | (bits << np.uint64(16))) & np.uint64(0x1F0000FF0000FF)
    bits = (bits | (bits << np.uint64(8))) & np.uint64(0x100F00F00F00F00F)
    bits = (bits | (bits << np.uint64(4))) & np.uint64(0x10C30C30C30C30C3)
    return (bits | (bits << np.uint64(2))) & np.uint64(0x1249249249249249)


@njit(cache=True)
def _box_tree(corners):
    """A full binary tree, (2·leaves, 7), root at 1; leaf k holds triangles 4k to 4k + 3.

    Each row is a box, low corner and high corner, and the number of the last triangle in it.
    """
    leaves = 1
    while leaves * _LEAF < len(corners):
        leaves *= 2
    boxes = np.full((2 * leaves, 7), -np.inf)
    boxes[:, :3] = np.inf
    for t in range(len(corners)):
        row = leaves + t // _LEAF
        for k in range(3):
            for axis in range(3):
                boxes[row, axis] = min(boxes[row, axis], corners[t, k, axis])
                boxes[row, 3 + axis] = max(boxes[row, 3 + axis], corners[t, k, axis])
        boxes[row, 6] = t
    for row in range(leaves - 1, 0, -1):
        for axis in range(3):
            boxes[row, axis] = min(boxes[2 * row, axis], boxes[2 * row + 1, axis])
        for axis in range(3, 7):
            boxes[row, axis] = max(boxes[2 * row, axis], boxes[2 * row + 1, axis])
    return boxes


@njit(cache=True)
def _crossings(corners, normals, names, shells, boxes, tolerance):
    """Each leaf looks into the boxes that stand after it; its triangles meet those of the leaves it finds there."""
    count = 0
    place, of, met = (0.0, 0.0, 0.0), len(corners), 0
    leaves = len(boxes) // 2
    own = _own_boxes(corners)
    stack = np.empty(128, dtype=np.int64)
    for leaf in range(leaves, leaves + (len(corners) + _LEAF - 1) // _LEAF):
        stack[0], top, above = leaf, 1, leaf
        while above > 1:
            if above % 2 == 0:
                stack[top] = above + 1
                top += 1
            above //= 2
        while top > 0:
            top -= 1
            node = stack[top]
            if _apart(boxes[node], boxes[leaf]):
                continue
            if node < leaves:
                stack[top], stack[top + 1] = 2 * node, 2 * node + 1
                top += 2
                continue
            start, first = (leaf - leaves) * _LEAF, (node - leaves) * _LEAF
            for i in range(start, min(start + _LEAF, len(corners))):
                if _apart(own[i], boxes[node]):
                    continue
                for j in range(max(first, i + 1), min(first + _LEAF, len(corners))):
                    if _apart(own[i], own[j]) or shells[i] != shells[j] or _shared(names, i, j) >= 2:
                        continue
                    crossed, middle = _cross(corners, normals, i, j, tolerance)
                    if crossed and (i < of or (i == of and node > met)):
                        place, of, met = middle, i, node
                    count += crossed
    return count, place


@njit(cache=True)
def _own_boxes(corners):
    """Low and high corner of the box of each triangle, (m, 6)."""
    out = np.empty((len(corners), 6))
    for t in range(len(corners)):
        for axis in range(3):
            a, b, c = corners[t, 0, axis], corners[t, 1, axis], corners[t, 2, axis]
            out[t, axis], out[t, 3 + axis] = min(a, b, c), max(a, b, c)
    return out


@njit(cache=True)
def _apart(box, other):
    """Whether two boxes lie apart."""
    return (
        box[0] > other[3]
        or box[3] < other[0]
        or box[1] > other[4]
        or box[4] < other[1]
        or box[2] > other[5]
        or box[5] < other[2]
    )


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
