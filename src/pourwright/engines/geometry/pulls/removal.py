"""Can a body be taken away along a straight line past others, and how closely does it pass them? Millimetres.

Read from columns along the way: whatever of another body lies beyond the body that leaves, in the same column,
stands in its way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numba
import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, frame_along, scan, scan_like

Mesh = tuple[Floats, Ints]

# What two bodies that slide along each other may seem to overlap by: rounding of their corners.
TOUCH_MM = 1e-6


@dataclass(frozen=True)
class Obstacle:
    """What stands in the way of one body: the area of it seen along the way, and one place, both 0 when free."""

    area_mm2: float
    at_mm: tuple[float, float, float] | None = None

    @property
    def free(self) -> bool:
        """Whether nothing stands in the way."""
        return self.area_mm2 == 0.0


def columns_of(mover: Mesh, direction: object, *, columns: int = 192) -> Columns:
    """The columns of the body that leaves, along its way."""
    return scan(*mover, direction=direction, columns=columns)


def obstacle(mover: Columns, other: Mesh, *, open_mm: float = TOUCH_MM) -> Obstacle:
    """What of another body stands in the way of one that leaves along the direction of its columns.

    Parameters
    ----------
    mover : columns of the body that leaves.
    other : vertices mm (n, 3) and triangles (m, 3) of a body that stays.
    open_mm : mm, by how much the other may reach beyond: for faces that touch.

    Returns
    -------
    Obstacle
        Places narrower than three cells do not count.

    Examples
    --------
    A plate under a plate cannot be lifted; beside it, it can.

    >>> from pourwright.engines.geometry.evaluate import Evaluator
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> from pourwright.engines.geometry.tree import Box
    >>> evaluator = Evaluator(MeshKernel())
    >>> plate = columns_of(evaluator.mesh(Box(0, 0, 0, 10, 10, 1)), (0, 0, 1))
    >>> obstacle(plate, evaluator.mesh(Box(20, 0, 5, 30, 10, 6))).free
    True
    >>> round(obstacle(plate, evaluator.mesh(Box(0, 0, 5, 10, 10, 6))).area_mm2)
    100
    """
    there = scan_like(mover, *other)
    blocked, height = _blocked(mover.starts, mover.bottom_mm, there.starts, there.top_mm, open_mm)
    n_u, n_v = mover.counts
    grid = blocked.reshape(n_v, n_u)
    # Faces that slide exactly along each other seem to block a rim one cell wide: only what is wider counts.
    whole = _grown(~_grown(~grid)) & grid
    count = int(np.count_nonzero(whole))
    if count == 0:
        return Obstacle(0.0)
    return Obstacle(count * mover.cell_mm2, _middle_of(mover, whole, height))


def _grown(cells: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The cells and their four neighbours."""
    out = cells.copy()
    out[1:] |= cells[:-1]
    out[:-1] |= cells[1:]
    out[:, 1:] |= cells[:, :-1]
    out[:, :-1] |= cells[:, 1:]
    return out


def _middle_of(columns: Columns, cells: NDArray[np.bool_], height: Floats) -> tuple[float, float, float]:
    """The blocked cell nearest to the middle of all of them, where the other body ends."""
    rows, places = np.nonzero(cells)
    away = np.hypot(rows - rows.mean(), places - places.mean())
    row, place = int(rows[np.argmin(away)]), int(places[np.argmin(away)])
    u = columns.origin_mm[0] + place * columns.cell_mm[0]
    v = columns.origin_mm[1] + row * columns.cell_mm[1]
    x, y, z = (np.array([u, v, height[row * columns.counts[0] + place]]) @ columns.frame).tolist()
    return x, y, z


@numba.njit(cache=True)
def _blocked(starts, bottom, there_starts, there_top, open_mm):
    """For each column: does the other body reach above the lowest point of this one, and where does it end."""
    count = starts.shape[0] - 1
    blocked, height = np.zeros(count, np.bool_), np.zeros(count)
    for column in range(count):
        if starts[column + 1] == starts[column] or there_starts[column + 1] == there_starts[column]:
            continue
        highest = there_top[there_starts[column + 1] - 1]
        blocked[column] = highest > bottom[starts[column]] + open_mm
        height[column] = highest
    return blocked, height


def play_mm(one: Mesh, other: Mesh, direction: object, *, columns: int = 192) -> float:
    """The least distance between two bodies along a direction, either way; infinite where they never face each other.

    Parameters
    ----------
    one, other : vertices mm (n, 3) and triangles (m, 3) of bodies that do not overlap.
    direction : along which to measure.

    Returns
    -------
    mm
        Exact in each column; a place smaller than a column may be missed.

    Examples
    --------
    >>> from pourwright.engines.geometry.evaluate import Evaluator
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> from pourwright.engines.geometry.tree import Box
    >>> evaluator = Evaluator(MeshKernel())
    >>> left, right = evaluator.mesh(Box(0, 0, 0, 10, 10, 5)), evaluator.mesh(Box(10.25, 0, 0, 20, 10, 5))
    >>> play_mm(left, right, (1, 0, 0)), play_mm(left, right, (0, 0, 1))
    (0.25, inf)
    """
    smaller, larger = (one, other) if len(one[1]) <= len(other[1]) else (other, one)
    if not _face_each_other(smaller, larger, direction):
        return math.inf
    here = scan(*smaller, direction=direction, columns=columns)
    there = scan_like(here, *larger)
    return float(
        _least_gap(here.starts, here.bottom_mm, here.top_mm, there.starts, there.bottom_mm, there.top_mm, TOUCH_MM)
    )


def _face_each_other(one: Mesh, other: Mesh, direction: object) -> bool:
    frame = frame_along(direction)
    a, b = one[0] @ frame[:2].T, other[0] @ frame[:2].T
    return bool(np.all(a.min(axis=0) < b.max(axis=0)) and np.all(b.min(axis=0) < a.max(axis=0)))


@numba.njit(cache=True)
def _least_gap(starts, bottom, top, there_starts, there_bottom, there_top, touch):
    """Least gap between neighbouring intervals of two bodies, over all columns."""
    least = np.inf
    for column in range(starts.shape[0] - 1):
        for i in range(starts[column], starts[column + 1]):
            for j in range(there_starts[column], there_starts[column + 1]):
                gap = max(bottom[i] - there_top[j], there_bottom[j] - top[i])
                if gap >= -touch:
                    least = min(least, max(gap, 0.0))
    return least
