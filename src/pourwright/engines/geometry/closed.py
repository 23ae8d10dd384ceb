"""Is this mesh one closed solid? If not: which fault, how often, and where it is first seen."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotRead
from pourwright.basics.need import need
from pourwright.basics.progress import Report, silent

# Less mean thickness than this part of the box's diagonal is a sheet, not a solid.
_SHEET = 1e-6
# Far beyond any mould: a damaged number, or a unit gone wrong.
_LARGEST_MM = 1e7
_MEND = "mend it in the drawing program (check or repair solid) and write the file again"


@dataclass(frozen=True, kw_only=True, eq=False)
class ClosedMesh:
    """A mesh that bounds one solid, faces outward, with plain words on what was set right.

    `changed` is True when the triangles are no longer the file's own, one for one.
    """

    vertices_mm: NDArray[np.float64]
    triangles: NDArray[np.int64]
    notes: tuple[str, ...] = ()
    changed: bool = False

    def noting(self, note: str, **changes: object) -> ClosedMesh:
        """The same with one more note and other changes."""
        return replace(self, notes=(*self.notes, note), **changes)


def closed_solid(
    vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64], *, file: str, report: Report = silent
) -> ClosedMesh:
    """The one closed solid that the triangles bound.

    Set right with a note: triangles with a repeated corner, walls that lie back to back inside, a surface that is
    inside out, shells that overlap or touch (a printer prints their union, so the union is what is read).

    Parameters
    ----------
    vertices_mm : mm, (n, 3), in the file's frame, so that the places named are those of the drawing
    triangles : indices, (m, 3)
    file : name, for errors.

    Raises
    ------
    CannotRead
        Not finite, open, facing both ways, a sheet without thickness, crossing itself, with a sealed hollow, or
        several bodies.

    Examples
    --------
    >>> import numpy as np
    >>> corners = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> inside_out = np.array([[0, 1, 2], [0, 3, 1], [0, 2, 3], [1, 3, 2]])
    >>> closed_solid(corners, inside_out, file="tetrahedron").notes
    ('the surface was inside out; it was turned',)
    """
    _check_numbers(vertices_mm, file)
    mesh = _without_slivers(ClosedMesh(vertices_mm=vertices_mm, triangles=triangles))
    report(0.1, "looking for open edges")
    mesh = _check_edges(mesh, file)
    mesh = _without_inner_walls(mesh, file)
    mesh = _facing_out(mesh, file)
    report(0.4, "looking for separate bodies")
    return _one_body(mesh, file, report)


def volume_mm3(vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    """Volume inside a closed mesh, negative when it is inside out."""
    middle = vertices_mm.mean(axis=0)  # a solid far from the origin keeps its digits
    a, b, c = (vertices_mm[triangles[:, i]] - middle for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def area_mm2(vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    """Surface area of a mesh."""
    a, b, c = (vertices_mm[triangles[:, i]] for i in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)


def place_words(point_mm: NDArray[np.float64]) -> str:
    """A place in the drawing, in words."""
    x, y, z = (f"{value + 0.0:.6g}" for value in point_mm)
    return f"({x}, {y}, {z}) mm"


# ---------------------------------------------------------------- the steps


def _check_numbers(vertices_mm: NDArray[np.float64], file: str) -> None:
    bad = np.flatnonzero(~np.isfinite(vertices_mm).all(axis=1))
    if len(bad):
        raise CannotRead(
            f"{len(bad):,} corners have a coordinate that is not a number, the first is corner {bad[0] + 1:,}",
            advice=_MEND,
            file=file,
        )
    largest = float(np.abs(vertices_mm).max(initial=0.0))
    if largest > _LARGEST_MM:
        raise CannotRead(
            f"a corner lies {largest:.3g} mm from the origin", advice="check the unit of the file", file=file
        )


def _without_slivers(mesh: ClosedMesh) -> ClosedMesh:
    a, b, c = mesh.triangles.T
    repeated = (a == b) | (b == c) | (c == a)
    if not repeated.any():
        return mesh
    note = f"{int(repeated.sum()):,} triangles with a repeated corner were left out"
    return mesh.noting(note, triangles=mesh.triangles[~repeated], changed=True)


@dataclass(frozen=True, eq=False)
class _Edges:
    """Each edge once: its ends, the number of triangles at it, and forward less backward uses."""

    low: NDArray[np.int64]
    high: NDArray[np.int64]
    count: NDArray[np.int64]
    net: NDArray[np.int64]


def _edges(triangles: NDArray[np.int64]) -> _Edges:
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    low, high = np.minimum(start, end), np.maximum(start, end)
    span = int(high.max()) + 1
    number = low * span + high
    order = np.argsort(number, kind="stable")
    number = number[order]
    first = np.flatnonzero(np.concatenate(([True], number[1:] != number[:-1])))
    count = np.diff(np.append(first, len(number)))
    net = np.add.reduceat(np.where(start < end, 1, -1)[order], first)
    return _Edges(number[first] // span, number[first] % span, count, net)


def _check_edges(mesh: ClosedMesh, file: str) -> ClosedMesh:
    if not len(mesh.triangles):
        raise CannotRead("no triangle in the file has an area", advice=_MEND, file=file)
    edges = _edges(mesh.triangles)
    open_edges = np.flatnonzero(edges.count % 2)
    if len(open_edges):
        raise CannotRead(_open_words(mesh, edges, open_edges), advice=_MEND, file=file)
    turned = np.flatnonzero(edges.net)
    if len(turned):
        raise CannotRead(
            f"at {len(turned):,} edges two triangles face opposite ways, first {_edge_words(mesh, edges, turned[0])}",
            advice="let the drawing program make the normals agree, and write the file again",
            file=file,
        )
    return mesh


def _open_words(mesh: ClosedMesh, edges: _Edges, found: NDArray[np.int64]) -> str:
    holes = _groups(edges.low[found], edges.high[found])
    edges_words = "1 open edge" if len(found) == 1 else f"{len(found):,} open edges"
    holes_words = "1 hole" if holes == 1 else f"{holes:,} holes"
    return f"the surface is not closed: {edges_words} round {holes_words}, first {_edge_words(mesh, edges, found[0])}"


def _groups(low: NDArray[np.int64], high: NDArray[np.int64]) -> int:
    ends, index = np.unique(np.concatenate((low, high)), return_inverse=True)
    graph = need("scipy.sparse").coo_array(
        (np.ones(len(low)), (index[: len(low)], index[len(low) :])), shape=(len(ends), len(ends))
    )
    return int(need("scipy.sparse.csgraph").connected_components(graph, directed=False)[0])


def _edge_words(mesh: ClosedMesh, edges: _Edges, edge: int) -> str:
    low, high = (mesh.vertices_mm[end[edge]] for end in (edges.low, edges.high))
    return f"from {place_words(low)} to {place_words(high)}"


def _without_inner_walls(mesh: ClosedMesh, file: str) -> ClosedMesh:
    paired = _back_to_back(mesh.triangles)
    if not paired.any():
        return mesh
    edges = _edges(mesh.triangles[paired])
    everywhere = _edges(mesh.triangles)
    # A wall inside a solid has other triangles along all its edges; a sheet has an edge with nothing beyond.
    rims = np.flatnonzero((edges.count == 2) & (_count_at(everywhere, edges) == 2))
    if len(rims):
        raise CannotRead(
            f"{int(paired.sum()) // 2:,} triangles lie back to back: a sheet without thickness, "
            f"with an edge {_edge_words(mesh, edges, rims[0])}",
            advice="give the sheet a thickness or take it away",
            file=file,
        )
    if paired.all():
        raise CannotRead("every triangle has another back to back: no solid", advice=_MEND, file=file)
    note = f"{int(paired.sum()) // 2:,} pairs of triangles that lay back to back inside were left out"
    return mesh.noting(note, triangles=mesh.triangles[~paired], changed=True)


def _back_to_back(triangles: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Triangles that have a partner with the same corners, facing the other way; each has one partner."""
    order = np.argsort(triangles, axis=1)
    corners = np.take_along_axis(triangles, order, axis=1)
    even = (order[:, 1] - order[:, 0]) % 3 == 1
    rank = np.lexsort((even, *corners.T[::-1]))
    corners, even = corners[rank], even[rank]
    same = (corners[1:] == corners[:-1]).all(axis=1) & (even[1:] != even[:-1])
    paired = np.zeros(len(triangles), dtype=bool)
    paired[rank[:-1][same]] = True
    paired[rank[1:][same]] = True
    return paired


def _count_at(all_edges: _Edges, some: _Edges) -> NDArray[np.int64]:
    span = int(all_edges.high.max()) + 1
    numbers = all_edges.low * span + all_edges.high
    return all_edges.count[np.searchsorted(numbers, some.low * span + some.high)]


def _facing_out(mesh: ClosedMesh, file: str) -> ClosedMesh:
    volume = volume_mm3(mesh.vertices_mm, mesh.triangles)
    area = area_mm2(mesh.vertices_mm, mesh.triangles)
    used = mesh.vertices_mm[mesh.triangles.reshape(-1)]
    diagonal = float(np.linalg.norm(used.max(axis=0) - used.min(axis=0)))
    if 2.0 * abs(volume) <= _SHEET * diagonal * area:
        raise CannotRead(
            f"the surface closes but holds no volume ({abs(volume):.3g} mm3 in {area:.4g} mm2): a sheet without "
            f"thickness at {place_words(used[0])}",
            advice="give the sheet a thickness",
            file=file,
        )
    if volume > 0:
        return mesh
    return mesh.noting("the surface was inside out; it was turned", triangles=mesh.triangles[:, ::-1].copy())


# ---------------------------------------------------------------- bodies


def _one_body(mesh: ClosedMesh, file: str, report: Report) -> ClosedMesh:
    crossing = need("pourwright.engines.geometry.crossing")
    shells = _shells(mesh.triangles)
    report(0.5, "looking for places where the surface crosses itself")
    found = crossing.self_crossings(mesh.vertices_mm, mesh.triangles, shells)
    if found.count:
        raise CannotRead(
            f"the surface crosses itself: {found.count:,} pairs of triangles, first at {place_words(found.place_mm)}",
            advice=_MEND,
            file=file,
        )
    report(0.9, "asking the solid kernel")
    solids = [_solid(mesh, shells == shell, file) for shell in range(int(shells.max()) + 1)]
    if len(solids) == 1:
        return mesh
    return _united(mesh, shells, solids, file)


def _shells(triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Number of the connected shell of each triangle; shells that only touch in a corner are two."""
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    owner = np.repeat(np.arange(len(triangles)), 3)
    span = int(triangles.max()) + 1
    order = np.argsort(np.minimum(start, end) * span + np.maximum(start, end), kind="stable")
    # Uses of one edge stand side by side: a link between neighbours joins all triangles at that edge.
    number = (np.minimum(start, end) * span + np.maximum(start, end))[order]
    linked = number[1:] == number[:-1]
    graph = need("scipy.sparse").coo_array(
        (np.ones(int(linked.sum()), dtype=np.int8), (owner[order][:-1][linked], owner[order][1:][linked])),
        shape=(len(triangles), len(triangles)),
    )
    return need("scipy.sparse.csgraph").connected_components(graph, directed=False)[1].astype(np.int64)


def _solid(mesh: ClosedMesh, chosen: NDArray[np.bool_], file: str) -> object:
    manifold = need("manifold3d")
    used, index = np.unique(mesh.triangles[chosen], return_inverse=True)
    triangles = index.reshape(-1, 3)
    inward = volume_mm3(mesh.vertices_mm[used], triangles) < 0
    if inward:
        place = mesh.vertices_mm[used].mean(axis=0)
        raise CannotRead(
            f"there is a sealed hollow (or a body inside out) of "
            f"{-volume_mm3(mesh.vertices_mm[used], triangles):.4g} mm3 about {place_words(place)}",
            advice="fill it in the drawing: silicone cannot get into a closed hollow, nor out of one",
            file=file,
        )
    solid = manifold.Manifold(manifold.Mesh64(mesh.vertices_mm[used], triangles.astype(np.uint64)))
    if solid.status() != manifold.Error.NoError or solid.is_empty():
        raise CannotRead(
            f"the solid kernel does not take the surface as a solid ({solid.status().name})", advice=_MEND, file=file
        )
    return solid


def _united(mesh: ClosedMesh, shells: NDArray[np.int64], solids: list, file: str) -> ClosedMesh:
    manifold = need("manifold3d")
    union = manifold.Manifold.batch_boolean(solids, manifold.OpType.Add)
    bodies = len(union.decompose())
    if bodies != 1:
        places = [mesh.vertices_mm[mesh.triangles[shells == shell][0, 0]] for shell in range(2)]
        raise CannotRead(
            f"the file holds {bodies} separate bodies, one at {place_words(places[0])} and another at "
            f"{place_words(places[1])}",
            advice="a mould is made for one part: write one body to the file (several copies: set `cavities`)",
            file=file,
            value=str(bodies),
        )
    out = union.to_mesh64()
    note = f"{len(solids)} shells overlap or touch; they were read as one solid of {union.volume():.6g} mm3"
    return mesh.noting(
        note,
        vertices_mm=np.array(out.vert_properties[:, :3], dtype=np.float64),
        triangles=np.array(out.tri_verts, dtype=np.int64),
        changed=True,
    )
