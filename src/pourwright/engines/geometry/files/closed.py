"""Is this mesh one closed solid? If not: which fault, how often, and where it is first seen."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotRead
from pourwright.basics.need import need
from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.files.neighbours import plainly_closed
from pourwright.engines.geometry.probes.facets import box_of_used, crosses, lengths, signed_volumes

# Less mean thickness than this part of the box's diagonal is a sheet, not a solid.
_SHEET = 1e-6
# Corners nearer than this part of the diagonal, or than the last digits of a float32, are one corner badly written.
_HAIR, _FLOAT32 = 1e-6, 2.0**-22
# Far beyond any mould: a damaged number, or a unit gone wrong.
_LARGEST_MM = 1e7
# A plain surface of so many triangles is not put to the solid kernel as well: it takes each that is plainly closed,
# and is asked when it makes the twin.
_MANY = 100_000
_MEND = "mend it in the drawing program (check or repair solid) and write the file again"


@dataclass(frozen=True, kw_only=True, eq=False)
class ClosedMesh:
    """A mesh that bounds one solid, faces outward, with plain words on what was set right."""

    vertices_mm: NDArray[np.float64]
    triangles: NDArray[np.int64]
    notes: tuple[str, ...] = ()

    def noting(self, note: str, **changes: object) -> ClosedMesh:
        """The same with one more note and other changes."""
        return replace(self, notes=(*self.notes, note), **changes)


def closed_solid(
    vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64], *, file: str, report: Report = silent
) -> ClosedMesh:
    """The one closed solid that the triangles bound.

    Set right with a note: triangles with a repeated corner, a surface that is inside out, shells that overlap or
    touch. A slicer prints the union of such shells, so the union is what is read. A surface that crosses itself
    is refused: what is inside it is anyone's guess.

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
    if not len(mesh.triangles):
        raise CannotRead("no triangle in the file has an area", advice=_MEND, file=file)
    report(0.1, "looking for open edges")
    plain = plainly_closed(mesh.triangles, len(mesh.vertices_mm))
    if not plain:
        mesh = _check_edges(_without_slits(mesh), file)
        _check_sheets(mesh, file)
    mesh = _facing_out(mesh, file)
    report(0.4, "looking for separate bodies")
    shells = np.zeros(len(mesh.triangles), dtype=np.int64) if plain else _shells(mesh.vertices_mm, mesh.triangles)
    _refuse_crossings(mesh, shells, file, report)
    if plain and len(mesh.triangles) >= _MANY:
        return mesh
    return _one_body(mesh, shells, file, report)


def volume_mm3(vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    """Volume inside a closed mesh, negative when it is inside out."""
    middle = vertices_mm.mean(axis=0)  # a solid far from the origin keeps its digits
    return float(signed_volumes(vertices_mm, np.ascontiguousarray(triangles), middle).sum() / 6.0)


def area_mm2(vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> float:
    """Surface area of a mesh."""
    return float(lengths(crosses(vertices_mm, np.ascontiguousarray(triangles))).sum() / 2.0)


def place_words(point_mm: NDArray[np.float64]) -> str:
    """A place in the drawing, in words."""
    x, y, z = (f"{value + 0.0:.6g}" for value in point_mm)
    return f"({x}, {y}, {z}) mm"


def counted(number: int, thing: str) -> str:
    """A number of things, in words.

    Examples
    --------
    >>> counted(1, "hole"), counted(1200, "open edge")
    ('1 hole', '1,200 open edges')
    """
    return f"{number:,} {thing}" if number == 1 else f"{number:,} {thing}s"


# ---------------------------------------------------------------- the steps


def _check_numbers(vertices_mm: NDArray[np.float64], file: str) -> None:
    bad = np.flatnonzero(~np.isfinite(vertices_mm).all(axis=1))
    if len(bad):
        raise CannotRead(
            f"not every coordinate is a number: {counted(len(bad), 'bad corner')}, the first is corner {bad[0] + 1:,}",
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
    note = f"{counted(int(repeated.sum()), 'triangle')} with a repeated corner left out"
    return mesh.noting(note, triangles=mesh.triangles[~repeated])


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


def _without_slits(mesh: ClosedMesh) -> ClosedMesh:
    """Corners of open edges that the file wrote a hair apart, joined."""
    edges = _edges(mesh.triangles)
    lone = edges.count % 2 == 1
    ends = np.unique(np.concatenate((edges.low[lone], edges.high[lone])))
    if not len(ends):
        return mesh
    points = mesh.vertices_mm[ends]
    used = mesh.vertices_mm[mesh.triangles.reshape(-1)]
    hair = max(_HAIR * float(np.linalg.norm(np.ptp(used, axis=0))), _FLOAT32 * float(np.abs(used).max()))
    near = need("scipy.spatial").cKDTree(points).query_pairs(hair, output_type="ndarray")
    if not len(near):
        return mesh
    group = _components(near[:, 0], near[:, 1], len(ends))
    keeps = np.arange(len(mesh.vertices_mm))
    keeps[ends] = ends[np.unique(group, return_index=True)[1]][group]
    joined = int((keeps != np.arange(len(keeps))).sum())
    note = f"{counted(joined, 'corner')} that lay less than {hair:.2g} mm from another joined to it"
    joined_mesh = _without_slivers(mesh.noting(note, triangles=keeps[mesh.triangles]))
    return joined_mesh if len(joined_mesh.triangles) else mesh


def _check_edges(mesh: ClosedMesh, file: str) -> ClosedMesh:
    edges = _edges(mesh.triangles)
    lone = np.flatnonzero(edges.count % 2)
    if len(lone):
        raise CannotRead(_open_words(mesh, edges, lone), advice=_MEND, file=file)
    turned = np.flatnonzero(edges.net)
    if len(turned):
        raise CannotRead(
            f"at {counted(len(turned), 'edge')} two triangles face opposite ways, "
            f"first {_edge_words(mesh, edges, turned[0])}",
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
    return int(_components(index[: len(low)], index[len(low) :], len(ends)).max()) + 1


def _edge_words(mesh: ClosedMesh, edges: _Edges, edge: int) -> str:
    low, high = (mesh.vertices_mm[end[edge]] for end in (edges.low, edges.high))
    return f"from {place_words(low)} to {place_words(high)}"


def _check_sheets(mesh: ClosedMesh, file: str) -> None:
    paired = _back_to_back(mesh.triangles)
    if not paired.any():
        return
    edges = _edges(mesh.triangles[paired])
    everywhere = _edges(mesh.triangles)
    # A wall inside a solid has other triangles along all its edges; a sheet has an edge with nothing beyond.
    rims = np.flatnonzero((edges.count == 2) & (_count_at(everywhere, edges) == 2))
    if len(rims):
        raise CannotRead(
            f"{int(paired.sum()):,} triangles lie back to back: a sheet without thickness, "
            f"with an edge {_edge_words(mesh, edges, rims[0])}",
            advice="give the sheet a thickness or take it away",
            file=file,
        )


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
    low, high = box_of_used(mesh.vertices_mm, mesh.triangles)
    diagonal = float(np.linalg.norm(high - low))
    if 2.0 * abs(volume) <= _SHEET * diagonal * area:
        raise CannotRead(
            f"the surface closes but holds no volume ({abs(volume):.3g} mm3 in {area:.4g} mm2): a sheet without "
            f"thickness at {place_words(mesh.vertices_mm[mesh.triangles[0, 0]])}",
            advice="give the sheet a thickness",
            file=file,
        )
    if volume > 0:
        return mesh
    return mesh.noting("the surface was inside out; it was turned", triangles=mesh.triangles[:, ::-1].copy())


# ---------------------------------------------------------------- bodies


def _refuse_crossings(mesh: ClosedMesh, shells: NDArray[np.int64], file: str, report: Report) -> None:
    crossing = need("pourwright.engines.geometry.files.crossing")
    report(0.5, "looking for places where the surface crosses itself")
    found = crossing.self_crossings(mesh.vertices_mm, mesh.triangles, shells)
    if found.count:
        raise CannotRead(
            f"the surface crosses itself: {counted(found.count, 'pair')} of triangles, "
            f"first at {place_words(found.place_mm)}",
            advice=_MEND,
            file=file,
        )


def _one_body(mesh: ClosedMesh, shells: NDArray[np.int64], file: str, report: Report) -> ClosedMesh:
    report(0.9, "asking the solid kernel")
    order = np.argsort(shells, kind="stable")
    groups = np.split(order, np.flatnonzero(np.diff(shells[order])) + 1)
    solids = [_solid(mesh, np.sort(group), file) for group in groups]
    if len(solids) == 1:
        return mesh
    return _united(mesh, shells, solids, file)


def _shells(vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Number of the shell of each triangle. Bodies that only touch in an edge or a face are different shells."""
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    number = np.minimum(start, end) * (int(triangles.max()) + 1) + np.maximum(start, end)
    order = np.argsort(number, kind="stable")
    edge = np.concatenate(([0], np.cumsum(number[order][1:] != number[order][:-1])))
    uses = np.bincount(edge)
    plain = np.flatnonzero((edge[1:] == edge[:-1]) & (uses[edge[1:]] == 2))
    pairs = [np.column_stack((order[plain], order[plain + 1]))]
    first = np.cumsum(uses) - uses
    for crowded in np.flatnonzero(uses > 2):
        pairs.append(_pairs_round_edge(order[first[crowded] :][: uses[crowded]], vertices_mm, triangles))
    owner = np.concatenate(pairs) // 3
    return _components(owner[:, 0], owner[:, 1], len(triangles))


def _pairs_round_edge(
    uses: NDArray[np.int64], vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]
) -> NDArray[np.int64]:
    """Which two triangles bound the same piece of solid, where more than two meet at an edge.

    Going round the edge, a triangle that runs against it opens a sector of solid and one along it closes one.
    """
    triangle, side = uses // 3, uses % 3
    start, end = triangles[triangle, side], triangles[triangle, (side + 1) % 3]
    low = vertices_mm[min(start[0], end[0])]
    along = vertices_mm[max(start[0], end[0])] - low
    along = along / np.linalg.norm(along)
    away = vertices_mm[triangles[triangle, (side + 2) % 3]] - low
    away = away - np.outer(away @ along, along)
    right = np.cross(along, away[0])
    angle = np.arctan2(away @ right / np.linalg.norm(right), away @ away[0] / np.linalg.norm(away[0]))
    closes = start < end
    # At one angle, close before opening: faces of two bodies that lie on one another.
    turn = np.lexsort((~closes, np.round(angle % (2 * np.pi), 9) % round(2 * np.pi, 9)))
    pairs, opened = [], []
    for use in (*turn, *turn):  # twice round, since a sector may lie across the first angle
        if not closes[use]:
            opened.append(use)
        elif opened:
            pairs.append((uses[opened.pop()], uses[use]))
    return np.array(pairs[: len(uses)], dtype=np.int64).reshape(-1, 2)


def _components(one: NDArray[np.int64], other: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    graph = need("scipy.sparse").coo_array((np.ones(len(one), dtype=np.int8), (one, other)), shape=(count, count))
    return need("scipy.sparse.csgraph").connected_components(graph, directed=False)[1].astype(np.int64)


def _solid(mesh: ClosedMesh, chosen: NDArray[np.int64], file: str) -> object:
    manifold = need("manifold3d")
    used, index = np.unique(mesh.triangles[chosen], return_inverse=True)
    triangles = index.reshape(-1, 3)
    volume = volume_mm3(mesh.vertices_mm[used], triangles)
    if volume < 0:
        raise CannotRead(
            f"there is a sealed hollow (or a body inside out) of {-volume:.4g} mm3 about "
            f"{place_words(mesh.vertices_mm[used].mean(axis=0))}",
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
            f"the file holds {bodies} separate bodies ({len(solids)} shells), one at {place_words(places[0])} "
            f"and another at {place_words(places[1])}",
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
    )
