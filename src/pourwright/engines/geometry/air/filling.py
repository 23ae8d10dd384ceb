"""How air finds its way out of a cavity that stands as columns: the compiled part of the search for trapped air.

Every solid interval of a column is a node; two that touch across a cell's side are joined, and air passes as high
as the lower of their two tops.
"""

from __future__ import annotations

import numba
import numpy as np

SAME_HEIGHT_MM = 1e-6
_BUCKETS = 1 << 14
_SWEEPS = 6


@numba.njit(cache=True)
def root(parent, k):
    """The number that names the group of k; paths are halved on the way."""
    while parent[k] != k:
        parent[k] = parent[parent[k]]
        k = parent[k]
    return k


@numba.njit(cache=True)
def beside(column, side, n_u, n_v):
    """The column at one of four sides, -1 outside of the grid."""
    row, place = column // n_u, column % n_u
    if side == 0:
        return column + 1 if place + 1 < n_u else -1
    if side == 1:
        return column + n_u if row + 1 < n_v else -1
    if side == 2:
        return column - 1 if place > 0 else -1
    return column - n_u if row > 0 else -1


@numba.njit(cache=True)
def _overlaps(starts, bottom, top, a, b, one, other, weight, kept, write):
    """Pairs of intervals of columns a and b that share some height."""
    i, j = starts[a], starts[b]
    while i < starts[a + 1] and j < starts[b + 1]:
        if min(top[i], top[j]) > max(bottom[i], bottom[j]):
            if write:
                one[kept], other[kept], weight[kept] = i, j, min(top[i], top[j])
            kept += 1
        if top[i] < top[j]:
            i += 1
        else:
            j += 1
    return kept


@numba.njit(cache=True)
def touching_pairs(starts, bottom, top, n_u, n_v):
    """All pairs of intervals that touch across a cell's side, with the highest level at which air can pass."""
    one, other, weight = np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0)
    for write in (False, True):
        kept = 0
        for row in range(n_v):
            for place in range(n_u):
                here = row * n_u + place
                if place + 1 < n_u:
                    kept = _overlaps(starts, bottom, top, here, here + 1, one, other, weight, kept, write)
                if row + 1 < n_v:
                    kept = _overlaps(starts, bottom, top, here, here + n_u, one, other, weight, kept, write)
        if not write:
            one, other, weight = np.empty(kept, np.int64), np.empty(kept, np.int64), np.empty(kept)
    return one, other, weight


@numba.njit(cache=True)
def reach_of(starts, bottom, top, outlet, n_u, n_v):
    """For each interval, the lowest point of the best path to an outlet; -inf where there is none.

    Sweeps over the grid, forth and back, settle most of it with little memory traffic. What they leave waits in
    buckets of nearly equal reach, the highest first; an interval that is found again by a better path moves to a
    higher bucket, so the answer is exact whatever the buckets are.
    """
    reach = outlet.copy()
    for sweep in range(_SWEEPS):
        changed = 0
        for r in range(n_v):
            down = sweep % 2 == 0
            first = n_u * (r if down else n_v - 1 - r)
            if r > 0:
                changed += _from_row(first, -n_u if down else n_u, n_u, starts, bottom, top, reach)
            changed += _along_row(first, n_u, 1, starts, bottom, top, reach)
            changed += _along_row(first, n_u, -1, starts, bottom, top, reach)
        # The sweep before left nothing to take over its own way; now there is nothing left any other way either.
        if changed == 0 and sweep > 0:
            return reach
    _settle(starts, bottom, top, reach, n_u, n_v)
    return reach


@numba.njit(cache=True)
def _from_row(first, back, n_u, starts, bottom, top, reach):
    """Take over in each column of a row what the same column of another row reaches."""
    changed = 0
    for c in range(first, first + n_u):
        i, j = starts[c], starts[c + back]
        here, there = starts[c + 1] - i, starts[c + back + 1] - j
        if here == 1 and there == 1:  # nearly always: written out, for it takes most of the time
            if reach[j] > reach[i]:
                passage = min(top[i], top[j])
                if passage > reach[i] and passage > max(bottom[i], bottom[j]):
                    reach[i] = min(reach[j], passage)
                    changed += 1
        elif here > 0 and there > 0:
            changed += _take(i, here, j, there, bottom, top, reach)
    return changed


@numba.njit(cache=True)
def _along_row(first, n_u, step, starts, bottom, top, reach):
    """Take over along a row, one way."""
    changed = 0
    c = first if step > 0 else first + n_u - 1
    j = starts[c]
    there = starts[c + 1] - j
    for _ in range(n_u - 1):
        c += step
        i = starts[c]
        here = starts[c + 1] - i
        if here == 1 and there == 1:
            if reach[j] > reach[i]:
                passage = min(top[i], top[j])
                if passage > reach[i] and passage > max(bottom[i], bottom[j]):
                    reach[i] = min(reach[j], passage)
                    changed += 1
        elif here > 0 and there > 0:
            changed += _take(i, here, j, there, bottom, top, reach)
        j, there = i, here
    return changed


@numba.njit(cache=True)
def _take(i, here, j, there, bottom, top, reach):
    """Intervals from i on take over what those from j on, in the column beside, reach; how often one did."""
    changed = 0
    for a in range(i, i + here):
        for b in range(j, j + there):
            if reach[b] > reach[a]:
                passage = min(top[a], top[b])
                if passage > reach[a] and passage > max(bottom[a], bottom[b]):
                    reach[a] = min(reach[b], passage)
                    changed += 1
    return changed


@numba.njit(cache=True)
def _settle(starts, bottom, top, reach, n_u, n_v):
    """Follow every path that the sweeps have not followed to its end."""
    count = top.shape[0]
    column = np.empty(count, np.int64)
    head = np.full(_BUCKETS, -1, np.int64)
    after, before = np.full(count, -1, np.int64), np.full(count, -1, np.int64)
    bucket = np.full(count, -1, np.int64)
    low, high = np.inf, -np.inf
    for c in range(starts.shape[0] - 1):
        for k in range(starts[c], starts[c + 1]):
            column[k] = c
            low, high = min(low, bottom[k]), max(high, top[k])
    scale = (_BUCKETS - 1) / max(high - low, 1e-300)
    for k in range(count):
        if reach[k] > -np.inf and _helps(k, column[k], starts, bottom, top, reach, n_u, n_v):
            _wait(k, min(max(int((reach[k] - low) * scale), 0), _BUCKETS - 1), head, after, before, bucket)
    for level in range(_BUCKETS - 1, -1, -1):
        while head[level] >= 0:
            here = head[level]
            _leave(here, head, after, before, bucket)
            for side in range(4):
                c = beside(column[here], side, n_u, n_v)
                if c < 0:
                    continue
                for k in range(starts[c], starts[c + 1]):
                    passage = min(top[here], top[k])
                    found = min(reach[here], passage)
                    if found > reach[k] and passage > max(bottom[here], bottom[k]):
                        reach[k] = found
                        if bucket[k] >= 0:
                            _leave(k, head, after, before, bucket)
                        _wait(k, min(max(int((found - low) * scale), 0), level), head, after, before, bucket)


@numba.njit(cache=True)
def _helps(k, column, starts, bottom, top, reach, n_u, n_v):
    """Whether a neighbour would reach higher by way of interval k."""
    for side in range(4):
        c = beside(column, side, n_u, n_v)
        if c < 0:
            continue
        for j in range(starts[c], starts[c + 1]):
            passage = min(top[k], top[j])
            if min(reach[k], passage) > reach[j] and passage > max(bottom[k], bottom[j]):
                return True
    return False


@numba.njit(cache=True)
def _wait(k, at, head, after, before, bucket):
    after[k], before[k], bucket[k] = head[at], -1, at
    if head[at] >= 0:
        before[head[at]] = k
    head[at] = k


@numba.njit(cache=True)
def _leave(k, head, after, before, bucket):
    if before[k] >= 0:
        after[before[k]] = after[k]
    else:
        head[bucket[k]] = after[k]
    if after[k] >= 0:
        before[after[k]] = before[k]
    bucket[k] = -1


@numba.njit(cache=True)
def groups_of(starts, top, level, n_u, n_v):
    """One number for all intervals whose trapped air is connected; -1 where none is trapped."""
    count = top.shape[0]
    parent = np.arange(count)
    for c in range(starts.shape[0] - 1):
        for i in range(starts[c], starts[c + 1]):
            if top[i] <= level[i]:
                continue
            for side in range(2):
                other = beside(c, side, n_u, n_v)
                if other < 0:
                    continue
                for j in range(starts[other], starts[other + 1]):
                    if top[j] > level[j] and min(top[i], top[j]) > max(level[i], level[j]):
                        a, b = root(parent, i), root(parent, j)
                        parent[max(a, b)] = min(a, b)
    group = np.full(count, -1, np.int64)
    for k in range(count):
        if top[k] > level[k]:
            group[k] = root(parent, k)
    return group


@numba.njit(cache=True)
def sums_of(group, depth, top, starts, n_u):
    """Depth added up, greatest depth and peak of each group, at the index that names the group."""
    count = group.shape[0]
    volume, deepest, highest = np.zeros(count), np.zeros(count), np.full(count, -np.inf)
    for k in range(count):
        g = group[k]
        if g >= 0:
            volume[g] += depth[k]
            deepest[g] = max(deepest[g], depth[k])
            highest[g] = max(highest[g], top[k])
    # A flat ceiling has many highest points: the peak is the one nearest to their middle.
    middle, many = np.zeros((count, 2)), np.zeros(count)
    peak, best = np.full(count, -1, np.int64), np.full(count, np.inf)
    for choose in (False, True):
        for column in range(starts.shape[0] - 1):
            row, place = column // n_u, column % n_u
            for k in range(starts[column], starts[column + 1]):
                g = group[k]
                if g < 0 or top[k] < highest[g] - SAME_HEIGHT_MM:
                    continue
                if not choose:
                    middle[g, 0] += place
                    middle[g, 1] += row
                    many[g] += 1.0
                    continue
                away = (place - middle[g, 0] / many[g]) ** 2 + (row - middle[g, 1] / many[g]) ** 2
                if away < best[g]:
                    best[g], peak[g] = away, k
    return volume, deepest, peak


@numba.njit(cache=True)
def caught_at(starts, level, top, column, height):
    """Whether each point lies in an interval of its column, above the height to which that fills."""
    caught = np.zeros(column.shape[0], np.bool_)
    for p in range(column.shape[0]):
        for k in range(starts[column[p]], starts[column[p] + 1]):
            caught[p] = caught[p] or (level[k] <= height[p] <= top[k] and level[k] < top[k])
    return caught
