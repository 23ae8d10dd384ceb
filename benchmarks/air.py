"""Columns and trapped air against the general way: rays, and reconstruction on a grid of small cubes."""

from __future__ import annotations

import numpy as np
import trimesh
from numpy.typing import NDArray
from scipy.ndimage import generate_binary_structure, grey_dilation, label

from benchmarks.bumpy import bumpy
from benchmarks.sample import samples
from benchmarks.timing import Topic, measured
from pourwright.engines.geometry.air.air_paths import trapped
from pourwright.engines.geometry.air.dexels import Columns, scan
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Ball, Box, cylinder

_COLUMNS = 96
_FINE, _COARSE = 1024, 128
_RUNS = 3


def topics() -> list[Topic]:
    """One cavity of the demo as columns; air in a block with half a ball on top and a blind bore beside it."""
    design = samples()[1].design()
    vertices, triangles = Evaluator(MeshKernel()).mesh(design.cell or design.part)
    mesh = trimesh.Trimesh(vertices, triangles, process=False)
    pitch = float(np.ptp(vertices[:, :2], axis=0).max()) / _COLUMNS
    filled = Topic(
        title=f"A cavity of {len(triangles)} triangles as {_COLUMNS} columns across",
        ours=measured("columns, exact heights", lambda: scan(vertices, triangles, columns=_COLUMNS)),
        others=(measured("trimesh's filled cubes of that width", lambda: mesh.voxelized(pitch).fill(), runs=_RUNS),),
    )
    return [filled, _trapped_air(), _air_of_a_million()]


def _trapped_air() -> Topic:
    """144 pi = 452.4 mm3 stay in the half ball when only the bore is vented."""
    cavity = (
        Box(-20, -20, 0, 20, 20, 20) | Ball(6).at(-10, 0, 20) | cylinder(radius_mm=4, z0_mm=20, z1_mm=27).at(10, 0, 0)
    )
    vertices, triangles = Evaluator(MeshKernel(segments=256)).mesh(cavity)
    vent = (10.0, 0.0, 27.0)

    def ours() -> float:
        return trapped(vertices, triangles, vents=[vent], columns=_COLUMNS, tilts_deg=(0.0,)).level_mm3

    def by_labels() -> float:
        return _trapped_by_cubes(scan(vertices, triangles, columns=_COLUMNS), vent)

    def by_dilation() -> float:
        return _trapped_by_dilation(scan(vertices, triangles, columns=_COLUMNS), vent)

    return Topic(
        title="Air trapped in a block with a dome of 452.4 mm3, level, with one vent",
        ours=measured("pockets of columns", ours, note=f"{ours():.1f} mm3"),
        others=(
            measured("scipy's labels of cubes, level by level", by_labels, runs=_RUNS, note=f"{by_labels():.1f} mm3"),
            measured("scipy's grey dilation until it stands", by_dilation, runs=_RUNS, note=f"{by_dilation():.1f} mm3"),
        ),
    )


def _air_of_a_million() -> Topic:
    """Ours on 64 times as many columns: cubes as fine as those would be 800 million."""
    vertices, triangles = bumpy()
    vent = (0.0, 0.0, float(vertices[:, 2].max()))

    def ours() -> float:
        return trapped(vertices, triangles, vents=[vent], columns=_FINE, tilts_deg=(0.0,)).level_mm3

    def by_labels() -> float:
        return _trapped_by_cubes(scan(vertices, triangles, columns=_COARSE), vent)

    return Topic(
        title=f"Air in a dome of {len(triangles)} triangles, level, one vent at its top",
        ours=measured(f"scan and search, {_FINE} columns across", ours, note=f"{ours():.1f} mm3"),
        others=(
            measured(
                f"scipy's labels of cubes, only {_COARSE} columns across (from our scan)",
                by_labels,
                runs=_RUNS,
                note=f"{by_labels():.1f} mm3",
            ),
        ),
    )


def _trapped_by_cubes(columns: Columns, vent: tuple[float, float, float]) -> float:
    """Air in a cube is trapped when what lies at its height and above does not reach the vent from it."""
    cubes, size = _cubes(columns)
    u, v = (round((vent[k] - columns.origin_mm[k]) / columns.cell_mm[k]) for k in range(2))
    away = np.hypot(*np.meshgrid(np.arange(cubes.shape[1]) - u, np.arange(cubes.shape[0]) - v))
    lost = 0
    for low in range(cubes.shape[2]):
        parts, count = label(cubes[:, :, low:])
        top = np.where(parts.any(axis=2), away, np.inf)
        row, place = np.unravel_index(int(np.argmin(top)), top.shape)
        free = set(np.unique(parts[row, place])) - {0}
        lost += int(np.isin(parts[:, :, 0], list(set(range(1, count + 1)) - free)).sum())
    return lost * size**3


def _cubes(columns: Columns) -> tuple[NDArray[np.bool_], float]:
    """The material as cubes as high as a column is wide; (rows, places, levels)."""
    size = columns.cell_mm[0]
    levels = np.arange(columns.span_mm[0] + size / 2, columns.span_mm[1], size)
    column = np.repeat(np.arange(len(columns.starts) - 1), np.diff(columns.starts))
    inside = (columns.bottom_mm[:, None] < levels) & (levels < columns.top_mm[:, None])
    cubes = np.zeros((len(columns.starts) - 1, len(levels)), dtype=bool)
    np.logical_or.at(cubes, column, inside)
    return cubes.reshape(columns.counts[1], columns.counts[0], len(levels)), size


def _trapped_by_dilation(columns: Columns, vent: tuple[float, float, float]) -> float:
    """The height by which each cube's air can leave: the vent's, spread under every cube's own until it stands."""
    cubes, size = _cubes(columns)
    height = np.where(cubes, np.arange(1, cubes.shape[2] + 1), 0)
    u, v = (round((vent[k] - columns.origin_mm[k]) / columns.cell_mm[k]) for k in range(2))
    away = np.hypot(*np.meshgrid(np.arange(cubes.shape[1]) - u, np.arange(cubes.shape[0]) - v))
    top = np.unravel_index(int(np.argmin(np.where(cubes[:, :, -1], away, np.inf))), away.shape)
    reach = np.zeros_like(height)
    reach[top[0], top[1], -1] = cubes.shape[2]
    six = generate_binary_structure(3, 1)
    while True:
        spread = np.minimum(grey_dilation(reach, footprint=six), height)
        if (spread == reach).all():
            return float((reach < height).sum()) * size**3
        reach = spread
