"""Every part family refuses by name and value, with advice, what no solid can be made of."""

from __future__ import annotations

import re

import pytest

from family_parts import SIZED, assert_sound, example, profile_part, typed
from pourwright.basics.errors import CannotBuild, InputErrors
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.domain.part import Part
from pourwright.engines.geometry.kernels.analytic import revolved_volume_mm3

# ---------------------------------------------------------------- dimensions that exclude each other

IMPOSSIBLE = [
    ("straight bushing", {"bore": 28}, "bore", "28 mm"),
    ("straight bushing", {"bore": 30}, "bore", "30 mm"),
    ("straight bushing", {"edge_radius": 9.001}, "edge_radius", "9.001 mm"),
    ("straight bushing", {"height": 3, "edge_radius": 1.6}, "edge_radius", "1.6 mm"),
    ("taper bushing", {"bore": 22}, "bore", "22 mm"),
    ("taper bushing", {"edge_radius": 11}, "edge_radius", "11 mm"),
    ("barrel bushing", {"belly_diameter": 27}, "belly_diameter", "27 mm"),
    ("barrel bushing", {"bore": 28.5}, "bore", "28.5 mm"),
    ("barrel bushing", {"edge_radius": 12}, "edge_radius", "12 mm"),
    ("waisted bushing", {"waist_diameter": 33}, "waist_diameter", "33 mm"),
    ("waisted bushing", {"bore": 24}, "bore", "24 mm"),
    ("waisted bushing", {"edge_radius": 9}, "edge_radius", "9 mm"),
    ("stepped bushing", {"shoulder_diameter": 34}, "shoulder_diameter", "34 mm"),
    ("stepped bushing", {"shoulder_height": 22}, "shoulder_height", "22 mm"),
    ("stepped bushing", {"bore": 20}, "bore", "20 mm"),
    ("stepped bushing", {"edge_radius": 5.5}, "edge_radius", "5.5 mm"),
    ("ring", {"inner_diameter": 48}, "inner_diameter", "48 mm"),
    ("ring", {"edge_radius": 3.1}, "edge_radius", "3.1 mm"),
    ("bumper", {"bore": 30}, "bore", "30 mm"),
    ("bumper", {"recess_depth": 0}, "recess_depth", "0 mm"),
    ("bumper", {"recess_diameter": 0}, "recess_diameter", "0 mm"),
    ("bumper", {"recess_diameter": 5}, "recess_diameter", "5 mm"),
    ("bumper", {"recess_diameter": 30}, "recess_diameter", "30 mm"),
    ("bumper", {"recess_depth": 16}, "recess_depth", "16 mm"),
    ("bumper", {"dome_height": 16}, "dome_height", "16 mm"),
    ("bumper", {"height": 30, "dome_height": 14.5}, "dome_height", "14.5 mm"),
    ("bumper", {"dome_height": 0.001}, "dome_height", "0.001 mm"),
    ("bumper", {"edge_radius": 12}, "edge_radius", "12 mm"),
    ("roller", {"core_diameter": 36}, "core_diameter", "36 mm"),
    ("roller", {"core_bore": 20}, "core_bore", "20 mm"),
    ("roller", {"edge_radius": 8.5}, "edge_radius", "8.5 mm"),
    ("wheel", {"core_diameter": 56}, "core_diameter", "56 mm"),
    ("wheel", {"core_bore": 40}, "core_bore", "40 mm"),
    ("wheel", {"shoulder_drop": 0}, "shoulder_drop", "0 mm"),
    ("wheel", {"shoulder_width": 0}, "shoulder_width", "0 mm"),
    ("wheel", {"shoulder_width": 12}, "shoulder_width", "12 mm"),
    ("wheel", {"groove_depth": 0}, "groove_depth", "0 mm"),
    ("wheel", {"groove_width": 0}, "groove_width", "0 mm"),
    ("wheel", {"groove_width": 4}, "groove_width", "4 mm"),
    ("wheel", {"groove_width": 24}, "groove_width", "24 mm"),
    ("wheel", {"core_bore": 36}, "groove_depth", "2 mm"),
    ("wheel", {"edge_radius": 20}, "edge_radius", "20 mm"),
]


@pytest.mark.parametrize(("name", "change", "key", "value"), IMPOSSIBLE)
def test_an_impossible_part_is_refused_by_field_and_value_with_advice(name, change, key, value):
    with pytest.raises(CannotBuild) as caught:
        example(name, **change)
    assert (caught.value.field, caught.value.value) == (f"part.{key}", value)
    assert value in caught.value.message
    assert caught.value.advice


TIGHT = [
    *((name, {}) for name in SIZED),
    ("straight bushing", {"height": 3}),
    ("taper bushing", {"upper_diameter": 12}),
    ("taper bushing", {"height": 4}),
    ("barrel bushing", {"belly_diameter": 50}),
    ("barrel bushing", {"height": 4}),
    ("waisted bushing", {"bore": 0}),
    ("bumper", {"height": 8}),
    ("bumper", {"dome_height": 9}),
    ("roller", {"crown": 3}),
    ("wheel", {"shoulder_drop": 5}),
]


@pytest.mark.parametrize(("name", "change"), TIGHT)
def test_the_largest_edge_radius_that_the_error_names_does_fit_and_a_little_more_does_not(name, change):
    with pytest.raises(CannotBuild) as caught:
        example(name, edge_radius=49.0, **change)
    largest = float(re.search(r"the largest here is ([0-9.]+) mm", caught.value.message).group(1))
    assert largest > 0
    assert_sound(example(name, edge_radius=largest, **change))
    with pytest.raises(CannotBuild):
        example(name, edge_radius=largest + 0.0021, **change)


@pytest.mark.parametrize("name", SIZED)
def test_a_family_of_dimensions_takes_neither_an_outline_nor_a_file(name):
    family = FAMILIES[name]
    sizes = {k: v / 1e3 for k, v in typed(family.dimensions, family.example).items()}
    with pytest.raises(CannotBuild, match="takes no outline"):
        shape_of(Part(family=name, dimensions=sizes, outline=({"r": 0.0, "z": 0.0},)))
    with pytest.raises(CannotBuild, match="takes no file"):
        shape_of(Part(family=name, dimensions=sizes, file="clip.step"))


# ---------------------------------------------------------------- free outlines

SQUARE = [(2, 0), (9, 0), (9, 6), (2, 6)]
BAD_OUTLINES = {
    "encloses nothing": [(2, 0), (9, 0)],
    "the outline encloses nothing": [(2, 0), (9, 0), (5, 0)],
    "two corners in a row": [(2, 0), (9, 0), (9, 0), (9, 6)],
    "beyond the axis": [(-2, 0), (9, 0), (9, 6), (-2, 6)],
    "crosses or touches itself at r = 5.5 mm, z = 3 mm": [(2, 0), (9, 6), (9, 0), (2, 6), (1, 3)],
    "crosses or touches itself": [(2, 0), (9, 0), (9, 6), (5, 0), (2, 6)],
    "reaches 0.5 mm beyond the axis": [(1, 0), (9, 0), (9, 9), (1, 9, 0, 1.5)],
    "in two places": [(0, 0), (9, 0), (9, 9), (0, 9), (0, 6), (4, 6), (4, 3), (0, 3)],
    "touches the axis in a single point": [(0, 3), (9, 0), (9, 6)],
    "does not fit into the corner at r = 9 mm, z = 6 mm": [(2, 0), (9, 0), (9, 6, 6.5), (2, 6)],
    "two arcs at the ends of one side overlap": [(2, 0), (9, 0, 4), (9, 6, 4), (2, 6)],
    "has an arc beside a side with a bulge": [(2, 0), (9, 0, 1, 1), (9, 6), (2, 6)],
    "is flat": [(2, 0), (9, 0, 0, 0.001), (9, 6), (2, 6)],
    "a bulge of 4 mm on a side 6 mm long": [(2, 0), (9, 0, 0, 4), (9, 6), (2, 6)],
}


@pytest.mark.parametrize("reason", sorted(BAD_OUTLINES))
def test_an_outline_that_is_no_section_of_a_solid_is_refused_with_the_reason(reason):
    with pytest.raises((CannotBuild, InputErrors), match=re.escape(reason)) as caught:
        shape_of(profile_part(*BAD_OUTLINES[reason]))
    assert caught.value.field.startswith("part.outline")
    assert caught.value.advice


def test_a_hollow_bulge_that_cuts_the_opposite_side_is_refused():
    with pytest.raises(CannotBuild, match="crosses or touches itself"):
        shape_of(profile_part((7, 0), (9, 0, 0, -3), (9, 20), (7, 20)))


def test_a_side_walked_back_over_itself_is_refused():
    with pytest.raises(CannotBuild, match="crosses or touches itself"):
        shape_of(profile_part((2, 0), (9, 0), (9, 6), (12, 6), (8, 6), (2, 6)))


def test_a_corner_with_an_unknown_key_is_named_by_its_number():
    with pytest.raises(CannotBuild, match="corner 2 of the outline has no radius") as caught:
        shape_of(profile_part((2, 0), {"r": 9, "z": 0, "radius": 1}, (9, 6)))
    assert caught.value.field == "part.outline.1.radius"


def test_a_corner_without_a_height_is_named_by_its_number():
    with pytest.raises(CannotBuild, match="corner 3 of the outline needs z") as caught:
        shape_of(profile_part((2, 0), (9, 0), {"r": 9}))
    assert caught.value.field == "part.outline.2.z"


def test_an_outline_may_be_written_either_way_round_and_closed_twice():
    bulged = [(2, 0), (9, 0, 0, 1), (9, 6), (2, 6, 0, -0.5)]
    backwards = [(2, 6), (9, 6, 0, 1), (9, 0), (2, 0, 0, -0.5)]
    volumes = [
        revolved_volume_mm3(shape_of(profile_part(*corners)).outline)
        for corners in (bulged, backwards, [*bulged, bulged[0]], [*bulged[2:], *bulged[:2]])
    ]
    assert volumes == pytest.approx([volumes[0]] * 4, rel=1e-13)


def test_an_outline_is_moved_to_stand_on_height_zero():
    shape = shape_of(profile_part(*((r, z - 40) for r, z in SQUARE)))
    assert shape.node == shape_of(profile_part(*SQUARE)).node


@pytest.mark.parametrize(("arc", "sharp"), [(0.0, True), (1.0, False)])
def test_a_profile_is_cautioned_exactly_when_the_edges_of_its_end_faces_are_sharp(arc, sharp):
    shape = shape_of(profile_part((2, 0), (9, 0, arc), (9, 6, arc), (2, 6)))
    assert any("sharp" in words for words in shape.cautions) == sharp
