"""What must hold of the search for vents: fewest where that is known, never more air with one more, kits whole."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mesh_bodies import bored_block, domed_cavity, ducted_boxes, meshed
from mould_designs import MOULDS, WISH, shape
from pourwright.catalogue.materials.classes import load_class
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.hollows.vents import Vent
from pourwright.catalogue.moulds.style import STYLES, Choice
from pourwright.engines.geometry.air.air_map import AirMap
from pourwright.engines.geometry.air.air_paths import Point, trapped
from pourwright.engines.geometry.air.vent_search import fewest_vents, outlets
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Box, Node, Prism, Revolve, Turned, polygon, union
from pourwright.steps.planning.place_vents import AirStudy, FoundVents, place_vents, study_air
from pourwright.steps.planning.plan_mould import MouldPlan, with_needed_vents
from pourwright.steps.proofs.prove import prove
from sample_nouns import sample_project

LIDDED = "two-part lidded"
VENTED = [(style, part) for style, part in MOULDS if style in ("open with cover plate", LIDDED)]


def found_for(solid: Node, *, share: float = 1e-3, most: int = 12) -> list[Vent]:
    """Vents of any cavity, free to stand anywhere on it."""
    vertices, triangles = meshed(solid)
    air = AirMap(vertices, triangles, columns=96)
    volume = abs(float(np.einsum("ij,ij->", *_corners(vertices, triangles)))) / 6

    def seat(peak: Point) -> Vent:
        return Vent(x_mm=peak[0], y_mm=peak[1], start_mm=peak[2], inside_mm=peak[2], top_mm=peak[2])

    return fewest_vents(air, seat, limit_mm3=share * volume, apart_mm=3.0, gain=0.05, most=most)


def _corners(vertices: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    a, b, c = np.moveaxis(vertices[triangles], 1, 0)
    return a, np.cross(b, c)


def two_peaks() -> Node:
    """A block with two pointed hills of different height."""
    hill = polygon([(0, 0), (6, 0), (0, 5)])
    higher = polygon([(0, 0), (6, 0), (0, 7)])
    block = Box(-15, -7, -10, 15, 7, 0.0)
    return union(block, Revolve(hill).at(-8, 0, -0.5), Revolve(higher).at(8, 0, -0.5))


def corner_roof() -> Node:
    """A block whose top slants up to one corner, more than the mould may lean."""
    slab = Prism(polygon([(-10, -10), (10, -10), (10, 10), (-10, 10)]), -20.0, 0.0)
    cutter = Turned(Turned(Box(-60, -60, 0, 60, 60, 60), "x", 12.0), "y", 12.0)
    return slab - cutter.at(0, 0, -6.0)


# ---------------------------------------------------------------- the map


@pytest.mark.parametrize("body", [domed_cavity, bored_block, ducted_boxes])
def test_the_map_tells_what_the_air_paths_tell(body) -> None:  # type: ignore[no-untyped-def]
    vertices, triangles = meshed(body())
    top = vertices[int(np.argmax(vertices[:, 2]))]
    vent = (float(top[0]) * 0.99, float(top[1]) * 0.99, float(top[2]))
    told = trapped(vertices, triangles, vents=[vent], columns=96)
    left = AirMap(vertices, triangles, columns=96).left([vent])
    volumes = np.array([tilt.volume_mm3 for tilt in told.per_tilt])
    assert np.allclose(left.volumes_mm3, volumes, rtol=0.01, atol=6e-3 * volumes.max())
    assert left.level_mm3 == pytest.approx(told.level_mm3, rel=1e-9, abs=1e-9)


def test_one_scan_a_tilt_serves_a_body_of_revolution() -> None:
    design = by_rule(LIDDED, "barrel bushing")
    mesh = evaluator().mesh(design.cell)  # type: ignore[arg-type]
    vents = outlets(design.venting.vents.places)  # type: ignore[union-attr]
    every, one = (AirMap(*mesh, columns=96, round_about_z=short).left(vents) for short in (False, True))
    assert one.worst_mm3 == pytest.approx(every.worst_mm3, rel=0.02)
    assert one.level_mm3 == every.level_mm3


# ---------------------------------------------------------------- fewest


def test_two_peaks_need_two_vents() -> None:
    found = found_for(two_peaks())
    assert len(found) == 2
    assert sorted(round(vent.x_mm) for vent in found) == [-8, 8]


def test_a_roof_that_slants_to_one_corner_needs_one() -> None:
    (vent,) = found_for(corner_roof())
    assert max(abs(vent.x_mm), abs(vent.y_mm)) > 9


def test_a_flat_top_gets_more_vents_the_less_air_may_stay() -> None:
    block = Box(-20, -20, -20, 20, 20, 0)
    counts = [len(found_for(block, share=share, most=16)) for share in (1.0, 2e-2, 5e-3)]
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


# ---------------------------------------------------------------- kits


@cache
def evaluator() -> Evaluator:
    return Evaluator(MeshKernel(segments=48))


@cache
def by_rule(style: str, part: str) -> MouldDesign:
    return STYLES[style].build(shape(part), WISH, None)


@cache
def searched(style: str, part: str) -> FoundVents:
    return place_vents(by_rule(style, part), evaluator(), share=WISH.trapped_share)


@cache
def rebuilt(style: str, part: str) -> MouldDesign:
    found = searched(style, part)
    wish = replace(WISH, vents=found.vents, trapped_mm3=found.air.worst_mm3)
    return STYLES[style].build(shape(part), wish, None)


@pytest.mark.parametrize(("style", "part"), VENTED)
def test_the_search_leaves_little_air_or_less_than_the_rule(style: str, part: str) -> None:
    found = searched(style, part)
    rule = study_air(by_rule(style, part), evaluator(), share=WISH.trapped_share)
    assert found.air.ok or found.air.worst_mm3 < rule.worst_mm3
    if rule.ok:
        assert len(found.vents) <= len(by_rule(style, part).venting.vents.places)  # type: ignore[union-attr]


@pytest.mark.parametrize(("style", "part"), VENTED)
def test_a_mould_keeps_the_vents_that_were_found_and_feeds_back_the_air_that_stays(style: str, part: str) -> None:
    design, found = rebuilt(style, part), searched(style, part)
    assert design.venting is not None
    assert design.venting.vents.places == found.vents
    air_mm3 = found.air.worst_mm3 * (1 - 1 / WISH.pressure_ratio)
    needed = by_rule(style, part).figures["well_needed_mm3"] + air_mm3
    assert design.figures["well_needed_mm3"] == pytest.approx(needed)
    assert design.figures["well_volume_mm3"] >= needed


@pytest.mark.parametrize(("style", "part"), VENTED[::4])
def test_every_identity_holds_with_the_vents_that_were_found(style: str, part: str) -> None:
    proof = prove(rebuilt(style, part), evaluator())
    assert proof.ok, [identity for identity in proof.identities if not identity.ok]


@settings(max_examples=25, deadline=None)
@given(
    mould=st.sampled_from(VENTED),
    places=st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 360.0)), min_size=2, max_size=6),
)
def test_one_more_vent_never_traps_more(mould: tuple[str, str], places: list[tuple[float, float]]) -> None:
    design = by_rule(*mould)
    vents = outlets(design.venting.vents.places)  # type: ignore[union-attr]
    air = _map(*mould)
    radius = np.hypot(vents[0][0], vents[0][1])
    angles = np.radians([angle for _, angle in places])
    more = [(radius * np.cos(a), radius * np.sin(a), vents[0][2]) for a in angles]
    left = [air.left([*vents, *more[:k]]).volumes_mm3 for k in range(len(more) + 1)]
    assert all((after <= before + 1e-9).all() for before, after in pairwise(left))


@cache
def _map(style: str, part: str) -> AirMap:
    mesh = evaluator().mesh(by_rule(style, part).cell)  # type: ignore[arg-type]
    return AirMap(*mesh, columns=64, round_about_z=True)


@pytest.mark.parametrize("part", ["disc", "bumper with a screw hole", "taper bushing"])
def test_thinner_rods_are_taken_where_thick_ones_leave_too_much_and_only_there(part: str) -> None:
    design = by_rule(LIDDED, part)
    plan = MouldPlan(
        project=sample_project(LIDDED),
        silicone=load_class("platinum silicone 30A"),
        wish=WISH,
        choice=Choice(style=LIDDED, reason="asked for", against={}),
        design=design,
        shape=shape(part),
    )
    thick = place_vents(design, evaluator(), share=WISH.trapped_share).air
    found = with_needed_vents(plan, evaluator())
    assert found.air is not None
    assert found.air.ok
    assert (found.design.figures["vent_radius_mm"] < design.figures["vent_radius_mm"]) == (not thick.ok)
    assert found.air.worst_mm3 <= thick.worst_mm3


def test_how_far_a_mould_may_lean_is_read_off_between_the_tilts_that_were_looked_at() -> None:
    def study(*volumes: float, limit: float) -> AirStudy:
        tilts = tuple((float(tilt), 0.0, volume) for tilt, volume in zip((0, 1, 2, 5), volumes, strict=True))
        return AirStudy(level_mm3=volumes[0], worst_mm3=max(volumes), worst_tilt=(5.0, 0.0), per_tilt=tilts, pockets=(),
                        limit_mm3=limit, beyond_mm3=0.0)  # fmt: skip

    assert study(0.0, 10.0, 20.0, 50.0, limit=4.0).level_within_deg == pytest.approx(0.4)
    assert study(0.0, 10.0, 20.0, 50.0, limit=35.0).level_within_deg == pytest.approx(3.5)
    assert study(0.0, 10.0, 20.0, 50.0, limit=60.0).level_within_deg == 5.0
    assert study(5.0, 10.0, 20.0, 50.0, limit=4.0).level_within_deg == 0.0
