"""Triangles of an exact solid, closed along the edges that its faces share."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.collections import IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher as ShapeMap
from OCP.Poly import Poly_Triangulation
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape

from pourwright.basics.errors import KernelFault

_ANGLE_RAD = 0.5


def triangles_of(
    shape: TopoDS_Shape, tolerance_mm: float, angle_rad: float = _ANGLE_RAD
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Vertices mm (n, 3) and outward triangles (m, 3) within a chord tolerance (and turn) of the shape.

    The nodes that two faces have on a common edge become one vertex, so that the mesh is closed exactly
    where the solid is, whatever the coordinates round to.
    """
    BRepTools.Clean_s(shape)  # else a finer triangulation made before would be kept
    BRepMesh_IncrementalMesh(shape, tolerance_mm, False, angle_rad, False)
    points: list[NDArray[np.float64]] = []
    faces: list[NDArray[np.int64]] = []
    along: dict[int, list[int]] = {}
    same: list[tuple[int, int]] = []
    known, offset = ShapeMap(), 0
    for face in _faces(shape):
        nodes, corners, triangulation, place = _face_triangles(face)
        for key, chain in _edge_nodes(face, triangulation, place, known):
            here = [offset + node - 1 for node in chain]
            same.extend(zip(along.setdefault(key, here), here, strict=True))
        points.append(nodes)
        faces.append(corners + offset)
        offset += len(nodes)
    if not points:
        return np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)
    return _welded(np.vstack(points), np.vstack(faces), same)


def _faces(shape: TopoDS_Shape) -> Iterator[TopoDS_Face]:
    walk = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while walk.More():
        yield TopoDS.Face(walk.Current())
        walk.Next()


def _face_triangles(
    face: TopoDS_Face,
) -> tuple[NDArray[np.float64], NDArray[np.int64], Poly_Triangulation, TopLoc_Location]:
    place = TopLoc_Location()
    triangulation = BRep_Tool.Triangulation_s(face, place)
    if triangulation is None:
        raise KernelFault("the exact kernel could not triangulate a face")
    move = place.Transformation()
    moved = (triangulation.Node(i).Transformed(move) for i in range(1, triangulation.NbNodes() + 1))
    nodes = np.array([(p.X(), p.Y(), p.Z()) for p in moved])
    numbers = range(1, triangulation.NbTriangles() + 1)
    corners = np.array([triangulation.Triangle(i).Get() for i in numbers], dtype=np.int64) - 1
    if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
        corners = corners[:, ::-1]
    return nodes, corners, triangulation, place


def _edge_nodes(
    face: TopoDS_Face, triangulation: Poly_Triangulation, place: TopLoc_Location, known: ShapeMap
) -> Iterator[tuple[int, list[int]]]:
    """For each edge of a face: its number, and its nodes in the direction of its curve."""
    walk = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
    while walk.More():
        edge = TopoDS.Edge(walk.Current())
        polygon = BRep_Tool.PolygonOnTriangulation_s(edge, triangulation, place)
        if polygon is not None:
            chain = [polygon.Node(i) for i in range(1, polygon.NbNodes() + 1)]
            yield known.Add(edge), chain if not BRep_Tool.Degenerated_s(edge) else [chain[0]] * len(chain)
        walk.Next()


def _welded(
    points: NDArray[np.float64], corners: NDArray[np.int64], same: list[tuple[int, int]]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    parent = np.arange(len(points))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    for a, b in same:
        ra, rb = root(a), root(b)
        parent[max(ra, rb)] = min(ra, rb)
    roots = np.array([root(i) for i in range(len(points))])
    kept, index = np.unique(roots, return_inverse=True)
    found = index.reshape(-1)[corners]
    sound = (found[:, 0] != found[:, 1]) & (found[:, 1] != found[:, 2]) & (found[:, 2] != found[:, 0])
    return points[kept] + 0.0, found[sound]
