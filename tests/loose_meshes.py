"""Small meshes with known faults and known volumes, for the tests of reading and writing. Millimetres."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]

_CORNERS = np.array(list(itertools.product((0.0, 1.0), repeat=3)))
_FACES = np.array(
    [
        [0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1],
        [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3],
    ]
)  # fmt: skip
VERTICAL = 0  # a triangle of the face x = 0


def block(size: float | tuple[float, float, float] = 10.0, at: tuple[float, float, float] = (0, 0, 0)) -> Mesh:
    """A block of twelve triangles facing outward."""
    return _CORNERS * np.asarray(size) + np.asarray(at, dtype=float), _FACES.copy()


def turned_in(mesh: Mesh) -> Mesh:
    """The same, inside out."""
    return mesh[0], mesh[1][:, ::-1]


def together(*meshes: Mesh) -> Mesh:
    """All triangles in one mesh; nothing is united."""
    starts = np.cumsum([0, *(len(vertices) for vertices, _ in meshes)])
    faces = [triangles + start for (_, triangles), start in zip(meshes, starts[:-1], strict=True)]
    return np.vstack([vertices for vertices, _ in meshes]), np.vstack(faces)


def ring(*, radius: float = 10.0, tube: float = 4.0, around: int = 48, across: int = 24) -> Mesh:
    """A torus of flat facets about z."""
    u, v = np.meshgrid(2 * np.pi * np.arange(around) / around, 2 * np.pi * np.arange(across) / across, indexing="ij")
    far = radius + tube * np.cos(v)
    vertices = np.stack((far * np.cos(u), far * np.sin(u), tube * np.sin(v)), axis=-1).reshape(-1, 3)
    i, j = np.meshgrid(np.arange(around), np.arange(across), indexing="ij")
    a, b = i * across + j, (i + 1) % around * across + j
    c, d = (i + 1) % around * across + (j + 1) % across, i * across + (j + 1) % across
    return vertices, np.concatenate((np.stack((a, b, c), -1), np.stack((a, c, d), -1))).reshape(-1, 3)


def crossing_ring() -> Mesh:
    """A closed torus, one half of which was pushed through the other."""
    vertices, triangles = ring()
    pushed = vertices.copy()
    pushed[vertices[:, 1] > 0, 1] -= 9.0
    return pushed, triangles


def text_stl(mesh: Mesh) -> str:
    """A mesh as a text STL."""
    lines = ["solid made for a test"]
    for corners in mesh[0][mesh[1]]:
        lines += ["facet normal 0 0 0", " outer loop"]
        lines += ["  vertex " + " ".join(repr(float(value)) for value in corner) for corner in corners]
        lines += [" endloop", "endfacet"]
    return "\n".join([*lines, "endsolid made for a test", ""])
