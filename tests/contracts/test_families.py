"""What every part family promises: it builds over its ranges, and refuses by name what cannot be built."""

from __future__ import annotations

import re

import numpy as np
import pytest

from family_parts import SIZED, drawn, example, part_mm, profile_part, typed, with_defaults
from pourwright.basics.errors import CannotBuild, InputErrors, UnknownName
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.kernels.analytic import revolved_volume_mm3
from pourwright.engines.geometry.outline_crossings import self_crossing
from pourwright.engines.geometry.outline_math import curves
from pourwright.engines.geometry.outlines import bounds_mm
from pourwright.engines.geometry.tree import Imported, Revolve

KEYS = {
    "straight bushing": ("outer_diameter", "height", "bore", "edge_radius"),
    "taper bushing": ("lower_diameter", "upper_diameter", "height", "bore", "edge_radius"),
    "barrel bushing": ("outer_diameter", "belly_diameter", "height", "bore", "edge_radius"),
    "waisted bushing": ("outer_diameter", "waist_diameter", "height", "bore", "edge_radius"),
    "stepped bushing": ("outer_diameter", "shoulder_diameter", "shoulder_height", "height", "bore", "edge_radius"),
}
OTHERS = {"bumper", "ring", "roller", "wheel", "profile", "file"}


def example_profile() -> PartShape:
    family = FAMILIES["profile"]
    return shape_of(profile_part(*(typed(family.corner, corner) for corner in family.example_outline)))


def assert_sound(shape: PartShape) -> None:
    outline = shape.outline
    assert shape.node == Revolve(outline)
    assert self_crossing(outline) is None
    assert revolved_volume_mm3(outline) > 0
    points = np.vstack([curve.points(np.linspace(0, 1, 4001)) for curve in curves(outline)])
    low, high = points.min(axis=0), points.max(axis=0)
    width = 2 * high[0]
    assert low[0] >= 0
    assert low[1] == 0
    assert shape.size_mm == pytest.approx((width, width, high[1]), rel=1e-6)
    assert shape.radius_mm == pytest.approx(high[0], rel=1e-6)
    assert shape.bore_mm == pytest.approx(low[0], abs=1e-9)


# ---------------------------------------------------------------- the shelf


def test_the_shelf_holds_the_eleven_families_and_each_bears_its_own_name():
    assert set(FAMILIES) == set(KEYS) | OTHERS
    assert all(family.name == name for name, family in FAMILIES.items())


def test_the_bushings_have_exactly_the_keys_that_files_rely_on():
    assert {name: tuple(d.key for d in FAMILIES[name].dimensions) for name in KEYS} == KEYS


@pytest.mark.parametrize("name", sorted(FAMILIES))
def test_every_dimension_is_explained_and_its_default_lies_within_its_range(name):
    family = FAMILIES[name]
    assert family.words.endswith(".")
    for dimension in (*family.dimensions, *family.corner):
        assert len(dimension.words.split()) >= 3
        assert dimension.typed(dimension.low) < dimension.typed(dimension.high)
        if dimension.default is not None:
            default = dimension.typed(dimension.default)
            assert dimension.typed(dimension.low) <= default <= dimension.typed(dimension.high)


@pytest.mark.parametrize("name", [name for name in sorted(FAMILIES) if name not in ("file",)])
def test_the_edge_radius_is_half_a_millimetre_unless_given(name):
    defaults = {d.key: d.default for d in FAMILIES[name].dimensions}
    assert defaults.get("edge_radius", "0.5 mm") == "0.5 mm"
    assert ("edge_radius" in defaults) == (name != "profile")


def test_an_unknown_family_is_refused_with_the_nearest_one():
    with pytest.raises(UnknownName) as caught:
        shape_of(Part(family="barel bushing"))
    assert caught.value.advice == "did you mean 'barrel bushing'?"


# ---------------------------------------------------------------- it builds


@pytest.mark.parametrize("name", SIZED)
def test_the_example_of_a_family_builds_one_closed_outline_of_the_right_size(name):
    assert_sound(example(name))


@pytest.mark.parametrize("corner", ["low", "high"])
@pytest.mark.parametrize("name", SIZED)
def test_a_family_builds_at_the_corner_of_all_its_ranges(name, corner):
    family = FAMILIES[name]
    assert_sound(family.build({d.key: d.typed(getattr(d, corner)) for d in family.dimensions}))


@pytest.mark.parametrize("name", SIZED)
def test_each_optional_dimension_alone_at_its_low_end_builds(name):
    family = FAMILIES[name]
    pairs = {"shoulder_drop", "shoulder_width", "groove_width", "groove_depth", "recess_diameter", "recess_depth"}
    for dimension in family.dimensions:
        if dimension.default is not None and dimension.key not in pairs:
            assert_sound(example(name, **{dimension.key: dimension.typed(dimension.low)}))


def test_the_example_outline_of_a_profile_builds():
    assert_sound(example_profile())


@pytest.mark.parametrize("name", SIZED)
def test_a_part_in_si_gives_the_very_shape_of_its_millimetres(name):
    family = FAMILIES[name]
    given = typed(family.dimensions, family.example)
    assert shape_of(part_mm(name, **given)) == family.build(with_defaults(family, given))


@pytest.mark.parametrize("name", SIZED)
def test_sharp_edges_are_allowed_and_cautioned_and_rounded_ones_are_not_cautioned(name):
    assert any("sharp" in words for words in example(name, edge_radius=0.0).cautions)
    assert not any("sharp" in words for words in example(name).cautions)


def test_a_straight_bushing_without_a_bore_is_a_disc():
    disc = drawn("straight bushing", outer_diameter=30, height=8, bore=0, edge_radius=1)
    assert disc.bore_mm == 0
    assert bounds_mm(disc.outline)[0] == 0


@pytest.mark.parametrize("name", ["barrel bushing", "waisted bushing"])
def test_a_bow_of_nothing_is_the_straight_bushing(name):
    middle = {"barrel bushing": "belly_diameter", "waisted bushing": "waist_diameter"}[name]
    sizes = {"outer_diameter": 28.0, "height": 26.0, "bore": 10.0, "edge_radius": 1.5}
    assert drawn(name, **{middle: 28.0}, **sizes).node == drawn("straight bushing", **sizes).node


@pytest.mark.parametrize("name", ["roller", "wheel"])
def test_a_core_fills_the_hole_of_the_rubber_and_stands_out_by_its_overhang(name):
    shape = example(name, core_overhang=5.0)
    core = shape.core.outline
    low_r, low_z, _, high_z = bounds_mm(core)
    height = shape.size_mm[2]
    assert (low_z, high_z) == (-5.0, height + 5.0)
    assert low_r == 4.0
    # Seen from the rubber, the seat is walked downwards; seen from the core, upwards.
    tyre = {point for point, _ in shape.outline.pieces() if point[0] <= bounds_mm(core)[2] + 1e-9}
    outside = {point for point, _ in core.pieces() if 0 < point[1] < height and point[0] > low_r}
    assert outside <= tyre


def test_a_wheel_without_a_groove_is_told_that_only_the_bond_holds_its_tyre():
    plain = example("wheel", groove_width=0.0, groove_depth=0.0)
    assert any("nothing but the bond" in words for words in plain.cautions)
    assert not any("nothing but the bond" in words for words in example("wheel").cautions)


# ---------------------------------------------------------------- values that are not understood


def test_a_misspelt_key_is_named_with_the_nearest_one_and_nothing_else_is_complained_of():
    with pytest.raises(CannotBuild) as caught:
        shape_of(part_mm("straight bushing", outer_diameter=28, hieght=26))
    assert caught.value.field == "part.hieght"
    assert caught.value.advice == "did you mean height?"


def test_several_faults_are_told_together():
    with pytest.raises(InputErrors) as caught:
        shape_of(part_mm("straight bushing", outer_diameter=-28, colour=1))
    assert {fault.field for fault in caught.value.errors} == {"part.outer_diameter", "part.height", "part.colour"}


@pytest.mark.parametrize("name", SIZED)
def test_a_missing_dimension_is_asked_for_by_name_with_its_words_and_range(name):
    family = FAMILIES[name]
    for dimension in family.dimensions:
        if dimension.default is None:
            given = {k: v for k, v in typed(family.dimensions, family.example).items() if k != dimension.key}
            with pytest.raises(CannotBuild, match=re.escape(dimension.words)) as caught:
                shape_of(part_mm(name, **given))
            assert caught.value.field == f"part.{dimension.key}"
            assert dimension.low in caught.value.advice


@pytest.mark.parametrize("bad", [0.0, -1.0, 1e6, float("nan"), float("inf")])
@pytest.mark.parametrize("name", SIZED)
def test_a_required_size_that_is_zero_negative_enormous_or_no_number_is_refused_by_name(name, bad):
    family = FAMILIES[name]
    for dimension in family.dimensions:
        if dimension.default is None:
            with pytest.raises(CannotBuild) as caught:
                shape_of(part_mm(name, **{**typed(family.dimensions, family.example), dimension.key: bad}))
            assert caught.value.field == f"part.{dimension.key}"
            assert caught.value.value == dimension.shown(bad)


@pytest.mark.parametrize("name", SIZED)
def test_a_negative_optional_size_is_refused_by_name(name):
    family = FAMILIES[name]
    for dimension in family.dimensions:
        if dimension.default is not None:
            with pytest.raises(CannotBuild) as caught:
                shape_of(part_mm(name, **{**typed(family.dimensions, family.example), dimension.key: -0.1}))
            assert (caught.value.field, caught.value.value) == (f"part.{dimension.key}", "-0.1 mm")


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


# ---------------------------------------------------------------- solids from files


def block_with_hole(sides: int = 24, hole: float = 3.0, slot: bool = False) -> ImportedSolid:
    """A prism of height 10 between two polygons; with a slot, a C."""
    turn = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    circle = np.column_stack((np.cos(turn), np.sin(turn)))
    rings = [np.column_stack((r * circle, np.full(sides, z))) for r, z in ((8, 0), (8, 10), (hole, 10), (hole, 0))]
    faces = []
    for ring in range(4):
        for n in range(sides - (1 if slot else 0)):
            a, b = ring * sides + n, ring * sides + (n + 1) % sides
            c, d = (a + sides) % (4 * sides), (b + sides) % (4 * sides)
            faces += [(a, b, d), (a, d, c)]
    if slot:
        first, last = [np.array([k * sides + n for k in range(4)]) for n in (0, sides - 1)]
        faces += [tuple(first[[0, 1, 2]]), tuple(first[[0, 2, 3]]), tuple(last[[0, 2, 1]]), tuple(last[[0, 3, 2]])]
    return ImportedSolid(
        digest="d" * 64, vertices_mm=np.vstack(rings), triangles=np.array(faces), name="block", unit="mm"
    )


def imported(solid: ImportedSolid) -> PartShape:
    return shape_of(Part(family="file", file="block.stl", digest=solid.digest), {solid.digest: solid})


def test_a_part_from_a_file_is_the_imported_solid_with_its_size_and_its_bore():
    shape = imported(block_with_hole())
    assert shape.node == Imported("d" * 64)
    assert shape.outline is None
    assert shape.size_mm == (16, 16, 10)
    assert shape.radius_mm == pytest.approx(8, rel=1e-15)
    assert shape.bore_mm == pytest.approx(3 * np.cos(np.pi / 24), rel=1e-12)


def test_a_part_from_a_file_that_only_lies_round_the_axis_like_a_c_has_no_bore():
    assert imported(block_with_hole(slot=True)).bore_mm == 0


def test_only_a_step_file_promises_an_exact_solid_and_the_others_say_so():
    solid = block_with_hole()
    step = ImportedSolid(
        digest="e" * 64,
        vertices_mm=solid.vertices_mm,
        triangles=solid.triangles,
        name="b",
        unit="mm",
        step=b"ISO-10303-21;",
    )
    assert (imported(step).exact, imported(step).cautions) == (True, ())
    assert not imported(solid).exact
    assert any("no STEP" in words or "without STEP" in words for words in imported(solid).cautions)


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (Part(family="file"), "needs a file"),
        (Part(family="file", file="clip.step"), "clip.step has not been read"),
        (Part(family="file", file="clip.step", digest="0" * 64), "clip.step has not been read"),
        (Part(family="file", file="clip.step", outline=({"r": 0.0, "z": 0.0},)), "takes no outline"),
        (Part(family="file", file="clip.step", dimensions={"height": 0.01}), "a file has no height"),
        (Part(family="profile", file="clip.step"), "takes no file"),
    ],
)
def test_a_part_from_a_file_without_its_file_is_refused(part, words):
    with pytest.raises(CannotBuild, match=re.escape(words)):
        shape_of(part)
