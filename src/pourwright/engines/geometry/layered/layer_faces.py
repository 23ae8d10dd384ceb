"""Triangles to draw a solid that is known layer by layer: its walls once for each place, and its level faces."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import manifold3d
import numpy as np
from manifold3d import CrossSection, FillRule
from numpy.typing import NDArray

from pourwright.engines.geometry.layered.bands import Band, Strip, Strips, holds, nesting, radius_at
from pourwright.engines.geometry.layered.knots import Knot
from pourwright.engines.geometry.layered.layers import Layer, Layered
from pourwright.engines.geometry.layered.upright import Points, Truth

Triangles = NDArray[np.int64]
_ALIKE = 9  # decimals of a millimetre to which two rims lie alike
_POINT_MM = 1e-9
_Place = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Patch:
    """A part of a surface, made when it is asked for, and the places (x, y), mm, where it stands."""

    key: str
    places_mm: tuple[_Place, ...]
    make: Callable[[], tuple[Points, Triangles]]


@dataclass(frozen=True, eq=False)
class _Rim:
    """A closed line round material or a hollow at a height; alike ones have the same key.

    `up` is 1 where a face right inside of it looks up, -1 where down, 0 where that is not known: in a knot.
    """

    key: tuple[float, float, str]
    band: Band
    up: int


def patches(solid: Layered, strips: Strips, circle: Points, key: str) -> tuple[Patch, ...]:
    """The surface of a solid in patches.

    Parameters
    ----------
    circle : the kernel's circle of radius 1, (n, 2).
    key : of the solid, for what is drawn once only.
    """
    found = [*_walls(solid, strips, circle), *_knots(solid)]
    around = [None, *solid.layers, None]
    for below, above in pairwise(around):
        z = above.z0_mm if above is not None else below.z1_mm if below is not None else 0.0
        found += _level(below, above, z, circle, key)
    return tuple(found)


# ---------------------------------------------------------------- walls


def _walls(solid: Layered, strips: Strips, circle: Points) -> Iterator[Patch]:
    """Every wall from where it begins to be the surface to where it ends to be."""
    runs: dict[int, list[tuple[int, int, float, float]]] = {}
    for layer in solid.layers:
        for band, side in layer.bands:
            mine = runs.setdefault(band.shape, [])
            index = _index(band.strip)
            last = next((run for run in reversed(mine) if run[0] == index), None)
            if last is not None and last[1] == side and last[3] == layer.z0_mm:
                mine[mine.index(last)] = (index, side, last[2], layer.z1_mm)
            else:
                mine.append((index, side, layer.z0_mm, layer.z1_mm))
    alike: dict[str, tuple[list[_Place], list[tuple[Strip, int]]]] = {}
    for number, mine in runs.items():
        shape = solid.shapes[number]
        drawn = [(strips.strip(shape, index, z0, z1), side) for index, side, z0, z1 in sorted(mine)]
        name = "+".join(f"{strip.key}{side:+d}" for strip, side in drawn)
        alike.setdefault(name, ([], drawn))[0].append((shape.x_mm, shape.y_mm))
    for name, (places, drawn) in alike.items():
        yield Patch(name, tuple(places), lambda drawn=drawn: _joined(_strip(*one, circle) for one in drawn))  # type: ignore[misc]


def _index(strip: Strip) -> int:
    return int(strip.key.split("/")[1])


def _strip(strip: Strip, side: int, circle: Points) -> tuple[Points, Triangles]:
    if strip.plan_mm is not None:
        rings = [np.column_stack((strip.plan_mm, np.full(len(strip.plan_mm), z))) for z in (strip.z0_mm, strip.z1_mm)]
        return np.vstack(rings), _between_rings(len(strip.plan_mm), 2, outwards=side > 0)
    profile = np.empty((0, 2)) if strip.profile_mm is None else strip.profile_mm
    count = len(circle)
    around = (profile[:, None, :1] * circle[None, :, :]).reshape(-1, 2)
    return np.column_stack((around, np.repeat(profile[:, 1], count))), _between_rings(
        count, len(profile), outwards=side > 0
    )


def _between_rings(count: int, rings: int, *, outwards: bool) -> Triangles:
    here = np.arange(count)
    after = (here + 1) % count
    one = np.vstack(
        (np.column_stack((here, after, after + count)), np.column_stack((here, after + count, here + count)))
    )
    triangles: Triangles = (one[None, :, :] + (count * np.arange(rings - 1))[:, None, None]).reshape(-1, 3)
    return triangles if outwards else triangles[:, ::-1]


def _joined(parts: Iterable[tuple[Points, Triangles]]) -> tuple[Points, Triangles]:
    vertices, triangles, total = [], [], 0
    for points, corners in parts:
        vertices.append(points)
        triangles.append(corners + total)
        total += len(points)
    return np.vstack(vertices), np.vstack(triangles)


def _knots(solid: Layered) -> Iterator[Patch]:
    alike: dict[tuple[str, int], tuple[Knot, list[_Place]]] = {}
    for layer in solid.layers:
        for knot in layer.knots:
            alike.setdefault((knot.key, knot.side), (knot, []))[1].append((knot.x_mm, knot.y_mm))
    for (key, side), (knot, places) in alike.items():
        walls = knot.walls if side > 0 else knot.walls[:, ::-1]
        made = knot.vertices_mm, walls
        yield Patch(f"{key}{side:+d}", tuple(places), lambda made=made: made)  # type: ignore[misc]


# ---------------------------------------------------------------- level faces


def _level(below: Layer | None, above: Layer | None, z_mm: float, circle: Points, key: str) -> list[Patch]:
    """The faces at a height: what is material on one side of it only."""
    through = _walls_of(below) & _walls_of(above)
    under, over = _rims(below, z_mm, through, sign=1), _rims(above, z_mm, through, sign=-1)
    known = {rim.key for rim in over}, {rim.key for rim in under}
    changed = [rim for rim in under if rim.key not in known[0]] + [rim for rim in over if rim.key not in known[1]]
    if not changed:
        return []
    knotted = any(rim.up == 0 for rim in changed)
    order = None if knotted else nesting([rim.band for rim in changed])
    if order is None or order.unclear.any() or np.count_nonzero(order.same) > len(changed):
        beneath = [] if below is None else _rims(below, z_mm, set(), sign=1)
        return [_mixed_patch(changed, beneath, z_mm, circle, key)]
    return _nested(changed, order.inside, z_mm, circle)


def _walls_of(layer: Layer | None) -> set[tuple[int, int, int]]:
    """Which walls bound the solid in a layer, and how; those that go on through a height have no rim there."""
    return set() if layer is None else {(band.shape, _index(band.strip), side) for band, side in layer.bands}


def _mixed_patch(changed: Sequence[_Rim], under: Sequence[_Rim], z_mm: float, circle: Points, key: str) -> Patch:
    def make() -> tuple[Points, Triangles]:
        return _mixed([_plan(rim.band, circle) for rim in changed], [rim.band for rim in under], z_mm)

    return Patch(f"{key}@{z_mm.hex()}", ((0.0, 0.0),), make)


def _nested(changed: Sequence[_Rim], inside: Truth, z_mm: float, circle: Points) -> list[Patch]:
    """Faces whose rims do not meet: each outer rim with the holes right inside it, like ones together.

    Parameters
    ----------
    inside : whether the second of two rims goes round the first.
    """
    depth = inside.sum(axis=1)
    alike: dict[str, tuple[list[_Place], list[Band]]] = {}
    for k in np.flatnonzero(depth % 2 == 0).tolist():
        holes = np.flatnonzero(inside[:, k] & (depth == depth[k] + 1)).tolist()
        outer = changed[k].band
        placed = sorted(
            (round(band.x_mm - outer.x_mm, _ALIKE), round(band.y_mm - outer.y_mm, _ALIKE), band.strip.key, number)
            for number, band in ((hole, changed[hole].band) for hole in holes)
        )
        name = f"{z_mm.hex()}{'^' if changed[k].up > 0 else 'v'}{outer.strip.key}{[row[:3] for row in placed]}"
        rims = [_moved(outer, 0.0, 0.0), *(_moved(changed[n].band, x, y) for x, y, _, n in placed)]
        alike.setdefault(name, ([], rims))[0].append((outer.x_mm, outer.y_mm))
    return [
        Patch(
            name,
            tuple(places),
            lambda rims=rims, up="^" in name: _face([_plan(band, circle) for band in rims], z_mm, up=up),  # type: ignore[misc]
        )
        for name, (places, rims) in alike.items()
    ]


def _moved(band: Band, x_mm: float, y_mm: float) -> Band:
    return Band(band.shape, x_mm, y_mm, band.strip)


def _rims(layer: Layer | None, z_mm: float, through: set[tuple[int, int, int]], *, sign: int) -> list[_Rim]:
    """Where walls end at a height, `sign` 1 for those of the layer below it, -1 for those above."""
    if layer is None:
        return []
    found = []
    for band, side in layer.bands:
        if not through or (band.shape, _index(band.strip), side) not in through:
            rim = _rim(band, z_mm, side * sign)
            if rim is not None:
                found.append(rim)
    upper = z_mm >= layer.z1_mm
    for knot in layer.knots:
        for loop in knot.rims[upper]:
            strip = Strip(f"{knot.key}{upper}{loop[0]}", z_mm, z_mm, 0.0, plan_mm=knot.vertices_mm[loop][:, :2])
            found.append(_placed(knot.x_mm, knot.y_mm, strip, 0))
    return found


def _rim(band: Band, z_mm: float, up: int) -> _Rim | None:
    strip = band.strip
    if strip.profile_mm is None:
        return _placed(band.x_mm, band.y_mm, replace(strip, key=strip.key.split("/")[0]), up)
    radius = radius_at(strip, z_mm)
    if radius <= _POINT_MM:
        return None
    upright = np.array([(radius, z_mm), (radius, z_mm + 1.0)])
    return _placed(band.x_mm, band.y_mm, Strip(f"{round(radius, _ALIKE)}", z_mm, z_mm, 0.0, profile_mm=upright), up)


def _placed(x: float, y: float, strip: Strip, up: int) -> _Rim:
    return _Rim((round(x, _ALIKE), round(y, _ALIKE), strip.key), Band(0, x, y, strip), up)


def _plan(band: Band, circle: Points) -> Points:
    """A rim as a polygon in its place, anticlockwise."""
    if band.strip.profile_mm is not None:
        return float(band.strip.profile_mm[0, 0]) * circle + (band.x_mm, band.y_mm)
    x, y = band.plan_mm.T
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    return band.plan_mm if area > 0 else band.plan_mm[::-1]


def _face(plans: Sequence[Points], z_mm: float, *, up: bool) -> tuple[Points, Triangles]:
    """A level face within its first rim and outside the others."""
    points = np.vstack(plans)
    count = len(plans[0])
    if len(plans) == 2 and len(plans[1]) == count and np.abs(plans[0].sum(axis=0) - plans[1].sum(axis=0)).max() < 1e-6:
        triangles = _between_rings(count, 2, outwards=True)  # two circles about one point, in phase
    else:
        triangles = np.asarray(manifold3d.triangulate([plans[0], *(plan[::-1] for plan in plans[1:])]), dtype=np.int64)
        points = np.vstack([plans[0], *(plan[::-1] for plan in plans[1:])])
    level = np.column_stack((points, np.full(len(points), z_mm)))
    return level, triangles if up else triangles[:, ::-1]


def _mixed(changed: Sequence[Points], under: Sequence[Band], z_mm: float) -> tuple[Points, Triangles]:
    """Level faces within rims that meet, looking up where there is material under them."""
    parts = []
    for face in CrossSection(list(changed), FillRule.EvenOdd).decompose():
        rims = face.to_polygons()
        triangles = np.asarray(manifold3d.triangulate(rims), dtype=np.int64) if rims else np.empty((0, 3))
        if not len(triangles):
            continue
        points = np.vstack(rims)
        looks_up = _count_round(under, points[_largest(points, triangles)].mean(axis=0)) % 2 == 1
        level = np.column_stack((points, np.full(len(points), z_mm)))
        parts.append((level, triangles if looks_up else triangles[:, ::-1]))
    return _joined(parts) if parts else (np.empty((0, 3)), np.empty((0, 3), dtype=np.int64))


def _count_round(rims: Sequence[Band], spot: Points) -> int:
    """How many rims go round a point."""
    circles = np.array([(rim.x_mm, rim.y_mm, rim.strip.reach_mm[0]) for rim in rims if rim.strip.plan_mm is None])
    found = 0
    if len(circles):
        found = int(np.count_nonzero(np.hypot(circles[:, 0] - spot[0], circles[:, 1] - spot[1]) < circles[:, 2]))
    return found + sum(bool(holds(rim.plan_mm, spot[None, :])[0]) for rim in rims if rim.strip.plan_mm is not None)


def _largest(points: Points, triangles: Triangles) -> NDArray[np.int64]:
    a, b, c = (points[triangles[:, k]] for k in range(3))
    doubled = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    largest: NDArray[np.int64] = triangles[int(np.argmax(np.abs(doubled)))]
    return largest
