"""The thinnest wall of a part: rays through the material, and balls where two faces close at an angle. mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pourwright.basics.errors import CannotBuild
from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.air.dexels import Floats, Ints
from pourwright.engines.geometry.probes.ray_tree import RayTree, first_hits, largest_balls, ray_tree

_SKIN_MM = 1e-4  # a ray starts this far inside, so as not to hit the face it leaves
_SLANTED = math.cos(math.radians(165))  # faces that close at more than 15°
_SQUARE = math.cos(math.radians(178))
_WALL = math.cos(math.radians(120))  # beyond, two faces are a corner and no wall
_THINNEST_SHARE = 0.05
_MOST_THIN = 200  # of the thinnest, tried again by ball
_SLACK = 1e-4  # of its radius: how deep the surface may lie inside a ball that counts as free


@dataclass(frozen=True)
class Thin:
    """The thinnest place found: a point on the surface, the thickness there, "rays" or "ball", samples tried."""

    point_mm: tuple[float, float, float]
    thickness_mm: float
    method: str
    samples: int


def thinnest(vertices: Floats, triangles: Ints, *, samples: int = 20_000, report: Report = silent) -> Thin:
    """The thinnest wall of a closed mesh.

    Rays everywhere; a ball that touches both faces where rays are among the thinnest, or where two faces close at
    more than 15°. A corner of 60° or more is no wall.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    samples : points on the surface, spread by area.
    report : told the progress.

    Raises
    ------
    CannotBuild
        No ray meets a second face: the mesh is not closed.

    Notes
    -----
    The thinnest *sample* is found: a thin place smaller than the spacing of the samples can be missed, and a wedge
    is followed only to within that spacing of its edge.
    """
    tree = ray_tree(vertices, triangles)
    points, normals, _ = surface_samples(vertices, triangles, samples)
    report(0.2, "measuring walls by rays")
    thickness, opposite = ray_thickness(tree, points, normals)
    if not np.isfinite(thickness).any():
        raise CannotBuild("no wall has a second face; the mesh is not closed")
    face_normals = _normals(vertices, triangles)
    facing = (face_normals[opposite] * normals).sum(axis=1)
    thin = np.argsort(thickness, kind="stable")[: min(_MOST_THIN, int(_THINNEST_SHARE * samples) + 1)]
    # Where the far face stands square on, the ray is right.
    flagged = np.union1d(thin[facing[thin] > _SQUARE], np.flatnonzero(facing > _SLANTED))
    report(0.5, "measuring wedges by balls")
    by_ball = np.full(samples, np.inf)
    # The thinnest first: no later ball need begin larger than the smallest so far.
    flagged = flagged[np.argsort(thickness[flagged], kind="stable")]
    radius, touched = largest_balls(
        tree, points[flagged], normals[flagged], 0.5 * thickness[flagged], slack=_SLACK, wall=_WALL
    )
    ball = 2 * radius
    closing = (face_normals[touched] * normals[flagged]).sum(axis=1) < _WALL
    by_ball[flagged] = np.where(closing & (touched >= 0), ball, np.inf)
    by_ray = np.where(facing < _WALL, thickness, np.inf)
    both = np.minimum(by_ray, by_ball)
    k = int(np.argmin(both))
    if math.isinf(both[k]):
        return _thickest(tree, points, normals, thickness)
    return _thin(points[k], both[k], "ball" if by_ball[k] < by_ray[k] else "rays", samples)


def _thickest(tree: RayTree, points: Floats, normals: Floats, by_ray: Floats) -> Thin:
    """A body of corners only, such as a pyramid, has no wall: its largest ball says how thick it is."""
    diameter, _ = ball_thickness(tree, points, normals, by_ray)
    k = int(np.argmax(diameter))
    return _thin(points[k], diameter[k], "ball", len(points))


def _thin(point: Floats, thickness: float, method: str, samples: int) -> Thin:
    x, y, z = (float(value) for value in point)
    return Thin((x, y, z), float(thickness), method, samples)


def surface_samples(vertices: Floats, triangles: Ints, count: int) -> tuple[Floats, Floats, Ints]:
    """Points spread over a surface by area, always the same ones, with their normals and triangles."""
    corners = np.asarray(vertices, dtype=np.float64)[triangles]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    total = np.cumsum(area)
    random = np.random.default_rng(0)
    # One sample in each of `count` equal shares of the area.
    places = (np.arange(count) + random.random(count)) / count * total[-1]
    faces = np.minimum(np.searchsorted(total, places, side="right"), len(area) - 1)
    u, v = random.random(count), random.random(count)
    over = u + v > 1.0
    u[over], v[over] = 1.0 - u[over], 1.0 - v[over]
    a, b, c = np.moveaxis(corners[faces], 1, 0)
    points = a + u[:, None] * (b - a) + v[:, None] * (c - a)
    return points, _normals(vertices, triangles)[faces], faces


def ray_thickness(tree: RayTree, points: Floats, normals: Floats) -> tuple[Floats, Ints]:
    """Straight through the material from each surface point, mm, and the triangle on the other side.

    Reads high where two faces close at an angle: s·tan θ at distance s from their edge.
    """
    distance, hit = first_hits(tree, points - _SKIN_MM * normals, -normals)
    return distance + _SKIN_MM, hit


def ball_thickness(tree: RayTree, points: Floats, normals: Floats, by_ray: Floats) -> tuple[Floats, Ints]:
    """Diameter of the largest ball inside the material that touches each surface point, mm, and what it touches.

    The ball begins at the thickness by ray, which it cannot exceed, and shrinks until nothing of the surface lies
    inside it. Triangle -1 where the ray's far side was all it touched.
    """
    largest = float(np.linalg.norm(tree.boxes[0, 3:] - tree.boxes[0, :3]))
    radius, touched = largest_balls(tree, points, normals, 0.5 * np.minimum(by_ray, largest), slack=_SLACK)
    return 2 * radius, touched


def _normals(vertices: Floats, triangles: Ints) -> Floats:
    corners = np.asarray(vertices, dtype=np.float64)[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return normals / np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-300)
