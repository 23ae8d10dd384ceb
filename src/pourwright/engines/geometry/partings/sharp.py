"""Where the surface of a part has sharp edges, and at which parting heights one hides the line. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numba
import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints, frame_along

if TYPE_CHECKING:
    from pourwright.engines.geometry.pulls.pull import PullReport

SHARP_DEG = 30.0
SHARP_SHARE = 0.8  # of the outline must be a sharp edge for the parting line to be hidden by it


@dataclass(frozen=True, eq=False)
class SharpEdges:
    """Which parting heights lie on a sharp edge.

    `share` (k + 1,) is the part of the outline that is sharp within one step, 0 to 1; `height_mm` (k + 1,) is
    the exact height of that edge, or of the parting where there is none.
    """

    share: Floats
    height_mm: Floats


def sharp_edges(vertices: Floats, triangles: Ints, report: PullReport, edges: Ints | None = None) -> SharpEdges:
    """How much of the outline is a sharp edge at each parting height of the report.

    An edge counts where its faces meet at 30° or more and both its ends lie within one step of the height.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    report : of one direction.
    edges : (k, 2), from `folded_edges`, when they are known already: they do not depend on the direction.
    """
    chosen = folded_edges(vertices, triangles) if edges is None else edges
    heights = (vertices @ frame_along(report.direction)[2])[chosen].reshape(-1, 2)
    lengths = np.linalg.norm(vertices[chosen[:, 0]] - vertices[chosen[:, 1]], axis=1)
    z = report.z_mm
    step = z[1] - z[0]
    first = np.searchsorted(z, heights.max(axis=1, initial=-np.inf) - step)
    last = np.searchsorted(z, heights.min(axis=1, initial=np.inf) + step, side="right")
    keep = last > first
    around = np.concatenate(([0.0], report.perimeter_mm, [0.0]))
    outline = np.maximum(around[1:], around[:-1])

    def sums(weights: Floats) -> Floats:
        change = np.zeros(len(z) + 1)
        np.add.at(change, first[keep], weights[keep])
        np.add.at(change, last[keep], -weights[keep])
        return np.cumsum(change)[:-1]

    length = sums(lengths)
    there = length > 1e-9 * outline.max(initial=1.0)
    moment = sums(lengths * (heights.mean(axis=1) - z[0]))
    height = np.divide(moment, length, out=z - z[0], where=there) + z[0]
    share = np.divide(length, outline, out=np.zeros_like(length), where=there & (outline > 0.0))
    return SharpEdges(np.minimum(share, 1.0), height)


def folded_edges(vertices: Floats, triangles: Ints) -> Ints:
    """Edges at which the surface turns by 30° or more: their two vertices each, (k, 2), in order.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> kernel = MeshKernel()
    >>> len(folded_edges(*kernel.mesh(kernel.box(0, 0, 0, 1, 2, 3))))
    12
    """
    points = np.ascontiguousarray(vertices, dtype=np.float64)
    # Within round-off of 30° counts as 30°.
    least = math.cos(math.radians(SHARP_DEG)) + 1e-9
    found = _folds(points, np.ascontiguousarray(triangles, dtype=np.int64), least)
    return found[np.lexsort((found[:, 1], found[:, 0]))]


@numba.njit(cache=True)
def _folds(points, faces, least):
    """Sort the sides of all triangles by their lower vertex, then compare those that end at the same other one."""
    count = faces.shape[0]
    normals = np.zeros((count, 3))
    for t in range(count):
        a, b, c = faces[t, 0], faces[t, 1], faces[t, 2]
        ex, ey, ez = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
        fx, fy, fz = points[c, 0] - points[a, 0], points[c, 1] - points[a, 1], points[c, 2] - points[a, 2]
        x, y, z = ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx
        length = max(np.sqrt(x * x + y * y + z * z), 1e-300)
        normals[t, 0], normals[t, 1], normals[t, 2] = x / length, y / length, z / length
    starts = np.zeros(points.shape[0] + 1, np.int64)
    for t in range(count):
        for side in range(3):
            starts[min(faces[t, side], faces[t, (side + 1) % 3]) + 1] += 1
    starts = np.cumsum(starts)
    slot = starts[:-1].copy()
    far = np.empty(3 * count, np.int64)
    face = np.empty(3 * count, np.int64)
    for t in range(count):
        for side in range(3):
            one, other = faces[t, side], faces[t, (side + 1) % 3]
            k = slot[min(one, other)]
            slot[min(one, other)] += 1
            far[k], face[k] = max(one, other), t
    found = np.empty((3 * count // 2 + 1, 2), np.int64)
    kept = 0
    for vertex in range(points.shape[0]):
        for i in range(starts[vertex], starts[vertex + 1]):
            for j in range(i + 1, starts[vertex + 1]):
                if far[i] != far[j]:
                    continue
                turn = 0.0
                for axis in range(3):
                    turn += normals[face[i], axis] * normals[face[j], axis]
                if turn <= least and kept < found.shape[0]:
                    found[kept, 0], found[kept, 1] = vertex, far[i]
                    kept += 1
                break
    return found[:kept].copy()
