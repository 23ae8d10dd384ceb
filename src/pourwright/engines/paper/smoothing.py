"""What of a mesh is one smooth face and what is an edge, so that a picture shades and outlines it rightly."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.need import need

EDGE_DEG = 25.0

Vertices = NDArray[np.float64]
Triangles = NDArray[np.int64]


def welded(vertices: Vertices, triangles: Triangles) -> tuple[Vertices, Triangles]:
    """The mesh with points at the same place made one; triangles that vanish are dropped.

    "Same" is a millionth of the mesh's size: kernels repeat the points of each face.
    """
    low = vertices.min(axis=0)
    size = float((vertices.max(axis=0) - low).max()) or 1.0
    steps = np.rint((vertices - low) / size * 2**20).astype(np.int64)
    keys = (steps[:, 0] << 42) | (steps[:, 1] << 21) | steps[:, 2]
    _, first, place = np.unique(keys, return_index=True, return_inverse=True)
    joined = place[triangles]
    a, b, c = joined.T
    return vertices[first], joined[(a != b) & (b != c) & (c != a)]


def face_normals(vertices: Vertices, triangles: Triangles) -> NDArray[np.float64]:
    """Outward unit normal of each triangle; (T, 3), zero where it has no area."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    return np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)


def smooth_patches(triangles: Triangles, normals: NDArray[np.float64], edge_deg: float = EDGE_DEG) -> NDArray[np.int64]:
    """A number for each triangle, the same for all that join without an edge sharper than `edge_deg`; (T,)."""
    sparse = need("scipy.sparse")
    graph = need("scipy.sparse.csgraph")
    count = len(triangles)
    ends = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    ends.sort(axis=1)
    keys = ends[:, 0] * (int(triangles.max()) + 1) + ends[:, 1]
    order = np.argsort(keys, kind="stable")
    same = np.flatnonzero(keys[order][1:] == keys[order][:-1])
    one, other = order[same] % count, order[same + 1] % count
    flat = np.einsum("ij,ij->i", normals[one], normals[other]) > math.cos(math.radians(edge_deg))
    links = sparse.coo_matrix((np.ones(int(flat.sum())), (one[flat], other[flat])), shape=(count, count))
    return np.asarray(graph.connected_components(links, directed=False)[1], dtype=np.int64)


def corner_normals(
    vertices: Vertices, triangles: Triangles, normals: NDArray[np.float64], patches: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Normal at each triangle's three corners: the mean over its smooth patch, weighed by angle; (T, 3, 3)."""
    keys = triangles * (int(patches.max()) + 1) + patches[:, None]
    _, place = np.unique(keys.ravel(), return_inverse=True)
    weighed = (corner_angles(vertices, triangles)[:, :, None] * normals[:, None, :]).reshape(-1, 3)
    total = np.stack([np.bincount(place, weights=weighed[:, k]) for k in range(3)], axis=1)
    length = np.linalg.norm(total, axis=1, keepdims=True)
    total = np.divide(total, length, out=np.zeros_like(total), where=length > 0)
    return total[place].reshape(-1, 3, 3)


def corner_angles(vertices: Vertices, triangles: Triangles) -> NDArray[np.float64]:
    """Angle of each triangle at each of its corners, rad; (T, 3)."""
    out = np.empty((len(triangles), 3))
    for k in range(3):
        here = vertices[triangles[:, k]]
        one = vertices[triangles[:, (k + 1) % 3]] - here
        other = vertices[triangles[:, (k + 2) % 3]] - here
        cross = np.linalg.norm(np.cross(one, other), axis=1)
        out[:, k] = np.arctan2(cross, np.einsum("ij,ij->i", one, other))
    return out
