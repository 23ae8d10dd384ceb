"""Circles as polygons, and small solids, against figures worked out by hand."""

from __future__ import annotations

import math

import pytest

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel, radius_correction, segments_for
from pourwright.engines.geometry.tree import Box, Op, cylinder, tube, union

CHORDS = {
    24: (1.1384e-2, 5.7411e-3),
    32: (6.4131e-3, 3.2221e-3),
    48: (2.8533e-3, 1.4297e-3),
    64: (1.6056e-3, 8.0377e-4),
    128: (4.0155e-4, 2.0083e-4),
    256: (1.0040e-4, 5.0202e-5),
    512: (2.510e-5, 1.2550e-5),
}


@pytest.mark.parametrize("segments", CHORDS)
def test_plain_circles_lack_the_printed_share_of_volume(segments: int) -> None:
    plain = Evaluator(MeshKernel(segments, corrected=False, tolerance_mm=1.0))
    share = 1 - plain.volume(cylinder(radius_mm=10, z0_mm=0, z1_mm=3)) / (300 * math.pi)
    assert share == pytest.approx(CHORDS[segments][0], rel=1e-4)


@pytest.mark.parametrize("segments", CHORDS)
def test_the_radius_correction_is_the_printed_one_and_makes_the_volume_exact(segments: int) -> None:
    assert radius_correction(segments) - 1 == pytest.approx(CHORDS[segments][1], rel=1e-4)
    volume = Evaluator(MeshKernel(segments)).volume(cylinder(radius_mm=10, z0_mm=0, z1_mm=3))
    assert volume == pytest.approx(300 * math.pi, rel=1e-12)


@pytest.mark.parametrize("radius", [0.5, 0.75, 3.0, 12.0, 47.0])
def test_the_chords_of_a_printed_circle_stay_within_a_hundredth_of_a_millimetre(radius: float) -> None:
    n = segments_for(radius)
    assert n % 4 == 0
    assert radius * (1 - math.cos(math.pi / n)) <= 0.01
    if n > 8:
        assert radius * (1 - math.cos(math.pi / (n - 4))) > 0.01


@pytest.mark.parametrize("kernel", [MeshKernel(), BrepKernel()], ids=["mesh", "exact"])
class TestBothKernels:
    def test_what_three_boxes_have_in_common_is_what_all_three_have(self, kernel: MeshKernel | BrepKernel) -> None:
        here = Evaluator(kernel)
        first, second, third = Box(0, 0, 0, 10, 10, 10), Box(0, 0, 0, 6, 10, 10), Box(4, 0, 0, 10, 10, 10)
        assert here.volume(first & second & third) == pytest.approx(200, rel=1e-12)
        assert here.volume(first & (second | third)) == pytest.approx(1000, rel=1e-12)
        with pytest.raises(CannotBuild, match="exactly two"):
            Op("common", (first, second, third))

    def test_a_tyre_cast_on_a_core_is_the_tube_between_them(self, kernel: MeshKernel | BrepKernel) -> None:
        here = Evaluator(kernel)
        tyre = cylinder(radius_mm=20, z0_mm=0, z1_mm=20) - cylinder(radius_mm=8, z0_mm=0, z1_mm=20)
        assert here.volume(tyre) == pytest.approx(21111.503, abs=5e-4)
        assert here.volume(tyre) == pytest.approx(336 * 20 * math.pi, rel=1e-9)
        assert here.volume(tube(inner_mm=8, outer_mm=20, z0_mm=0, z1_mm=20) - tyre) <= 1e-9

    def test_two_l_walls_with_half_laps_make_the_frame(self, kernel: MeshKernel | BrepKernel) -> None:
        here = Evaluator(kernel)
        x, y, w, low, middle, high = 30.0, 26.0, 3.0, -26.0, -1.0, 24.0  # 38 high, and a freeboard of 6 on each side
        wall = union(
            Box(-x - w, -y - w, low, -x, y, high),
            Box(-x - w, y, middle, -x, y + w, high),
            Box(-x, -y - w, low, x, -y, high),
            Box(x, -y - w, low, x + w, -y, middle),
        )
        frame = Box(-x - w, -y - w, low, x + w, y + w, high) - Box(-x, -y, low, x, y, high)
        other = wall.at(turn_deg=180)
        assert here.volume(frame) == pytest.approx(35400, rel=1e-12)
        assert 2 * here.volume(wall) == pytest.approx(35400, rel=1e-12)
        assert here.volume(wall & other) <= 1e-9
        assert here.volume(frame - wall - other) <= 1e-9
        assert here.bodies(wall) == 1
