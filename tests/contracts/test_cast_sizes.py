"""The forecast of the cast's sizes: every size of every family, links in order, closure, verdicts, corrections."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from pourwright.basics.errors import CannotBuild
from pourwright.basics.quantities import parse
from pourwright.catalogue.cast_sizes import is_cast_size
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials.own_sheet import load_material
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.style import STYLES, choose_style
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.estimate import Estimate
from pourwright.domain.material import Material
from pourwright.domain.part import Part, Project
from pourwright.domain.shop import Printer, Room, Shop
from pourwright.domain.size_forecast import Measured, PatternWish, SizeForecast, ToleranceWish
from pourwright.steps.forecast_sizes import forecast_sizes, size_facts, wanted_sizes
from pourwright.steps.planning.kit_wish import wish_of
from pourwright.steps.planning.pattern_part import pattern_part

RESIN, SILICONE = load_material("urethane 80A"), load_material("platinum silicone 30A")
BARREL = {"outer_diameter": 28e-3, "belly_diameter": 34e-3, "height": 26e-3, "bore": 10e-3}
FAMILY_NAMES = [name for name in FAMILIES if name != "file"]
EXACT = Printer(hole_offset=0.0, size_error=0.0)


def project_of(part: Part, **more) -> Project:
    return Project(name="part", title="Part", part=part, resin="urethane 80A", silicone="platinum silicone 30A", **more)


def example_part(name: str) -> Part:
    """The example of a family, as a person would type it."""
    family = FAMILIES[name]
    si = {"length": "length", "angle": "angle"}
    kinds = {one.key: one.kind for one in (*family.dimensions, *family.corner)}

    def typed(texts):
        return {key: parse(text, si[kinds[key]]) if kinds[key] in si else float(text) for key, text in texts.items()}

    return Part(
        family=name,
        dimensions=typed(family.example),
        outline=tuple(typed(corner) for corner in family.example_outline),
    )


def exact(material: Material) -> Material:
    """The material with one sure value for shrink and expansion."""
    facts = dict(material.facts)
    for name in ("shrink", "expansion"):
        best = facts[name].estimate.best
        facts[name] = replace(facts[name], estimate=Estimate(low=best, best=best, high=best))
    return replace(material, facts=facts)


@cache
def _design(part_key: str, style: str | None, scale: float) -> tuple[PartShape, MouldDesign]:
    project = _PROJECTS[part_key]
    shape = shape_of(pattern_part(project), {})
    wish = wish_of(project, Shop(), resin=RESIN, silicone=SILICONE)
    return shape, STYLES[choose_style(shape, wish, asked=style).style].build(shape, wish, None)


_PROJECTS: dict[str, Project] = {}


def forecast(
    project: Project, *, style: str | None = None, shop: Shop | None = None, resin=RESIN, silicone=SILICONE
) -> dict[str, SizeForecast]:
    key = repr((project.part, project.pattern))
    _PROJECTS[key] = project
    shape, design = _design(key, style, project.pattern.scale)
    found = forecast_sizes(project, shape, design, shop or Shop(), resin=resin, silicone=silicone)
    return {size.name: size for size in found}


def barrel(**more) -> Project:
    return project_of(Part(family="barrel bushing", dimensions=BARREL), **more)


@pytest.mark.parametrize("name", FAMILY_NAMES)
def test_every_length_that_is_rubber_has_a_forecast_around_what_is_wanted(name):
    project = project_of(example_part(name))
    found = forecast(project)
    shape = shape_of(project.part, {})
    assert list(found) == list(wanted_sizes(project, shape))
    keys = {one.key for one in FAMILIES[name].dimensions if one.kind == "length" and is_cast_size(one.key)}
    assert keys <= {*found, "bore", "crown", "recess_diameter", "recess_depth", "edge_radius", "dome_height",
                    "shoulder_drop", "shoulder_width"}  # fmt: skip
    for size in found.values():
        assert size.estimate.low <= size.estimate.best <= size.estimate.high
        assert abs(size.miss) < 0.4e-3
        assert sum(size.shares.values()) == pytest.approx(1.0)
        assert sum(size.shifts.values()) == pytest.approx(size.miss, abs=1e-12)


def test_with_nothing_wrong_every_size_across_the_pull_is_exactly_the_one_wanted():
    shop = Shop(printers=(EXACT,), room=Room(temperature=296.15))
    found = forecast(barrel(), shop=shop, resin=exact(RESIN), silicone=exact(SILICONE))
    for name in ("outer_diameter", "belly_diameter", "bore", "edge_radius"):
        size = found[name]
        assert size.miss == pytest.approx(0.0, abs=1e-12)
        assert set(size.shares) - {"temperature"} <= {name for name, share in size.shares.items() if share == 0.0}
        assert size.verdict == "go"
    assert abs(found["height"].shifts["closing"] - found["height"].miss) < 1e-7


def test_a_hole_prints_small_and_the_offset_that_is_offered_mends_it():
    offered = forecast(barrel())["bore"]
    assert offered.miss == pytest.approx(-0.2e-3, abs=0.01e-3)
    mended = forecast(barrel(pattern=PatternWish(offsets={"bore": offered.offset})))["bore"]
    assert mended.miss == pytest.approx(0.0, abs=1e-6)
    assert mended.offset == pytest.approx(offered.offset, abs=1e-6)


def test_a_coat_makes_outsides_larger_and_bores_smaller_by_both_faces():
    bare, coated = (forecast(barrel(pattern=PatternWish(coat=coat))) for coat in (0.0, 0.1e-3))
    for name, faces in (("outer_diameter", 2), ("belly_diameter", 2), ("bore", -2), ("height", 2), ("edge_radius", 1)):
        grown = coated[name].estimate.best - bare[name].estimate.best
        assert grown == pytest.approx(faces * 0.1e-3, rel=0.01), name
        assert coated[name].shares["coat"] > 0


def test_heights_run_across_the_parting_and_diameters_do_not():
    found = forecast(barrel())
    assert {name for name, size in found.items() if size.closure} == {"height"}
    assert found["height"].tolerance == pytest.approx(1.0e-3)
    assert found["outer_diameter"].tolerance == pytest.approx(0.6e-3)
    assert "closing" in found["height"].shares
    assert "closing" not in found["bore"].shares


def test_a_shoulder_that_one_half_shapes_alone_is_no_closure():
    dimensions = {"outer_diameter": 34e-3, "shoulder_diameter": 20e-3, "shoulder_height": 8e-3, "height": 22e-3,
                  "bore": 10e-3}  # fmt: skip
    part = Part(family="stepped bushing", dimensions=dimensions)
    for style in ("open with cover plate", "two-part lidded"):
        found = forecast(project_of(part), style=style)
        assert found["height"].closure
        assert not found["shoulder_height"].closure, style


def test_a_tolerance_of_ones_own_goes_before_the_class():
    wish = ToleranceWish(grade="M1", own={"bore": 0.05e-3})
    found = forecast(barrel(tolerance=wish))
    assert found["bore"].tolerance == 0.05e-3
    assert found["bore"].tolerance_from == "own"
    assert found["bore"].verdict == "no-go"
    assert found["outer_diameter"].tolerance == pytest.approx(0.2e-3)
    assert found["outer_diameter"].verdict == "not sure"
    assert found["outer_diameter"].driver == "printer"


def test_a_sheet_value_is_not_taken_for_a_small_part_without_doubt():
    facts = {**RESIN.facts}
    facts["shrink"] = replace(facts["shrink"], estimate=Estimate(low=1e-3, best=1e-3, high=1e-3, rests_on="data sheet"))
    found = forecast(barrel(), shop=Shop(printers=(EXACT,)), resin=replace(RESIN, facts=facts))
    assert found["belly_diameter"].driver == "resin shrink"
    assert found["belly_diameter"].estimate.rests_on == "data sheet"


def test_a_warm_mould_gives_a_larger_part():
    cold, warm = (forecast(barrel(pattern=PatternWish(mould_temperature=at))) for at in (None, 296.15 + 20))
    grown = warm["belly_diameter"].estimate.best / cold["belly_diameter"].estimate.best
    assert grown == pytest.approx((1 + 250e-6 * 20) * (1 - 185e-6 * 20), rel=1e-9)
    assert warm["belly_diameter"].shares["temperature"] > cold["belly_diameter"].shares["temperature"]


def test_what_calipers_found_takes_the_place_of_print_and_coat():
    target = forecast(barrel())["outer_diameter"].pattern
    readings = tuple(target + step for step in (-1e-5, 0.0, 1e-5))
    found = forecast(barrel(measured=(Measured(name="outer_diameter", readings=readings, resolution=1e-5,
                                               instrument=3e-5),), pattern=PatternWish(coat=5e-5)))  # fmt: skip
    size = found["outer_diameter"]
    assert size.miss == pytest.approx(0.0, abs=1e-9)
    assert not {"printer", "coat", "printed holes"} & set(size.shares)
    assert size.estimate.high - size.estimate.low < 0.25e-3
    assert found["belly_diameter"].measured is None
    assert "printer" in found["belly_diameter"].shares


@pytest.mark.parametrize(("own", "verdict"), [(0.2e-3, "no-go"), (0.45e-3, "not sure"), (0.7e-3, "go")])
def test_a_pattern_too_small_by_0_4_mm_is_judged_by_what_is_allowed(own, verdict):
    target = forecast(barrel())["outer_diameter"].pattern
    reading = Measured(name="outer_diameter", readings=(target - 0.4e-3,) * 3, resolution=1e-5, instrument=3e-5)
    wish = ToleranceWish(own={"outer_diameter": own})
    size = forecast(barrel(tolerance=wish, measured=(reading,)))["outer_diameter"]
    assert size.verdict == verdict
    assert size.offset == pytest.approx(0.4e-3, rel=0.01)


def test_a_pattern_within_its_room_is_a_go_and_one_outside_is_none():
    size = forecast(barrel())["outer_diameter"]
    assert size.pattern_room > 0
    for off, go in ((0.99, True), (-0.99, True), (1.01, False), (-1.01, False)):
        found = size.pattern + off * size.pattern_room
        reading = Measured(name="outer_diameter", readings=(found,), resolution=1e-5, instrument=3e-5)
        judged = forecast(barrel(measured=(reading,)))["outer_diameter"]
        assert (judged.verdict == "go") is go


def test_a_metal_rod_gives_the_bore_whatever_the_printer_does():
    dimensions = {"outer_diameter": 20e-3, "height": 28e-3, "bore": 4e-3}
    size = forecast(project_of(Part(family="straight bushing", dimensions=dimensions)))["bore"]
    assert "core rod" in size.shares
    assert not {"printer", "printed holes", "silicone shrink"} & set(size.shares)


def test_an_offset_needs_a_dimension_that_is_there():
    with pytest.raises(CannotBuild, match="one by one"):
        pattern_part(replace(project_of(example_part("profile")), pattern=PatternWish(offsets={"height": 1e-4})))
    without = Part(family="straight bushing", dimensions={"outer_diameter": 24e-3, "height": 14e-3})
    with pytest.raises(CannotBuild, match="0 mm"):
        pattern_part(project_of(without, pattern=PatternWish(offsets={"bore": 1e-4})))


def test_a_correction_of_all_sizes_is_in_the_pattern_scale():
    plain, larger = (forecast(barrel(pattern=PatternWish(scale=scale))) for scale in (1.0, 1.01))
    for name in plain:
        grown = larger[name].estimate.best - plain[name].estimate.best
        assert grown == pytest.approx(0.01 * plain[name].wanted, rel=0.01)


def test_the_facts_say_how_the_part_stands():
    project = project_of(example_part("taper bushing"))
    shape, design = _design_of(project)
    facts = size_facts(project, shape, design, Shop(), resin=RESIN, silicone=SILICONE)
    assert facts.turned  # its wider lower face is the mouth of the open mould
    assert facts.parting == pytest.approx(facts.height)


def _design_of(project: Project) -> tuple[PartShape, MouldDesign]:
    _PROJECTS["one"] = project
    return _design("one", "open with cover plate", 1.0)


# ---------------------------------------------------------------- rubber on a hard core


def test_the_outside_of_rubber_on_a_core_shrinks_between_a_thin_disc_and_a_long_roller():
    roller = {"outer_diameter": 30e-3, "height": 20e-3, "core_diameter": 12e-3, "core_bore": 6e-3}
    size = forecast(project_of(Part(family="roller", dimensions=roller)))["outer_diameter"]
    shrink, square = RESIN.best("shrink"), (12 / 30) ** 2
    disc, held = (1 - square) / (1 + square / 3), 1.5 * (1 - square)
    best = disc + (held - disc) * 20 / (20 + 2 * 9)
    before = size.shifts["resin shrink"] / -(best * shrink)
    assert before == pytest.approx(30e-3 * 1.005, rel=1e-2)
    assert disc < best < held
    assert size.shares["held by the core"] > 0
    free = forecast(project_of(Part(family="straight bushing", dimensions={"outer_diameter": 30e-3, "height": 20e-3})))
    assert "held by the core" not in free["outer_diameter"].shares
    assert free["outer_diameter"].shifts["resin shrink"] == pytest.approx(-shrink * 30e-3, rel=2e-2)


def test_a_core_keeps_the_length_of_its_rubber_but_for_the_ends():
    roller = {"outer_diameter": 30e-3, "height": 200e-3, "core_diameter": 12e-3, "core_bore": 6e-3}
    size = forecast(project_of(Part(family="roller", dimensions=roller)))["height"]
    assert -size.shifts["resin shrink"] < 0.2 * RESIN.best("shrink") * 200e-3
