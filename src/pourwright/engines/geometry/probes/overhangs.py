"""Which face of a piece should lie on the printer's bed: contact, overhangs, bridges and support for each way. mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, scan
from pourwright.engines.geometry.pulls.pull_ways import flat_normals

LIMIT_DEG = 45.0  # from the upright: a face that leans out further wants support (common practice)
LONGEST_BRIDGE_MM = 25.0  # widest flat ceiling between two walls that prints without support (common practice)
LEDGE_MM = 1.5  # a flat ledge along a wall that is no wider prints without support (judgement)
MARK_MM = 3.0  # mm3 of support that one mm2 of marks on a clean face is worth avoiding (judgement)

_FLAT_DEG = 1.0
_ON_BED_MM = 0.02
_EDGE = 1e-6  # a face at exactly the limit is no overhang
_COLUMNS = 96
_SAMPLES = 2000
_LOOKED_AT = 6
_WALL_MM = 0.05  # how far under a ceiling a wall must stand to carry it
_LEAST_CONTACT_MM2 = 25.0  # less does not hold on a bed (judgement)
_AXES = ((0.0, 0.0, -1.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0), (1.0, 0.0, 0.0))

Mask = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class FaceDown:
    """One way of laying a piece.

    Parameters
    ----------
    down : unit vector, in the piece's own frame, that points to the bed.
    contact_mm2 : mm2 that lie on the bed.
    overhang_mm2 : mm2 of faces that lean out further than the limit and do not lie on the bed.
    bridged_mm2 : mm2 of them that are flat ceilings narrow enough to bridge, or narrow ledges along a wall.
    marked_mm2 : mm2 of the rest, supported, on faces that should stay clean.
    support_mm3 : mm3 between the rest and what is under it.
    height_mm : mm above the bed.
    """

    down: tuple[float, float, float]
    contact_mm2: float
    overhang_mm2: float
    bridged_mm2: float
    marked_mm2: float
    support_mm3: float
    height_mm: float

    @property
    def stands(self) -> bool:
        """Whether enough of it lies on the bed to hold."""
        return self.contact_mm2 >= _LEAST_CONTACT_MM2

    @property
    def cost_mm3(self) -> float:
        """What it costs, told as mm3 of support."""
        return self.support_mm3 + MARK_MM * self.marked_mm2


def best_faces_down(vertices: Floats, triangles: Ints, *, clean: Mask | None = None) -> tuple[FaceDown, ...]:
    """The ways with the least overhang, the best first: it stands, wants least support, lies low and wide.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    clean : (m,), triangles that should carry no marks of support; none when left out.
    """
    ways = [np.array(way) for way in _AXES]
    for normal in flat_normals(vertices, triangles):
        ways += [way for way in (normal, -normal) if all(abs(float(way @ other)) < 0.999 for other in ways)]
    # Support takes longest to measure: only ways with the least overhang are looked at closely.
    ways = sorted(ways, key=lambda way: _hanging_mm2(vertices, triangles, way))[:_LOOKED_AT]
    found = [face_down(vertices, triangles, way, clean=clean) for way in ways]
    return tuple(
        sorted(found, key=lambda one: (not one.stands, round(one.cost_mm3, 1), -round(one.contact_mm2 / one.height_mm)))
    )


def _hanging_mm2(vertices: Floats, triangles: Ints, way: Floats) -> float:
    """Overhang, and what does not stand counted with it: the shadow less the contact."""
    corners = np.asarray(vertices, dtype=np.float64)[triangles]
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) @ way / 2
    reach = (corners @ way).min(axis=1)
    on_bed = reach >= float((corners @ way).max()) - _ON_BED_MM
    return round(float(np.maximum(facing, 0.0)[~on_bed].sum()), 3)


def face_down(vertices: Floats, triangles: Ints, down: object, *, clean: Mask | None = None) -> FaceDown:
    """One way of laying a piece; parameters as in `best_faces_down`, `down` the direction that points to the bed.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> kernel = MeshKernel()
    >>> table = kernel.union(kernel.box(-5, -5, 0, 5, 5, 20), kernel.box(-20, -5, 20, 20, 5, 25))
    >>> found = face_down(*kernel.mesh(table), (0, 0, -1))
    >>> [round(x) for x in (found.contact_mm2, found.overhang_mm2, found.support_mm3)]
    [100, 300, 6000]
    """
    way = np.asarray(down, dtype=np.float64)
    way = way / np.linalg.norm(way)
    corners = np.asarray(vertices, dtype=np.float64)[triangles]
    twice = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(twice, axis=1)
    area, leaning = length / 2, twice @ way / np.maximum(length, 1e-300)
    reach = corners @ way
    bed = float(reach.max())
    flat = leaning > math.cos(math.radians(_FLAT_DEG))
    on_bed = flat & (reach.min(axis=1) >= bed - _ON_BED_MM)
    hanging = (leaning > math.cos(math.radians(LIMIT_DEG)) + _EDGE) & ~on_bed & (length > 0)
    bridged, marked, support = 0.0, 0.0, 0.0
    if hanging.any():
        kept = np.zeros(len(triangles), dtype=bool) if clean is None else clean
        bridged, marked, support = _under(vertices, triangles, corners, way, hanging, flat, kept, area)
    return FaceDown(
        down=(float(way[0]) + 0.0, float(way[1]) + 0.0, float(way[2]) + 0.0),
        contact_mm2=float(area[on_bed].sum()),
        overhang_mm2=float(area[hanging].sum()),
        bridged_mm2=bridged,
        marked_mm2=marked,
        support_mm3=support,
        height_mm=bed - float(reach.min()),
    )


def _under(
    vertices: Floats,
    triangles: Ints,
    corners: Floats,
    way: Floats,
    hanging: Mask,
    flat: Mask,
    clean: Mask,
    area: Floats,
) -> tuple[float, float, float]:
    """Bridged area, marked area and support volume under the hanging triangles."""
    columns = scan(vertices, triangles, direction=-way, columns=_COLUMNS)
    chosen = np.flatnonzero(hanging)
    points, owner, weight = _spread(corners[chosen], area[chosen])
    owner = chosen[owner]
    seen = points @ columns.frame.T
    bridged = np.zeros(len(points), dtype=bool)
    ceilings = np.flatnonzero(flat[owner])
    levels = np.round(seen[ceilings, 2], 2)
    for level in np.unique(levels):
        at = ceilings[levels == level]
        bridged[at] = _carried(columns, float(level), seen[at, :2])
    held = ~bridged
    # Seen from below, a leaning triangle covers less than its area.
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    shadow = weight * np.abs((normals @ way)[owner]) / np.maximum(np.linalg.norm(normals, axis=1)[owner], 1e-300)
    gap = seen[:, 2] - _floor_mm(columns, seen)
    return (
        float(weight[bridged].sum()),
        float(weight[held & clean[owner]].sum()),
        float((shadow * gap)[held].sum()),
    )


def _spread(corners: Floats, area: Floats) -> tuple[Floats, Ints, Floats]:
    """Points over triangles, each with its triangle and its share of the area: equal shares of the sides."""
    side = math.sqrt(float(area.sum()) / _SAMPLES)
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    steps = np.clip(np.ceil(longest / max(side, 1e-9)).astype(np.int64), 1, 24)
    points, owner, weight = [], [], []
    for count in np.unique(steps):
        mine = np.flatnonzero(steps == count)
        places = _places(int(count))
        points.append(np.einsum("pk,tkx->tpx", places, corners[mine]).reshape(-1, 3))
        owner.append(np.repeat(mine, len(places)))
        weight.append(np.repeat(area[mine] / len(places), len(places)))
    return np.vstack(points), np.concatenate(owner), np.concatenate(weight)


def _places(count: int) -> Floats:
    """Middles of the count² equal small triangles that a triangle is cut into, as shares of its corners."""
    found = []
    for i in range(count):
        for j in range(count - i):
            found.append((i + 1 / 3, j + 1 / 3))
            if j < count - i - 1:
                found.append((i + 2 / 3, j + 2 / 3))
    share = np.array(found) / count
    return np.column_stack((share, 1 - share.sum(axis=1)))


def _cells(columns: Columns, places: Floats) -> tuple[Ints, Ints]:
    n_u, n_v = columns.counts
    i = np.rint((places[:, 0] - columns.origin_mm[0]) / columns.cell_mm[0]).astype(np.int64)
    j = np.rint((places[:, 1] - columns.origin_mm[1]) / columns.cell_mm[1]).astype(np.int64)
    return np.clip(i, 0, n_u - 1), np.clip(j, 0, n_v - 1)


def _floor_mm(columns: Columns, seen: Floats) -> Floats:
    """Height of what lies under each point: the next top below it, or the bed."""
    i, j = _cells(columns, seen[:, :2])
    column = j * columns.counts[0] + i
    floor = np.full(len(seen), columns.span_mm[0])
    most = int(np.diff(columns.starts).max(initial=0))
    for rank in range(most):
        k = columns.starts[column] + rank
        there = k < columns.starts[column + 1]
        top = np.where(there, columns.top_mm[np.minimum(k, len(columns.top_mm) - 1)], -np.inf)
        floor = np.where((top <= seen[:, 2] + _ON_BED_MM) & (top > floor), top, floor)
    return np.minimum(floor, seen[:, 2])


def _carried(columns: Columns, level: float, places: Floats) -> Mask:
    """Whether a flat ceiling at a level is carried at each place: by walls on two sides, or by one as a ledge."""
    n_u, n_v = columns.counts
    column = np.repeat(np.arange(n_u * n_v), np.diff(columns.starts))
    under = level - _WALL_MM
    wall, roof = np.zeros(n_u * n_v, dtype=bool), np.zeros(n_u * n_v, dtype=bool)
    wall[column[(columns.bottom_mm < under) & (columns.top_mm > under)]] = True
    roof[column[np.abs(columns.bottom_mm - level) < _WALL_MM]] = True
    wall, roof = wall.reshape(n_v, n_u), roof.reshape(n_v, n_u)
    i, j = _cells(columns, places)
    along = _row_carries(wall, roof, columns.cell_mm[0])[j, i]
    across = _row_carries(wall.T, roof.T, columns.cell_mm[1])[i, j]
    return np.asarray(along | across)


def _row_carries(wall: Mask, roof: Mask, cell: float) -> Mask:
    """Cells between two walls of their row no further apart than a bridge, or by one wall on a narrow ledge."""
    count = wall.shape[1]
    last, following = _ends(wall, count)
    both = (last >= 0) & (following < count) & ((following - last - 1) * cell <= LONGEST_BRIDGE_MM)
    # A ledge ends where the roof does; one narrower than a cell is seen by no column at all.
    begin, end = _ends(~roof, count)
    narrow = np.where(roof, end - begin - 1, 0) * cell <= LEDGE_MM + cell
    here = np.arange(count)
    beside = np.where(roof, (last == begin) | (following == end), (here - last <= 1) | (following - here <= 1))
    held = (last >= 0) | (following < count)
    return np.asarray(both | (narrow & beside & held))


def _ends(stop: Mask, count: int) -> tuple[Ints, Ints]:
    """The last stop at or before each cell of its row (-1: none), and the first one at or after it (count: none)."""
    place = np.arange(count)
    last = np.maximum.accumulate(np.where(stop, place, -1), axis=1)
    following = np.minimum.accumulate(np.where(stop, place, count)[:, ::-1], axis=1)[:, ::-1]
    return last, following


def leaning_words(way: Sequence[float]) -> str:
    """Which of a piece's faces lies down, in its own frame.

    Examples
    --------
    >>> leaning_words((0, 0, -1)), leaning_words((0, 0, 1)), leaning_words((0, 0.6, -0.8))
    ('lower face down', 'upper face down', 'a slanting face down')
    """
    names = {2: ("lower face", "upper face"), 1: ("front face", "back face"), 0: ("left face", "right face")}
    axis = int(np.argmax(np.abs(way)))
    if abs(way[axis]) < math.cos(math.radians(_FLAT_DEG)):
        return "a slanting face down"
    return f"{names[axis][1 if way[axis] > 0 else 0]} down"
