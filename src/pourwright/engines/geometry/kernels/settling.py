"""Put new corners of upright edges exactly above the edges' ends, so that rounding leaves no sheets."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.files.loose_mesh import mixed_bits

Points = NDArray[np.float64]

_ROUNDING_MM = 1e-12


def settled(vertices: Points, known: Points) -> Points | None:
    """The vertices of a boolean, changed in place, with corners settled; None if all are.

    Where a boolean cuts an upright edge, the new corner is off by rounding. When the next boolean sets the cut
    solid against one that holds the same edge uncut, it finds a sheet of no thickness between the two.

    Parameters
    ----------
    vertices : mm, (n, 3)
    known : mm, (k, 2), places of the corners from which the boolean was made.

    Examples
    --------
    >>> settled(np.array([[1.0, 2.0, 3.0]]), np.array([[1.0, 2.0]])) is None
    True
    >>> settled(np.array([[1.0, 2.0 + 4e-16, 3.0]]), np.array([[1.0, 2.0]])).tolist()
    [[1.0, 2.0, 3.0]]
    """
    fresh = _not_among(vertices[:, :2], known)
    if not fresh.size:
        return None
    places = known[np.argsort(known[:, 0], kind="stable")]
    edges = vertices[fresh, 0]
    low, high = (np.searchsorted(places[:, 0], edges + side) for side in (-_ROUNDING_MM, _ROUNDING_MM))
    moved = False
    for k in np.flatnonzero(high > low):
        near = places[low[k] : high[k]]
        gaps = np.hypot(near[:, 0] - vertices[fresh[k], 0], near[:, 1] - vertices[fresh[k], 1])
        if gaps.min() <= _ROUNDING_MM:
            vertices[fresh[k], :2] = near[gaps.argmin()]
            moved = True
    return vertices if moved else None


def _not_among(places: Points, known: Points) -> NDArray[np.int64]:
    """Which places are none of the known ones to the last bit; by a mixed number, which sorts faster than a pair.

    A place that shares its number with another by chance counts as not among them, so that nothing is lost.
    """
    numbers = mixed_bits(np.ascontiguousarray(known + 0.0))  # -0 and 0 are one place
    order = np.argsort(numbers, kind="stable")
    wanted = mixed_bits(np.ascontiguousarray(places + 0.0))
    at = np.minimum(np.searchsorted(numbers[order], wanted), len(order) - 1)
    return np.flatnonzero(np.any(known[order[at]] != places, axis=1))
