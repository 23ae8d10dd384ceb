"""Which way to pull a part out of its mould, and where to part it. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pourwright.basics.need import need
from pourwright.basics.progress import Report, silent, span
from pourwright.engines.geometry.closed import volume_mm3
from pourwright.engines.geometry.dexels import Floats, Ints, frame_along, scan
from pourwright.engines.geometry.pull import Parting, PullReport, best_parting, gap_volume, pull_report, sharp_edges

_TWIN_TRIANGLES, _TWIN_SHARE = 6000, 0.005
_HALF_SPHERE = 200
_FLATS, _FLAT_SHARE = 6, 0.02
_SAME_EXTENT = 1e-3
_SHORT_LIST = 8
# Parts of the volume, and of 1, below which two directions count as equal: the grid tells them no better apart.
_SAME_VOLUME, _SAME_STRETCH = 4e-3, 5e-3
_RINGS_DEG = (6.0, 3.0, 1.5)


@dataclass(frozen=True, eq=False)
class BestPull:
    """The direction, its best parting, and the whole report along it; `tried` directions were compared."""

    direction: tuple[float, float, float]
    parting: Parting
    report: PullReport
    tried: int

    @property
    def parting_height_mm(self) -> float:
        """Height of the parting above the lowest point of the part along the pull."""
        return float(self.parting.z_mm - self.report.z_mm[0])

    @property
    def height_mm(self) -> float:
        """Height of the part along the pull."""
        return float(self.report.z_mm[-1] - self.report.z_mm[0])


def best_pull(vertices: Floats, triangles: Ints, *, allowed_stretch: float, report: Report = silent) -> BestPull:
    """The direction in which a part leaves its mould most easily.

    Compared are the axes, the normals of the largest flat faces, the principal axes of inertia, and those of 200
    directions of a half sphere that leave the smallest gap volume (what no parting can avoid): by the undercut at
    the best flat parting, then its stretch, then the flat area across the pull. Of the two ways along a direction
    the one is given that puts the parting in the upper half.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    allowed_stretch : -, at least 1
    report : told the progress.
    """
    twin = _twin(vertices, triangles)
    volume = volume_mm3(*twin)
    named, others = _named(vertices, triangles), _half_sphere()
    gaps = []
    for done, way in enumerate(others):
        report(0.3 * done / len(others), "looking for the best way to pull")
        gaps.append(gap_volume(scan(*twin, direction=way, columns=64)))
    ways = [*named, *(others[k] for k in np.argsort(gaps, kind="stable")[:_SHORT_LIST])]
    scored = []
    for done, way in enumerate(ways):
        report(0.3 + 0.3 * done / len(ways), "comparing the best ways to pull")
        scored.append(_score(twin, way, volume, allowed_stretch))
    first = min(range(len(ways)), key=lambda k: (*scored[k], k))
    way = ways[first]
    if first >= len(named):
        report(0.6, "turning the best way a little")
        way = _refined(twin, way, allowed_stretch)
    return _figures(vertices, triangles, way, allowed_stretch, len(named) + len(others), span(report, 0.7, 1.0))


def _figures(
    vertices: Floats, triangles: Ints, way: Floats, allowed_stretch: float, tried: int, report: Report
) -> BestPull:
    report(0.0, "measuring undercut and stretch")
    found = _parted(vertices, triangles, way, allowed_stretch, 256, 400)
    middle = 0.5 * (found[0].z_mm[0] + found[0].z_mm[-1])
    if found[1].z_mm < middle - 1e-9:
        report(0.5, "measuring undercut and stretch")
        found = _parted(vertices, triangles, -way, allowed_stretch, 256, 400)
    return BestPull(direction=found[0].direction, parting=found[1], report=found[0], tried=tried)


def _parted(
    vertices: Floats, triangles: Ints, way: Floats, allowed_stretch: float, columns: int, slices: int
) -> tuple[PullReport, Parting]:
    pull = pull_report(vertices, triangles, way, columns=columns, slices=slices)
    sharp = sharp_edges(vertices, triangles, pull)
    return pull, best_parting(pull, sharp, allowed_stretch=allowed_stretch, count=1)[0]


# ---------------------------------------------------------------- candidates


def _named(vertices: Floats, triangles: Ints) -> list[Floats]:
    """Normals of flat faces, axes of inertia, axes: each direction once; among equals the first will win.

    The axes come last, since a part that was drawn a little askew should be pulled along its own face or axis.
    """
    axes = [np.array(axis, dtype=float) for axis in ((0, 0, 1), (1, 0, 0), (0, 1, 0))]
    all_ways = [*flat_normals(vertices, triangles), *principal_axes(vertices, triangles), *axes]
    kept: list[Floats] = []
    for way in all_ways:
        if all(abs(float(way @ other)) < 1 - 1e-9 for other in kept):
            kept.append(way)
    return kept


def _half_sphere() -> list[Floats]:
    k = np.arange(_HALF_SPHERE)
    up = 1 - (k + 0.5) / _HALF_SPHERE
    turn = math.pi * (1 + math.sqrt(5)) * (k + 0.5)  # the golden angle spreads them evenly
    out = np.sqrt(1 - up**2)
    return list(np.column_stack((out * np.cos(turn), out * np.sin(turn), up)))


def principal_axes(vertices: Floats, triangles: Ints) -> list[Floats]:
    """Axes of inertia of a closed mesh, longest extent first; unit vectors, (3,) each.

    An axis that the body does not set apart from another (any across a round body) is left out.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> kernel = MeshKernel()
    >>> principal_axes(*kernel.mesh(kernel.box(0, 0, 0, 1, 2, 3)))[0].round(6).tolist()
    [0.0, 0.0, 1.0]
    """
    a, b, c = (vertices[triangles[:, k]] - vertices.mean(axis=0) for k in range(3))
    six = np.einsum("ij,ij->i", a, np.cross(b, c))  # six times each tetrahedron's volume
    whole = six.sum()
    centre = (six[:, None] * (a + b + c)).sum(axis=0) / (4 * whole)
    total = a + b + c
    second = np.einsum("i,ij,ik->jk", six, total, total)
    second += sum(np.einsum("i,ij,ik->jk", six, corner, corner) for corner in (a, b, c))
    spread = second / (20 * whole) - np.outer(centre, centre)
    extents, ways = np.linalg.eigh(spread)
    apart = np.abs(extents[:, None] - extents[None, :]) > _SAME_EXTENT * extents[-1]
    own = (apart | np.eye(3, dtype=bool)).all(axis=1)
    return list(_positive(ways.T[own][::-1]))


def flat_normals(vertices: Floats, triangles: Ints) -> list[Floats]:
    """Normals of the flat faces of a mesh, largest area first; unit vectors, (3,) each.

    All faces that look the same way, or the opposite way, count together; less than a fiftieth of the surface is
    no face.
    """
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    twice = np.cross(b - a, c - a)
    length = np.linalg.norm(twice, axis=1)
    ways = _positive(twice[length > 0] / length[length > 0, None])
    _, first, group = np.unique(np.round(ways, 4), axis=0, return_index=True, return_inverse=True)
    area = np.bincount(group.reshape(-1), weights=length[length > 0])
    largest = np.argsort(-area, kind="stable")[:_FLATS]
    return [ways[first[k]] for k in largest if area[k] > _FLAT_SHARE * length.sum()]


def _positive(ways: Floats) -> Floats:
    """Of each direction (k, 3) and its opposite the one whose last figure that is not 0 is positive."""
    signs = np.sign(np.round(ways, 9))
    sign = np.where(signs[:, 2] != 0, signs[:, 2], np.where(signs[:, 1] != 0, signs[:, 1], signs[:, 0]))
    return ways * sign[:, None] + 0.0


# ---------------------------------------------------------------- scores


def _twin(vertices: Floats, triangles: Ints) -> tuple[Floats, Ints]:
    """The same body with few triangles: near enough to compare directions on."""
    if len(triangles) <= _TWIN_TRIANGLES:
        return vertices, triangles
    manifold = need("manifold3d")
    # Copies: the kernel takes no arrays that are closed to writing.
    mesh = manifold.Mesh64(np.array(vertices, order="C"), np.array(triangles, dtype=np.uint64, order="C"))
    solid = manifold.Manifold(mesh)
    simple = solid.simplify(_TWIN_SHARE * float(np.linalg.norm(np.ptp(vertices, axis=0)))).to_mesh64()
    if not len(simple.tri_verts):
        return vertices, triangles
    return np.array(simple.vert_properties[:, :3]), np.array(simple.tri_verts, dtype=np.int64)


def _score(twin: tuple[Floats, Ints], way: Floats, volume: float, allowed_stretch: float) -> tuple[float, ...]:
    pull, parting = _parted(*twin, way, allowed_stretch, 128, 100)
    flat = max(pull.area_mm2[0], pull.area_mm2[-1]) / max(pull.shadow_mm2, 1e-300)
    return (
        math.floor(parting.undercut_mm3 / volume / _SAME_VOLUME),
        math.floor((parting.stretch - 1) / _SAME_STRETCH),
        -round(float(flat), 1),
    )


def _refined(twin: tuple[Floats, Ints], way: Floats, allowed_stretch: float) -> Floats:
    """Rings of directions round the best one, narrower and narrower; kept only where they gain."""
    best = _parted(*twin, way, allowed_stretch, 128, 100)[1].undercut_mm3
    for tilt in np.radians(_RINGS_DEG):
        u, v, d = frame_along(way)
        for turn in 2 * math.pi * np.arange(12) / 12:
            leaned = math.cos(tilt) * d + math.sin(tilt) * (math.cos(turn) * u + math.sin(turn) * v)
            undercut = _parted(*twin, leaned, allowed_stretch, 128, 100)[1].undercut_mm3
            if undercut < best:
                best, way = undercut, leaned
    return way
