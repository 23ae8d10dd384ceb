"""Prints of every box have walls that a nozzle can lay, true sizes, and circles within two hundredths."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mould_designs import WISH, evaluator, shape
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import LIDDED, OPEN, SIDE, STYLES
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import CHORD_MM, MeshKernel
from pourwright.engines.geometry.probes.printed_walls import thinnest_wall_mm
from pourwright.engines.geometry.probes.true_size import size_mm
from pourwright.engines.geometry.tree import cylinder
from pourwright.steps.print_files import printing_evaluator
from pourwright.steps.proofs.prove import prove
from pourwright.steps.proofs.prove_assembly import prove_assembly

_LINE_MM = 0.45
_DOWN = {"": (0.0, 0.0, -1.0), "x 180": (0.0, 0.0, 1.0)}

odd_boxes = pytest.mark.parametrize(
    ("style", "part", "box", "cavities"),
    [
        (OPEN, "bumper", "round", 1),
        (OPEN, "straight bushing", "round", 1),
        (LIDDED, "waisted bushing", "round", 3),
        (LIDDED, "bumper", "form-fitting", 2),
        (SIDE, "taper bushing", None, 1),
    ],
)


def design(style: str, part: str, box: str | None, cavities: int) -> MouldDesign:
    return STYLES[style].build(shape(part), replace(WISH, box=box, cavities=cavities), None)


@odd_boxes
def test_no_upright_wall_of_a_print_is_thinner_than_a_line(
    style: str, part: str, box: str | None, cavities: int
) -> None:
    for piece in (piece for piece in design(style, part, box, cavities).pieces if piece.printed):
        wall = thinnest_wall_mm(*evaluator().mesh(piece.solid), down=_DOWN[piece.print_turn], samples=3000)
        assert wall is None or wall > _LINE_MM, piece.name


@pytest.mark.parametrize(("box", "cavities"), [("round", 1), ("form-fitting", 2)])
def test_walls_with_a_curved_lap_still_fit_and_come_off(box: str, cavities: int) -> None:
    mould = design(OPEN, "bumper", box, cavities)
    assert [one.name for one in prove(mould, evaluator()).identities if not one.ok] == []
    assert prove_assembly(mould, evaluator()).ok


def test_a_round_body_is_as_wide_as_its_circle_whatever_the_chords() -> None:
    pin = cylinder(radius_mm=7.3, z0_mm=0, z1_mm=4).at(3, 2)
    for segments in (24, 48):
        assert size_mm(Evaluator(MeshKernel(segments=segments)), pin) == pytest.approx((14.6, 14.6, 4.0), abs=1e-12)
    slot = pin - cylinder(radius_mm=20, z0_mm=-1, z1_mm=5).at(-17, 2)
    low, high = evaluator().bounds(slot)
    assert (high - low)[0] < 9.0
    assert size_mm(evaluator(), slot) == pytest.approx(high - low, rel=6e-3)


def test_a_printed_circle_stays_inside_the_true_one_and_within_a_hundredth_of_it() -> None:
    mould = design(OPEN, "straight bushing", "round", 1)
    pattern = next(piece for piece in mould.pieces if piece.role == "pattern")
    vertices, triangles = printing_evaluator(mould, {}).mesh(pattern.solid)
    radius = 14.0 * mould.scale
    corners = np.hypot(*vertices[:, :2].T)
    upright = np.ptp(vertices[triangles][:, :, 2], axis=1) > 1.0
    round_side = triangles[upright & (corners[triangles].min(axis=1) > radius - 1e-6)]
    middles = np.hypot(*(vertices[round_side[:, 0], :2] + vertices[round_side[:, 1], :2]).T) / 2
    assert corners.max() == pytest.approx(radius, abs=1e-9)
    assert len(middles) > 100
    assert middles.min() > radius - CHORD_MM
