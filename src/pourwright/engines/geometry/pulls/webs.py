"""Silicone that hangs on the rest before and behind, and cannot move aside: the web between the coils of a spring.

A lip, a ring or a tongue has part material behind it as seen from its mouth: it draws off the part that way, and
what lies behind it opens up. A web has free silicone behind it too, which would have to come along, and cannot. So
each spot is looked at along level lines: some line must end in a mouth on one side and at the part on the other.
"""

from __future__ import annotations

import math

import numba
import numpy as np

_MOST_SPOTS = 250  # looked at in one half
_LINES = 36  # every 5 deg of a half turn
_BESIDE = 0.3  # of the shortest way from mouth to mouth: the silicone that must be able to go the same way (judgement)
_UNDER_TOP = 1e-3  # of a gap's height

_WALL, _MOUTH, _HELD = 0, 1, 2
_SHUT, _DRAWS, _SPANS = 0, 1, 2


@numba.njit(cache=True)
def web_lengths(piece, asked, starts, low, high, free, bare, source, n_u, n_v):
    """How many times as long as wide the web in each piece is; 0 for pieces not asked for and those without one.

    Silicone that only walls surround is no web.
    """
    count = low.shape[0]
    looked = 0
    for k in range(count):
        looked += asked[piece[k]]
    apart = max(1, int(math.sqrt(looked / _MOST_SPOTS)))
    spots, wide = np.zeros(count), np.zeros(count)
    for row in range(0, n_v, apart):
        for place in range(0, n_u, apart):
            c = row * n_u + place
            for k in range(starts[c], starts[c + 1]):
                if asked[piece[k]]:
                    # Where no part lies above it silicone can rise out of a trough first, and go aside then.
                    z = high[k] - _UNDER_TOP * (high[k] - low[k]) if bare[k] else 0.5 * (low[k] + high[k])
                    across = _across_web(place, row, z, source[k], starts, low, high, free, n_u, n_v)
                    if across > 0.0:
                        spots[piece[k]] += 1.0
                        wide[piece[k]] += across
    length = np.zeros(count)
    for k in range(count):
        if spots[k] > 0.0:
            length[k] = apart**2 * spots[k] ** 3 / wide[k] ** 2
    return length


@numba.njit(cache=True)
def _across_web(place, row, z, source, starts, low, high, free, n_u, n_v):
    """How wide the web is at a spot, cells; 0 where silicone can draw off the part or only walls surround it."""
    if source >= 0:
        # The straight way to the nearest mouth first: of most lips it is the one.
        du, dv = float(source % n_u - place), float(source // n_u - row)
        length = math.hypot(du, dv)
        if length > 0.0:
            kind, _, _ = _line(place, row, du / length, dv / length, z, starts, low, high, free, n_u, n_v)
            if kind == _DRAWS:
                return 0.0
    draws = np.zeros(_LINES, np.bool_)
    across = np.inf
    for k in range(_LINES):
        turn = math.pi * k / _LINES
        kind, length, _ = _line(place, row, math.cos(turn), math.sin(turn), z, starts, low, high, free, n_u, n_v)
        draws[k] = kind == _DRAWS
        if kind == _SPANS:
            across = min(across, length)
    if across == np.inf:
        return 0.0
    for k in range(_LINES):
        if draws[k]:
            # A way that leads out has to do so for the silicone beside it too, for both hang together.
            du, dv = math.cos(math.pi * k / _LINES), math.sin(math.pi * k / _LINES)
            _, _, way = _line(place, row, du, dv, z, starts, low, high, free, n_u, n_v)
            alike = True
            for side in (-_BESIDE * across, _BESIDE * across):
                u, v = place - side * dv, row + side * du
                if alike and _at(u, v, z, starts, low, high, free, n_u, n_v) == _HELD:
                    kind, _, other = _line(u, v, du, dv, z, starts, low, high, free, n_u, n_v)
                    alike = kind == _DRAWS and other == way
            if alike:
                return 0.0
    return across


@numba.njit(cache=True)
def _line(u, v, du, dv, z, starts, low, high, free, n_u, n_v):
    """Whether a level line draws off the part, spans from mouth to mouth or neither; its length, cells; its way out."""
    step = 1.0 / max(abs(du), abs(dv))
    ahead, one = _HELD, 0
    while ahead == _HELD:
        one += 1
        ahead = _at(u + one * step * du, v + one * step * dv, z, starts, low, high, free, n_u, n_v)
    behind, other = _HELD, 0
    while behind == _HELD:
        other += 1
        behind = _at(u - other * step * du, v - other * step * dv, z, starts, low, high, free, n_u, n_v)
    if ahead != behind:
        return _DRAWS, (one + other) * step, 1 if ahead == _MOUTH else -1
    return (_SPANS if ahead == _MOUTH else _SHUT), (one + other) * step, 0


@numba.njit(cache=True)
def _at(u, v, z, starts, low, high, free, n_u, n_v):
    """What there is at a place, in cells, and height: held silicone, free silicone or part material."""
    i, j = math.floor(u + 0.5), math.floor(v + 0.5)
    if i < 0 or i >= n_u or j < 0 or j >= n_v:
        return _MOUTH
    c = j * n_u + i
    if z < free[c]:
        return _MOUTH
    for k in range(starts[c], starts[c + 1]):
        if low[k] <= z <= high[k]:
            return _HELD
    return _WALL
