"""The thinnest upright wall of a piece as it is printed: what is thin along the layers' height is no trouble. mm."""

from __future__ import annotations

import math

import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints
from pourwright.engines.geometry.probes.ray_tree import ray_tree
from pourwright.engines.geometry.probes.thickness import ray_thickness, surface_samples

_UPRIGHT = math.cos(math.radians(60.0))  # of a normal: a face that leans more is thin in height, not in width
_WALL = math.cos(math.radians(135.0))  # two faces that close at 45 degrees or more are a corner and no wall


def thinnest_wall_mm(vertices: Floats, triangles: Ints, *, down: object, samples: int = 2000) -> float | None:
    """Thickness of the thinnest upright wall found, mm; None where nothing stands upright.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    down : direction to the bed.
    samples : points on the surface, spread by area; a thin place smaller than their spacing can be missed.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> kernel = MeshKernel()
    >>> sheet = kernel.mesh(kernel.box(0, 0, 0, 20, 30, 0.5))
    >>> [round(thinnest_wall_mm(*sheet, down=way), 6) for way in ((0, 0, -1), (0, -1, 0))]
    [20.0, 0.5]
    """
    points, normals, _ = surface_samples(vertices, triangles, samples)
    upright = np.abs(normals @ np.asarray(down, dtype=np.float64)) < _UPRIGHT
    if not upright.any():
        return None
    thickness, opposite = ray_thickness(ray_tree(vertices, triangles), points[upright], normals[upright])
    corners = np.asarray(vertices, dtype=np.float64)[triangles[opposite]]
    far = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    far = far / np.maximum(np.linalg.norm(far, axis=1, keepdims=True), 1e-300)
    facing = (far * normals[upright]).sum(axis=1) < _WALL
    walls = thickness[facing & np.isfinite(thickness)]
    return float(walls.min()) if len(walls) else None
