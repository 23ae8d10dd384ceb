"""Pull, sections and thin walls of a part with many triangles, against rays, slices and balls made the general way."""

from __future__ import annotations

import manifold3d
import numpy as np
import trimesh
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from benchmarks.timing import Topic, measured
from pourwright.engines.geometry.air.dexels import Columns, scan
from pourwright.engines.geometry.probes.slices import cut_slices
from pourwright.engines.geometry.probes.thickness import surface_samples, thinnest
from pourwright.engines.geometry.pulls.best_pull import best_pull
from pourwright.engines.geometry.pulls.pull import gap_volume, pull_report
from pourwright.engines.geometry.pulls.pull_ways import half_sphere
from pourwright.engines.geometry.repeats.twin import coarse_twin

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]

_COLUMNS, _SLICES, _SAMPLES = 128, 100, 4000
_WAYS = 20
_RUNS = 3
_ROUNDS = 30


def topics() -> list[Topic]:
    """A lobed knob with two waists and a bore, coarse for the peers and fine for ourselves."""
    part, fine = knob(rings=90, around=180), knob(rings=700, around=720)
    return [_columns(part), _sections(part), _walls(part), _ways(fine), _whole(fine)]


def knob(*, rings: int, around: int) -> Mesh:
    """A closed turned shape with three shallow lobes, mm."""
    height = np.linspace(0.0, 30.0, rings + 1)
    outline = [(3.0, 0.0), *zip(12 + 3 * np.cos(2 * np.pi * height / 18), height, strict=True), (3.0, 30.0)]
    angle = 2 * np.pi * np.arange(around) / around
    lobed = np.where(np.arange(len(outline)) % (len(outline) - 1) == 0, 0.0, 0.05)
    radius = np.array([r for r, _ in outline])[:, None] * (1 + lobed[:, None] * np.cos(3 * angle))
    z = np.repeat(np.array([z for _, z in outline])[:, None], around, axis=1)
    vertices = np.stack((radius * np.cos(angle), radius * np.sin(angle), z), axis=-1).reshape(-1, 3)
    i, j = np.meshgrid(np.arange(len(outline)), np.arange(around), indexing="ij")
    next_i, next_j = (i + 1) % len(outline), (j + 1) % around
    a, b, c, d = i * around + j, i * around + next_j, next_i * around + next_j, next_i * around + j
    return vertices, np.concatenate((np.stack((a, b, c), -1), np.stack((a, c, d), -1))).reshape(-1, 3)


def _columns(part: Mesh) -> Topic:
    ours = scan(*part, columns=_COLUMNS)
    solid = manifold3d.Manifold(manifold3d.Mesh64(part[0], part[1].astype(np.uint64)))
    return Topic(
        title=f"{len(part[1])} triangles as {_COLUMNS} columns across, every height at which the surface is crossed",
        ours=measured("columns", lambda: scan(*part, columns=_COLUMNS), note=f"{ours.volume_mm3:.1f} mm3"),
        others=(
            measured(
                "manifold3d's rays, one a column",
                lambda: _by_rays(solid, ours),
                runs=_RUNS,
                note=f"{_by_rays(solid, ours):.1f} mm3",
            ),
        ),
    )


def _by_rays(solid: manifold3d.Manifold, columns: Columns) -> float:
    """Volume in the same columns: of each ray the ways between its odd and its even crossings."""
    low, high = columns.span_mm[0] - 1.0, columns.span_mm[1] + 1.0
    total = 0.0
    for j in range(columns.counts[1]):
        v = columns.origin_mm[1] + j * columns.cell_mm[1]
        for i in range(columns.counts[0]):
            u = columns.origin_mm[0] + i * columns.cell_mm[0]
            heights = [hit.distance for hit in solid.ray_cast((u, v, low), (u, v, high))]
            total += sum(heights[1::2]) - sum(heights[: len(heights) // 2 * 2 : 2])
    return total * (high - low) * columns.cell_mm2


def _sections(part: Mesh) -> Topic:
    mesh = trimesh.Trimesh(*part, process=False)
    heights = cut_slices(*part, slices=_SLICES).middle_mm
    return Topic(
        title=f"{_SLICES} sections of it",
        ours=measured("area, outline and hull of each", lambda: cut_slices(*part, slices=_SLICES)),
        others=(
            measured(
                "trimesh's segments of each, nothing measured",
                lambda: trimesh.intersections.mesh_multiplane(mesh, (0, 0, 0), (0, 0, 1), heights),
                runs=_RUNS,
            ),
        ),
    )


def _walls(part: Mesh) -> Topic:
    found = thinnest(*part, samples=_SAMPLES)
    return Topic(
        title=f"Its thinnest wall, {_SAMPLES} samples",
        ours=measured(
            "rays, and balls where they are thin", lambda: thinnest(*part, samples=_SAMPLES), note=_mm(found)
        ),
        others=(
            measured(
                "a ball at each, scipy's tree of the samples",
                lambda: _by_balls(part),
                runs=_RUNS,
                note=f"{_by_balls(part):.3f} mm",
            ),
        ),
    )


def _mm(found: object) -> str:
    return f"{getattr(found, 'thickness_mm'):.3f} mm"  # noqa: B009


def _by_balls(part: Mesh) -> float:
    """Balls that shrink until no other sample lies inside them; corners are left out as thinnest does."""
    points, normals, _ = surface_samples(*part, _SAMPLES)
    tree = cKDTree(points)
    radius = np.full(len(points), 30.0)
    facing = np.ones(len(points))
    for _ in range(_ROUNDS):
        away, near = tree.query(points - radius[:, None] * normals)
        inside = away < radius * (1 - 1e-3)
        way = points[near] - points
        fall = -(way * normals).sum(axis=1)
        through = np.divide((way**2).sum(axis=1), 2 * fall, out=radius.copy(), where=fall > 1e-12)
        shrinks = inside & (through < radius)
        if not shrinks.any():
            break
        radius[shrinks] = through[shrinks]
        facing[shrinks] = (normals[near] * normals).sum(axis=1)[shrinks]
    return float(2 * radius[facing < -0.5].min(initial=np.inf))


def _ways(part: Mesh) -> Topic:
    ways = half_sphere()[:_WAYS]

    def gaps(mesh: Mesh) -> list[float]:
        return [gap_volume(scan(*mesh, direction=way, columns=64)) for way in ways]

    return Topic(
        title=f"Gap volume of {len(part[1])} triangles along {_WAYS} directions",
        ours=measured("on a coarse copy made for it", lambda: gaps(coarse_twin(*part, share=0.02)), runs=_RUNS),
        others=(measured("on the mesh itself", lambda: gaps(part), runs=_RUNS),),
    )


def _whole(part: Mesh) -> Topic:
    return Topic(
        title=f"The pull of {len(part[1])} triangles",
        ours=measured("undercut, stretch and gap at 401 heights", lambda: pull_report(*part), runs=_RUNS),
        others=(
            measured("the best of 200 directions and more", lambda: best_pull(*part, allowed_stretch=2.5), runs=_RUNS),
        ),
    )
