"""Find quickly what a ray hits on a mesh, and which point of a mesh is nearest: a tree of boxes. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numba
import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints

_LEAF = 4  # triangles in a box that is not divided further


@dataclass(frozen=True, eq=False)
class RayTree:
    """A mesh with its tree of boxes; made by `ray_tree`.

    `boxes` (k, 6) low and high corners, `links` (k, 2): the second child (the first follows its parent) and 0, or
    the first triangle and the number of triangles of a leaf. `corners` (m, 3, 3) in the order of the leaves, which
    `order` (m,) names.
    """

    boxes: Floats
    links: Ints
    corners: Floats
    order: Ints


def ray_tree(vertices: Floats, triangles: Ints) -> RayTree:
    """Sort the triangles of a mesh into boxes.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3)
    """
    corners = np.ascontiguousarray(np.asarray(vertices, dtype=np.float64)[np.asarray(triangles)])
    boxes, links, order = _divide(corners.min(axis=1), corners.max(axis=1))
    return RayTree(boxes, links, np.ascontiguousarray(corners[order]), order)


def first_hits(tree: RayTree, points: Floats, directions: Floats) -> tuple[Floats, Ints]:
    """Distance along each ray to the first triangle, infinite for none, and that triangle, -1 for none.

    Parameters
    ----------
    tree : of the mesh.
    points : mm, (k, 3)
    directions : (k, 3), unit vectors
    """
    distance, leaf = _shoot(tree.boxes, tree.links, tree.corners, *_clean(points, directions))
    return distance, _named(tree, leaf)


def nearest_points(tree: RayTree, points: Floats, within: Floats | None = None) -> tuple[Floats, Floats, Ints]:
    """The point of the surface nearest to each point, mm (k, 3), its distance, and its triangle.

    Parameters
    ----------
    tree : of the mesh.
    points : mm, (k, 3)
    within : mm, (k,), look no further than this; the distance is infinite and the triangle -1 where nothing lies
        so near. None: look everywhere.
    """
    limit = np.full(len(points), np.inf) if within is None else within
    found, distance, leaf = _approach(tree.boxes, tree.links, tree.corners, *_clean(points, limit))
    return found, distance, _named(tree, leaf)


def largest_balls(
    tree: RayTree, points: Floats, normals: Floats, radii: Floats, *, slack: float, wall: float = -1.0
) -> tuple[Floats, Ints]:
    """Radius of the largest ball inside the material that touches each surface point, and the triangle it meets.

    Parameters
    ----------
    tree : of the mesh.
    points : mm, (k, 3), on the surface
    normals : (k, 3), outward
    radii : mm, (k,), to begin with; a ball only shrinks.
    slack : -, how deep, of its radius, the surface may lie inside a ball that counts as free.
    wall : -, cosine between the normals of two faces that close on a wall. Only the thinnest wall is looked for when
        it is above -1: no ball begins larger than the smallest that met such a face before.

    Returns
    -------
    mm, (k,), and the triangles, (k,); -1 where nothing lay inside the first ball.
    """
    radius, leaf = _shrink(tree.boxes, tree.links, tree.corners, *_clean(points, normals, radii), slack, wall)
    return radius, _named(tree, leaf)


def _clean(*arrays: Floats) -> list[Any]:
    return [np.ascontiguousarray(array, dtype=np.float64) for array in arrays]


def _named(tree: RayTree, leaf: Ints) -> Ints:
    return np.where(leaf >= 0, tree.order[np.maximum(leaf, 0)], -1)


# ---------------------------------------------------------------- compiled


@numba.njit(cache=True)
def _divide(low, high):
    """Halve the triangles by the middle of their boxes, along the longest side, until few are left."""
    count = low.shape[0]
    order = np.arange(count)
    middle = 0.5 * (low + high)
    boxes = np.empty((2 * count + 1, 6))
    links = np.zeros((2 * count + 1, 2), np.int64)
    # Tasks: first, last, the node whose second child this is (-1 for a first child).
    stack = np.empty((128, 3), np.int64)
    stack[0, 0], stack[0, 1], stack[0, 2] = 0, count, -1
    deep, used = 1, 0
    while deep > 0:
        deep -= 1
        first, last, parent = stack[deep, 0], stack[deep, 1], stack[deep, 2]
        here = used
        used += 1
        if parent >= 0:
            links[parent, 0] = here
        for axis in range(3):
            least, most = np.inf, -np.inf
            for k in range(first, last):
                a, b = low[order[k], axis], high[order[k], axis]
                least = a if a < least else least
                most = b if b > most else most
            boxes[here, axis], boxes[here, 3 + axis] = least, most
        if last - first <= _LEAF:
            links[here, 0], links[here, 1] = first, last - first
            continue
        axis = 0
        for other in range(1, 3):
            if boxes[here, 3 + other] - boxes[here, other] > boxes[here, 3 + axis] - boxes[here, axis]:
                axis = other
        half = (first + last) // 2
        _part(order, middle, axis, first, last, half)
        stack[deep, 0], stack[deep, 1], stack[deep, 2] = half, last, here
        stack[deep + 1, 0], stack[deep + 1, 1], stack[deep + 1, 2] = first, half, -1
        deep += 2
    return boxes[:used].copy(), links[:used].copy(), order


@numba.njit(cache=True)
def _part(order, middle, axis, first, last, half):
    """Shift the smaller half of some triangles before the larger; equal ones stand anywhere."""
    low, high = first, last - 1
    while low < high:
        pivot = middle[order[(low + high) // 2], axis]
        i, j = low, high
        while i <= j:
            while middle[order[i], axis] < pivot:
                i += 1
            while middle[order[j], axis] > pivot:
                j -= 1
            if i <= j:
                order[i], order[j] = order[j], order[i]
                i += 1
                j -= 1
        if half <= j:
            high = j
        elif half >= i:
            low = i
        else:
            return


@numba.njit(cache=True)
def _shoot(boxes, links, corners, points, directions):
    """Nearest hit of each ray; a ray that runs within a triangle's plane misses it."""
    distance = np.full(points.shape[0], np.inf)
    leaf = np.full(points.shape[0], -1, np.int64)
    stack = np.empty(128, np.int64)
    for r in range(points.shape[0]):
        px, py, pz = points[r, 0], points[r, 1], points[r, 2]
        dx, dy, dz = directions[r, 0], directions[r, 1], directions[r, 2]
        best, deep = np.inf, 1
        stack[0] = 0
        while deep > 0:
            deep -= 1
            node = stack[deep]
            near, far = 0.0, best
            for axis in range(3):
                d, p = directions[r, axis], points[r, axis]
                a, b = boxes[node, axis] - p, boxes[node, 3 + axis] - p
                if d == 0.0:
                    if a > 0.0 or b < 0.0:
                        near, far = 1.0, 0.0
                else:
                    a, b = a / d, b / d
                    near, far = max(near, min(a, b)), min(far, max(a, b))
            if near > far:
                continue
            if links[node, 1] == 0:
                stack[deep], stack[deep + 1] = links[node, 0], node + 1
                deep += 2
                continue
            for t in range(links[node, 0], links[node, 0] + links[node, 1]):
                ax, ay, az = corners[t, 0, 0], corners[t, 0, 1], corners[t, 0, 2]
                ex, ey, ez = corners[t, 1, 0] - ax, corners[t, 1, 1] - ay, corners[t, 1, 2] - az
                fx, fy, fz = corners[t, 2, 0] - ax, corners[t, 2, 1] - ay, corners[t, 2, 2] - az
                hx, hy, hz = dy * fz - dz * fy, dz * fx - dx * fz, dx * fy - dy * fx
                scale = ex * hx + ey * hy + ez * hz
                if scale == 0.0:
                    continue
                sx, sy, sz = px - ax, py - ay, pz - az
                u = (sx * hx + sy * hy + sz * hz) / scale
                gx, gy, gz = sy * ez - sz * ey, sz * ex - sx * ez, sx * ey - sy * ex
                v = (dx * gx + dy * gy + dz * gz) / scale
                # A hair of overlap, so that no ray slips between two triangles.
                if u < -1e-12 or v < -1e-12 or u + v > 1.0 + 1e-12:
                    continue
                way = (fx * gx + fy * gy + fz * gz) / scale
                if 0.0 < way < best:
                    best = way
                    leaf[r] = t
        distance[r] = best
    return distance, leaf


@numba.njit(cache=True)
def _on_triangle(corner, px, py, pz):
    """The point of a triangle nearest to p: inside when its foot lies inside, else on the nearest edge.

    Plain numbers throughout: small arrays would cost ten times as much here.
    """
    ax, ay, az = corner[0, 0], corner[0, 1], corner[0, 2]
    ex, ey, ez = corner[1, 0] - ax, corner[1, 1] - ay, corner[1, 2] - az
    fx, fy, fz = corner[2, 0] - ax, corner[2, 1] - ay, corner[2, 2] - az
    sx, sy, sz = px - ax, py - ay, pz - az
    ee, ef, ff = ex * ex + ey * ey + ez * ez, ex * fx + ey * fy + ez * fz, fx * fx + fy * fy + fz * fz
    se, sf = sx * ex + sy * ey + sz * ez, sx * fx + sy * fy + sz * fz
    square = ee * ff - ef * ef
    if square > 0.0:
        u, v = (ff * se - ef * sf) / square, (ee * sf - ef * se) / square
        if u >= 0.0 and v >= 0.0 and u + v <= 1.0:
            return ax + u * ex + v * fx, ay + u * ey + v * fy, az + u * ez + v * fz
    best, x, y, z = np.inf, ax, ay, az
    for k in range(3):
        after = (k + 1) % 3
        x0, y0, z0 = corner[k, 0], corner[k, 1], corner[k, 2]
        dx, dy, dz = corner[after, 0] - x0, corner[after, 1] - y0, corner[after, 2] - z0
        length = dx * dx + dy * dy + dz * dz
        share = 0.0
        if length > 0.0:
            share = min(max(((px - x0) * dx + (py - y0) * dy + (pz - z0) * dz) / length, 0.0), 1.0)
        qx, qy, qz = x0 + share * dx, y0 + share * dy, z0 + share * dz
        away = (px - qx) ** 2 + (py - qy) ** 2 + (pz - qz) ** 2
        if away < best:
            best, x, y, z = away, qx, qy, qz
    return x, y, z


@numba.njit(cache=True)
def _box_distance(box, p):
    total = 0.0
    for axis in range(3):
        away = max(box[axis] - p[axis], p[axis] - box[3 + axis], 0.0)
        total += away * away
    return total


@numba.njit(cache=True)
def _approach(boxes, links, corners, points, limit):
    """Nearest point of the surface to each point."""
    found = np.full((points.shape[0], 3), np.nan)
    distance = np.empty(points.shape[0])
    leaf = np.full(points.shape[0], -1, np.int64)
    stack = np.empty(128, np.int64)
    for r in range(points.shape[0]):
        p = points[r]
        best, deep = limit[r] ** 2, 1
        stack[0] = 0
        while deep > 0:
            deep -= 1
            node = stack[deep]
            if _box_distance(boxes[node], p) >= best:
                continue
            if links[node, 1] == 0:
                one, other = node + 1, links[node, 0]
                # The nearer box on top of the stack.
                if _box_distance(boxes[one], p) > _box_distance(boxes[other], p):
                    one, other = other, one
                stack[deep], stack[deep + 1] = other, one
                deep += 2
                continue
            for t in range(links[node, 0], links[node, 0] + links[node, 1]):
                x, y, z = _on_triangle(corners[t], p[0], p[1], p[2])
                away = (p[0] - x) ** 2 + (p[1] - y) ** 2 + (p[2] - z) ** 2
                if away < best:
                    best, leaf[r] = away, t
                    found[r, 0], found[r, 1], found[r, 2] = x, y, z
        distance[r] = np.sqrt(best) if leaf[r] >= 0 else np.inf
    return found, distance, leaf


@numba.njit(cache=True)
def _shrink(boxes, links, corners, points, normals, radii, slack, wall):
    """Once through the tree for each ball: a smaller ball at the same point lies inside the larger one, so that what
    was outside stays outside."""
    radius = radii.copy()
    leaf = np.full(points.shape[0], -1, np.int64)
    stack = np.empty(128, np.int64)
    least = np.inf
    for i in range(points.shape[0]):
        nx, ny, nz = normals[i, 0], normals[i, 1], normals[i, 2]
        r = min(radius[i], least)
        centre = points[i] - r * normals[i]
        deep, stack[0] = 1, 0
        while deep > 0:
            deep -= 1
            node = stack[deep]
            if _box_distance(boxes[node], centre) >= (r * (1.0 - slack)) ** 2:
                continue
            if links[node, 1] == 0:
                one, other = node + 1, links[node, 0]
                if _box_distance(boxes[one], centre) > _box_distance(boxes[other], centre):
                    one, other = other, one
                stack[deep], stack[deep + 1] = other, one
                deep += 2
                continue
            for t in range(links[node, 0], links[node, 0] + links[node, 1]):
                for _ in range(60):
                    x, y, z = _on_triangle(corners[t], centre[0], centre[1], centre[2])
                    away = (centre[0] - x) ** 2 + (centre[1] - y) ** 2 + (centre[2] - z) ** 2
                    if away >= (r * (1.0 - slack)) ** 2:
                        break
                    leaf[i] = t
                    x, y, z = x - points[i, 0], y - points[i, 1], z - points[i, 2]
                    fall = -(x * nx + y * ny + z * nz)
                    # The ball through both points, tangent at the first.
                    through = (x * x + y * y + z * z) / (2.0 * fall) if fall > 0.0 else r
                    if through >= r:
                        break
                    r = through
                    for axis in range(3):
                        centre[axis] = points[i, axis] - r * normals[i, axis]
        radius[i] = r
        if wall > -1.0 and leaf[i] >= 0 and _facing(corners[leaf[i]], nx, ny, nz) < wall:
            least = min(least, r)
    return radius, leaf


@numba.njit(cache=True)
def _facing(corner, nx, ny, nz):
    """Cosine between a triangle's normal and another one."""
    ex, ey, ez = corner[1, 0] - corner[0, 0], corner[1, 1] - corner[0, 1], corner[1, 2] - corner[0, 2]
    fx, fy, fz = corner[2, 0] - corner[0, 0], corner[2, 1] - corner[0, 1], corner[2, 2] - corner[0, 2]
    x, y, z = ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx
    return (x * nx + y * ny + z * nz) / max(np.sqrt(x * x + y * y + z * z), 1e-300)
