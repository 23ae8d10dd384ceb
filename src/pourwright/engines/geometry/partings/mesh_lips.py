"""The thinnest silicone lip of any mesh, by vertical rays behind samples of the mouth's edge. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numba
import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints
from pourwright.engines.geometry.partings.lips import BACK_MM, LID, LOWER, REMEDIES, Half, Lip, lip_passes

SAMPLE_EVERY_MM = 0.5


def mesh_lips(
    vertices: Floats,
    triangles: Ints,
    parting_mm: float,
    *,
    depth_below_mm: float = math.inf,
    depth_above_mm: float = math.inf,
    back_mm: Sequence[float] = BACK_MM,
    leaning: Callable[[Floats], Floats] | None = None,
) -> tuple[Lip, ...]:
    """The thinnest lip of the lower half and of the lid, for a part that is parted across z at one height.

    Parameters
    ----------
    vertices : mm, (n, 3), of the part or the cavity, z up.
    triangles : (m, 3), outward
    parting_mm : mm, height of the parting face.
    depth_below_mm, depth_above_mm : mm, silicone from the parting down to the floor, up to the lid's top.
    back_mm : mm, distances behind the edge.
    leaning : for a part levelled from a parting that leans: the share of an upright thickness that is left square to
        it, at points (n, 2).

    Returns
    -------
    One Lip for each half that has a mouth, the lower half's first. Within 0.02 mm of the body that the mesh
    stands for when its round edges have 12 facets or more.
    """
    points = np.array(vertices, dtype=np.float64)
    faces = np.ascontiguousarray(triangles, dtype=np.int64)
    # A face that lies in the parting must lie in it exactly, whatever digits its file had.
    near = 1e-6 * max(float(np.ptp(points, axis=0).max()), 1.0)
    points[:, 2] -= parting_mm
    points[np.abs(points[:, 2]) <= near, 2] = 0.0
    turned = points * np.array([1.0, 1.0, -1.0])
    lips = []
    for half, solid, winding, depth in (
        (LOWER, points, faces, depth_below_mm),
        (LID, turned, faces[:, ::-1], depth_above_mm),
    ):
        lip = _half_lip(solid, np.ascontiguousarray(winding), half, depth, tuple(back_mm), parting_mm, leaning)
        if lip is not None:
            lips.append(lip)
    return tuple(lips)


def _half_lip(
    points: Floats,
    faces: Ints,
    half: Half,
    depth: float,
    back: tuple[float, ...],
    shown: float,
    leaning: Callable[[Floats], Floats] | None,
) -> Lip | None:
    """The lip of the half below z = 0."""
    samples, outwards = _mouth(points, faces)
    if len(samples) == 0:
        return None
    under = faces[points[faces, 2].min(axis=1) < 0.0]
    index = _column_index(points, under)
    least, where = [], []
    for s in back:
        thickness = _rays(points, under, *index, samples + s * outwards)
        if leaning is not None:
            thickness = thickness * leaning(samples)
        where.append(int(np.argmin(thickness)))
        least.append(float(thickness[where[-1]]))
    ok = lip_passes(back, least)
    # Finite at the smallest distance first: that is where a feather is thinnest.
    thin = next((k for k, t in enumerate(least) if not math.isinf(t)), 0)
    x, y = samples[where[thin]]
    return Lip(
        half,
        "mouth",
        back,
        tuple(depth if math.isinf(t) else t for t in least),
        tuple(not math.isinf(t) for t in least),
        (float(x), float(y), shown),
        ok,
        () if ok else REMEDIES,
    )


def _mouth(points: Floats, faces: Ints) -> tuple[Floats, Floats]:
    """Points along the outline of the section just below z = 0, and the way out of the material at each."""
    z = points[faces, 2]
    below = z < 0.0
    cut = faces[below.any(axis=1) & ~below.all(axis=1)]
    ends = np.full((len(cut), 2, 2), np.nan)
    for edge in range(3):
        p, q = cut[:, edge], cut[:, (edge + 1) % 3]
        for slot, rises in ((0, True), (1, False)):
            low, high = (p, q) if rises else (q, p)
            here = (points[low, 2] < 0.0) & (points[high, 2] >= 0.0)
            a, b = points[low[here]], points[high[here]]
            share = -a[:, 2:] / (b[:, 2:] - a[:, 2:])
            ends[here, slot] = a[:, :2] + share * (b[:, :2] - a[:, :2])
    run = ends[:, 1] - ends[:, 0]
    length = np.linalg.norm(run, axis=1)
    kept = length > 1e-9
    ends, run, length = ends[kept], run[kept], length[kept]
    # From the upward to the downward crossing the material lies on the right.
    outwards = np.column_stack([-run[:, 1], run[:, 0]]) / length[:, None]
    repeats = np.maximum(1, np.ceil(length / SAMPLE_EVERY_MM)).astype(int)
    of = np.repeat(np.arange(len(run)), repeats)
    first = np.repeat(np.cumsum(repeats) - repeats, repeats)
    share = (np.arange(len(of)) - first + 0.5) / repeats[of]
    return ends[of, 0] + share[:, None] * run[of], outwards[of]


def _column_index(points: Floats, faces: Ints) -> tuple[Floats, float, int, int, Ints, Ints]:
    """Which triangles stand over which square of a grid in the plane."""
    flat = points[faces][:, :, :2]
    low, high = flat.min(axis=(0, 1)), flat.max(axis=(0, 1))
    cell = max(float((high - low).max()) / max(8, min(512, int(math.sqrt(len(faces))))), 1e-9)
    n_x, n_y = (int(n) + 1 for n in (high - low) / cell)
    count = np.zeros(n_x * n_y + 1, dtype=np.int64)
    _bin(flat, low, cell, n_x, n_y, count, np.empty(0, dtype=np.int64), False)
    starts = np.concatenate((np.zeros(1, dtype=np.int64), np.cumsum(count[:-1])))
    members = np.empty(starts[-1], dtype=np.int64)
    _bin(flat, low, cell, n_x, n_y, starts[:-1].copy(), members, True)
    return low, cell, n_x, n_y, starts, members


@numba.njit(cache=True)
def _bin(flat, low, cell, n_x, n_y, slot, members, fill):
    """Count the triangles over each square, or write them to its slot."""
    for t in range(flat.shape[0]):
        x0 = int((min(flat[t, 0, 0], flat[t, 1, 0], flat[t, 2, 0]) - low[0]) / cell)
        x1 = int((max(flat[t, 0, 0], flat[t, 1, 0], flat[t, 2, 0]) - low[0]) / cell)
        y0 = int((min(flat[t, 0, 1], flat[t, 1, 1], flat[t, 2, 1]) - low[1]) / cell)
        y1 = int((max(flat[t, 0, 1], flat[t, 1, 1], flat[t, 2, 1]) - low[1]) / cell)
        for y in range(max(y0, 0), min(y1, n_y - 1) + 1):
            for x in range(max(x0, 0), min(x1, n_x - 1) + 1):
                if fill:
                    members[slot[y * n_x + x]] = t
                slot[y * n_x + x] += 1


@numba.njit(cache=True)
def _rays(points, faces, low, cell, n_x, n_y, starts, members, targets):
    """From each target in z = 0 straight down to the surface; infinite where it never comes, or inside the part."""
    found = np.full(targets.shape[0], np.inf)
    for k in range(targets.shape[0]):
        x, y = targets[k, 0], targets[k, 1]
        place, row = int(np.floor((x - low[0]) / cell)), int(np.floor((y - low[1]) / cell))
        if place < 0 or row < 0 or place >= n_x or row >= n_y:
            continue
        square = row * n_x + place
        inside, highest = 0, -np.inf
        for m in range(starts[square], starts[square + 1]):
            t = members[m]
            a, b, c = faces[t, 0], faces[t, 1], faces[t, 2]
            double = (points[b, 0] - points[a, 0]) * (points[c, 1] - points[a, 1]) - (points[c, 0] - points[a, 0]) * (
                points[b, 1] - points[a, 1]
            )
            if double == 0.0:
                continue
            crossings = 0
            for edge in range(3):
                p, q = faces[t, edge], faces[t, (edge + 1) % 3]
                if points[p, 1] > points[q, 1]:
                    p, q = q, p
                if points[p, 1] <= y < points[q, 1]:
                    at = points[p, 0] + (y - points[p, 1]) * (points[q, 0] - points[p, 0]) / (
                        points[q, 1] - points[p, 1]
                    )
                    if at <= x:
                        crossings += 1
            if crossings != 1:
                continue
            u = (
                (x - points[a, 0]) * (points[c, 1] - points[a, 1]) - (points[c, 0] - points[a, 0]) * (y - points[a, 1])
            ) / double
            v = (
                (points[b, 0] - points[a, 0]) * (y - points[a, 1]) - (x - points[a, 0]) * (points[b, 1] - points[a, 1])
            ) / double
            z = points[a, 2] + u * (points[b, 2] - points[a, 2]) + v * (points[c, 2] - points[a, 2])
            if z < 0.0:
                inside += -1 if double > 0.0 else 1
                highest = max(highest, z)
        if inside == 0:
            found[k] = -highest
    return found
