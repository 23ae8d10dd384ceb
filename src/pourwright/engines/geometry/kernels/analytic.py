"""Volumes and areas from formulas alone, without making a shape: an oracle for the other kernels."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild, KernelFault
from pourwright.engines.geometry.imported import Library
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.partings.relief import Relief
from pourwright.engines.geometry.profiles.outline_math import (
    curves,
    enclosed_area_mm2,
    length_mm,
    moment_mm3,
    swept_area_mm2,
)
from pourwright.engines.geometry.tree import Outline


def revolved_volume_mm3(outline: Outline) -> float:
    r"""Volume of a full turn of an (r, z) outline about z, :math:`\pi \oint r^2\,dz`.

    Parameters
    ----------
    outline : mm, anticlockwise, r >= 0.

    Returns
    -------
    mm3

    Raises
    ------
    CannotBuild
        The outline runs clockwise or encloses nothing.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> round(revolved_volume_mm3(polygon([(0, 0), (12, 0), (8, 10), (0, 10)])), 3)
    3183.481
    """
    volume = 2 * math.pi * math.fsum(moment_mm3(curve) for curve in curves(outline))
    if volume <= 0:
        raise CannotBuild("an outline that runs clockwise or encloses nothing", advice="draw it anticlockwise")
    return volume


def revolved_area_mm2(outline: Outline) -> float:
    """Surface of a full turn of an (r, z) outline about z, mm2.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> round(revolved_area_mm2(polygon([(0, 0), (1, 0), (1, 1), (0, 1)])) / math.pi, 12)
    4.0
    """
    return math.fsum(swept_area_mm2(curve) for curve in curves(outline))


@dataclass(frozen=True)
class Figures:
    """What is known of a solid without making it."""

    volume_mm3: float
    area_mm2: float


class AnalyticKernel:
    """Exact volume and area of simple shapes, moved and scaled; booleans need another kernel.

    Parameters
    ----------
    library : the imported solids, by digest.
    """

    name = "analytic"
    exact = True
    tolerance_mm = 0.0
    fuzzy_mm = 0.0
    looseness_mm = 0.0
    area_tolerance = 0.0

    def __init__(self, library: Library | None = None) -> None:
        self._library = library if library is not None else {}

    def box(self, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float) -> Figures:
        """A block between two corners."""
        return self.tapered(x0, y0, z0, x1, y1, z1, 0.0)

    def tapered(self, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float, inset: float) -> Figures:
        """A block that is `inset` smaller on each side at z1."""
        a, b, h = x1 - x0, y1 - y0, z1 - z0
        top_a, top_b = a - 2 * inset, b - 2 * inset
        volume = h * (a * b - inset * (a + b) + 4 * inset**2 / 3)
        sides = (a + top_a + b + top_b) * math.hypot(h, inset)
        return Figures(volume, a * b + top_a * top_b + sides)

    def revolve(self, outline: Outline) -> Figures:
        """A full turn of an (r, z) outline about z."""
        return Figures(revolved_volume_mm3(outline), revolved_area_mm2(outline))

    def prism(self, outline: Outline, z0: float, z1: float) -> Figures:
        """An (x, y) outline drawn up from z0 to z1."""
        face = enclosed_area_mm2(outline)
        around = math.fsum(length_mm(curve) for curve in curves(outline))
        return Figures(face * (z1 - z0), 2 * face + around * (z1 - z0))

    def ball(self, radius: float) -> Figures:
        """A ball."""
        return Figures(4 / 3 * math.pi * radius**3, 4 * math.pi * radius**2)

    def imported(self, digest: str) -> Figures:
        """A solid from a file, by its triangles."""
        if digest not in self._library:
            raise KernelFault(f"the imported solid {digest[:12]} is not in the library")
        part = self._library[digest]
        a, b, c = (part.vertices_mm[part.triangles[:, k]] for k in range(3))
        normal = np.cross(b - a, c - a)
        volume = float(np.sum(np.einsum("ij,ij->i", a, normal)) / 6)
        return Figures(volume, float(np.sum(np.linalg.norm(normal, axis=1)) / 2))

    def place(self, solid: Figures, x: float, y: float, z: float, turn_deg: float) -> Figures:
        """Moved: nothing changes."""
        return solid

    def turn(self, solid: Figures, axis: str, angle_deg: float) -> Figures:
        """Turned: nothing changes."""
        return solid

    def mirror(self, solid: Figures) -> Figures:
        """Mirrored: nothing changes."""
        return solid

    def shift(self, solid: Figures, relief: Relief, times: float) -> Figures:
        """Columns shifted: the volume stays, the surface is not known."""
        return Figures(solid.volume_mm3, math.nan)

    def scale(self, solid: Figures, factor: float) -> Figures:
        """Scaled: volume by the cube, area by the square."""
        return Figures(solid.volume_mm3 * factor**3, solid.area_mm2 * factor**2)

    def union(self, *solids: Figures) -> Figures:
        """Not without shapes."""
        raise _needs_shapes("a union")

    def cut(self, first: Figures, *rest: Figures) -> Figures:
        """Not without shapes."""
        raise _needs_shapes("a cut")

    def common(self, first: Figures, second: Figures) -> Figures:
        """Not without shapes."""
        raise _needs_shapes("a common part")

    def volume(self, solid: Figures) -> float:
        """mm3."""
        return solid.volume_mm3

    def area(self, solid: Figures) -> float:
        """mm2."""
        return solid.area_mm2

    def bounds(self, solid: Figures) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Not without shapes."""
        raise _needs_shapes("a bounding box")

    def bodies(self, solid: Figures) -> int:
        """Every simple shape is one body."""
        return 1

    def is_empty(self, solid: Figures) -> bool:
        """Nothing there."""
        return solid.volume_mm3 == 0

    def is_closed(self, solid: Figures) -> bool:
        """Every simple shape is closed."""
        return True

    def shortest_edge_mm(self, solid: Figures) -> float:
        """Not without shapes."""
        raise _needs_shapes("the shortest edge")

    def weight(self, solid: Figures) -> int:
        """For the memo's bound."""
        return 1

    def mesh(self, solid: Figures, tolerance_mm: float = 0.01) -> Mesh:
        """Not without shapes."""
        raise _needs_shapes("a mesh")


def _needs_shapes(what: str) -> KernelFault:
    return KernelFault(f"{what} needs a kernel that makes shapes", advice="use the mesh kernel or the exact kernel")
