"""A twin of a solid of very many triangles: far fewer, and nowhere farther from it than a few hundredths of a mm.

Moulds are proven with the twin, which takes seconds where the solid itself takes minutes. What is printed keeps every
triangle, and volumes are put right by what the twin lacks.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import KernelFault
from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry import tree
from pourwright.engines.geometry.imported import ImportedSolid, Library
from pourwright.engines.geometry.probes.facets import volumes_below
from pourwright.engines.geometry.tree import Node

TWIN_MM = 0.02
MANY_TRIANGLES = 40_000

Points = NDArray[np.float64]


def with_twins(library: Library, *, many: int = MANY_TRIANGLES, within_mm: float = TWIN_MM) -> Library:
    """The same solids, each of very many triangles in the place of its twin; the same object when there is none.

    Parameters
    ----------
    library : solids by digest.
    many : triangles from which a solid gets a twin.
    within_mm : mm, how far the twin's surface may lie from the solid's.
    """
    if not any(needs_twin(solid, many) for solid in library.values()):
        return library
    return {
        digest: twin_of(solid, within_mm) if needs_twin(solid, many) else solid for digest, solid in library.items()
    }


def needs_twin(solid: ImportedSolid, many: int = MANY_TRIANGLES) -> bool:
    """Solids with exact faces need none: their triangles follow those faces to a tolerance of their own."""
    return solid.step is None and len(solid.triangles) >= many


def twin_of(solid: ImportedSolid, within_mm: float = TWIN_MM) -> ImportedSolid:
    """The solid with fewer triangles; its corners are some of the solid's own.

    Raises
    ------
    KernelFault
        No closed twin came of it.
    """
    corners, triangles = twin_corners(solid, within_mm)
    return with_corners(solid, corners, triangles)


def with_corners(solid: ImportedSolid, corners: NDArray[np.int64], triangles: NDArray[np.int64]) -> ImportedSolid:
    """The twin of a solid by the numbers of those of its corners that the twin keeps.

    A solid that was turned has the twin that it had before, turned with it.
    """
    return replace(solid, vertices_mm=solid.vertices_mm[corners], triangles=triangles)


def twin_corners(
    solid: ImportedSolid, within_mm: float = TWIN_MM, *, report: Report = silent
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Which corners of a solid its twin keeps, and the triangles between these.

    Raises
    ------
    KernelFault
        No closed twin came of it.
    """
    import manifold3d

    from pourwright.engines.geometry.files.welding import joined
    from pourwright.engines.geometry.kernels.ingest import taken_in

    report(0.0, "making a twin with fewer triangles")
    made = taken_in(solid).simplify(within_mm)
    if made.status() != manifold3d.Error.NoError or made.is_empty():
        raise KernelFault(
            f"{solid.name or 'the solid'} could not be simplified ({made.status().name})",
            advice="write the file coarser",
        )
    found = made.to_mesh64()
    own = np.ascontiguousarray(solid.vertices_mm + 0.0)
    kept = np.array(found.vert_properties, dtype=np.float64)[:, :3] + 0.0
    first, place = joined(np.vstack((own, kept)))
    corners = first[place[len(own) :]]
    if len(corners) and int(corners.max()) >= len(own):
        raise KernelFault(f"the twin of {solid.name or 'the solid'} has corners of its own")
    return corners, np.array(found.tri_verts, dtype=np.int64)


def points_in_place(node: Node, library: Mapping[str, ImportedSolid]) -> tuple[Points, NDArray[np.int64]] | None:
    """The triangles of a solid from a file where a description puts it; None when it is more than moved and scaled."""
    match node:
        case tree.Imported():
            solid = library[node.digest]
            return solid.vertices_mm, solid.triangles
        case tree.Placed() | tree.Scaled() | tree.Turned() | tree.Mirrored():
            inner = points_in_place(node.solid, library)
            return None if inner is None else (_moved(node, inner[0]), inner[1])
    return None


def _moved(node: Node, points: Points) -> Points:
    match node:
        case tree.Scaled():
            return points * node.factor
        case tree.Placed():
            return points @ _rotation("z", node.turn_deg).T + (node.x_mm, node.y_mm, node.z_mm)
        case tree.Turned():
            return points @ _rotation(node.axis, node.angle_deg).T
    return points * (1.0, 1.0, -1.0)


def _rotation(axis: str, angle_deg: float) -> Points:
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    first, second = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[axis]
    matrix = np.eye(3)
    matrix[first, first] = matrix[second, second] = c
    matrix[first, second], matrix[second, first] = -s, s
    return matrix


def volume_below_mm3(vertices_mm: Points, triangles: NDArray[np.int64], z_mm: float = math.inf) -> float:
    r"""Volume of a closed solid below a height, :math:`\oint \min(z - z_0, 0)\,n_z\,dA`; all of it by default.

    Parameters
    ----------
    vertices_mm : mm, (n, 3)
    triangles : (m, 3)
    z_mm : mm

    Returns
    -------
    mm3

    Examples
    --------
    >>> corners = np.array([[0.0, 0, 0], [6, 0, 0], [0, 6, 0], [0, 0, 6]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
    >>> round(volume_below_mm3(corners, faces), 9), round(volume_below_mm3(corners, faces, 3.0), 9)
    (36.0, 31.5)
    """
    if math.isinf(z_mm):
        z_mm = float(vertices_mm[:, 2].max())
    return float(volumes_below(vertices_mm, triangles, z_mm).sum())
