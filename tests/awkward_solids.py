"""Solids that are hard to mould: a waisted knob, a hook that no pull frees, a thin bellows, a spring, a thread. mm."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.tree import Box, Node, Revolve, Turned, cylinder, polygon

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]


def waisted_knob() -> Node:
    """A knob 30 mm across on a foot of 24 mm, with a waist of 16 mm between them and no bore."""
    return Revolve(polygon([(0, 0), (12, 0), (12, 4), (8, 8), (8, 12), (15, 19), (15, 26), (0, 26)]))


def linked_hook() -> Node:
    """A stem with a closed eye at each end, one a quarter turn from the other: every pull leaves silicone in one."""
    eye = cylinder(radius_mm=9, z0_mm=-3, z1_mm=3) - cylinder(radius_mm=5, z0_mm=-4, z1_mm=4)
    return Box(-3, -3, -12, 3, 3, 12) | Turned(eye, "x", 90).at(0, 0, 19) | Turned(eye, "y", 90).at(0, 0, -19)


def bellows(*, wall_mm: float = 1.2, crest_mm: float = 14.0, root_mm: float = 9.0) -> Node:
    """Three folds of a thin wall between two cuffs, open at both ends."""
    folds = [(root_mm if k % 2 == 0 else crest_mm, 4.0 + 4.0 * k) for k in range(7)]
    outside = [(root_mm, 0.0), *folds, (root_mm, 32.0)]
    inside = [(radius - wall_mm, z) for radius, z in reversed(outside)]
    return Revolve(polygon([*outside, *inside]))


def spring(*, turns: int = 3, across_mm: float = 30.0, wire_mm: float = 5.0, pitch_mm: float = 9.0) -> Mesh:
    """A helical spring round the z axis, `across_mm` measured to the middle of its wire."""
    turn = np.linspace(0, 2 * math.pi * turns, 24 * turns + 1)[:, None]
    round_wire = 2 * math.pi * np.arange(12) / 12
    out = 0.5 * across_mm + 0.5 * wire_mm * np.cos(round_wire)
    up = pitch_mm * turn / (2 * math.pi) + 0.5 * wire_mm * np.sin(round_wire)
    return _wound(np.stack((out * np.cos(turn), out * np.sin(turn), up), axis=2))


def threaded_rod(*, rod_mm: float = 16.0, ridge_mm: float = 1.5, pitch_mm: float = 4.0, long_mm: float = 24.0) -> Mesh:
    """A rod along the z axis with a rounded ridge wound round it from end to end."""
    z = np.linspace(0, long_mm, 61)[:, None]
    turn = 2 * math.pi * np.arange(60) / 60
    out = 0.5 * rod_mm + 0.5 * ridge_mm * (1 + np.cos(2 * math.pi * z / pitch_mm - turn))
    return _wound(np.stack((out * np.cos(turn), out * np.sin(turn), z + 0 * turn), axis=2))


def _wound(rings: NDArray[np.float64]) -> Mesh:
    """The closed skin over rings of points (rings, points, 3), with flat ends."""
    count, around, _ = rings.shape
    first = np.arange(count * around).reshape(count, around)
    following = np.roll(first, -1, axis=1)
    a, b, c, d = (part.ravel() for part in (first[:-1], following[:-1], following[1:], first[1:]))
    start, end = np.full(around, first.size), np.full(around, first.size + 1)
    sides = np.concatenate((np.column_stack((a, b, c)), np.column_stack((a, c, d))))
    caps = np.concatenate(
        (np.column_stack((start, following[0], first[0])), np.column_stack((end, first[-1], following[-1])))
    )
    vertices = np.concatenate((rings.reshape(-1, 3), rings[0].mean(axis=0)[None], rings[-1].mean(axis=0)[None]))
    triangles = np.concatenate((sides, caps))
    corners = vertices[triangles]
    six = np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    return vertices, triangles if six > 0 else np.ascontiguousarray(triangles[:, ::-1])
