"""Is a surface plainly closed? Compiled: every edge has two triangles, run through in opposite ways."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

_MOST_LOOKS = 64  # for each corner; a fan of very many triangles is left to the way by sorting


def plainly_closed(triangles: NDArray[np.int64], count: int) -> bool:
    """Whether the triangles bound one shell in which every edge lies between two triangles that face the same way.

    False says nothing: a surface that is odd in any way is left to a slower and closer look.

    Parameters
    ----------
    triangles : indices, (m, 3)
    count : corners; the indices are below it.

    Examples
    --------
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
    >>> plainly_closed(faces, 4), plainly_closed(faces[:3], 4), plainly_closed(faces[[0, 1, 2, 2, 3]], 4)
    (True, False, False)
    """
    if not len(triangles) or int(triangles.min()) < 0 or int(triangles.max()) >= count:
        return False
    plain = np.ascontiguousarray(triangles, dtype=np.int64)
    starts, ends, uses = _runs(plain, count)
    if float((np.diff(starts).astype(np.float64) ** 2).sum()) > _MOST_LOOKS * 3.0 * len(plain):
        return False
    return bool(_one_shell(plain, starts, ends, uses))


@njit(cache=True)
def _runs(triangles, count):
    """The edges that begin at each corner: where they stand, where they end, whose they are."""
    starts = np.zeros(count + 1, dtype=np.int64)
    for t in range(len(triangles)):
        for k in range(3):
            starts[triangles[t, k] + 1] += 1
    for corner in range(count):
        starts[corner + 1] += starts[corner]
    ends = np.empty(3 * len(triangles), dtype=np.int32)
    uses = np.empty(3 * len(triangles), dtype=np.int32)
    at = starts[:-1].copy()
    for t in range(len(triangles)):
        for k in range(3):
            place = at[triangles[t, k]]
            ends[place] = triangles[t, (k + 1) % 3]
            uses[place] = t
            at[triangles[t, k]] += 1
    return starts, ends, uses


@njit(cache=True)
def _one_shell(triangles, starts, ends, uses):
    """Walk from triangle to triangle over their edges; False at the first edge without exactly one way back."""
    seen = np.zeros(len(triangles), dtype=np.bool_)
    stack = np.empty(len(triangles), dtype=np.int32)
    seen[0], stack[0], top, found = True, 0, 1, 1
    beside = np.empty(3, dtype=np.int32)
    while top > 0:
        top -= 1
        t = stack[top]
        for k in range(3):
            start, end = triangles[t, k], triangles[t, (k + 1) % 3]
            along, back, other = 0, 0, -1
            for place in range(starts[start], starts[start + 1]):
                along += ends[place] == end
            for place in range(starts[end], starts[end + 1]):
                if ends[place] == start:
                    back += 1
                    other = uses[place]
            if start == end or along != 1 or back != 1:
                return False
            beside[k] = other
            if not seen[other]:
                seen[other] = True
                stack[top] = other
                top += 1
                found += 1
        if beside[0] == beside[1] == beside[2]:
            return False  # two triangles back to back
    return found == len(triangles)
