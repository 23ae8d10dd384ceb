"""A solid made from pieces that are alike is the whole solid: in volume, in surface, and in what is drawn."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mould_designs import WISH, shape
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import STYLES
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.repeats.apart import apart
from pourwright.engines.geometry.repeats.enclosing import enclosing
from pourwright.engines.geometry.repeats.rods import stepped
from pourwright.engines.geometry.repeats.surfaces import Surface, Surfaces
from pourwright.engines.geometry.tree import Box, Node, cylinder, frustum, union

SAMPLES = (
    ("open with cover plate", "taper bushing", 4),
    ("open with cover plate", "wheel", 2),
    ("two-part lidded", "barrel bushing", 4),
    ("two-part lidded", "disc", 3),
    ("two-part lidded", "roller with an overhang", 4),
)
every_sample = pytest.mark.parametrize(("style", "part", "cavities"), SAMPLES, ids=[part for _, part, _ in SAMPLES])


@cache
def kernels() -> tuple[Evaluator, Surfaces]:
    """The whole way, and from pieces; each with a memory of its own."""
    return Evaluator(MeshKernel()), Surfaces(Evaluator(MeshKernel()))


def solids(design: MouldDesign) -> list[Node]:
    """Everything that a picture of a mould shows."""
    return [
        *(piece.solid for piece in design.pieces),
        design.lower,
        design.closing,
        *(node for node in (design.vents, design.wells) if node is not None),
    ]


def area_mm2(surfaces: tuple[Surface, ...]) -> float:
    """Of what is drawn, every copy counted."""
    total = 0.0
    for one in surfaces:
        a, b, c = (one.vertices_mm.astype(float)[one.triangles[:, k]] for k in range(3))
        total += len(one.places_mm) * float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2
    return total


def enclosed_mm3(surfaces: tuple[Surface, ...]) -> float:
    """What is inside of what is drawn, if it is closed and looks outwards, every copy counted."""
    total = 0.0
    for one in surfaces:
        a, b, c = (one.vertices_mm.astype(float)[one.triangles[:, k]] for k in range(3))
        flux = np.cross(b - a, c - a)
        for place in one.places_mm:
            total += float(((a + np.array((*place, 0.0))) * flux).sum()) / 6
    return total


@every_sample
def test_a_mould_from_pieces_has_the_volumes_and_the_surfaces_of_the_whole(
    style: str, part: str, cavities: int
) -> None:
    design = STYLES[style].build(shape(part), replace(WISH, cavities=cavities), None)
    whole, pieces = kernels()
    for node in solids(design):
        assert pieces.volume(node) == pytest.approx(whole.volume(node), rel=1e-11)
        assert area_mm2(pieces.surfaces(node)) == pytest.approx(whole.area(node), rel=3e-7)
        assert enclosed_mm3(pieces.surfaces(node)) == pytest.approx(whole.volume(node), rel=2e-6)


@pytest.mark.parametrize(
    ("style", "part"), [("two-part lidded", "barrel bushing"), ("open with cover plate", "taper bushing")]
)
def test_the_halves_of_four_cavities_are_drawn_from_one(style: str, part: str) -> None:
    design = STYLES[style].build(shape(part), replace(WISH, cavities=4), None)
    _, pieces = kernels()
    for node in (design.lower, design.closing):
        drawn = pieces.surfaces(node)
        made = sum(len(one.triangles) for one in drawn)
        assert made < 0.6 * sum(len(one.triangles) * len(one.places_mm) for one in drawn)


def test_plates_with_holes_are_divided_into_one_of_each() -> None:
    hole = cylinder(radius_mm=1, z0_mm=-1, z1_mm=4)
    plate = Box(0, 0, 0, 40, 40, 3) - union(*(hole.at(x, y) for x in (10, 30) for y in (10, 30)))
    shares = apart(plate, lambda one: enclosing(one, swell=1.003))
    assert shares is not None
    assert max(len(share.places_mm) for share in shares) == 4


def test_what_has_no_like_pieces_is_not_divided() -> None:
    assert apart(Box(0, 0, 0, 9, 9, 9) - cylinder(radius_mm=1, z0_mm=0, z1_mm=20).at(4, 4), enclosing) is None
    assert apart(Box(0, 0, 0, 9, 9, 9) & Box(1, 1, 1, 20, 3, 3), enclosing) is None


@settings(max_examples=25, deadline=None)
@given(
    places=st.lists(st.tuples(st.integers(0, 7), st.integers(0, 5)), min_size=2, max_size=9, unique=True),
    radius=st.floats(0.5, 6.0),
    groove=st.tuples(st.integers(-5, 60), st.integers(1, 12), st.integers(3, 9)),
    knobs=st.booleans(),
)
def test_any_pattern_of_cuts_is_the_sum_of_its_pieces(
    places: list[tuple[int, int]], radius: float, groove: tuple[int, int, int], knobs: bool
) -> None:
    tool = frustum(lower_mm=radius, upper_mm=radius * 0.7, z0_mm=-1, z1_mm=7.3)
    block: Node = Box(-10, -10, 0, 80, 60, 10)
    if knobs:
        block = union(block, *(cylinder(radius_mm=1.3, z0_mm=9, z1_mm=12).at(10.0 * x, 10.0 * y) for x, y in places))
    start, width, low = groove
    cuts = [tool.at(10.0 * x, 10.0 * y) for x, y in places]
    solid = block - Box(start + 0.123, -20, low, start + width + 0.123, 70, 11.0) - union(*cuts)
    whole, pieces = kernels()
    assert pieces.volume(solid) == pytest.approx(whole.volume(solid), rel=1e-10)
    assert area_mm2(pieces.surfaces(solid)) == pytest.approx(whole.area(solid), rel=1e-6)


def test_rods_on_one_axis_drawn_as_one_fill_what_they_fill_together() -> None:
    rods = [
        cylinder(radius_mm=3, z0_mm=0, z1_mm=2).at(7, 1),
        cylinder(radius_mm=1, z0_mm=-5, z1_mm=4).at(7, 1),
        cylinder(radius_mm=2, z0_mm=4, z1_mm=6).at(7, 1),
        cylinder(radius_mm=2, z0_mm=8, z1_mm=9).at(7, 1),
    ]
    drawn = stepped(rods)
    whole, _ = kernels()
    assert len(drawn) == 2
    assert whole.volume(union(*drawn)) == pytest.approx(whole.volume(union(*rods)), rel=1e-12)
    assert whole.volume(union(*drawn) - union(*rods)) == pytest.approx(0.0, abs=1e-12)


@every_sample
def test_the_box_read_off_a_description_holds_the_solid(style: str, part: str, cavities: int) -> None:
    design = STYLES[style].build(shape(part), replace(WISH, cavities=cavities), None)
    whole, pieces = kernels()
    for piece in design.pieces:
        for place in piece.places_mm[:2]:
            node = piece.solid.at(*place[:3], turn_deg=place[3])
            low, high = pieces.enclosing(node)
            true_low, true_high = whole.bounds(node)
            assert np.all(true_low >= np.array(low) - 1e-9)
            assert np.all(true_high <= np.array(high) + 1e-9)


def test_memory_to_draw_is_bounded_by_triangles_and_the_least_used_goes_first() -> None:
    small = Surfaces(Evaluator(MeshKernel()), memory=24)
    first, second, third = (Box(0, 0, 0, 1, 1, height) for height in (1, 2, 3))
    wanted = [{one.key for one in small.surfaces(node)} for node in (first, second, first, third)]
    assert set(small.kept) == wanted[0] | wanted[3]
    assert not set(small.kept) & wanted[1]
