"""Columns and trapped air against the general way: rays, and reconstruction on a grid of small cubes."""

from __future__ import annotations

import numpy as np
import trimesh
from numpy.typing import NDArray
from scipy.ndimage import label

from benchmarks.sample import samples
from benchmarks.timing import Topic, measured
from pourwright.engines.geometry.air_paths import trapped
from pourwright.engines.geometry.dexels import Columns, scan
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel

_COLUMNS = 96
_RUNS = 3


def topics() -> list[Topic]:
    """One cavity of the demo."""
    sample = samples()[1]
    design = sample.design()
    vertices, triangles = Evaluator(MeshKernel()).mesh(design.cell or design.part)
    mesh = trimesh.Trimesh(vertices, triangles, process=False)
    pitch = float(np.ptp(vertices[:, :2], axis=0).max()) / _COLUMNS
    columns = scan(vertices, triangles, columns=_COLUMNS)
    vents = [tuple(vertices[vertices[:, 2].argmax()].tolist())]

    def level() -> float:
        return trapped(vertices, triangles, vents=vents, columns=_COLUMNS, tilts_deg=(0.0,)).level_mm3

    by_cubes = _trapped_by_cubes(columns, vents[0])
    return [
        Topic(
            title=f"A cavity of {len(triangles)} triangles as {_COLUMNS} columns across",
            ours=measured("columns, exact heights", lambda: scan(vertices, triangles, columns=_COLUMNS)),
            others=(
                measured("trimesh's filled cubes of that width", lambda: mesh.voxelized(pitch).fill(), runs=_RUNS),
            ),
        ),
        Topic(
            title="Air trapped in it, level, with one vent",
            ours=measured("pockets of columns", level, note=f"{level():.0f} mm3"),
            others=(
                measured(
                    "scipy's labels of cubes, level by level",
                    lambda: _trapped_by_cubes(columns, vents[0]),
                    runs=_RUNS,
                    note=f"{by_cubes:.0f} mm3",
                ),
            ),
        ),
    ]


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
