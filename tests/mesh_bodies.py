"""Bodies with closed-form answers, as meshes, for the tests of pulls, lips, air and thickness. Millimetres."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Arc, Ball, Box, Line, Node, Outline, Revolve, Turned, cylinder, polygon

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]


@cache
def meshed(solid: Node, segments: int = 512, tolerance_mm: float = 0.01) -> Mesh:
    """The solid as a mesh whose circles have the right area."""
    kernel = MeshKernel(segments=segments, tolerance_mm=tolerance_mm)
    evaluator = Evaluator(kernel)
    vertices, triangles = kernel.mesh(evaluator.solid(solid))
    vertices.setflags(write=False)
    triangles.setflags(write=False)
    return vertices, triangles


def frustum_mm3(height: float, first: float, second: float) -> float:
    """Volume of a cone frustum."""
    return math.pi * height * (first**2 + first * second + second**2) / 3


def cap_mm3(radius: float, height: float) -> float:
    """Volume of a cap of a ball."""
    return math.pi * height**2 * (3 * radius - height) / 3


def waisted_bushing() -> Node:
    """A bushing with a waist: the silicone behind the waist blocks the pull."""
    return Revolve(polygon([(4.75, 0), (10, 0), (10, 4), (8, 6), (8, 9), (12, 12), (12, 15), (4.75, 15)]))


def tapered_bushing() -> Node:
    """A bushing that is 12 mm in radius below and 10 mm above."""
    return Revolve(polygon([(4.75, 0), (12, 0), (10, 15), (4.75, 15)]))


def rounded_puck(radius_mm: float) -> Outline:
    """A disc of 12 mm radius and 15 mm height whose upper edge is rounded."""
    centre = (12 - radius_mm, 15 - radius_mm)
    return Outline((0, 0), (Line(12, 0), Line(12, centre[1]), Arc(centre[0], 15, *centre), Line(0, 15), Line(0, 0)))


def rounded_bushing() -> Outline:
    """A bushing, 28 mm across and 24 mm high, bore 9 mm, with a 1 mm radius at the upper mouth of the bore."""
    return Outline((4.5, 0), (Line(14, 0), Line(14, 24), Line(5.5, 24), Arc(4.5, 23, 5.5, 23), Line(4.5, 0)))


def torus() -> Node:
    """A ring of radius 10 mm and 4 mm in section radius."""
    return Revolve(Outline((6, 0), (Arc(14, 0, 10, 0), Arc(6, 0, 10, 0))))


def block() -> Node:
    """30 × 20 × 20 mm."""
    return Box(0, 0, 0, 30, 20, 20)


def slotted_block() -> Node:
    """The block with a slot 10 mm wide and 12 mm deep from the top, along y."""
    return block() - Box(10, -1, 8, 20, 21, 21)


def bored_block() -> Node:
    """The block with a bore of 4 mm radius along x."""
    return block() - Turned(cylinder(radius_mm=4, z0_mm=-5, z1_mm=35), "y", 90).at(0, 10, 10)


def sheared_block() -> Mesh:
    """A block 20 × 20 × 6 mm whose height was shifted by x·tan 20°."""
    vertices, triangles = meshed(Box(-10, -10, -3, 10, 10, 3))
    return vertices + np.outer(vertices[:, 0] * math.tan(math.radians(20)), [0.0, 0.0, 1.0]), triangles


def domed_cavity() -> Node:
    """A block with half a ball on top and a blind bore beside it: two places for air."""
    dome = Ball(6).at(-10, 0, 20)
    return Box(-20, -20, 0, 20, 20, 20) | dome | cylinder(radius_mm=4, z0_mm=20, z1_mm=27).at(10, 0, 0)


def ducted_boxes() -> Node:
    """Two boxes side by side, joined by a duct at the floor."""
    return Box(0, 0, 0, 10, 10, 20) | Box(20, 0, 0, 30, 10, 20) | Box(10, 0, 0, 20, 10, 4)


def dome(*, across: int) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """A dome 28 mm wide with a flat foot on z = 0 and small waves, 2 * across^2 triangles; `across` by four."""
    around = 2 * np.pi * np.arange(across) / across
    along = np.linspace(0.0, 1.0, across + 1)[1:-1]
    rise = np.clip((along - 0.25) / 0.75, 0.0, None)
    wave = 0.15 * (np.sin(6 * around)[None, :] * np.sin(20 * rise)[:, None] - 1) * (4 * rise * (1 - rise))[:, None]
    radius = np.where(along < 0.25, 14 * along / 0.25, 14 * np.sqrt(np.clip(1 - rise**2, 0.0, None)))
    turned = radius[:, None] + wave
    rings = np.stack((turned * np.cos(around), turned * np.sin(around), 22 * rise[:, None] + 0 * turned), axis=2)
    vertices = np.vstack(([[0.0, 0.0, 0.0]], rings.reshape(-1, 3), [[0.0, 0.0, 22.0]]))
    here, after = np.arange(across), np.roll(np.arange(across), -1)
    last = 1 + (len(along) - 1) * across
    faces = [
        np.column_stack((0 * here, 1 + after, 1 + here)),
        np.column_stack((last + here, last + after, 0 * here + last + across)),
    ]
    for low in range(1, last, across):
        faces.append(np.column_stack((low + here, low + after, low + across + after)))
        faces.append(np.column_stack((low + here, low + across + after, low + across + here)))
    return vertices, np.vstack(faces).astype(np.int64)
