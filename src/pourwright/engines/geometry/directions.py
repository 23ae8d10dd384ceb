"""Along which direction a part is best pulled out of its mould, found by trying many on a simplified twin. mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pourwright.basics.need import need
from pourwright.basics.progress import Report, silent, span
from pourwright.engines.geometry.dexels import Floats, Ints, frame_along, scan, unit
from pourwright.engines.geometry.pull import gap_volume, pull_report

HALF_SPHERE = 200
TWIN_TRIANGLES = 6000
TWIN_SHARE = 0.005  # of the diagonal: how far the twin may stray from the part
_FLATS = 6
_BEST = 5
_RINGS_DEG = (6.0, 3.0, 1.5)
_SAME_VOLUME = 2e-3  # of the part: two directions closer than this are equal, as far as the grid can tell
_SAME_STRETCH = 5e-3
_APART = math.cos(math.radians(10))

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Pull:
    """One direction and what it costs.

    Parameters
    ----------
    direction : (3,), unit vector; its flat mouth, where it has one, looks this way.
    gap_mm3 : mm3, blocked along it whatever the parting.
    undercut_mm3 : mm3, blocked with a level parting at its best height.
    stretch : -, there.
    z_mm : mm, that height along the direction.
    flat_share : -, share of the shadow that one flat face across the direction covers.
    box_mm3 : mm3, of the box round the part.
    """

    direction: Vector
    gap_mm3: float
    undercut_mm3: float
    stretch: float
    z_mm: float
    flat_share: float
    box_mm3: float


def best_direction(vertices: Floats, triangles: Ints, *, report: Report = silent) -> tuple[Pull, ...]:
    """The best directions of pull, best first, at most five and at least 10° apart.

    Least undercut with a level parting decides, then least gap volume, then least stretch, then a flat mouth, then
    the smaller box. Both senses of a direction cost the same; the one with the flat mouth on top is given.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    report : told the progress.

    Returns
    -------
    Figures from the full mesh at 256 columns; the search itself runs on a twin of at most 6000 triangles.
    """
    twin = simplified(vertices, triangles)
    volume = scan(*twin, columns=64).volume_mm3
    rough = _ranked(_tried(*twin, volume, span(report, 0.0, 0.5)), volume)[:_BEST]
    found = []
    for k, start in enumerate(rough):
        span(report, 0.5, 0.9)(k / len(rough), "turning the best directions a little")
        found.append(_refined(*twin, start, volume))
    report(0.9, "judging the best directions on the full part")
    return tuple(_ranked([_judged(vertices, triangles, pull.direction, 256) for pull in found], volume))


def _tried(vertices: Floats, triangles: Ints, volume: float, report: Report) -> list[Pull]:
    """The candidates that can still be best: no level parting blocks less than the gap volume."""
    candidates = _candidates(vertices, triangles)
    gaps = np.array([gap_volume(scan(vertices, triangles, direction=d, columns=64)) for d in candidates])
    judged: list[Pull] = []
    least = math.inf
    for done, k in enumerate(np.argsort(gaps, kind="stable")):
        if gaps[k] > least + _SAME_VOLUME * volume and len(judged) >= 2 * _BEST:
            break
        report(done / len(candidates), "trying directions of pull")
        judged.append(_judged(vertices, triangles, candidates[k], 64))
        least = min(least, judged[-1].undercut_mm3)
    return judged


def simplified(vertices: Floats, triangles: Ints) -> tuple[Floats, Ints]:
    """A twin with at most 6000 triangles whose surface strays by at most 0.5 % of the diagonal.

    The mesh itself when it is that small already, or when the mesh kernel does not accept it.
    """
    if len(triangles) <= TWIN_TRIANGLES:
        return np.asarray(vertices, dtype=np.float64), np.asarray(triangles, dtype=np.int64)
    kernel = need("manifold3d")
    # Copies: the kernel refuses arrays that may not be written to.
    solid = kernel.Manifold(
        kernel.Mesh64(np.array(vertices, dtype=np.float64, order="C"), np.array(triangles, dtype=np.uint64, order="C"))
    )
    if solid.status() != kernel.Error.NoError or solid.is_empty():
        return np.asarray(vertices, dtype=np.float64), np.asarray(triangles, dtype=np.int64)
    most = TWIN_SHARE * float(np.linalg.norm(np.ptp(vertices, axis=0)))
    tolerance = most / 32
    twin = solid.simplify(tolerance)
    while twin.num_tri() > TWIN_TRIANGLES and tolerance < most:
        tolerance *= 2
        twin = solid.simplify(tolerance)
    mesh = twin.to_mesh64()
    return np.array(mesh.vert_properties, dtype=np.float64)[:, :3], np.array(mesh.tri_verts, dtype=np.int64)


# ---------------------------------------------------------------- candidates


def _candidates(vertices: Floats, triangles: Ints) -> list[Vector]:
    """z, x, y; normals of the largest flats; principal axes; a half sphere of directions. No two alike."""
    chosen: list[Floats] = []
    for direction in (
        np.array([0.0, 0.0, 1.0]),
        np.array([1.0, 0.0, 0.0]),
        np.array([0.0, 1.0, 0.0]),
        *_flat_normals(vertices, triangles),
        *_principal_axes(vertices, triangles),
        *_half_sphere(),
    ):
        if all(abs(float(direction @ other)) < 1 - 1e-9 for other in chosen):
            chosen.append(direction)
    return [_vector(direction) for direction in chosen]


def _half_sphere() -> Floats:
    """Directions spread evenly over half a sphere, along a spiral."""
    i = np.arange(HALF_SPHERE) + 0.5
    height = 1 - i / HALF_SPHERE
    angle = math.pi * (1 + math.sqrt(5)) * i
    radius = np.sqrt(1 - height**2)
    return np.column_stack((radius * np.cos(angle), radius * np.sin(angle), height))


def _flat_normals(vertices: Floats, triangles: Ints) -> Floats:
    normals, areas = _normals(vertices, triangles)
    rounded, which = np.unique(np.round(normals, 4) + 0.0, axis=0, return_inverse=True)
    size = np.bincount(which.ravel(), weights=areas, minlength=len(rounded))
    largest = np.argsort(-size, kind="stable")[:_FLATS]
    return np.array([unit((normals * areas[:, None])[which.ravel() == k].sum(axis=0)) for k in largest])


def _principal_axes(vertices: Floats, triangles: Ints) -> Floats:
    """Axes of inertia of the surface, heaviest first."""
    corners = vertices[triangles]
    _, areas = _normals(vertices, triangles)
    centres = corners.mean(axis=1)
    middle = np.average(centres, axis=0, weights=areas)
    off = corners - middle
    # Exact second moment of a triangle: of its corners and its middle.
    moment = np.einsum("t,tki,tkj->ij", areas / 12, off, off)
    moment += np.einsum("t,ti,tj->ij", areas * 9 / 12, centres - middle, centres - middle)
    return np.linalg.eigh(moment)[1].T[::-1]


def _normals(vertices: Floats, triangles: Ints) -> tuple[Floats, Floats]:
    corners = np.asarray(vertices, dtype=np.float64)[triangles]
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(crossed, axis=1)
    return crossed / np.maximum(length, 1e-300)[:, None], 0.5 * length


# ---------------------------------------------------------------- judging


def _judged(vertices: Floats, triangles: Ints, direction: Vector, columns: int) -> Pull:
    """The figures of one direction, with its flat mouth on top."""
    up = _flat_area(vertices, triangles, direction)
    down = _flat_area(vertices, triangles, _vector(-np.array(direction)))
    way = _vector(-np.array(direction)) if down > up * (1 + 1e-9) else direction
    report = pull_report(vertices, triangles, way, columns=columns, slices=columns)
    undercut = report.u_mm3
    # Among heights that are equal but for the grid, the one that stretches least.
    least = undercut <= undercut.min() + 1e-4 * report.volume_mm3
    best = int(np.argmin(np.where(least, report.stretch, np.inf)))
    turned = vertices @ frame_along(way).T
    return Pull(
        way,
        report.gap_mm3,
        float(undercut[best]),
        float(report.stretch[best]),
        float(report.z_mm[best]),
        min(max(up, down) / max(report.shadow_mm2, 1e-300), 1.0),
        float(np.prod(np.ptp(turned, axis=0))),
    )


def _flat_area(vertices: Floats, triangles: Ints, direction: Vector) -> float:
    """Area of the flat face that ends the part towards a direction."""
    normals, areas = _normals(vertices, triangles)
    heights = (vertices @ np.array(direction))[triangles].min(axis=1)
    top = float((vertices @ np.array(direction)).max())
    near = 1e-5 * float(np.ptp(vertices, axis=0).max())
    return float(areas[(normals @ np.array(direction) > 1 - 1e-6) & (heights >= top - near)].sum())


def _order(pull: Pull, volume: float) -> tuple[float, ...]:
    same = _SAME_VOLUME * volume
    return (
        math.floor(pull.undercut_mm3 / same),
        math.floor(pull.gap_mm3 / same),
        math.floor((pull.stretch - 1.0) / _SAME_STRETCH),
        -round(pull.flat_share, 2),
        round(pull.box_mm3 / volume, 2),
    )


def _ranked(pulls: list[Pull], volume: float) -> list[Pull]:
    """Best first; of directions within 10° of each other only the best."""
    kept: list[Pull] = []
    for pull in sorted(pulls, key=lambda p: _order(p, volume)):
        if all(abs(float(np.dot(pull.direction, other.direction))) < _APART for other in kept):
            kept.append(pull)
    return kept


def _refined(vertices: Floats, triangles: Ints, start: Pull, volume: float) -> Pull:
    """Rings of twelve directions round the start, ever closer; whatever is better takes its place."""
    best = _judged(vertices, triangles, start.direction, 128)
    for ring in _RINGS_DEG:
        u, v, d = frame_along(best.direction)
        tilt = math.radians(ring)
        for k in range(12):
            way = math.cos(k * math.pi / 6) * u + math.sin(k * math.pi / 6) * v
            other = _judged(vertices, triangles, _vector(math.cos(tilt) * d + math.sin(tilt) * way), 128)
            if _order(other, volume)[:4] < _order(best, volume)[:4]:
                best = other
    return best


def _vector(direction: Floats) -> Vector:
    x, y, z = direction
    return float(x) + 0.0, float(y) + 0.0, float(z) + 0.0
