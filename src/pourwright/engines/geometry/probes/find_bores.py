"""Find the bores of a mesh that run along z: holes of level sections, one above the other about one axis. mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numba
import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints
from pourwright.engines.geometry.probes.round_bores import RoundBore, slack_mm
from pourwright.engines.geometry.probes.through_bore import clear_radius_mm

_LEVELS = 41
_NEAR_END_MM = np.array([0.013, 0.11, 0.31])  # where a chamfer would show
_LEAST_CORNERS = 10  # a hole with fewer corners is no circle, though they may all lie on one
_ROUND_SHARE, _ROUND_MM = 0.01, 0.02  # by which the corners of a round hole may stand nearer or farther
_SAME_AXIS = 0.05  # of the radius, and at least as many millimetres / 2: centres that lie so near are one bore's
_MOST = 16


def round_bores(vertices: Floats, triangles: Ints) -> tuple[RoundBore, ...]:
    """The round bores along z, the widest first, at most sixteen.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward

    Notes
    -----
    Holes of level sections, chained by the edges of the mesh that they cross. A hole counts as round when it has ten
    corners or more, all as far from its middle to within a hundredth; those about one axis make a bore.
    """
    low, high = float(vertices[:, 2].min()), float(vertices[:, 2].max())
    # Odd shares of the height, since a level that runs along a flat face says nothing; near the ends more of them.
    shares = np.concatenate([_NEAR_END_MM / (high - low), (np.arange(_LEVELS) + 0.4837) / _LEVELS])
    shares = np.concatenate([shares, 1.0 - _NEAR_END_MM / (high - low)])
    levels = low + (high - low) * np.unique(shares[(shares > 0) & (shares < 1)])
    holes = _holes(vertices, triangles, levels)
    found: list[RoundBore] = []
    for axis in _axes(holes):
        bore = _bore(axis, holes, levels, (low, high), vertices, triangles)
        if bore is not None:
            found.append(bore)
    return tuple(sorted(found, key=lambda bore: (-bore.radius_mm, bore.x_mm, bore.y_mm))[:_MOST])


@dataclass(frozen=True)
class _Holes:
    """Every hole of every section: its level's number, middle, nearest and farthest corner, whether it is round."""

    level: Ints
    x: Floats
    y: Floats
    least: Floats
    most: Floats
    rounded: np.ndarray


def _holes(vertices: Floats, triangles: Ints, levels: Floats) -> _Holes:
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    level, keys, ends = _segments(
        np.ascontiguousarray(vertices), np.ascontiguousarray(triangles, dtype=np.int64), levels
    )
    # Two neighbours find the same point on the edge between them, so that the edge's name joins their segments.
    names, place = np.unique(np.stack([np.repeat(level, 2), keys.ravel()]), axis=1, return_inverse=True)
    place = place.reshape(-1, 2)
    size = names.shape[1]
    joined = coo_matrix((np.ones(len(place)), (place[:, 0], place[:, 1])), shape=(size, size))
    count, ring_of = connected_components(joined, directed=False)
    ring = ring_of[place[:, 0]] if len(place) else np.empty(0, dtype=np.int64)
    first, last = ends[:, 0], ends[:, 1]
    cross = first[:, 0] * last[:, 1] - first[:, 1] * last[:, 0]
    # Middle of area; a hole runs the other way round, so that its area is below zero.
    area = np.bincount(ring, cross, count) / 2
    with np.errstate(divide="ignore", invalid="ignore"):
        middle = [np.bincount(ring, (first[:, k] + last[:, k]) * cross, count) / (6 * area) for k in (0, 1)]
    away = np.hypot(first[:, 0] - middle[0][ring], first[:, 1] - middle[1][ring])
    least, most = np.full(count, np.inf), np.zeros(count)
    np.minimum.at(least, ring, away)
    np.maximum.at(most, ring, away)
    corners = np.bincount(ring, minlength=count)
    at = np.zeros(count, dtype=np.int64)
    at[ring] = level
    rounded = (corners >= _LEAST_CORNERS) & (most - least <= np.maximum(_ROUND_MM, _ROUND_SHARE * most))
    # Corners all on one circle may still leave out a part of it: then the area falls short.
    rounded &= np.abs(area) >= 0.93 * math.pi * most**2
    keep = area < 0
    return _Holes(at[keep], middle[0][keep], middle[1][keep], least[keep], most[keep], rounded[keep])


@numba.njit(cache=True)
def _segments(points, faces, levels):
    """Where the sides of the mesh cross each level: number of the level, names of the two edges, the two points.

    Each runs from the downward to the upward crossing, so that the part lies on its left.
    """
    total = points.shape[0]
    room = 0
    for t in range(faces.shape[0]):
        z0, z1, z2 = points[faces[t, 0], 2], points[faces[t, 1], 2], points[faces[t, 2], 2]
        room += np.searchsorted(levels, max(z0, z1, z2), side="right") - np.searchsorted(levels, min(z0, z1, z2))
    level, keys, ends = np.empty(room, np.int64), np.empty((room, 2), np.int64), np.empty((room, 2, 2))
    count = 0
    for t in range(faces.shape[0]):
        z0, z1, z2 = points[faces[t, 0], 2], points[faces[t, 1], 2], points[faces[t, 2], 2]
        first = np.searchsorted(levels, min(z0, z1, z2))
        last = np.searchsorted(levels, max(z0, z1, z2), side="right")
        for k in range(first, last):
            z = levels[k]
            met = 0
            for edge in range(3):
                p, q = faces[t, edge], faces[t, (edge + 1) % 3]
                pz, qz = points[p, 2], points[q, 2]
                if (pz <= z) == (qz <= z):
                    continue
                low, high = (p, q) if pz < qz else (q, p)
                share = (z - points[low, 2]) / (points[high, 2] - points[low, 2])
                side = 1 if pz <= z else 0
                ends[count, side, 0] = points[low, 0] + share * (points[high, 0] - points[low, 0])
                ends[count, side, 1] = points[low, 1] + share * (points[high, 1] - points[low, 1])
                keys[count, side] = min(p, q) * total + max(p, q)
                met += 1
            if met == 2:
                level[count] = k
                count += 1
    return level[:count], keys[:count], ends[:count]


def _axes(holes: _Holes) -> list[tuple[float, float, float]]:
    """Where round holes lie one above the other, those with most of them first: x, y and the narrowest radius."""
    found: list[tuple[float, float, float]] = []
    left = np.flatnonzero(holes.rounded)
    left = left[np.argsort(holes.most[left], kind="stable")]
    while len(left) and len(found) < 4 * _MOST:
        x, y, radius = holes.x[left[0]], holes.y[left[0]], holes.most[left[0]]
        near = np.hypot(holes.x[left] - x, holes.y[left] - y) <= _near(radius)
        found.append((float(np.median(holes.x[left[near]])), float(np.median(holes.y[left[near]])), float(radius)))
        left = left[~near]
    return found


def _near(radius: float) -> float:
    return max(_SAME_AXIS * radius, _SAME_AXIS / 2)


def _bore(
    axis: tuple[float, float, float],
    holes: _Holes,
    levels: Floats,
    ends: tuple[float, float],
    vertices: Floats,
    triangles: Ints,
) -> RoundBore | None:
    """The longest unbroken row of holes about an axis; None when its narrowest stretch is not round."""
    x, y, _ = axis
    away = np.hypot(holes.x - x, holes.y - y)
    about = (away <= _near(1.0) + _SAME_AXIS * holes.most) & (away < holes.least)
    rows = [np.flatnonzero(about & (holes.level == k)) for k in range(len(levels))]
    inner = [min(rows[k], key=lambda i: holes.most[i], default=-1) for k in range(len(levels))]
    run = _longest([i >= 0 for i in inner])
    if run is None:
        return None
    row = np.array(inner[run[0] : run[1]])
    most = holes.most[row]
    radius = float(most.min())
    narrow = np.flatnonzero(most <= radius + slack_mm(radius))
    if not np.all(holes.rounded[row[narrow]]):
        return None
    bounds = np.concatenate([[ends[0]], (levels[1:] + levels[:-1]) / 2, [ends[1]]])
    heights = levels[run[0] : run[1]]
    return RoundBore(
        x_mm=x,
        y_mm=y,
        radius_mm=float(most[narrow].max()),
        low_mm=float(bounds[run[0]]),
        high_mm=float(bounds[run[1]]),
        straight_mm=(float(bounds[run[0] + narrow[0]]), float(bounds[run[0] + narrow[-1] + 1])),
        through=_clear_mm(vertices, triangles, x, y) >= 0.9 * float(holes.least[row].min()),
        heights_mm=tuple(heights.tolist()),
        inner_mm=tuple(most.tolist()),
    )


def _longest(there: list[bool]) -> tuple[int, int] | None:
    """The longest unbroken stretch of a row."""
    best, start = None, 0
    for k, here in enumerate([*there, False]):
        if here:
            continue
        if k > start and (best is None or k - start > best[1] - best[0]):
            best = (start, k)
        start = k + 1
    return best


def _clear_mm(vertices: Floats, triangles: Ints, x: float, y: float) -> float:
    return clear_radius_mm(vertices[:, :2] - np.array([x, y]), triangles)
