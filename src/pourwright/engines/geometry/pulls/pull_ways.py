"""Directions worth trying for the pull of a part: its flat faces, axes of inertia, and a half sphere of others. mm."""

from __future__ import annotations

import math

import numba
import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints, frame_along

_HALF_SPHERE = 200
_FLATS, _FLAT_SHARE = 6, 0.02
_SAME_EXTENT = 1e-3
_ASIDE, _ASIDE_SHARE = 0.26, 1e-3  # sine of 15°, more than facets of a round side are off; least share of the surface


def named_ways(vertices: Floats, triangles: Ints) -> list[Floats]:
    """Normals of flat faces, axes of inertia, axes: each direction once; among equals the first will win.

    The axes come last, since a part that was drawn a little askew should be pulled along its own face or axis.
    """
    axes = [np.array(axis, dtype=float) for axis in ((0, 0, 1), (1, 0, 0), (0, 1, 0))]
    inertia = principal_axes(vertices, triangles)
    across = ways_across(vertices, triangles, inertia[0]) if len(inertia) == 1 else []
    all_ways = [*flat_normals(vertices, triangles), *inertia, *across, *axes]
    kept: list[Floats] = []
    for way in all_ways:
        if all(abs(float(way @ other)) < 1 - 1e-9 for other in kept):
            kept.append(way)
    return kept


def half_sphere() -> list[Floats]:
    """Two hundred directions spread evenly over the upper half of a sphere; the lower half is the same turned round."""
    k = np.arange(_HALF_SPHERE)
    up = 1 - (k + 0.5) / _HALF_SPHERE
    turn = math.pi * (1 + math.sqrt(5)) * (k + 0.5)  # the golden angle spreads them evenly
    out = np.sqrt(1 - up**2)
    return list(np.column_stack((out * np.cos(turn), out * np.sin(turn), up)))


def principal_axes(vertices: Floats, triangles: Ints) -> list[Floats]:
    """Axes of inertia of a closed mesh, longest extent first; unit vectors, (3,) each.

    An axis that the body does not set apart from another (any across a round body) is left out.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> kernel = MeshKernel()
    >>> principal_axes(*kernel.mesh(kernel.box(0, 0, 0, 1, 2, 3)))[0].round(6).tolist()
    [0.0, 0.0, 1.0]
    """
    faces = np.ascontiguousarray(triangles, dtype=np.int64)
    six, first, second = _moments(np.ascontiguousarray(vertices, dtype=np.float64), faces, vertices.mean(axis=0))
    centre = first / (4 * six)
    spread = second / (20 * six) - np.outer(centre, centre)
    extents, ways = np.linalg.eigh(spread)
    apart = np.abs(extents[:, None] - extents[None, :]) > _SAME_EXTENT * extents[-1]
    own = (apart | np.eye(3, dtype=bool)).all(axis=1)
    return list(_positive(ways.T[own][::-1]))


def ways_across(vertices: Floats, triangles: Ints, axis: Floats) -> list[Floats]:
    """Two directions across the axis of a round body, at a right angle; the first along a hole that runs across it.

    A hole is told by the faces that look neither along the axis, nor from it, nor to it.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    axis : unit vector, (3,)
    """
    middle = 0.5 * (vertices.max(axis=0) + vertices.min(axis=0))
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    twice = np.cross(b - a, c - a)
    area = np.linalg.norm(twice, axis=1)
    normals = twice / np.maximum(area, 1e-300)[:, None]
    round_about = np.cross(axis, (a + b + c) / 3 - middle)
    round_about /= np.maximum(np.linalg.norm(round_about, axis=1), 1e-300)[:, None]
    aside = np.abs(np.einsum("ij,ij->i", normals, round_about)) > _ASIDE
    u, v, _ = frame_along(axis)
    if area[aside].sum() > _ASIDE_SHARE * area.sum():
        seen = normals[aside] @ np.column_stack((u, v))
        _, ways = np.linalg.eigh((seen * area[aside][:, None]).T @ seen)
        u, v = ways[0, 0] * u + ways[1, 0] * v, ways[0, 1] * u + ways[1, 1] * v
    return list(_positive(np.array([u, v])))


def flat_normals(vertices: Floats, triangles: Ints) -> list[Floats]:
    """Normals of the flat faces of a mesh, largest area first; unit vectors, (3,) each.

    All faces that look the same way, or the opposite way, count together; less than a fiftieth of the surface is
    no face.
    """
    points = np.ascontiguousarray(vertices, dtype=np.float64)
    length, ways = _facings(points, np.ascontiguousarray(triangles, dtype=np.int64))
    ways = _positive(ways[length > 0])
    grid = np.rint(ways * 1e4).astype(np.int64) + 10_000
    number = (grid[:, 0] * 20_001 + grid[:, 1]) * 20_001 + grid[:, 2]
    order = np.argsort(number, kind="stable")
    starts = np.flatnonzero(np.concatenate(([True], np.diff(number[order]) > 0)))
    area = np.add.reduceat(length[length > 0][order], starts)
    largest = np.argsort(-area, kind="stable")[:_FLATS]
    return [ways[order[starts[k]]] for k in largest if area[k] > _FLAT_SHARE * area.sum()]


def _positive(ways: Floats) -> Floats:
    """Of each direction (k, 3) and its opposite the one whose last figure that is not 0 is positive."""
    x, y, z = (np.where(np.abs(ways[:, k]) < 5e-10, 0.0, ways[:, k]) for k in range(3))
    sign = np.sign(np.where(z != 0, z, np.where(y != 0, y, x)))
    return ways * sign[:, None] + 0.0


# ---------------------------------------------------------------- compiled


@numba.njit(cache=True)
def _moments(points, faces, middle):
    """Sums over the tetrahedra from the middle: six times the volume, and its first and second moments."""
    whole, first, second = 0.0, np.zeros(3), np.zeros((3, 3))
    corner, total = np.empty((3, 3)), np.empty(3)
    for t in range(faces.shape[0]):
        for k in range(3):
            for axis in range(3):
                corner[k, axis] = points[faces[t, k], axis] - middle[axis]
        x = corner[1, 1] * corner[2, 2] - corner[1, 2] * corner[2, 1]
        y = corner[1, 2] * corner[2, 0] - corner[1, 0] * corner[2, 2]
        z = corner[1, 0] * corner[2, 1] - corner[1, 1] * corner[2, 0]
        six = corner[0, 0] * x + corner[0, 1] * y + corner[0, 2] * z
        whole += six
        for axis in range(3):
            total[axis] = corner[0, axis] + corner[1, axis] + corner[2, axis]
            first[axis] += six * total[axis]
        for i in range(3):
            for j in range(i, 3):
                here = total[i] * total[j]
                for k in range(3):
                    here += corner[k, i] * corner[k, j]
                second[i, j] += six * here
    for i in range(3):
        for j in range(i):
            second[i, j] = second[j, i]
    return whole, first, second


@numba.njit(cache=True)
def _facings(points, faces):
    """Twice the area of each triangle, and its unit normal."""
    length, ways = np.empty(faces.shape[0]), np.zeros((faces.shape[0], 3))
    for t in range(faces.shape[0]):
        a, b, c = faces[t, 0], faces[t, 1], faces[t, 2]
        ex, ey, ez = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
        fx, fy, fz = points[c, 0] - points[a, 0], points[c, 1] - points[a, 1], points[c, 2] - points[a, 2]
        x, y, z = ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx
        length[t] = np.sqrt(x * x + y * y + z * z)
        if length[t] > 0.0:
            ways[t, 0], ways[t, 1], ways[t, 2] = x / length[t], y / length[t], z / length[t]
    return length, ways
