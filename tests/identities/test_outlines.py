"""What must hold for the outline of any round part: tangents meet, cuts lose nothing, turning over changes nothing."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from family_parts import ANY_PART, RANDOM, drawn, example
from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.kernels.analytic import revolved_area_mm2, revolved_volume_mm3
from pourwright.engines.geometry.profiles.outline_crossings import self_crossing
from pourwright.engines.geometry.profiles.outline_cuts import above, below, split_at
from pourwright.engines.geometry.profiles.outline_math import curves, enclosed_area_mm2
from pourwright.engines.geometry.profiles.outlines import (
    bore_radius_mm,
    bounds_mm,
    end_faces,
    largest_section_heights_mm,
    narrowest_bore_mm,
    outer_radius_mm,
    scaled_outline,
    sharp_outer_heights_mm,
    shifted,
    turned_over,
    walked_back,
)
from pourwright.engines.geometry.tree import Arc, Bow, Outline, polygon

SHARE = st.floats(0.0, 1.0)


def build(name: str, values: dict[str, float]) -> PartShape:
    try:
        return drawn(name, **values)
    except CannotBuild:
        reject()


def directions(outline: Outline) -> list[tuple[np.ndarray, np.ndarray]]:
    """The unit directions before and after the begin of each edge."""
    ends = [curve.slopes(np.array([0.0, 1.0])) for curve in curves(outline)]
    unit = [rows / np.linalg.norm(rows, axis=1, keepdims=True) for rows in ends]
    return [(unit[n - 1][1], unit[n][0]) for n in range(len(unit))]


def sampled(outline: Outline, count: int = 3001) -> np.ndarray:
    return np.vstack([curve.points(np.linspace(0, 1, count)) for curve in curves(outline)])


# ---------------------------------------------------------------- rounded edges


@settings(deadline=None, max_examples=150)
@given(ANY_PART)
def test_every_arc_of_a_rounding_touches_both_of_its_neighbours_without_a_kink(part):
    outline = build(*part).outline
    arcs = [isinstance(edge, Arc) for edge in outline.edges]
    ends = directions(outline)
    for n, (before, after) in enumerate(ends):
        # Where a dome ends at a hole, or a dome meets a side that is left sharp, the corner is meant.
        if (arcs[n] or arcs[n - 1]) and part[0] != "bumper":
            assert before[0] * after[1] - before[1] * after[0] == pytest.approx(0.0, abs=2e-9)
            assert before @ after > 0


@settings(deadline=None, max_examples=60)
@given(RANDOM["bumper"])
def test_a_rounded_bumper_has_no_kink_between_its_lower_face_and_its_dome(values):
    if values["edge_radius"] < 1e-3:
        reject()
    outline = build("bumper", values).outline
    last_arc = max(n for n, edge in enumerate(outline.edges) if isinstance(edge, Arc))
    for before, after in directions(outline)[1 : last_arc + 1]:
        assert before[0] * after[1] - before[1] * after[0] == pytest.approx(0.0, abs=1e-8)


@settings(deadline=None, max_examples=100)
@given(st.sampled_from([("barrel bushing", "belly_diameter"), ("waisted bushing", "waist_diameter")]), st.data())
def test_every_point_of_a_bowed_side_lies_on_the_parabola_of_its_dimensions(kind, data):
    name, middle = kind
    values = data.draw(RANDOM[name])
    outline = build(name, values).outline
    ends, height = values["outer_diameter"] / 2, values["height"]
    sides = [curve for curve in curves(outline) if curve.control_mm is not None]
    for side in sides:
        r, z = side.points(np.linspace(0, 1, 41)).T
        wanted = ends + (values[middle] / 2 - ends) * (1 - (2 * z / height - 1) ** 2)
        assert np.abs(r - wanted).max() <= 1e-12 * max(ends, height)
    assert len(sides) == (values[middle] != values["outer_diameter"])


@settings(deadline=None, max_examples=100)
@given(ANY_PART)
def test_every_edge_arc_has_the_radius_that_was_asked_for_and_stays_inside_the_sharp_part(part):
    name, values = part
    outline = build(name, values).outline
    for curve in curves(outline):
        if curve.radius_mm > 0 and not (name == "bumper" and curve.centre_mm[0] == 0):
            assert curve.radius_mm == pytest.approx(values["edge_radius"], rel=1e-9, abs=1e-9)
    sharp = build(name, {**values, "edge_radius": 0.0}).outline
    removed = revolved_volume_mm3(sharp) - revolved_volume_mm3(outline)
    assert removed >= -1e-12 * revolved_volume_mm3(sharp)
    assert bounds_mm(outline)[2] <= bounds_mm(sharp)[2] + 1e-9


@settings(deadline=None, max_examples=100)
@given(ANY_PART)
def test_the_outline_of_a_family_is_simple_and_anticlockwise_and_stands_on_zero(part):
    outline = build(*part).outline
    assert self_crossing(outline) is None
    assert enclosed_area_mm2(outline) > 0
    assert bounds_mm(outline)[1] == 0.0


# ---------------------------------------------------------------- cuts


@settings(deadline=None, max_examples=150)
@given(ANY_PART, SHARE)
def test_what_lies_below_and_above_a_cut_adds_up_to_the_whole(part, share):
    outline = build(*part).outline
    _, low, _, high = bounds_mm(outline)
    z_mm = low + share * (high - low)
    pieces = split_at(outline, z_mm)
    volume = sum(revolved_volume_mm3(piece) for side in pieces for piece in side)
    assert volume == pytest.approx(revolved_volume_mm3(outline), rel=1e-11)
    assert all(bounds_mm(piece)[3] <= z_mm + 1.1e-6 for piece in pieces[0])
    assert all(bounds_mm(piece)[1] >= z_mm - 1.1e-6 for piece in pieces[1])
    # The two cut faces are one face seen from both sides.
    both = sum(revolved_area_mm2(piece) for side in pieces for piece in side)
    face = sum(
        math.pi * (edge.a_mm**2 - begin[0] ** 2)
        for p in pieces[1]
        for begin, edge in p.pieces()
        if begin[1] == edge.b_mm == z_mm
    )
    if 1e-3 < share < 0.999:
        assert both - revolved_area_mm2(outline) == pytest.approx(2 * abs(face), rel=1e-6, abs=1e-6)


@settings(deadline=None, max_examples=100)
@given(ANY_PART, SHARE)
def test_a_cut_face_reaches_from_the_bore_to_the_outside(part, share):
    outline = build(*part).outline
    height = bounds_mm(outline)[3]
    z_mm = height * (0.05 + 0.9 * share)
    lower, upper = below(outline, z_mm), above(outline, z_mm)
    at = (bore_radius_mm(outline, z_mm), outer_radius_mm(outline, z_mm))
    for face in (end_faces(lower)[1], end_faces(upper)[0]):
        assert face.flat
        assert face.height_mm == z_mm
    wider = max(end_faces(lower)[1].rim_mm, end_faces(upper)[0].rim_mm)
    narrower = min(end_faces(lower)[1].inner_mm, end_faces(upper)[0].inner_mm)
    assert (narrower, wider) == pytest.approx(at, abs=1e-8)


def test_a_cut_at_an_end_face_leaves_the_whole_on_one_side_and_nothing_on_the_other():
    outline = example("barrel bushing").outline
    assert split_at(outline, 0.0) == ((), (outline,))
    assert split_at(outline, 26.0) == ((outline,), ())


def test_a_cut_through_the_arms_of_a_u_gives_one_base_and_two_rings():
    outline = polygon([(1, 0), (9, 0), (9, 10), (7, 10), (7, 3), (3, 3), (3, 10), (1, 10)])
    lower, upper = split_at(outline, 5.0)
    assert [bounds_mm(piece) for piece in upper] == [(1, 5, 3, 10), (7, 5, 9, 10)]
    assert [bounds_mm(piece) for piece in lower] == [(1, 0, 9, 5)]
    with pytest.raises(CannotBuild, match="2 separate pieces lie above 5 mm"):
        above(outline, 5.0)


def test_a_cut_along_the_floor_of_a_groove_parts_the_arms_from_a_whole_base():
    outline = polygon([(1, 0), (9, 0), (9, 10), (7, 10), (7, 3), (3, 3), (3, 10), (1, 10)])
    lower, upper = split_at(outline, 3.0)
    assert [bounds_mm(piece) for piece in lower] == [(1, 0, 9, 3)]
    assert [bounds_mm(piece) for piece in upper] == [(1, 3, 3, 10), (7, 3, 9, 10)]


def test_a_cut_along_the_ledge_of_a_step_takes_the_shoulder_off():
    outline = example("stepped bushing", edge_radius=0.0).outline
    lower, upper = below(outline, 14.0), above(outline, 14.0)
    assert bounds_mm(lower) == (5.0, 0.0, 17.0, 14.0)
    assert bounds_mm(upper) == (5.0, 14.0, 10.0, 22.0)


def test_pieces_of_a_bow_and_of_an_arc_keep_their_curves():
    lower = below(example("barrel bushing").outline, 10.0)
    assert {type(edge).__name__ for edge in lower.edges} == {"Line", "Arc", "Bow"}
    bow = next(edge for edge in lower.edges if isinstance(edge, Bow))
    assert bow.b_mm == 10.0
    assert bow.a_mm == pytest.approx(14 + 3 * (1 - (20 / 26 - 1) ** 2), rel=1e-14)


# ---------------------------------------------------------------- moved, scaled, turned over


@settings(deadline=None, max_examples=60)
@given(ANY_PART, st.floats(0.9, 1.1), st.floats(-50, 50))
def test_scaling_and_moving_an_outline_do_to_its_volume_and_bounds_what_they_should(part, factor, up):
    outline = build(*part).outline
    volume, bounds = revolved_volume_mm3(outline), np.array(bounds_mm(outline))
    assert revolved_volume_mm3(scaled_outline(outline, factor)) == pytest.approx(factor**3 * volume, rel=1e-12)
    assert bounds_mm(scaled_outline(outline, factor)) == pytest.approx(tuple(factor * bounds), rel=1e-12)
    assert revolved_volume_mm3(shifted(outline, up)) == pytest.approx(volume, rel=1e-10)
    assert bounds_mm(shifted(outline, up)) == pytest.approx(tuple(bounds + np.array([0, up, 0, up])), abs=1e-10)


@settings(deadline=None, max_examples=60)
@given(ANY_PART)
def test_turning_over_keeps_volume_and_sense_and_twice_is_nothing(part):
    outline = build(*part).outline
    over = turned_over(outline)
    assert revolved_volume_mm3(over) == pytest.approx(revolved_volume_mm3(outline), rel=1e-13)
    assert turned_over(over) == outline
    assert walked_back(walked_back(outline)) == outline
    assert enclosed_area_mm2(walked_back(outline)) == pytest.approx(-enclosed_area_mm2(outline), rel=1e-12)


@settings(deadline=None, max_examples=60)
@given(ANY_PART)
def test_turning_a_part_over_exchanges_its_end_faces(part):
    outline = build(*part).outline
    height = bounds_mm(outline)[3]
    lower, upper = end_faces(outline)
    over = end_faces(turned_over(outline, about_mm=height / 2))
    for face, other in ((lower, over[1]), (upper, over[0])):
        assert face.rim_mm == other.rim_mm
        assert face.flat == other.flat
        assert face.covers == pytest.approx(other.covers, rel=1e-12)
        assert face.edge_radius_mm == pytest.approx(other.edge_radius_mm, rel=1e-9)
        assert face.tangent_mm == pytest.approx(height - other.tangent_mm, abs=1e-9)
        assert face.widest_mm == pytest.approx(height - other.widest_mm, abs=1e-9)


# ---------------------------------------------------------------- widths, edges, faces


@settings(deadline=None, max_examples=100)
@given(ANY_PART, st.floats(0.001, 0.999))
def test_outside_and_bore_at_a_height_are_those_of_a_fine_polygon_through_the_outline(part, share):
    outline = build(*part).outline
    z_mm = share * bounds_mm(outline)[3]
    points = sampled(outline)
    ahead = np.roll(points, -1, axis=0)
    crosses = (points[:, 1] - z_mm) * (ahead[:, 1] - z_mm) <= 0
    radii = np.concatenate([points[crosses][:, 0], ahead[crosses][:, 0]])
    step = np.abs(points - ahead).max()
    assert outer_radius_mm(outline, z_mm) == pytest.approx(radii.max(), abs=step)
    assert bore_radius_mm(outline, z_mm) == pytest.approx(radii.min(), abs=step)


def test_nothing_can_be_asked_beside_the_part():
    with pytest.raises(CannotBuild, match="nothing at the height 27 mm"):
        outer_radius_mm(example("barrel bushing").outline, 27.0)


@settings(deadline=None, max_examples=100)
@given(ANY_PART)
def test_the_largest_sections_are_where_the_outside_reaches_the_radius_of_the_part(part):
    shape = build(*part)
    points = sampled(shape.outline)
    stretches = largest_section_heights_mm(shape.outline)
    assert stretches
    for low, high in stretches:
        for z_mm in (low, (low + high) / 2, high):
            assert outer_radius_mm(shape.outline, z_mm) == pytest.approx(shape.radius_mm, abs=1e-8)
    widest = points[points[:, 0] >= shape.radius_mm - 1e-10]
    assert all(any(low - 0.05 <= z <= high + 0.05 for low, high in stretches) for z in widest[:, 1])


EDGED = ("straight bushing", "taper bushing", "barrel bushing", "waisted bushing", "stepped bushing", "ring", "roller")


@pytest.mark.parametrize("name", EDGED)
def test_both_end_faces_are_flat_and_know_their_edge_radius_and_where_it_ends(name):
    shape = example(name, edge_radius=1.0)
    lower, upper = end_faces(shape.outline)
    assert (lower.edge_radius_mm, upper.edge_radius_mm) == pytest.approx((1.0, 1.0), rel=1e-12)
    assert lower.flat
    assert upper.flat
    assert 0 < lower.widest_mm <= 1.0 + 1e-12
    assert lower.tangent_mm >= lower.widest_mm
    # At the tangent height the arc hands over to the side: nothing is sharp there.
    assert not {round(z, 9) for z in sharp_outer_heights_mm(shape.outline)} & {0.0, shape.size_mm[2]}
    assert lower.rim_mm < outer_radius_mm(shape.outline, lower.tangent_mm)


@pytest.mark.parametrize("name", EDGED)
def test_without_an_edge_radius_both_end_faces_end_in_sharp_edges(name):
    shape = example(name, edge_radius=0.0)
    lower, upper = end_faces(shape.outline)
    assert (lower.edge_radius_mm, upper.edge_radius_mm) == (0.0, 0.0)
    assert (lower.tangent_mm, upper.tangent_mm) == (0.0, shape.size_mm[2])
    assert {0.0, shape.size_mm[2]} <= set(sharp_outer_heights_mm(shape.outline))
    assert lower.rim_mm == outer_radius_mm(shape.outline, 0.0)


def test_a_leaning_side_puts_the_tangent_height_where_trigonometry_says():
    # A side that leans by a to the upright turns the lower edge's arc by 90 degrees plus a.
    shape = example("taper bushing", edge_radius=2.0)
    lean = math.atan2(15 - 11, 24)
    lower, upper = end_faces(shape.outline)
    assert lower.tangent_mm == pytest.approx(2.0 * (1 + math.sin(lean)), rel=1e-13)
    assert upper.tangent_mm == pytest.approx(24 - 2.0 * (1 - math.sin(lean)), rel=1e-13)
    assert lower.widest_mm == 2.0
    assert upper.widest_mm == upper.tangent_mm


def test_a_face_covers_the_share_of_the_shadow_that_its_areas_say():
    lower, upper = end_faces(example("stepped bushing", edge_radius=0.0).outline)
    assert lower.covers == 1.0
    assert upper.covers == pytest.approx((10**2 - 5**2) / (17**2 - 5**2), rel=1e-15)


def test_a_dome_is_no_flat_face_and_its_rounding_is_the_dome_itself():
    shape = drawn("bumper", outer_diameter=30.0, height=20.0, dome_height=15.0)
    upper = end_faces(shape.outline)[1]
    assert not upper.flat
    assert upper.covers == 0.0
    assert (upper.edge_radius_mm, upper.tangent_mm) == pytest.approx((15.0, 5.0), rel=1e-12)


def test_a_round_cord_has_no_flat_face_and_is_rounded_by_its_own_radius():
    lower, upper = end_faces(drawn("ring", outer_diameter=48, inner_diameter=36, height=6, edge_radius=3).outline)
    assert not lower.flat
    assert not upper.flat
    assert (lower.edge_radius_mm, lower.tangent_mm, upper.tangent_mm) == (3.0, 3.0, 3.0)


@pytest.mark.parametrize(
    ("name", "bore"), [("straight bushing", 5.0), ("bumper", 2.5), ("wheel", 18.0), ("ring", 18.0)]
)
def test_the_narrowest_place_of_a_bore_counts(name, bore):
    assert narrowest_bore_mm(example(name).outline) == bore


def test_a_recess_that_does_not_go_through_is_no_bore():
    assert example("bumper", bore=0.0).bore_mm == 0.0


# ---------------------------------------------------------------- crossings


@settings(deadline=None, max_examples=100)
@given(st.integers(4, 12), st.randoms(use_true_random=False))
def test_a_convex_outline_is_simple_and_exchanging_two_neighbouring_corners_makes_it_cross(count, random):
    angles = [2 * math.pi * (n + 0.4 * random.random()) / count for n in range(count)]
    corners = [(20 + 9 * math.cos(angle), 9 * math.sin(angle)) for angle in angles]
    assert self_crossing(polygon(corners)) is None
    at = random.randrange(count - 1)
    corners[at], corners[at + 1] = corners[at + 1], corners[at]
    first, second, (r, z) = self_crossing(polygon(corners))
    edges = [curve for n, curve in enumerate(curves(polygon(corners))) if n in (first, second)]
    for edge in edges:
        (p, q), (u, v) = edge.begin_mm, edge.end_mm
        assert (u - p) * (z - q) - (v - q) * (r - p) == pytest.approx(0.0, abs=1e-9)


def test_every_family_has_an_example_that_the_tests_above_can_draw():
    assert {name for name, family in FAMILIES.items() if family.dimensions} >= set(RANDOM) | {"roller"}
