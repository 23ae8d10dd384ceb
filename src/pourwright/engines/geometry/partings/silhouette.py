"""How wide a solid is round the z axis at each height, as steps that a cover lowered over it must clear. All in mm."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

_BESIDE_MM = 1e-6
_MOST_STEPS = 12


def steps_above_mm(
    vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64], level_mm: float
) -> tuple[tuple[float, float], ...]:
    """Upper end and radius of each step of the room that a solid takes above a height, widest and lowest first.

    Parameters
    ----------
    vertices_mm : mm, (n, 3)
    triangles : indices, (m, 3)
    level_mm : mm

    Returns
    -------
    mm, (height, radius) of at most twelve steps; none where nothing reaches above.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> kernel = MeshKernel()
    >>> stepped = kernel.union(kernel.box(-4, -3, 0, 4, 3, 10), kernel.box(-1, 0, 5, 1, 0.5, 12))
    >>> steps_above_mm(*kernel.mesh(stepped), 2.0)
    ((10.0, 5.0), (12.0, 1.118034))
    """
    corners = vertices_mm[triangles]
    low, high = corners[:, :, 2].min(axis=1), corners[:, :, 2].max(axis=1)
    levels = np.unique(np.round(vertices_mm[:, 2], 6))
    levels = np.concatenate(([level_mm], levels[levels > level_mm + _BESIDE_MM]))
    if len(levels) > 4 * _MOST_STEPS:
        levels = np.linspace(levels[0], levels[-1], 4 * _MOST_STEPS + 1)
    found: list[tuple[float, float]] = []
    widest = 0.0
    for foot, head in zip(levels[-2::-1], levels[:0:-1], strict=True):
        inside = corners[(low < head - _BESIDE_MM) & (high > foot + _BESIDE_MM)]
        # Along an edge the radius is largest at one of its ends, so that both faces of the layer say enough.
        widest = max([widest, *(_widest_at(inside, z) for z in (foot + _BESIDE_MM, head - _BESIDE_MM))])
        if found and found[-1][1] > widest - _BESIDE_MM:
            continue
        found.append((float(head), round(widest, 6)))
    return _fewer(found[::-1])


def _widest_at(corners: NDArray[np.float64], z_mm: float) -> float:
    begin, end = corners, np.roll(corners, -1, axis=1)
    crossing = (begin[..., 2] > z_mm) != (end[..., 2] > z_mm)
    a, b = begin[crossing], end[crossing]
    if not len(a):
        return 0.0
    share = (z_mm - a[:, 2]) / (b[:, 2] - a[:, 2])
    points = a[:, :2] + share[:, None] * (b[:, :2] - a[:, :2])
    return float(np.hypot(points[:, 0], points[:, 1]).max())


def _fewer(steps: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """The steps with the smallest ledges taken into the wider ones below them."""
    kept = list(steps)
    while len(kept) > _MOST_STEPS:
        ledges = [wide - narrow for (_, wide), (_, narrow) in pairwise(kept)]
        least = ledges.index(min(ledges))
        kept[least : least + 2] = [(kept[least + 1][0], kept[least][1])]
    return tuple(kept)
