"""Cut a mesh by parallel planes: exact area and perimeter of every section, and the perimeter of its hull. mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numba
import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Floats, Ints, bounds_of, frame_along

SUPPORTS = 64  # directions in which the hull is felt: within 8e-4 of any straight-sided hull


@dataclass(frozen=True, eq=False)
class Slices:
    """Sections of a mesh at equal steps along a direction.

    Parameters
    ----------
    bounds_mm : mm, (k + 1,), the heights between which the sections lie, from the lowest to the highest point.
    middle_mm : mm, (k,), the heights of the sections, half way between the bounds.
    area_mm2 : mm2, (k,)
    perimeter_mm : mm, (k,), all edges of the section, holes included.
    hull_mm : mm, (k,), perimeter of the section's convex hull.
    """

    bounds_mm: Floats
    middle_mm: Floats
    area_mm2: Floats
    perimeter_mm: Floats
    hull_mm: Floats


def cut_slices(vertices: Floats, triangles: Ints, *, direction: object = (0.0, 0.0, 1.0), slices: int = 400) -> Slices:
    """Cut the mesh into equal steps from its lowest to its highest point.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    direction : across the planes.
    slices : number of sections.
    """
    turned, faces = _turned(vertices, triangles, direction)
    low, high = bounds_of(turned, faces)
    bounds = np.linspace(low[2], high[2], slices + 1)
    middle = 0.5 * (bounds[1:] + bounds[:-1])
    area, perimeter, hull = _sections(turned, faces, middle)
    return Slices(bounds, middle, area, perimeter, hull)


def section_at(
    vertices: Floats, triangles: Ints, *, height_mm: float, direction: object = (0.0, 0.0, 1.0)
) -> tuple[float, float, float]:
    """Area (mm2), perimeter and hull perimeter (mm) of the section at one height."""
    turned, faces = _turned(vertices, triangles, direction)
    area, perimeter, hull = _sections(turned, faces, np.array([float(height_mm)]))
    return float(area[0]), float(perimeter[0]), float(hull[0])


def hull_perimeter(points_mm: NDArray[np.float64]) -> float:
    """Perimeter of the convex hull of points in the plane, by Cauchy's formula from 64 supports.

    Examples
    --------
    >>> square = np.array([[0.0, 0], [20, 0], [20, 20], [0, 20]])
    >>> round(hull_perimeter(square), 4)
    79.9357
    """
    angles = 2 * math.pi / SUPPORTS * np.arange(SUPPORTS)
    middle = points_mm.mean(axis=0)
    reach = (points_mm - middle) @ np.array([np.cos(angles), np.sin(angles)])
    return float(2 * math.pi / SUPPORTS * reach.max(axis=0).sum())


def _turned(vertices: Floats, triangles: Ints, direction: object) -> tuple[Floats, Ints]:
    turned = np.asarray(vertices, dtype=np.float64) @ frame_along(direction).T
    return np.ascontiguousarray(turned), np.ascontiguousarray(triangles, dtype=np.int64)


def _sections(turned: Floats, faces: Ints, heights: Floats) -> tuple[Floats, Floats, Floats]:
    angles = 2 * math.pi / SUPPORTS * np.arange(SUPPORTS)
    # About the middle of the mesh, so that far away parts lose no digits.
    middle = 0.5 * (turned.min(axis=0) + turned.max(axis=0))
    middle[2] = 0.0
    area, perimeter, reach = _cut(turned - middle, faces, heights, np.cos(angles), np.sin(angles))
    hull = np.where(np.isfinite(reach[:, 0]), reach.sum(axis=1), 0.0) * 2 * math.pi / SUPPORTS
    return area, perimeter, hull


@numba.njit(cache=True)
def _cut(points, faces, heights, cosines, sines):
    """One segment per triangle and plane, from its upward to its downward crossing."""
    planes = heights.shape[0]
    area, perimeter = np.zeros(planes), np.zeros(planes)
    reach = np.full((planes, cosines.shape[0]), -np.inf)
    for t in range(faces.shape[0]):
        z0, z1, z2 = points[faces[t, 0], 2], points[faces[t, 1], 2], points[faces[t, 2], 2]
        first = np.searchsorted(heights, min(z0, z1, z2))
        last = np.searchsorted(heights, max(z0, z1, z2), side="right")
        for k in range(first, last):
            z = heights[k]
            found = 0
            ax = ay = bx = by = 0.0
            for edge in range(3):
                p, q = faces[t, edge], faces[t, (edge + 1) % 3]
                pz, qz = points[p, 2], points[q, 2]
                if (pz <= z) == (qz <= z):
                    continue
                # Low end first, so that both neighbours of an edge find the same point.
                low, high = (p, q) if pz < qz else (q, p)
                share = (z - points[low, 2]) / (points[high, 2] - points[low, 2])
                x = points[low, 0] + share * (points[high, 0] - points[low, 0])
                y = points[low, 1] + share * (points[high, 1] - points[low, 1])
                found += 1
                if pz <= z:
                    ax, ay = x, y
                else:
                    bx, by = x, y
            if found != 2:
                continue
            row = reach[k]
            perimeter[k] += np.hypot(bx - ax, by - ay)
            area[k] -= 0.5 * (ax * by - bx * ay)
            for m in range(cosines.shape[0]):
                here = ax * cosines[m] + ay * sines[m]
                row[m] = here if here > row[m] else row[m]
    return area, perimeter, reach
