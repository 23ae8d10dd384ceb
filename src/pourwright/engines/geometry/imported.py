"""A solid that came from a file, held outside the tree under the hash of its content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True, eq=False)
class ImportedSolid:
    """One closed solid from a file, turned and moved so that it stands on z = 0 about the z axis.

    Parameters
    ----------
    digest : SHA-256 of the file's bytes, unit, turning and placing; the `digest` of the tree's Imported node.
    vertices_mm : mm, (n, 3) float64
    triangles : indices, (m, 3) int64, outward
    step : the file's bytes when it is a STEP file (exact kernel possible), else None.
    mean_tolerance_mm : mean edge and vertex tolerance stored in the file's exact shape, 0 for a mesh.
    turning : the turn from the file's axes to ours, before the move: (9,) rows of a matrix; None as drawn.
    placing : the move (mm) from the file's coordinates, turned, to ours.
    """

    digest: str
    vertices_mm: NDArray[np.float64]
    triangles: NDArray[np.int64]
    name: str
    unit: str
    step: bytes | None = None
    mean_tolerance_mm: float = 0.0
    turning: tuple[float, ...] | None = None
    placing: tuple[float, float, float] = (0.0, 0.0, 0.0)


Library = Mapping[str, ImportedSolid]
