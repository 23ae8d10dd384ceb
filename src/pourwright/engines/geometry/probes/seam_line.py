"""Where the seam of a print should stand: an upright edge hides it, best one that meets nothing. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Floats, Ints

_SHARP_DEG = 30.0
_UPRIGHT = math.cos(math.radians(2.0))
_OUTER = 0.7  # of the outermost point's distance from the middle: edges further in lie in openings
_LONG = 0.25  # of the piece's height: a shorter edge does not hide a seam
_SAME_MM = 0.01


@dataclass(frozen=True)
class SeamLine:
    """A place for the seam: (x, y), how much upright edge there is, whether none of its faces must stay clean."""

    x_mm: float
    y_mm: float
    edge_mm: float
    free: bool


def seam_line(vertices: Floats, triangles: Ints, clean: NDArray[np.bool_]) -> SeamLine:
    """The place for the seam of a piece as it lies on the bed, z up.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    clean : (m,), triangles on which a seam would show or be in the way.

    Notes
    -----
    An upright edge that meets no clean face is best, the outermost among them; then an upright edge at all; a body
    without one gets its hindmost point.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> kernel = MeshKernel()
    >>> vertices, triangles = kernel.mesh(kernel.box(0, 0, 0, 10, 6, 4))
    >>> line = seam_line(vertices, triangles, np.zeros(len(triangles), dtype=bool))
    >>> (line.x_mm, line.y_mm, line.edge_mm, line.free)
    (0.0, 6.0, 4.0, True)
    """
    middle = (vertices.min(axis=0) + vertices.max(axis=0)) / 2
    height = float(np.ptp(vertices[:, 2]))
    reach = float(np.hypot(*(vertices - middle).T[:2]).max())
    best: tuple[bool, float, float, float, float] | None = None
    for (x, y), (length, free) in _upright_edges(vertices, triangles, clean).items():
        out = round(math.hypot(x - middle[0], y - middle[1]), 3)
        if length < _LONG * height or out < _OUTER * reach:
            continue
        best = max(best or (free, out, y, -x, length), (free, out, y, -x, length))
    if best is not None:
        return SeamLine(-best[3] + 0.0, best[2], best[4], best[0])
    k = int(np.lexsort((vertices[:, 0], -np.round(vertices[:, 1], 6)))[0])
    return SeamLine(float(vertices[k, 0]), float(vertices[k, 1]), 0.0, False)


def _upright_edges(
    vertices: Floats, triangles: Ints, clean: NDArray[np.bool_]
) -> dict[tuple[float, float], tuple[float, bool]]:
    """Length of upright sharp edges by their place, and whether none of their faces is clean."""
    corners = vertices[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-300)
    edges = np.vstack([triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    owner = np.tile(np.arange(len(triangles)), 3)
    names = np.sort(edges, axis=1)
    order = np.lexsort((names[:, 1], names[:, 0]))
    names, owner = names[order], owner[order]
    twin = np.flatnonzero((names[1:] == names[:-1]).all(axis=1))
    one, other, ends = owner[twin], owner[twin + 1], names[twin]
    along = vertices[ends[:, 1]] - vertices[ends[:, 0]]
    length = np.linalg.norm(along, axis=1)
    sharp = (normals[one] * normals[other]).sum(axis=1) < math.cos(math.radians(_SHARP_DEG))
    upright = np.abs(along[:, 2]) >= _UPRIGHT * np.maximum(length, 1e-300)
    found: dict[tuple[float, float], tuple[float, bool]] = {}
    for k in np.flatnonzero(sharp & upright & (length > 0)):
        x, y = (float(round(value / _SAME_MM) * _SAME_MM) for value in vertices[ends[k, 0], :2])
        before, free = found.get((round(x, 6), round(y, 6)), (0.0, True))
        found[round(x, 6), round(y, 6)] = (before + float(length[k]), free and not (clean[one[k]] or clean[other[k]]))
    return found
