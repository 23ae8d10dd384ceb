"""Undercut, gap volume, stretch and sections of bodies whose answer is known from school geometry.

Every expected figure is a closed form written beside the case (frustum, sphere and torus volumes; Cauchy's formula
for hull perimeters). The allowances are those of the method at 512 columns and 400 sections.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from mesh_bodies import (
    block,
    bored_block,
    frustum_mm3,
    meshed,
    sheared_block,
    slotted_block,
    tapered_bushing,
    torus,
    waisted_bushing,
)
from pourwright.engines.geometry.probes.slices import hull_perimeter, section_at
from pourwright.engines.geometry.pulls.pull import PullReport, best_parting, pull_report, sharp_edges
from pourwright.engines.geometry.tree import Ball, Node, Turned

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
# Ring R 10, r 4, across its axis: π(2rR² - πRr² + 4r³/3).
RING_GAP = math.pi * (2 * 4 * 10**2 - math.pi * 10 * 4**2 + 4 * 4**3 / 3)
TAN20 = math.tan(math.radians(20))


def pulled(solid: Node, direction: tuple[float, float, float] = Z, columns: int = 512) -> PullReport:
    return pull_report(*meshed(solid), direction, columns=columns, slices=400)


def test_a_waisted_bushing_is_held_by_the_silicone_behind_its_waist() -> None:
    report = pulled(waisted_bushing())
    # Ring between the waist and the widest section: by frustums 520π/3.
    assert report.u_low_mm3[-1] == pytest.approx(520 * math.pi / 3, rel=1e-3)
    assert report.gap_mm3 == pytest.approx(520 * math.pi / 3, rel=1e-3)
    assert report.stretch_low[-1] == pytest.approx(10 / 8, rel=1e-3)


def test_the_section_of_the_waist_has_the_area_and_hull_of_its_circles() -> None:
    area, perimeter, hull = section_at(*meshed(waisted_bushing()), height_mm=7.5)
    assert area == pytest.approx(math.pi * (64 - 4.75**2), rel=5e-5)
    assert hull == pytest.approx(16 * math.pi, rel=5e-5)
    assert perimeter == pytest.approx(2 * math.pi * (8 + 4.75), rel=5e-5)


def test_a_bushing_wide_below_is_held_by_its_taper_and_turned_over_it_is_free() -> None:
    report = pulled(tapered_bushing())
    assert report.u_low_mm3[-1] == pytest.approx(math.pi * 144 * 15 - frustum_mm3(15, 12, 10), rel=1e-3)
    assert report.stretch_low[-1] == pytest.approx(12 / 10, rel=1e-3)
    over = pulled(tapered_bushing(), (0.0, 0.0, -1.0))
    assert over.u_low_mm3[-1] == pytest.approx(0.0, abs=1e-9)
    assert over.stretch_low[-1] == pytest.approx(1.0, rel=1e-3)


def test_a_ball_wholly_in_the_lower_half_is_held_by_a_third_of_pi_r_cubed() -> None:
    vertices, triangles = meshed(Ball(15))
    report = pull_report(vertices, triangles, columns=512, slices=400)
    assert report.u_low_mm3[-1] == pytest.approx(math.pi * 15**3 / 3, rel=1e-3)
    at = report.at(5.0)
    z = report.z_mm[at]
    assert z == pytest.approx(5.0, abs=0.04)
    assert report.u_low_mm3[at] == pytest.approx(math.pi * z**3 / 3, rel=3e-3)
    assert report.stretch_low[at] == pytest.approx(15 / math.sqrt(225 - z**2), rel=1e-3)


def test_a_ball_is_parted_at_its_equator() -> None:
    vertices, triangles = meshed(Ball(15))
    report = pull_report(vertices, triangles, columns=512, slices=400)
    best = best_parting(report, sharp_edges(vertices, triangles, report), allowed_stretch=2.0)[0]
    assert best.z_mm == pytest.approx(0.0, abs=30 / 400)
    assert best.undercut_mm3 == pytest.approx(0.0, abs=1e-3 * math.pi * 15**3 / 3)
    assert best.stretch == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize(
    ("solid", "direction", "gap"),
    [
        pytest.param(slotted_block(), X, 2400.0, id="slot, along x"),
        pytest.param(slotted_block(), Y, 0.0, id="slot, along y"),
        pytest.param(slotted_block(), Z, 0.0, id="slot, along z"),
        pytest.param(bored_block(), X, 0.0, id="bore, along x"),
        pytest.param(bored_block(), Y, 480 * math.pi, id="bore, along y"),
        pytest.param(bored_block(), Z, 480 * math.pi, id="bore, along z"),
        pytest.param(torus(), X, RING_GAP, id="ring, across its axis"),
        pytest.param(torus(), Z, 0.0, id="ring, along its axis"),
    ],
)
def test_the_gap_volume_is_what_lies_between_two_walls(
    solid: Node, direction: tuple[float, float, float], gap: float
) -> None:
    assert pulled(solid, direction).gap_mm3 == pytest.approx(gap, rel=2e-3, abs=1e-6)


def test_a_sheared_block_opens_along_a_slanted_parting_but_along_no_level_one() -> None:
    report = pull_report(*sheared_block(), columns=512, slices=400)
    assert report.gap_mm3 == pytest.approx(0.0, abs=1e-9)
    least = int(np.argmin(report.u_mm3))
    assert report.u_mm3[least] == pytest.approx(20 * (10 * TAN20 - 3) ** 2 / TAN20, rel=1e-2)
    assert report.z_mm[least] == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize(("turn", "expected"), [(0, 79.9357), (180 / 64, 80.0321)])
def test_the_hull_of_a_square_is_felt_from_64_sides(turn: float, expected: float) -> None:
    # 80·(π/64)·cot(π/64) with the sides facing a support, 80·(π/64)/sin(π/64) half a step turned.
    turned = Turned(block(), "z", turn) if turn else block()
    square = np.array([[0.0, 0], [20, 0], [20, 20], [0, 20]])
    angle = math.radians(turn)
    turn_matrix = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    assert hull_perimeter(square @ turn_matrix) == pytest.approx(expected, abs=5e-5)
    # The 30 × 20 block through the mesh: the same share of its 100 mm.
    hull = section_at(*meshed(turned), height_mm=7.0)[2]
    assert hull == pytest.approx(100 * expected / 80, abs=2e-4)


def test_a_sharp_rim_decides_between_equal_parting_heights_and_the_top_one_stands_first() -> None:
    vertices, triangles = meshed(waisted_bushing(), 128)
    report = pull_report(vertices, triangles, columns=256, slices=400)
    first, second = best_parting(report, sharp_edges(vertices, triangles, report), allowed_stretch=1.3)
    assert (first.z_mm, second.z_mm) == pytest.approx((15.0, 12.0), abs=1e-9)
    assert first.allowed
    assert min(first.sharp_share, second.sharp_share) > 0.99


def test_a_tapered_part_is_parted_at_its_widest_rim() -> None:
    vertices, triangles = meshed(tapered_bushing(), 128)
    report = pull_report(vertices, triangles, columns=256, slices=400)
    best = best_parting(report, sharp_edges(vertices, triangles, report), allowed_stretch=1.1)[0]
    assert best.z_mm == pytest.approx(0.0, abs=1e-9)
    assert best.undercut_mm3 == pytest.approx(0.0, abs=1e-6)


def test_heights_whose_lips_fail_or_that_cross_a_marked_face_are_passed_over() -> None:
    vertices, triangles = meshed(waisted_bushing(), 128)
    report = pull_report(vertices, triangles, columns=128, slices=400)
    sharp = sharp_edges(vertices, triangles, report)
    dropped = best_parting(report, sharp, allowed_stretch=1.3, lips_pass=lambda z: z < 14.0)
    assert dropped[0].z_mm == pytest.approx(12.0, abs=1e-9)
    marked = best_parting(report, sharp, allowed_stretch=1.3, marked_mm=[(11.0, 16.0)])
    assert not marked[0].marked
    assert marked[0].z_mm < 11.0
