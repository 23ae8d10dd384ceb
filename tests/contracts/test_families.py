"""What every part family promises: it builds over its ranges, and refuses by name what cannot be built."""

from __future__ import annotations

import re

import pytest

from family_parts import SIZED, assert_sound, drawn, example, part_mm, profile_part, typed, with_defaults
from pourwright.basics.errors import CannotBuild, InputErrors, UnknownName
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.profiles.outlines import bounds_mm

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
        if dimension.default is not None and not dimension.low.startswith("-"):
            with pytest.raises(CannotBuild) as caught:
                shape_of(part_mm(name, **{**typed(family.dimensions, family.example), dimension.key: -0.1}))
            value = "-0.0001 kg" if dimension.kind == "mass" else "-0.1 mm"
            assert (caught.value.field, caught.value.value) == (f"part.{dimension.key}", value)
