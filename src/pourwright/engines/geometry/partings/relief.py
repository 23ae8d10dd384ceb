"""A parting face that is not level, and solids shifted column by column so that it lies in z = 0. Millimetres.

Halves that meet on a slanted face are cut in the shifted world, where that face is level: there they share it to the
last digit, while on a slant rounding would leave sheets of no thickness between them. Shifting changes no volume.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.tree import Node

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Relief:
    """Heights over the plane: a line drawn across it, level beyond its ends.

    Parameters
    ----------
    corners_mm : mm, (u, z), u rising; first and last at the level beyond.
    axis : 0 when u is x, 1 when it is y.
    """

    corners_mm: tuple[tuple[float, float], ...]
    axis: int = 0

    def __post_init__(self) -> None:
        places = [u for u, _ in self.corners_mm]
        if len(places) < 2 or any(b <= a for a, b in pairwise(places)):
            raise CannotBuild("the corners of a relief must follow each other along its way")

    @cached_property
    def low_mm(self) -> float:
        """Its lowest height."""
        return min(z for _, z in self.corners_mm)

    @cached_property
    def high_mm(self) -> float:
        """Its greatest height."""
        return max(z for _, z in self.corners_mm)

    def numbers(self) -> tuple[object, ...]:
        """Everything that defines it, for keys."""
        return (self.axis, *(number for corner in self.corners_mm for number in corner))

    def heights(self, points: Floats) -> Floats:
        """Its height at each point, (n, 2 or 3) -> (n,)."""
        us, zs = zip(*self.corners_mm, strict=True)
        found: Floats = np.interp(points[:, self.axis], us, zs)
        return found

    def shifted(self, vertices: Floats, triangles: Ints, times: float = -1.0) -> tuple[Floats, Ints]:
        """A closed mesh with every column moved up by so many times the height there.

        Parameters
        ----------
        vertices : mm, (n, 3)
        triangles : (m, 3)
        times : -1 lays the relief into z = 0, 1 takes it back.

        Examples
        --------
        >>> corners = np.array([[-1.0, 0, 0], [1, 0, 0], [0, 2, 0], [0, 0, 2]])
        >>> faces = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
        >>> points, _ = Relief(corners_mm=((-1.0, -0.5), (1.0, 0.5))).shifted(corners, faces)
        >>> points[:, 2].tolist()
        [0.5, -0.5, 0.0, 2.0]
        """
        for u, _ in self.corners_mm:
            vertices, triangles = divided(vertices, triangles, self.axis, u)
        moved = vertices.copy()
        moved[:, 2] += times * self.heights(vertices)
        return moved, triangles


@dataclass(frozen=True, eq=False)
class Shifted(Node):
    """A solid of which every column is moved up by so many times the height of a relief; only of triangles.

    -1 lays what follows the relief level, 1 takes it back.
    """

    solid: Node
    relief: Relief
    times: float

    def _parts(self) -> tuple[object, ...]:
        return (self.solid, self.times, *self.relief.numbers())

    def children(self) -> tuple[Node, ...]:
        return (self.solid,)


@dataclass(frozen=True, eq=False)
class ByKernel(Node):
    """One solid, described in two ways: for kernels of triangles and for exact surfaces.

    That both describe the same solid is what the comparison of the two kernels tells.
    """

    mesh: Node
    exact: Node

    def _parts(self) -> tuple[object, ...]:
        return (self.mesh, self.exact)

    def children(self) -> tuple[Node, ...]:
        return (self.mesh, self.exact)


def divided(vertices: Floats, triangles: Ints, axis: int, level: float) -> tuple[Floats, Ints]:
    """The same closed mesh with every edge that crosses a plane divided there.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3)
    axis : 0, 1 or 2, across the plane.
    level : mm, where the plane lies.
    """
    side = np.sign(vertices[:, axis] - level).astype(np.int64)
    sides = side[triangles]
    crossing = (sides.min(axis=1) < 0) & (sides.max(axis=1) > 0)
    if not crossing.any():
        return vertices, triangles
    cut, rest = triangles[crossing], triangles[~crossing]
    # Turned so that the first corner is the one that is alone on its side, or the one that lies in the plane.
    sides = sides[crossing]
    touching = (sides == 0).any(axis=1)
    alone = np.where(touching[:, None], sides == 0, sides == -np.sign(sides.sum(axis=1))[:, None])
    first = np.argmax(alone, axis=1)
    cut = np.take_along_axis(cut, (first[:, None] + np.arange(3)) % 3, axis=1)
    ends = np.concatenate((cut[~touching][:, [0, 1]], cut[~touching][:, [0, 2]], cut[touching][:, [1, 2]]))
    edges, place = np.unique(np.sort(ends, axis=1), axis=0, return_inverse=True)
    a, b = vertices[edges[:, 0]], vertices[edges[:, 1]]
    share = (level - a[:, axis]) / (b[:, axis] - a[:, axis])
    new = a + share[:, None] * (b - a)
    new[:, axis] = level
    at = place.reshape(-1) + len(vertices)
    n = int((~touching).sum())
    p, q, r = (at[k] for k in (slice(0, n), slice(n, 2 * n), slice(2 * n, None)))
    x, y, z = cut[~touching].T
    u, v, w = cut[touching].T
    made = [(x, p, q), (p, y, z), (p, z, q), (u, v, r), (u, r, w)]
    faces = np.concatenate([rest, *(np.column_stack(columns) for columns in made)])
    return np.vstack((vertices, new)), faces
