"""Sizes of a solid from a file are those along its file's axes, and meet the chain as the part stands."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material
from pourwright.catalogue.moulds.style import OPEN, STYLES
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.shop import Printer, Shop
from pourwright.domain.size_forecast import BOX_SIZES, PatternWish, SizeForecast
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.partings.attitude import turned_to
from pourwright.engines.geometry.tree import Box
from pourwright.steps.forecast_sizes import forecast_sizes
from pourwright.steps.planning.kit_wish import wish_of
from pourwright.steps.studies.study_solid import study_solid
from solid_kits import solid_of

SIZE_MM = (12.0, 30.0, 20.0)
RESIN, SILICONE = "urethane 80A", "platinum silicone 30A"
COARSE_Z = Shop(printers=(Printer(size_error=0.05e-3, size_error_z=0.3e-3),))
COAT = 0.1e-3


def forecast(pull: tuple[float, float, float], rows: np.ndarray | None = None) -> dict[str, SizeForecast]:
    """A block pulled along a direction of its file, printed by a printer that is coarse along its layers' stack."""
    solid = turned_to(solid_of(Box(0.0, 0.0, 0.0, *SIZE_MM), rows), pull)
    part = Part(family="file", file="block.stl", digest=solid.digest)
    library = {solid.digest: solid}
    shape, evaluator = shape_of(part, library), Evaluator(MeshKernel(48, library))
    mould, pattern = MouldWish(pull=pull), PatternWish(coat=COAT)
    project = Project(
        name="block", title="Block", part=part, resin=RESIN, silicone=SILICONE, mould=mould, pattern=pattern
    )
    resin, silicone = load_material(RESIN), load_material(SILICONE)
    facts = study_solid(shape, evaluator, allowed_stretch=2.0)
    wish = wish_of(project, COARSE_Z, resin=resin, silicone=silicone)
    design = STYLES[OPEN].build(shape, wish, facts)
    found = forecast_sizes(project, shape, design, COARSE_Z, resin=resin, silicone=silicone)
    return {size.name: size for size in found}


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_whichever_way_it_is_pulled_the_sizes_are_those_of_the_file(axis: int) -> None:
    pull = tuple(float(k == axis) for k in range(3))
    found = forecast(pull)
    assert [found[name].wanted * 1e3 for name in BOX_SIZES] == pytest.approx(SIZE_MM, abs=1e-6)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_the_size_along_the_pull_is_the_one_that_closes_and_is_printed_across_the_layers(axis: int) -> None:
    found = forecast(tuple(float(k == axis) for k in range(3)))
    for k, name in enumerate(BOX_SIZES):
        size = found[name]
        assert size.closure == (k == axis)
        assert size.shifts["coat"] == pytest.approx((1.0 if k == axis else 2.0) * COAT, rel=0.02)
        assert (size.driver == "printer") == (k == axis)


def test_a_size_askew_to_the_pull_crosses_the_parting_and_has_both_faces_coated() -> None:
    turn = math.radians(30.0)
    rows = np.array([[math.cos(turn), 0, -math.sin(turn)], [0, 1, 0], [math.sin(turn), 0, math.cos(turn)]])
    x, _, z = SIZE_MM
    found = forecast((-math.sin(turn), 0.0, math.cos(turn)), rows)
    wide = x * math.cos(turn) + z * math.sin(turn)
    assert found["size_x"].wanted * 1e3 == pytest.approx(wide, abs=1e-4)
    assert found["size_x"].closure
    assert not found["size_y"].closure
    assert found["size_x"].shifts["coat"] == pytest.approx(2.0 * COAT, rel=0.02)
