"""Level rings of edges on a mesh: where a side ends and a rounding begins, and so where a mould can part. mm."""

from __future__ import annotations

import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints

_SAME = 1e-7  # of the mesh's size; edges this level lie at one height


def level_rings(vertices: Floats, triangles: Ints) -> tuple[Floats, Floats]:
    """Heights at which the mesh has level edges, and how long they are together at each.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3)

    Returns
    -------
    Heights, rising, and lengths; mm, (k,) each. An edge inside a level face counts too.

    Examples
    --------
    >>> corners = np.array([[0.0, 0, 0], [3, 0, 0], [0, 4, 0], [0, 0, 5]])
    >>> heights, lengths = level_rings(corners, np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]))
    >>> heights.tolist(), lengths.tolist()
    ([0.0], [12.0])
    """
    ends = np.sort(np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]]), axis=1)
    near = _SAME * max(float(np.ptp(vertices, axis=0).max()), 1e-300)
    heights = vertices[:, 2][ends]
    ends = np.unique(ends[np.abs(heights[:, 0] - heights[:, 1]) <= near], axis=0)
    if not len(ends):
        return np.empty(0), np.empty(0)
    at = vertices[ends, 2].mean(axis=1)
    order = np.argsort(at, kind="stable")
    at, ends = at[order], ends[order]
    first = np.flatnonzero(np.concatenate(([True], np.diff(at) > near)))
    lengths = np.linalg.norm(vertices[ends[:, 0]] - vertices[ends[:, 1]], axis=1)
    return at[first], np.add.reduceat(lengths, first)
