"""A hard core from a file: its axis, its bore, and what of it stays closed while the rubber is cast around it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.need import need
from pourwright.catalogue.families.family import refusal
from pourwright.catalogue.part_shape import Hub
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.partings.silhouette import steps_above_mm
from pourwright.engines.geometry.probes.through_bore import bore_about_axis_mm
from pourwright.engines.geometry.tree import Imported, Node, Turned, cylinder

AXES = ("x", "y", "z")
_ALIKE = 0.01  # two sides of a box that differ by less are the width of something round
_SAME_MM = 0.02
_RAYS, _LEVELS = 180, 48
_INTO_WALL_MM = 0.3  # how far what closes the bore reaches into the wall, so that no two faces lie on each other
Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class FileCore:
    """A core from a file: `vertices_mm` with its axis on z and its middle at height 0.

    `node` is the solid turned upright and not yet moved; `middle_mm` is where its middle lies then.
    """

    node: Node
    middle_mm: tuple[float, float, float]
    vertices_mm: Floats
    triangles: NDArray[np.int64]
    exact: bool

    @property
    def half_mm(self) -> float:
        """Half its length."""
        return float(self.vertices_mm[:, 2].max())

    @property
    def radius_mm(self) -> float:
        """Largest distance from its axis."""
        return float(np.hypot(self.vertices_mm[:, 0], self.vertices_mm[:, 1]).max())


def core_from_file(solid: ImportedSolid, axis: str) -> FileCore:
    """The solid turned so that its axis stands upright; "" finds the axis: a bore, else two sides alike, else z."""
    return _upright(solid, axis or _found_axis(solid))


def _found_axis(solid: ImportedSolid) -> str:
    for axis in reversed(AXES):
        core = _upright(solid, axis)
        if bore_about_axis_mm(core.vertices_mm, core.triangles) > 0:
            return axis
    size = np.ptp(solid.vertices_mm, axis=0)
    for axis, (one, other) in {"z": (0, 1), "y": (0, 2), "x": (1, 2)}.items():
        if abs(size[one] - size[other]) <= _ALIKE * max(size[one], size[other]):
            return axis
    return "z"


def _upright(solid: ImportedSolid, axis: str) -> FileCore:
    across, along, up = (solid.vertices_mm[:, k] for k in range(3))
    node: Node = Imported(solid.digest)
    if axis == "x":
        turned, node = np.column_stack((-up, along, across)), Turned(node, "y", -90.0)
    elif axis == "y":
        turned, node = np.column_stack((across, -up, along)), Turned(node, "x", 90.0)
    else:
        turned = solid.vertices_mm
    middle = (turned.min(axis=0) + turned.max(axis=0)) / 2
    x, y, z = (float(m) for m in middle)
    exact = solid.step is not None
    return FileCore(node=node, middle_mm=(x, y, z), vertices_mm=turned - middle, triangles=solid.triangles, exact=exact)


def hub_of(core: FileCore, values: Mapping[str, float], *, printed: bool) -> tuple[Node, Hub]:
    """The core in place round the rubber, which stands from 0 to its height, and what is to be known of it.

    Raises
    ------
    CannotBuild
        It is shorter or wider than the rubber.
    """
    height = values["height"]
    middle = height / 2 + values["core_shift"]
    low, high = middle - core.half_mm, middle + core.half_mm
    if low > _SAME_MM or high < height - _SAME_MM:
        raise refusal(
            "core_file",
            None,
            f"the core, {2 * core.half_mm:.6g} mm long, reaches from {low:.6g} to {high:.6g} mm, the rubber from 0 "
            f"to {height:.6g} mm: rubber would close over its end",
            "make the rubber shorter, move the core by core_shift, or name its axis by core_axis",
        )
    x, y, z = core.middle_mm
    node = core.node.at(-x, -y, middle - z)
    bore, surface = _bore_mm(core), _surface_mm(core)
    fill = max(bore, surface - _INTO_WALL_MM) if surface > bore + 2 * _INTO_WALL_MM else bore + _INTO_WALL_MM
    filled = node | cylinder(radius_mm=fill, z0_mm=low, z1_mm=high)
    hub = Hub(
        filled=filled,
        plug=filled,
        seat_mm=((core.radius_mm, height), (core.radius_mm, 0.0)),
        low_mm=low,
        high_mm=high,
        end_mm=core.radius_mm,
        upper_mm=steps_above_mm(core.vertices_mm, core.triangles, height - middle),
        faces_mm=(_widest_beyond(_turned_over(core), core.half_mm), _widest_beyond(core, core.half_mm)),
        bore_mm=bore,
        least_mm=min(fill, surface),
        shaped=True,
        raw_top_mm=core.half_mm + z,
        mass_g=values["core_mass"] * 1e3,
        run_out_mm=values["run_out"],
        printed=printed,
    )
    return node, hub


def _bore_mm(core: FileCore) -> float:
    """Radius of the bore: its corners lie on it, while the chords between them stand into it."""
    clear = bore_about_axis_mm(core.vertices_mm, core.triangles)
    if clear == 0.0:
        return 0.0
    corners = float(np.hypot(core.vertices_mm[:, 0], core.vertices_mm[:, 1]).min())
    return corners if corners - clear <= _SAME_MM + 0.01 * clear else clear


def _widest_beyond(core: FileCore, level: float) -> float:
    """Largest radius above a height of the core's own; at its end when nothing stands out."""
    z = core.vertices_mm[:, 2]
    beyond = core.vertices_mm[z >= min(level, float(z.max())) - _SAME_MM]
    return float(np.hypot(beyond[:, 0], beyond[:, 1]).max())


def _turned_over(core: FileCore) -> FileCore:
    return replace(core, vertices_mm=core.vertices_mm * np.array([1.0, 1.0, -1.0]))


def _surface_mm(core: FileCore) -> float:
    """Least radius at which rubber that flows straight inwards meets the core; 0 where it reaches the axis."""
    rays = need("pourwright.engines.geometry.probes.ray_tree")
    angles = (np.arange(_RAYS) + 0.371) * 2 * math.pi / _RAYS
    levels = core.half_mm * (2 * (np.arange(_LEVELS) + 0.4837) / _LEVELS - 1)
    outside = 2 * core.radius_mm
    ways = np.column_stack((np.cos(angles), np.sin(angles), np.zeros(_RAYS)))
    points = np.concatenate([outside * ways + [0.0, 0.0, level] for level in levels])
    distance, _ = rays.first_hits(rays.ray_tree(core.vertices_mm, core.triangles), points, np.tile(-ways, (_LEVELS, 1)))
    return max(0.0, outside - float(np.max(distance))) if np.all(distance < outside) else 0.0
