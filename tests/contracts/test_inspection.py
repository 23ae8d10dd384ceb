"""What `inspect_solid` says of simple solids and of some that nobody here drew."""

from __future__ import annotations

import math

import numpy as np
import pytest

from loose_meshes import block
from mesh_bodies import bored_block, ducted_boxes, meshed
from outside import outside_solid
from pourwright.basics.errors import Cancelled
from pourwright.domain.inspection import Inspection
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.steps.inspect_solid import inspect_solid


def inspected(mesh, **how) -> Inspection:
    return inspect_solid(read_solid(stl_bytes(mesh), name="part.stl", **how), file="part.stl")


def test_a_block_in_inches_is_inspected_in_si_and_in_the_files_own_coordinates():
    found = inspected(block((1, 2, 3), at=(10, 0, -5)), unit="inch")
    inch = 0.0254
    assert found.volume == pytest.approx(6 * inch**3, rel=1e-12)
    assert found.area == pytest.approx(22 * inch**2, rel=1e-12)
    assert np.allclose(found.bounds, np.array([[10, 0, -5], [11, 2, -2]]) * inch, rtol=0, atol=1e-12)
    assert found.size == pytest.approx((inch, 2 * inch, 3 * inch))
    assert (found.file, found.unit, found.exact, found.triangles, found.watertight) == (
        "part.stl", "inch", False, 12, True
    )  # fmt: skip


def test_a_block_has_no_undercut_no_stretch_and_traps_no_air():
    found = inspected(block((10, 20, 30)))
    assert found.pull.undercut == pytest.approx(0.0, abs=1e-15)
    assert found.pull.unavoidable_undercut == pytest.approx(0.0, abs=1e-15)
    assert found.pull.stretch == pytest.approx(1.0, abs=1e-3)
    assert found.air.trapped == pytest.approx(0.0, abs=1e-15)
    assert found.thinnest == pytest.approx(0.010, rel=1e-3)


def test_a_bored_block_is_pulled_along_its_bore_and_is_thinnest_beside_it():
    found = inspected(meshed(bored_block(), 96))
    assert abs(found.pull.direction[0]) == pytest.approx(1.0)
    assert found.pull.height == pytest.approx(0.030)
    # The bore of 4 mm radius in a block 20 mm wide leaves 6 mm on each side.
    assert found.thinnest == pytest.approx(0.006, rel=2e-3)


def test_the_place_of_the_thinnest_wall_lies_in_the_files_own_coordinates():
    vertices, triangles = meshed(bored_block(), 96)
    found = inspected((vertices + np.array([1000, 0, 0]), triangles))
    assert 1.0 <= found.thinnest_at[0] <= 1.030


def test_two_boxes_joined_at_the_floor_trap_no_air_when_both_tops_are_vented():
    assert inspected(meshed(ducted_boxes())).air.trapped == pytest.approx(0.0, abs=1e-12)


def test_inspection_can_be_stopped():
    def stop(fraction: float, words: str) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        inspect_solid(read_solid(stl_bytes(block()), name="part.stl"), file="part.stl", report=stop)


@pytest.mark.outside
@pytest.mark.parametrize(
    ("name", "axis", "height_mm"),
    [("io1-cm-214.stp", 0, 31.0), ("component8.step", 1, 32.632), ("cube-in.step", 2, 1e3)],
)
def test_an_outside_step_solid_is_pulled_along_its_short_or_only_sensible_axis(name, axis, height_mm):
    found = inspect_solid(read_solid(outside_solid(name)), file=name)
    assert abs(found.pull.direction[axis]) == pytest.approx(1.0, abs=1e-6)
    assert found.pull.height * 1e3 == pytest.approx(height_mm, rel=1e-3)
    assert found.exact
    assert found.pull.undercut <= 0.011 * found.volume
    assert math.isfinite(found.thinnest)
    assert found.thinnest > 0
