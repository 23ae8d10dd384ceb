"""Find the bore along the z axis of a mesh, if it has one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.probes.facets import square_from_axis

_LEVELS = 9


def bore_about_axis_mm(vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    """Radius of the widest rod along z that passes through a bore of the mesh, mm; 0 when there is no bore.

    A part that merely lies beside the axis has none: somewhere along its height it must close all round.

    Parameters
    ----------
    vertices_mm : mm, (n, 3)
    triangles : indices, (m, 3)
    """
    clear = clear_radius_mm(vertices_mm, triangles)
    if clear <= 1e-9:
        return 0.0
    corners = vertices_mm[triangles]
    low, high = vertices_mm[:, 2].min(), vertices_mm[:, 2].max()
    # Odd shares of the height: a level that runs along a flat face says nothing.
    levels = low + (high - low) * (np.arange(_LEVELS) + 0.4837) / _LEVELS
    return clear if any(_closes_round(corners, z) for z in levels) else 0.0


def clear_radius_mm(vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    """Least distance of the shadows of triangles on z = 0 from the axis, mm; 0 when one lies over it.

    Parameters
    ----------
    vertices_mm : mm, (n, 2 or 3)
    triangles : indices, (m, 3)
    """
    return float(np.sqrt(square_from_axis(vertices_mm, triangles)))


def _closes_round(corners: NDArray[np.float64], z_mm: float) -> bool:
    """Whether every level ray from the axis meets the mesh at this height."""
    rise = corners[:, :, 2] - z_mm
    cut = corners[(rise.max(axis=1) > 0) & (rise.min(axis=1) <= 0)]
    starts, sweeps = [], []
    for triangle in cut:
        first, second = _section(triangle, z_mm)
        start, end = np.arctan2(first[1], first[0]), np.arctan2(second[1], second[0])
        sweep = (end - start + np.pi) % (2 * np.pi) - np.pi
        starts.append(start if sweep >= 0 else end)
        sweeps.append(abs(sweep))
    return _covers_a_turn(np.array(starts), np.array(sweeps))


def _section(triangle: NDArray[np.float64], z_mm: float) -> list[NDArray[np.float64]]:
    found = []
    for one, other in zip(triangle, np.roll(triangle, -1, axis=0), strict=True):
        if (one[2] > z_mm) != (other[2] > z_mm):
            share = (z_mm - one[2]) / (other[2] - one[2])
            found.append(one[:2] + share * (other[:2] - one[:2]))
    return found


def _covers_a_turn(starts: NDArray[np.float64], sweeps: NDArray[np.float64]) -> bool:
    if len(starts) == 0:
        return False
    order = np.argsort(starts)
    reached = np.maximum.accumulate((starts + sweeps)[order])
    gaps = np.append(starts[order][1:], starts[order][0] + 2 * np.pi) - reached
    return bool(np.all(gaps <= 1e-9))
