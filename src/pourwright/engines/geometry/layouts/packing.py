"""Place round cells close together: in a circle, in a square, in a rectangle, in rows. Millimetres.

Centres lie at least a pitch apart. The tightest known places are kept to thirteen decimals, so that nothing has to
be searched for while a dimension is dragged.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild
from pourwright.basics.need import need
from pourwright.engines.geometry.layouts.packing_rows import pairs, rows, rows_of
from pourwright.engines.geometry.layouts.packing_seeds import IN_CIRCLE, IN_SQUARE

Floats = NDArray[np.float64]
PROVEN_IN_CIRCLE = (*range(1, 14), 19)
PROVEN_IN_SQUARE = range(1, 31)
_POLISHED = 4  # of the starts, the most promising
_MANY = 1000  # points, from which on those inside are sorted out first
_NEAR = 2.0  # pitches: centres further apart at the start never come to touch


@dataclass(frozen=True)
class Packing:
    """Discs of radius 1 in the smallest circle or square known.

    `centres` (n, 2) lie about the middle; `size` is the circle's radius or the square's side; `proven` says that
    no smaller one exists.
    """

    centres: tuple[tuple[float, float], ...]
    size: float
    proven: bool


@dataclass(frozen=True)
class Layout:
    """Round cells in a box.

    Parameters
    ----------
    centres_mm : mm, (n, 2), about the middle of the box.
    outline : "rectangle", "circle" or "hull" (the hull of the cells, grown by the side).
    size_mm : mm, (2,), width and depth of the box inside the walls.
    area_mm2 : mm2, of the box inside the walls.
    pot_bore_mm : mm, diameter of the circle round the box inside the walls.
    proven : no smaller box of this outline exists for these cells.
    """

    centres_mm: tuple[tuple[float, float], ...]
    outline: str
    size_mm: tuple[float, float]
    area_mm2: float
    pot_bore_mm: float
    proven: bool


# ---------------------------------------------------------------- discs of radius 1


@cache
def pack_circle(n: int, *, tighten: bool = True) -> Packing:
    """The smallest circle round n discs of radius 1.

    Parameters
    ----------
    n : at least 1. Up to 20 from the table of tightest known places, above that tightened from lattices.
    tighten : False takes the best lattice above 20 as it is, at once.

    Examples
    --------
    >>> round(pack_circle(5).size, 6)
    2.701302
    """
    points = _best(n, IN_CIRCLE.get(n), _CIRCLE, tighten)
    return Packing(pairs(2 * points), 1 + 2 * _reach_circle(points), n in PROVEN_IN_CIRCLE)


@cache
def pack_square(n: int, *, tighten: bool = True) -> Packing:
    """The smallest square round n discs of radius 1.

    Parameters
    ----------
    n : at least 1. Up to 20 from the table of tightest known places, above that tightened from lattices.
    tighten : False takes the best lattice above 20 as it is, at once.

    Examples
    --------
    >>> round(pack_square(5).size, 6)
    4.828427
    """
    points = _best(n, IN_SQUARE.get(n), _SQUARE, tighten)
    return Packing(pairs(2 * points), 2 + 2 * float(np.ptp(points, axis=0).max(initial=0.0)), n in PROVEN_IN_SQUARE)


# ---------------------------------------------------------------- boxes


def circle_layout(n: int, *, pitch_mm: float, side_mm: float) -> Layout:
    """The smallest round box for n round cells.

    Parameters
    ----------
    n : number of cells.
    pitch_mm : mm, least distance between centres: two radii and the silicone between.
    side_mm : mm, least distance from a centre to the wall: a radius and the silicone beside.

    Examples
    --------
    >>> round(circle_layout(7, pitch_mm=32.14, side_mm=22.07).area_mm2)
    9232
    """
    packing = pack_circle(n)
    radius = (packing.size - 1) * pitch_mm / 2 + side_mm
    centres = pairs(np.array(packing.centres) * (pitch_mm / 2))
    return Layout(centres, "circle", (2 * radius, 2 * radius), math.pi * radius**2, 2 * radius, packing.proven)


def pack_rectangle(
    n: int, *, pitch_mm: float, side_mm: float, most_mm: tuple[float, float] = (math.inf, math.inf)
) -> Layout:
    """The rectangle of least area found for n round cells; not proven to be the least.

    Parameters
    ----------
    n : number of cells.
    pitch_mm : mm, least distance between centres.
    side_mm : mm, least distance from a centre to the wall.
    most_mm : mm, (2,), most width and depth: the bed, or what the pot leaves.

    Raises
    ------
    CannotBuild
        No layout found stays within `most_mm`.

    Examples
    --------
    >>> [round(side, 2) for side in pack_rectangle(5, pitch_mm=32.14, side_mm=22.07).size_mm]
    [76.28, 99.81]
    """
    rim = side_mm / pitch_mm
    most = (most_mm[0] / pitch_mm - 2 * rim, most_mm[1] / pitch_mm - 2 * rim)
    starts = sorted(_rectangle_starts(n), key=lambda points: _rectangle_area(points, rim))[:_POLISHED]
    found = [points for start in starts for points in (start, _polish(start, _rectangle(rim, most)))]
    turned = [points[:, ::-1] for points in found]
    fitting = [points for points in found + turned if (np.ptp(points, axis=0) <= np.array(most) + 1e-9).all()]
    if not fitting:
        raise CannotBuild(
            f"{n} cells {pitch_mm:g} mm apart do not fit into {most_mm[0]:g} × {most_mm[1]:g} mm",
            advice="take fewer cells, or less silicone between and beside them",
        )
    # Equal but for round-off: the start itself, exact, stands first.
    best = min(fitting, key=lambda points: (round(_rectangle_area(points, rim), 9), np.ptp(points[:, 0])))
    return _box(best * pitch_mm, side_mm)


def grid(n: int, columns: int, *, pitch_mm: float, side_mm: float) -> Layout:
    """n cells in straight rows of so many columns; the last row may be short and is centred.

    Examples
    --------
    >>> grid(4, 2, pitch_mm=32.14, side_mm=22.07).size_mm
    (76.28, 76.28)
    """
    if not 1 <= columns <= n:
        raise CannotBuild(f"{n} cells in {columns} columns", advice=f"take 1 to {n} columns")
    counts = [columns] * (n // columns) + ([n % columns] if n % columns else [])
    return _box(rows(counts, [0.0] * len(counts), [1.0] * len(counts)) * pitch_mm, side_mm)


def hull_layout(layout: Layout, *, side_mm: float) -> Layout:
    """The same cells in a box that follows their convex hull: area a + pρ + πρ².

    Examples
    --------
    >>> two = grid(2, 2, pitch_mm=32.14, side_mm=22.07)
    >>> round(hull_layout(two, side_mm=22.07).area_mm2)
    2949
    """
    points = np.array(layout.centres_mm)
    corners = convex_hull(points)
    around = np.roll(corners, -1, axis=0)
    area = 0.5 * float((corners[:, 0] * around[:, 1] - around[:, 0] * corners[:, 1]).sum())
    perimeter = float(np.linalg.norm(around - corners, axis=1).sum())
    size = np.ptp(points, axis=0) + 2 * side_mm
    return Layout(
        layout.centres_mm,
        "hull",
        (float(size[0]), float(size[1])),
        area + perimeter * side_mm + math.pi * side_mm**2,
        2 * (_reach_circle(points) + side_mm),
        False,
    )


def _box(points: Floats, side: float) -> Layout:
    width, depth = (float(size) + 2 * side for size in np.ptp(points, axis=0))
    return Layout(pairs(points), "rectangle", (width, depth), width * depth, math.hypot(width, depth), False)


# ---------------------------------------------------------------- making places exact


@dataclass(frozen=True)
class _Shape:
    """A container: least sizes round the centres, their cost, how they hold the centres. Pitch 1."""

    sizes: Callable[[Floats], Floats]
    cost: Callable[[Floats], tuple[float, Floats]]
    walls: Callable[[Floats, Floats], tuple[Floats, Floats, Floats]]
    most: tuple[float, ...] = (math.inf, math.inf)


def _reach_circle(points: Floats) -> float:
    return float(np.hypot(points[:, 0], points[:, 1]).max())


def _round_walls(points: Floats, sizes: Floats) -> tuple[Floats, Floats, Floats]:
    """Values >= 0 inside, slopes by the centres (m, n, 2), slopes by the sizes (m, k)."""
    count = len(points)
    slopes = np.zeros((count, count, 2))
    slopes[np.arange(count), np.arange(count)] = -2 * points
    return sizes[0] ** 2 - (points**2).sum(axis=1), slopes, np.full((count, 1), 2 * sizes[0])


def _straight_walls(points: Floats, sizes: Floats) -> tuple[Floats, Floats, Floats]:
    count, sides = len(points), len(sizes)
    half = np.broadcast_to(sizes / 2, (2,)) if sides == 1 else sizes / 2
    values, slopes, by_size = [], np.zeros((4 * count, count, 2)), np.zeros((4 * count, sides))
    for block, (axis, sign) in enumerate(((0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0))):
        rows = np.arange(block * count, (block + 1) * count)
        values.append(half[axis] - sign * points[:, axis])
        slopes[rows, np.arange(count), axis] = -sign
        by_size[rows, axis if sides == 2 else 0] = 0.5
    return np.concatenate(values), slopes, by_size


_CIRCLE = _Shape(lambda p: np.array([_reach_circle(p)]), lambda s: (s[0], np.ones(1)), _round_walls)
_SQUARE = _Shape(lambda p: np.array([2 * np.abs(p).max()]), lambda s: (s[0], np.ones(1)), _straight_walls)


def _rectangle(rim: float, most: tuple[float, float]) -> _Shape:
    def cost(sizes: Floats) -> tuple[float, Floats]:
        grown = sizes + 2 * rim
        return float(grown[0] * grown[1]), grown[::-1].copy()

    return _Shape(lambda p: 2 * np.abs(p).max(axis=0), cost, _straight_walls, most)


def _polish(start: Floats, shape: _Shape) -> Floats:
    """The nearest tight places, scaled so that no two centres are closer than 1."""
    n = len(start)
    if n == 1:
        return np.zeros((1, 2))
    first, second = np.triu_indices(n, 1)
    near = np.linalg.norm(start[first] - start[second], axis=1) < _NEAR
    first, second = first[near], second[near]
    rows = np.arange(len(first))

    def values(z: Floats) -> Floats:
        points = z[: 2 * n].reshape(n, 2)
        apart = ((points[first] - points[second]) ** 2).sum(axis=1) - 1.0
        return np.concatenate((apart, shape.walls(points, z[2 * n :])[0]))

    def slopes(z: Floats) -> Floats:
        points = z[: 2 * n].reshape(n, 2)
        between = 2 * (points[first] - points[second])
        apart = np.zeros((len(first), n, 2))
        apart[rows, first], apart[rows, second] = between, -between
        _, by_point, by_size = shape.walls(points, z[2 * n :])
        left = np.concatenate((apart, by_point)).reshape(-1, 2 * n)
        return np.hstack((left, np.vstack((np.zeros((len(first), by_size.shape[1])), by_size))))

    sizes = shape.sizes(start)
    # Without a floor the squared wall of a circle accepts a radius of minus infinity.
    bounds = [(None, None)] * (2 * n) + [
        (0.0, None if math.isinf(m) else max(m, 0.0)) for m in shape.most[: len(sizes)]
    ]
    answer = need("scipy.optimize").minimize(
        lambda z: shape.cost(z[2 * n :])[0],
        np.concatenate((start.ravel(), sizes)),
        jac=lambda z: np.concatenate((np.zeros(2 * n), shape.cost(z[2 * n :])[1])),
        bounds=bounds,
        constraints={"type": "ineq", "fun": values, "jac": slopes},
        method="SLSQP",
        options={"maxiter": 200, "ftol": 1e-15},
    )
    points = answer.x[: 2 * n].reshape(n, 2)
    if shape.walls is _straight_walls:
        points = points - 0.5 * (points.max(axis=0) + points.min(axis=0))
    return _apart(points)


def _apart(points: Floats) -> Floats:
    """Scaled so that the nearest two centres are exactly 1 apart."""
    first, second = np.triu_indices(len(points), 1)
    least = float(np.linalg.norm(points[first] - points[second], axis=1).min(initial=math.inf))
    return points / max(least, 1e-3) if math.isfinite(least) else points


def _best(n: int, seed: tuple[tuple[float, float], ...] | None, shape: _Shape, tighten: bool) -> Floats:
    if n < 1:
        raise CannotBuild(f"{n} cells", advice="take at least one")
    if seed is not None:
        return _apart(np.array(seed, dtype=np.float64))

    def size(points: Floats) -> float:
        return float(shape.sizes(points)[0])

    starts = sorted(_lattice_starts(n), key=size)[:_POLISHED]
    return min((_polish(start, shape) for start in starts), key=size) if tighten else _apart(starts[0])


def _lattice_starts(n: int) -> Iterator[Floats]:
    """The n innermost points of a hexagonal and of a square lattice, about several middles."""
    reach = range(-n, n + 1) if n < 12 else range(-math.isqrt(4 * n), math.isqrt(4 * n) + 1)
    for lean, rise in ((0.5, math.sqrt(0.75)), (0.0, 1.0)):
        lattice = np.array([(i + lean * j, rise * j) for i, j in product(reach, reach)])
        for x, y in product((0.0, 0.25, 0.5), (0.0, rise / 3, rise / 2)):
            moved = lattice - (x, y)
            for away in ((moved**2).sum(axis=1), np.abs(moved).max(axis=1)):
                yield moved[np.argsort(away, kind="stable")[:n]]


# ---------------------------------------------------------------- starts


def _rectangle_starts(n: int) -> Iterator[Floats]:
    """Rows, then the tightest circle and square."""
    yield from (np.array(pattern.centres) for pattern in rows_of(n))
    for table in (IN_CIRCLE, IN_SQUARE):
        if n in table:
            yield np.array(table[n], dtype=np.float64)


def _rectangle_area(points: Floats, rim: float) -> float:
    sides = np.ptp(points, axis=0) + 2 * rim
    return float(sides[0] * sides[1])


def convex_hull(points: Floats, *, flat: float = 1e-9) -> Floats:
    """Corners of the convex hull, anticlockwise (monotone chain); corners that turn by less than `flat` go.

    Parameters
    ----------
    points : mm, (n, 2)
    flat : share of the points' reach, squared, below which the triangle of three corners counts as a line.

    Examples
    --------
    >>> convex_hull(np.array([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (1.0, 1.0)])).tolist()
    [[0.0, 0.0], [2.0, 0.0], [1.0, 1.0]]
    """
    ordered = sorted({(float(x), float(y)) for x, y in _outermost(points)})
    least = flat * float(np.ptp(points, axis=0).max()) ** 2

    def chain(sequence: list[tuple[float, float]]) -> list[tuple[float, float]]:
        kept: list[tuple[float, float]] = []
        for point in sequence:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= least:
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return np.array((chain(ordered) + chain(ordered[::-1])) or ordered)


def _outermost(points: Floats) -> Floats:
    """Without what lies well inside: of a million points a few thousand can be corners of the hull."""
    if len(points) < _MANY:
        return points
    angles = np.linspace(0.0, 2 * math.pi, 16, endpoint=False)
    a = points[np.argmax(points @ np.vstack((np.cos(angles), np.sin(angles))), axis=0)]
    inside = np.ones(len(points), dtype=bool)
    for (x, y), (dx, dy) in zip(a, np.roll(a, -1, axis=0) - a, strict=True):
        inside &= dx * (points[:, 1] - y) - dy * (points[:, 0] - x) > 0 if dx or dy else True
    return points[~inside]


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
