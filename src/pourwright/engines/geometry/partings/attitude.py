"""Turn a solid from a file so that it stands along a chosen pull, its longer side along x. Millimetres."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from pourwright.basics.content_key import content_key
from pourwright.engines.geometry.air.dexels import Floats, Ints, frame_along, unit
from pourwright.engines.geometry.files.read import levelled
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.probes.facets import crosses, lengths

_FACING = 1e-3  # rad; faces this near to square on the pull are meant to be square on it
_LEVEL = 1e-9  # 1 - cosine; faces nearer to level than this are level but for rounding
_AXIS = 1e-9  # a direction this near to an axis is that axis
_SINGLE = 4e-7  # rounding of a file that keeps its numbers in single precision
_SAME_PLAN = 1e-6  # of the area of the box round a shadow
_MANY_POINTS, _POLYGON = 20_000, 16


def turned_to(solid: ImportedSolid, pull: object) -> ImportedSolid:
    """The solid turned so that a direction of its file points up, standing on z = 0 about the z axis.

    About the pull it is turned so that the rectangle round its shadow is smallest, the longer side along x; a solid
    that stands along its pull is left as it lies where that gains nothing. Faces that are square on the pull but for
    rounding are made so.

    Parameters
    ----------
    solid : as read.
    pull : in the file's axes.

    Returns
    -------
    ImportedSolid
        Under a digest of its own; the same solid when it stands so already.
    """
    up = _squared(solid.vertices_mm, solid.triangles, unit(pull))
    rows = _frame(solid.vertices_mm, up)
    if np.array_equal(rows, np.eye(3)):
        return solid
    vertices = solid.vertices_mm @ rows.T
    vertices = _flattened(vertices, solid.triangles, _rounding_mm(solid))
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    move = -np.array([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, low[2]]) + 0.0
    whole = rows @ _rows(solid)
    placing = rows @ np.array(solid.placing) + move
    turning = tuple(float(number) + 0.0 for number in whole.reshape(-1))
    return replace(
        solid,
        digest=content_key(solid.digest, turning),
        vertices_mm=levelled(vertices + move),
        turning=turning,
        placing=(float(placing[0]), float(placing[1]), float(placing[2])),
    )


def up_in_file(solid: ImportedSolid) -> tuple[float, float, float]:
    """The direction in the file's axes that points up as the solid stands."""
    x, y, z = _rows(solid)[2]
    return float(x) + 0.0, float(y) + 0.0, float(z) + 0.0


def size_in_file_mm(solid: ImportedSolid) -> tuple[float, float, float]:
    """The box of a solid along the axes of its file, however it stands: what calipers find on it."""
    x, y, z = np.ptp(solid.vertices_mm @ _rows(solid), axis=0)
    return float(x), float(y), float(z)


def _rows(solid: ImportedSolid) -> Floats:
    return np.eye(3) if solid.turning is None else np.array(solid.turning).reshape(3, 3)


def _rounding_mm(solid: ImportedSolid) -> float:
    """How far corners of one plane face may lie apart, by the digits of the file."""
    from_origin = np.abs(solid.vertices_mm).max() + np.abs(solid.placing).max()
    return float(_SINGLE * from_origin)


def _squared(vertices: Floats, triangles: Ints, way: Floats) -> Floats:
    """The mean normal of the faces that are nearly square on a direction; the direction itself without such."""
    twice = crosses(vertices, triangles)
    along = twice @ way
    square = np.abs(along) >= math.cos(_FACING) * lengths(twice)
    mean = (twice[square] * np.sign(along[square])[:, None]).sum(axis=0)
    return _settled(unit(mean) if square.any() and np.linalg.norm(mean) > 0 else way)


def _settled(way: Floats) -> Floats:
    nearest = np.round(way)
    return nearest if np.abs(way - nearest).max() <= _AXIS and np.abs(nearest).sum() == 1 else way


def _frame(vertices: Floats, up: Floats) -> Floats:
    """Rows x, y, z of the new frame: z along `up`, x along the longer side of the smallest rectangle."""
    rows = frame_along(up)
    turn = plan_turn(vertices @ rows[:2].T)
    if turn == 0.0 or (turn == math.pi / 2 and np.array_equal(rows, np.eye(3))):
        return rows
    cos, sin = _circle(turn)
    x, y = cos * rows[0] + sin * rows[1], cos * rows[1] - sin * rows[0]
    return np.array([x, y, rows[2]]) + 0.0


def _circle(turn: float) -> tuple[float, float]:
    """Cosine and sine, whole for quarter turns."""
    cos, sin = math.cos(turn), math.sin(turn)
    return (0.0 if abs(cos) < _AXIS else cos), (0.0 if abs(sin) < _AXIS else sin)


def plan_turn(points: Floats) -> float:
    """By which angle from x the longer side of the smallest rectangle round plane points lies, rad.

    0 or a quarter turn where the points' own x and y give a rectangle as small.

    Parameters
    ----------
    points : mm, (n, 2)

    Examples
    --------
    >>> corners = np.array([[0.0, 0.0], [4.0, 3.0], [2.5, 5.0], [-1.5, 2.0]])
    >>> round(math.degrees(plan_turn(corners)), 6)
    36.869898
    """
    from scipy.spatial import ConvexHull

    points = _outer(points)
    hull = points[ConvexHull(points).vertices]
    runs = np.roll(hull, -1, axis=0) - hull
    turns = np.unique(np.round(np.arctan2(runs[:, 1], runs[:, 0]) % (math.pi / 2), 12))
    turns = np.concatenate(([0.0], turns))
    ways = np.column_stack((np.cos(turns), np.sin(turns)))
    along = np.ptp(hull @ ways.T, axis=0)
    across = np.ptp(hull @ np.column_stack((-ways[:, 1], ways[:, 0])).T, axis=0)
    areas = along * across
    best = int(np.flatnonzero(areas <= areas.min() * (1 + _SAME_PLAN))[0])
    turn = float(turns[best])
    if across[best] > along[best] * (1 + _SAME_PLAN):
        turn += math.pi / 2
    return turn


def _outer(points: Floats) -> Floats:
    """Of very many points those that can be corners of their hull: outside a polygon of some that are."""
    if len(points) < _MANY_POINTS:
        return points
    turns = 2 * math.pi * np.arange(_POLYGON) / _POLYGON
    x, y = np.ascontiguousarray(points.T)
    corners = points[np.unique([int((np.cos(turn) * x + np.sin(turn) * y).argmax()) for turn in turns])]
    middle = corners.mean(axis=0)
    corners = corners[np.argsort(np.arctan2(*(corners - middle).T[::-1]), kind="stable")]
    runs = np.roll(corners, -1, axis=0) - corners
    inside = np.ones(len(points), dtype=bool)
    slack = _AXIS * float(np.abs(corners).max())
    for corner, run in zip(corners, runs, strict=True):
        length = float(np.hypot(*run))
        inside &= run[0] * y - run[1] * x > run[0] * corner[1] - run[1] * corner[0] + slack * length
    return points[~inside]


def _flattened(vertices: Floats, triangles: Ints, rounding_mm: float) -> Floats:
    """Corners of faces that are level but for rounding, put on the mean height of their face."""
    twice = crosses(vertices, triangles)
    length = lengths(twice)
    level = (length > 0) & (np.abs(twice[:, 2]) >= (1 - _LEVEL) * length)
    # A narrow face has a poor normal: it is level when its corners are.
    facing = np.flatnonzero(np.abs(twice[:, 2]) >= 0.5 * length)
    level[facing] |= np.ptp(vertices[triangles[facing], 2], axis=1) <= rounding_mm
    used = np.zeros(len(vertices), dtype=bool)
    used[triangles[level].reshape(-1)] = True
    corners = np.flatnonzero(used)
    corners = corners[np.argsort(vertices[corners, 2], kind="stable")]
    flat = vertices.copy()
    for group in np.split(corners, np.flatnonzero(np.diff(vertices[corners, 2]) > rounding_mm) + 1):
        if len(group) and np.ptp(vertices[group, 2]) <= 10 * rounding_mm:
            flat[group, 2] = np.median(vertices[group, 2])
    return flat
