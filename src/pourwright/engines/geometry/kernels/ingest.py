"""Solids from files as the mesh kernel's own: each is made once for as long as it is in use."""

from __future__ import annotations

from weakref import WeakKeyDictionary

import manifold3d
import numpy as np

from pourwright.engines.geometry.imported import ImportedSolid

_MADE: WeakKeyDictionary[ImportedSolid, manifold3d.Manifold] = WeakKeyDictionary()


def taken_in(solid: ImportedSolid) -> manifold3d.Manifold:
    """The mesh kernel's solid of these triangles, whatever its status.

    Parameters
    ----------
    solid : of a million triangles it takes two seconds, so that twin, proof and print files share it.
    """
    made = _MADE.get(solid)
    if made is None:
        vertices = np.ascontiguousarray(solid.vertices_mm, dtype=np.float64)
        triangles = np.ascontiguousarray(solid.triangles, dtype=np.uint64)
        made = _MADE[solid] = manifold3d.Manifold(manifold3d.Mesh64(vertices, triangles))
    return made
