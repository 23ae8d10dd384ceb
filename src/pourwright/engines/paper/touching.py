"""Which faces of one solid another one lies on, seen from above: what a release map shows."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.need import need
from pourwright.engines.paper.smoothing import face_normals

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]

_POINTS = 1200  # along the longer side of the grid on which heights are compared
_STEEPEST = 0.02  # smallest upward part of a normal: an upright face has no height to compare


def touching_faces(lower: Mesh, upper: Mesh, *, gap_mm: float = 0.05) -> NDArray[np.bool_]:
    """Triangles of `lower` that look up and carry `upper`; (T,) bool.

    Parameters
    ----------
    lower, upper : vertices mm (V, 3), triangles (T, 3)
    gap_mm : mm, as much apart as still counts as touching, beside what the grid blurs on slopes.

    Notes
    -----
    Each triangle is judged at its middle, against the height of the underside of `upper` above that point.
    """
    raster = need("pourwright.engines.paper.raster")
    spots, faces = lower
    low, high = spots.min(axis=0), spots.max(axis=0)
    step = float(max(high[0] - low[0], high[1] - low[1])) / _POINTS
    tall, wide = math.ceil((high[1] - low[1]) / step) + 1, math.ceil((high[0] - low[0]) / step) + 1
    under = upper[0].copy()
    under[:, :2] = (under[:, :2] - low[:2]) / step
    under[:, 2] *= -1.0  # the lowest face of `upper` is the nearest one, seen from below
    heights = -raster.nearest_triangle(under, upper[1].astype(np.int64), tall, wide)[0]
    middles = spots[faces].mean(axis=1)
    x = np.clip(((middles[:, 0] - low[0]) / step).astype(np.int64), 0, wide - 1)
    y = np.clip(((middles[:, 1] - low[1]) / step).astype(np.int64), 0, tall - 1)
    upward = face_normals(spots, faces)[:, 2]
    blur = step / np.maximum(upward, _STEEPEST)
    return np.asarray((upward > _STEEPEST) & (np.abs(heights[y, x] - middles[:, 2]) < gap_mm + blur))
