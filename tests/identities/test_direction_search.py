"""The search for the best direction of pull finds the axes along which a part is known to come free."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mesh_bodies import bored_block, meshed, slotted_block, tapered_bushing, torus, waisted_bushing
from pourwright.engines.geometry.directions import TWIN_SHARE, TWIN_TRIANGLES, best_direction, simplified
from pourwright.engines.geometry.tree import Ball, Node, Turned


def along(direction: tuple[float, float, float], axis: tuple[float, float, float]) -> float:
    """|cosine| of the angle between both."""
    return abs(float(np.dot(direction, axis)))


@pytest.mark.parametrize(
    ("solid", "axis"),
    [
        pytest.param(bored_block(), (1, 0, 0), id="a bore is pulled along itself"),
        pytest.param(slotted_block(), (0, 0, 1), id="a slot is pulled out of its floor"),
        pytest.param(torus(), (0, 0, 1), id="a ring is pulled along its axis"),
        pytest.param(tapered_bushing(), (0, 0, 1), id="a bushing is pulled along its bore"),
        pytest.param(waisted_bushing(), (0, 0, 1), id="a waisted bushing too"),
    ],
)
def test_the_best_direction_is_the_axis(solid: Node, axis: tuple[float, float, float]) -> None:
    assert along(best_direction(*meshed(solid, 32, 0.05))[0].direction, axis) == pytest.approx(1.0, abs=1e-12)


def test_a_turned_part_is_pulled_along_its_turned_axis() -> None:
    turned = Turned(Turned(bored_block(), "z", 33), "x", 20)
    best = best_direction(*meshed(turned, 48))[0]
    a, b = math.radians(33), math.radians(20)
    axis = (math.cos(a), math.sin(a) * math.cos(b), math.sin(a) * math.sin(b))
    assert along(best.direction, axis) == pytest.approx(1.0, abs=1e-9)
    assert best.gap_mm3 == pytest.approx(0.0, abs=1e-6)
    # The bored end face is flat and stands across the pull.
    assert best.flat_share == pytest.approx(1.0, abs=0.02)


def test_the_flat_mouth_looks_along_the_direction_given() -> None:
    # The slotted block's whole face is its underside.
    best = best_direction(*meshed(slotted_block(), 48))[0]
    assert best.direction == pytest.approx((0.0, 0.0, -1.0), abs=1e-12)
    assert best.flat_share == pytest.approx(1.0, abs=1e-9)


def test_the_twin_is_small_and_strays_little() -> None:
    vertices, triangles = meshed(Ball(10), 256, 1e-3)
    assert len(triangles) > TWIN_TRIANGLES
    points, faces = simplified(vertices, triangles)
    assert len(faces) <= TWIN_TRIANGLES
    off = np.abs(np.linalg.norm(points[faces].mean(axis=1), axis=1) - 10)
    assert off.max() < TWIN_SHARE * 20 * math.sqrt(3)
