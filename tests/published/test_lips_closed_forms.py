"""Silicone lips: thickness behind a rounded edge is ρ - √(ρ² - s²), behind a sloped mouth s·tan β (trigonometry)."""

from __future__ import annotations

import math

import pytest

from mesh_bodies import meshed, rounded_bushing, rounded_puck
from pourwright.engines.geometry.partings.lips import LID, LOWER, REMEDIES, outline_lips, round_edge_lip, worst_lip
from pourwright.engines.geometry.partings.mesh_lips import mesh_lips
from pourwright.engines.geometry.tree import Arc, Bow, Line, Outline, Prism, Revolve, Turned, polygon

AT = (0.1, 0.3, 0.5, 1.0, 1.4, 1.6)
FEATHER = (0.003337, 0.030306, 0.085786, 0.381966, 0.961484, math.inf)


def sloped_puck(slope_deg: float) -> Outline:
    rise = 3 * math.tan(math.radians(slope_deg))
    return polygon([(0, 0), (12, 0), (12, 10), (9, 10 + rise), (0, 10 + rise)])


def test_a_puck_parted_at_the_top_of_its_rounded_edge_leaves_a_feather() -> None:
    (lip,) = outline_lips(rounded_puck(1.5), 15.0, back_mm=AT)
    assert lip.half == LOWER
    assert lip.thickness_mm == pytest.approx(FEATHER, abs=5e-7)
    assert not lip.ok
    assert lip.remedies == REMEDIES
    assert lip.thinnest_point_mm == pytest.approx((10.5, 0.0, 15.0))


def test_parted_where_the_rounding_begins_neither_half_has_a_lip() -> None:
    lips = outline_lips(rounded_puck(1.5), 13.5, depth_below_mm=21.5, depth_above_mm=9.5)
    assert [lip.half for lip in lips] == [LOWER, LID]
    assert all(lip.ok and not any(lip.feather) for lip in lips)
    # No part under the silicone: the depth of silicone is given instead.
    assert [lip.at(1.0) for lip in lips] == [21.5, 9.5]


@pytest.mark.parametrize(("slope_deg", "at_one", "ok"), [(45, 1.0, True), (30, 0.577350, False)])
def test_a_45_degree_mouth_just_passes_and_a_30_degree_mouth_fails(slope_deg: float, at_one: float, ok: bool) -> None:
    outline = sloped_puck(slope_deg)
    (lip,) = outline_lips(outline, 10 + 3 * math.tan(math.radians(slope_deg)))
    assert lip.at(1.0) == pytest.approx(at_one, abs=5e-7)
    assert lip.ok is ok


@pytest.mark.parametrize(
    ("radius", "at_03", "at_one", "ok"),
    [(1.2, None, 0.536675, False), (1.0, 0.046061, 1.0, False), (0.5, 0.1, math.inf, True)],
)
def test_an_edge_radius_of_half_a_millimetre_passes_and_one_millimetre_fails(
    radius: float, at_03: float | None, at_one: float, ok: bool
) -> None:
    (lip,) = outline_lips(rounded_puck(radius), 15.0)
    assert lip.at(1.0) == pytest.approx(at_one, abs=5e-7)
    assert lip.at(1.0) == pytest.approx(round_edge_lip(radius_mm=radius, back_mm=1.0), abs=1e-12)
    if at_03 is not None:
        assert lip.at(0.3) == pytest.approx(at_03, abs=5e-7)
    assert lip.ok is ok


def test_a_sharp_edge_has_no_lip() -> None:
    (lip,) = outline_lips(polygon([(0, 0), (12, 0), (12, 15), (0, 15)]), 15.0, depth_below_mm=23.0)
    assert lip.ok
    assert set(lip.thickness_mm) == {23.0}


def test_the_rounded_mouth_of_a_bore_fails_though_the_outer_edge_is_sharp() -> None:
    lips = outline_lips(rounded_bushing(), 24.0)
    by_edge = {lip.edge: lip for lip in lips}
    assert by_edge["outer edge"].ok
    assert not by_edge["bore mouth"].ok
    assert by_edge["bore mouth"].at(0.3) == pytest.approx(1 - math.sqrt(1 - 0.09), abs=1e-9)
    worst = worst_lip(lips)
    assert worst is not None
    assert worst.edge == "bore mouth"


def test_turned_over_the_lid_has_the_lip_that_the_lower_half_had() -> None:
    up = outline_lips(rounded_bushing(), 24.0)
    over = Outline((4.5, -23), _over())
    down = outline_lips(over, -24.0)
    assert {lip.half for lip in down} == {LID}
    assert sorted(lip.thickness_mm for lip in down) == sorted(lip.thickness_mm for lip in up)


def _over() -> tuple[Line | Arc, ...]:
    # rounded_bushing upside down, from the bore's rounded mouth, which now lies below, anticlockwise.
    return (Arc(5.5, -24, 5.5, -23), Line(14, -24), Line(14, 0), Line(4.5, 0), Line(4.5, -23))


def test_a_barrel_of_a_parabola_is_free_at_its_widest_and_steep_above_it() -> None:
    # r = 8 + 16·t(1 - t), z = 15·t: at z 10 the radius is 8 + 32/9.
    barrel = Outline((0, 0), (Line(8, 0), Bow(8, 15, 16, 7.5), Line(0, 15), Line(0, 0)))
    assert not any(any(lip.feather) for lip in outline_lips(barrel, 7.5))
    lower, lid = outline_lips(barrel, 10.0)
    assert lower.thinnest_point_mm[0] == pytest.approx(8 + 32 / 9, abs=1e-12)
    # 0.3 mm further out the barrel's flank lies at t where 16 t(1 - t) = 32/9 + 0.3 on the upper branch.
    t = 0.5 + math.sqrt(0.25 - (32 / 9 + 0.3) / 16)
    assert lower.at(0.3) == pytest.approx(10 - 15 * t, abs=1e-9)
    assert not any(lid.feather)


def test_a_ball_parted_at_its_top_leaves_a_feather_all_over() -> None:
    ball = Outline((0, -15), (Arc(0, 15, 0, 0), Line(0, -15)))
    (lip,) = outline_lips(ball, 15.0)
    assert lip.at(1.0) == pytest.approx(15 - math.sqrt(225 - 1), abs=1e-9)
    assert not lip.ok


# ---------------------------------------------------------------- meshes


def test_rays_into_a_fine_mesh_find_the_same_feather() -> None:
    mesh = meshed(Revolve(rounded_puck(1.5)), 256, 1e-4)
    (lip,) = mesh_lips(*mesh, 15.0, back_mm=AT)
    assert lip.half == LOWER
    assert lip.thickness_mm[:5] == pytest.approx(FEATHER[:5], abs=1e-3)
    assert lip.thickness_mm[5] == math.inf
    assert not lip.ok


def test_rays_into_an_ordinary_mesh_stay_within_two_hundredths_of_a_millimetre() -> None:
    (lip,) = mesh_lips(*meshed(Revolve(rounded_puck(1.5)), 48), 15.0, back_mm=AT[:4])
    assert lip.thickness_mm == pytest.approx(FEATHER[:4], abs=0.02)


def test_rays_see_no_lip_where_the_rounding_begins() -> None:
    lips = mesh_lips(*meshed(Revolve(rounded_puck(1.5)), 256, 1e-4), 13.5, back_mm=AT)
    assert [lip.half for lip in lips] == [LOWER, LID]
    assert all(set(lip.thickness_mm) == {math.inf} for lip in lips)


def test_rays_find_the_rounded_mouth_of_a_bore() -> None:
    (lip,) = mesh_lips(*meshed(Revolve(rounded_bushing()), 256, 1e-4), 24.0)
    assert lip.at(0.3) == pytest.approx(1 - math.sqrt(1 - 0.09), abs=1e-3)
    assert not lip.ok
    x, y, z = lip.thinnest_point_mm
    assert (math.hypot(x, y), z) == pytest.approx((5.5, 24.0), abs=0.01)


def test_a_slanted_plate_has_the_lip_of_its_slope_on_one_side_only() -> None:
    # A prism whose one side leans out below the parting at 30° to it: t = s·tan 30° there, no lip elsewhere.
    rise = 3 * math.tan(math.radians(30))
    outline = polygon([(0, 0), (13, 0), (10, rise), (0, rise)])
    vertices, triangles = meshed(Turned(Prism(outline, -5, 5), "x", 90))
    (lip,) = mesh_lips(vertices, triangles, rise)
    assert lip.at(1.0) == pytest.approx(math.tan(math.radians(30)), abs=1e-6)
    assert lip.thinnest_point_mm[0] == pytest.approx(10.0, abs=1e-9)
