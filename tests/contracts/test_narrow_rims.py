"""Thin flat parts with a narrow rim: the mould that they get, and that inspecting them tells of the same one."""

from __future__ import annotations

from functools import cache

import pytest

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.style import LIDDED, ONE_PART, OPEN, SIDE, STYLES, choose_style
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.domain.inspection import Inspection
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Box, Node, Op
from pourwright.steps.inspect_solid import inspect_solid
from pourwright.steps.planning.kit_scheme import with_kit_scheme
from pourwright.steps.planning.refusals import refused
from solid_kits import moulded, solid_of

THICK_MM = 2.0
TOO_NARROW_MM = 1.2


def ring(rim_mm: float) -> Node:
    """A rectangular gasket, as a file has it."""
    x, y = 18.0, 12.0
    outer = Box(-x, -y, 0.0, x, y, THICK_MM)
    return Op("cut", (outer, Box(rim_mm - x, rim_mm - y, -1.0, x - rim_mm, y - rim_mm, THICK_MM + 1.0)))


@cache
def inspected(rim_mm: float) -> Inspection:
    mesh = Evaluator(MeshKernel(48, corrected=False)).mesh(ring(rim_mm))
    reading = read_solid(stl_bytes(mesh), name="gasket.stl")
    return with_kit_scheme(inspect_solid(reading, file="gasket.stl"), reading.solid)


@cache
def gasket():
    return moulded(solid_of(ring(2.0)))


def test_a_rim_of_two_millimetres_is_moulded_under_a_cover_plate_and_every_identity_holds() -> None:
    assert gasket().design.style == OPEN
    assert gasket().failed() == []


def test_its_vents_stand_on_the_rim_with_face_left_all_round() -> None:
    room = sizes.NARROW_VENT_RADIUS_MM + sizes.NARROW_VENT_MARGIN_MM
    places = gasket().facts.narrow_vent_points_mm
    assert gasket().facts.cover_vent_points_mm == ()
    assert places
    for x, y in places:
        inside = abs(x) <= 18.0 - room and abs(y) <= 12.0 - room
        clear = abs(x) >= 16.0 + room or abs(y) >= 10.0 + room
        assert inside
        assert clear
    assert gasket().design.figures["vent_radius_mm"] == sizes.NARROW_VENT_RADIUS_MM


def test_inspecting_names_the_style_that_the_kit_makes() -> None:
    assert inspected(2.0).verdict.kit
    assert inspected(2.0).verdict.scheme == gasket().design.style


def test_a_rim_too_narrow_for_any_vent_gets_no_kit_and_is_told_why_and_what_may_be_asked_for() -> None:
    verdict = inspected(TOO_NARROW_MM).verdict
    assert verdict.opens
    assert not verdict.kit
    assert "vent" in verdict.reasons[0]
    assert any(OPEN in reason and "1.6 mm" in reason for reason in verdict.reasons)
    assert any(f'style = "{ONE_PART}"' in advice for advice in verdict.advice)


def test_a_refusal_has_a_line_for_every_other_style() -> None:
    facts, shape = gasket().facts, gasket().shape
    wish = StyleWish()
    choice = choose_style(shape, wish, asked=LIDDED, solid=facts)
    with pytest.raises(CannotBuild) as fault:
        STYLES[LIDDED].build(shape, wish, facts)
    advice = refused(fault.value, choice, shape, wish, facts).advice.splitlines()
    told = {name: [line for line in advice if f'"{name}"' in line] for name in (ONE_PART, OPEN, SIDE)}
    assert all(len(lines) == 1 for lines in told.values())
    assert told[OPEN] == [f'style = "{OPEN}" under [mould] can be made']
    assert told[SIDE][0].startswith("not ")
