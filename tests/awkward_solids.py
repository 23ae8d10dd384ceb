"""Solids that are hard to mould: a knob with a waist, a hook that no pull frees, a bellows with thin walls. mm."""

from __future__ import annotations

from pourwright.engines.geometry.tree import Box, Node, Revolve, Turned, cylinder, polygon


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
