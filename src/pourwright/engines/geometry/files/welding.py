"""Join corners that are equal to the last bit. Compiled: each corner looks itself up in a table of those before it."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray


def joined(corners: NDArray[np.floating]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Where each place first appears, in that order; and for each corner the number of its place.

    Parameters
    ----------
    corners : (k, 3) float32 or float64, contiguous, finite, without -0

    Examples
    --------
    >>> first, place = joined(np.array([[0.0, 0, 1], [2, 0, 1], [0, 0, 1]]))
    >>> first.tolist(), place.tolist()
    ([0, 1], [0, 1, 0])
    """
    room = 1 << max(4, (len(corners) * 3 // 2).bit_length())
    table = np.full(room, -1, dtype=np.int32)
    first = np.empty(len(corners), dtype=np.int32)
    place = np.empty(len(corners), dtype=np.int64)
    bits = corners.view(np.uint32 if corners.dtype == np.float32 else np.uint64)
    count = _look_up(bits, table, first, place)
    return first[:count].astype(np.int64), place


@njit(cache=True)
def _look_up(bits, table, first, place):
    mask = np.uint64(len(table) - 1)
    count = 0
    for k in range(len(bits)):
        x, y, z = bits[k, 0], bits[k, 1], bits[k, 2]
        mixed = np.uint64(x)
        mixed = (mixed ^ (mixed >> np.uint64(29))) * np.uint64(0x9E3779B97F4A7C15) ^ np.uint64(y)
        mixed = (mixed ^ (mixed >> np.uint64(29))) * np.uint64(0x9E3779B97F4A7C15) ^ np.uint64(z)
        mixed = (mixed ^ (mixed >> np.uint64(29))) * np.uint64(0x9E3779B97F4A7C15)
        slot = (mixed >> np.uint64(20)) & mask
        while True:
            known = table[slot]
            if known < 0:
                table[slot] = count
                first[count] = k
                place[k] = count
                count += 1
                break
            there = first[known]
            if bits[there, 0] == x and bits[there, 1] == y and bits[there, 2] == z:
                place[k] = known
                break
            slot = (slot + np.uint64(1)) & mask
    return count
