"""Volumes of every family against closed forms that know nothing of outlines.

The formulas (frustum, spherical zone, torus, barrel with parabolic staves, centroids of sector and triangle,
Pappus's rule) are those of the tables of solids in Bronshtein and Semendyayev, Handbook of Mathematics, and
of the CRC Standard Mathematical Tables (from memory). Millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import brentq

from family_parts import drawn, profile_part
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.kernels.analytic import revolved_volume_mm3
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel

PI = math.pi
Point = tuple[float, float]


def frustum(height: float, first: float, second: float) -> float:
    return PI * height * (first**2 + first * second + second**2) / 3


def tube(height: float, outer: float, inner: float) -> float:
    return PI * height * (outer**2 - inner**2)


def zone(height: float, first: float, second: float) -> float:
    """Slice of a ball between two parallel planes that cut it in circles of these radii."""
    return PI * height * (3 * first**2 + 3 * second**2 + height**2) / 6


def parabolic_barrel(height: float, belly: float, end: float) -> float:
    """Diameters; the wine gauger's rule."""
    return PI * height * (2 * belly**2 + belly * end + 0.75 * end**2) / 15


def shaved(before: Point, corner: Point, after: Point, radius: float) -> float:
    """What a rounding takes from a turned corner: kite less sector, each times the way of its centroid."""
    c = np.array(corner)
    to_before, to_after = (np.array(p) - c for p in (before, after))
    to_before, to_after = to_before / np.linalg.norm(to_before), to_after / np.linalg.norm(to_after)
    opening = math.acos(to_before @ to_after)
    half = (PI - opening) / 2
    bisector = (to_before + to_after) / np.linalg.norm(to_before + to_after)
    centre = c + radius / math.sin(opening / 2) * bisector
    feet = c + radius / math.tan(opening / 2) * np.array([to_before, to_after])
    kite = radius**2 / math.tan(opening / 2)
    kite_centroid = (c + centre + feet.mean(axis=0)) / 3
    sector = radius**2 * half
    sector_centroid = centre - 2 * radius * math.sin(half) / (3 * half) * bisector
    return 2 * PI * (kite * kite_centroid[0] - sector * sector_centroid[0])


def square_edge(outer: float, radius: float) -> float:
    """A right-angled outer edge: square less quarter disc."""
    square, quarter = radius**2, PI * radius**2 / 4
    return 2 * PI * (square * (outer - radius / 2) - quarter * (outer - radius + 4 * radius / (3 * PI)))


def bowed_with_edges(*, end: float, middle: float, height: float, bore: float, edge: float) -> float:
    """Parabola between two arcs, by the angle at which they meet: polynomial plus circle integrals."""
    swell = middle - end

    def meets(angle: float) -> float:  # the side leans inwards by this angle where the arc begins
        return height / 2 + math.tan(angle) * height**2 / (8 * swell) - (height - edge + edge * math.sin(angle))

    steepest = math.atan(4 * swell / height)
    angle = brentq(meets, 0.0, steepest, xtol=1e-16, rtol=8.9e-16)
    above = math.tan(angle) * height**2 / (8 * swell)
    parabola = np.polynomial.Polynomial([middle, 0, -swell * 4 / height**2])
    waist = (parabola**2).integ()
    centre = parabola(above) - edge * math.cos(angle)
    low = edge * math.sin(angle)

    def circle(u: float) -> float:
        root = math.sqrt(max(0.0, edge**2 - u**2))
        return centre**2 * u + centre * (u * root + edge**2 * math.asin(u / edge)) + edge**2 * u - u**3 / 3

    return 2 * PI * (waist(above) - waist(0)) + 2 * PI * (circle(edge) - circle(low)) - PI * bore**2 * height


def domed_edge(*, outer: float, height: float, dome: float, bore: float, edge: float) -> float:
    """A bored bumper whose dome meets its side in a rounding that touches both: cylinder, circle, sphere."""
    up = (outer**2 - bore**2 + dome**2) / (2 * dome)
    ball, base = math.hypot(bore, up), height - up
    lift = math.sqrt((ball - edge) ** 2 - (outer - edge) ** 2)
    lean = math.asin(lift / (ball - edge))
    side, top_of_arc = base + lift, base + ball * math.sin(lean)
    r_arc = ball * math.cos(lean)

    def circle(u: float) -> float:
        c = outer - edge
        return c**2 * u + c * (u * math.sqrt(edge**2 - u**2) + edge**2 * math.asin(u / edge)) + edge**2 * u - u**3 / 3

    arc = PI * circle(top_of_arc - side)
    cap = zone(height - top_of_arc, r_arc, bore)
    return PI * outer**2 * side + arc + cap - PI * bore**2 * height - square_edge(outer, edge)


Case = tuple[Callable[[], PartShape], float]
CASES: dict[str, Case] = {
    "straight bushing, sharp": (
        lambda: drawn("straight bushing", outer_diameter=28, height=26, bore=10),
        tube(26, 14, 5),
    ),
    "straight bushing": (
        lambda: drawn("straight bushing", outer_diameter=28, height=26, bore=10, edge_radius=1.5),
        tube(26, 14, 5) - 2 * square_edge(14, 1.5),
    ),
    "disc": (
        lambda: drawn("straight bushing", outer_diameter=40, height=8, edge_radius=2),
        PI * 20**2 * 8 - 2 * square_edge(20, 2),
    ),
    "taper bushing, sharp": (
        lambda: drawn("taper bushing", lower_diameter=20, upper_diameter=24, height=15, bore=9.5),
        frustum(15, 10, 12) - PI * 4.75**2 * 15,
    ),
    "taper bushing": (
        lambda: drawn("taper bushing", lower_diameter=30, upper_diameter=18, height=20, bore=7, edge_radius=2.5),
        frustum(20, 15, 9)
        - PI * 3.5**2 * 20
        - shaved((0, 0), (15, 0), (9, 20), 2.5)
        - shaved((15, 0), (9, 20), (0, 20), 2.5),
    ),
    "barrel bushing, sharp": (
        lambda: drawn("barrel bushing", outer_diameter=28, belly_diameter=34, height=26, bore=10),
        parabolic_barrel(26, 34, 28) - PI * 25 * 26,
    ),
    "barrel bushing": (
        lambda: drawn("barrel bushing", outer_diameter=28, belly_diameter=34, height=26, bore=10, edge_radius=1.5),
        bowed_with_edges(end=14, middle=17, height=26, bore=5, edge=1.5),
    ),
    "barrel bushing, wide edges": (
        lambda: drawn("barrel bushing", outer_diameter=30, belly_diameter=44, height=20, bore=6, edge_radius=8),
        bowed_with_edges(end=15, middle=22, height=20, bore=3, edge=8),
    ),
    "waisted bushing, sharp": (
        lambda: drawn("waisted bushing", outer_diameter=32, waist_diameter=24, height=28, bore=8),
        parabolic_barrel(28, 24, 32) - PI * 16 * 28,
    ),
    "waisted bushing": (
        lambda: drawn("waisted bushing", outer_diameter=32, waist_diameter=24, height=28, bore=8, edge_radius=2),
        bowed_with_edges(end=16, middle=12, height=28, bore=4, edge=2),
    ),
    "stepped bushing": (
        lambda: drawn(
            "stepped bushing",
            outer_diameter=34,
            shoulder_diameter=20,
            shoulder_height=8,
            height=22,
            bore=10,
            edge_radius=1.25,
        ),
        tube(14, 17, 5) + tube(8, 10, 5) - square_edge(17, 1.25) - square_edge(10, 1.25),
    ),
    "ring": (
        lambda: drawn("ring", outer_diameter=48, inner_diameter=36, height=5, edge_radius=1),
        # The inner edges shave a square less a quarter disc too, nearer to the axis.
        tube(5, 24, 18) - 2 * square_edge(24, 1) - 2 * (2 * PI * (1 * 18.5 - PI / 4 * (19 - 4 / (3 * PI)))),
    ),
    "round cord": (
        lambda: drawn("ring", outer_diameter=48, inner_diameter=36, height=6, edge_radius=3),
        2 * PI**2 * 21 * 3**2,
    ),
    "bumper, flat": (
        lambda: drawn("bumper", outer_diameter=30, height=12, dome_height=0, edge_radius=1),
        PI * 225 * 12 - 2 * square_edge(15, 1),
    ),
    "bumper, domed": (
        lambda: drawn("bumper", outer_diameter=30, height=16, dome_height=4),
        PI * 225 * 12 + zone(4, 15, 0),
    ),
    "bumper, half a ball on a cylinder": (
        lambda: drawn("bumper", outer_diameter=30, height=20, dome_height=15, edge_radius=2),
        PI * 225 * 5 + 2 * PI * 15**3 / 3 - square_edge(15, 2),
    ),
    "bumper with a screw's recess": (
        lambda: drawn(
            "bumper", outer_diameter=30, height=16, dome_height=3, bore=5, recess_diameter=10, recess_depth=6
        ),
        PI * 225 * 13 + zone(3, 15, 5) - PI * 25 * 6 - PI * 2.5**2 * 10,
    ),
    "bumper, bored, rounded": (
        lambda: drawn("bumper", outer_diameter=30, height=16, dome_height=3, bore=5, edge_radius=1.5),
        domed_edge(outer=15, height=16, dome=3, bore=2.5, edge=1.5),
    ),
    "roller": (
        lambda: drawn("roller", outer_diameter=36, height=40, core_diameter=20, edge_radius=1),
        tube(40, 18, 10) - 2 * square_edge(18, 1),
    ),
    "crowned roller": (
        lambda: drawn("roller", outer_diameter=36, height=40, core_diameter=20, crown=1.5),
        parabolic_barrel(40, 37.5, 36) - PI * 100 * 40,
    ),
    "wheel": (
        lambda: drawn(
            "wheel",
            outer_diameter=60,
            height=24,
            core_diameter=40,
            core_bore=8,
            shoulder_drop=2,
            shoulder_width=4,
            groove_width=10,
            groove_depth=2,
            edge_radius=1,
        ),
        2 * frustum(4, 28, 30)
        + PI * 900 * 16
        - PI * 400 * 24
        # The tyre fills the groove: a trapezium 10 and 6 wide, 2 deep, turned about the axis.
        + 2 * PI * (6 * 2 * 19 + 2 * 2 * (20 - 2 / 3))
        - 2 * shaved((0, 0), (28, 0), (30, 4), 1)
        - 2 * shaved((28, 0), (30, 4), (30, 20), 1),
    ),
    "profile: a ball of two quarter circles": (
        lambda: shape_of(
            profile_part((0, 0, 0, 9 * (1 - math.sqrt(0.5))), (9, 9, 0, 9 * (1 - math.sqrt(0.5))), (0, 18))
        ),
        4 * PI * 9**3 / 3,
    ),
    "profile: a torus of two half circles and a belt": (
        lambda: shape_of(profile_part((12, 0), (15, 0, 0, 3), (15, 6), (12, 6, 0, 3))),
        # Rectangle 3 x 6 about 13.5, and a disc of radius 3 whose halves sit 3 apart.
        2 * PI * (18 * 13.5 + 4.5 * PI * (15 + 4 / PI) + 4.5 * PI * (12 - 4 / PI)),
    ),
    "profile: a hollowed side": (
        lambda: shape_of(profile_part((4, 0), (14, 0, 0, -2), (14, 8), (4, 8))),
        # The segment of radius 5 over a chord of 8: area by sector less triangle, centroid by c^3 / 12 A.
        tube(8, 14, 4) - 2 * PI * (25 * math.asin(0.8) - 12) * (14 + 3 - 8**3 / (12 * (25 * math.asin(0.8) - 12))),
    ),
    "profile: a rounded puck": (
        lambda: shape_of(profile_part((0, 0), (12, 0, 2), (10, 9, 3), (0, 9))),
        frustum(9, 12, 10) - shaved((0, 0), (12, 0), (10, 9), 2) - shaved((12, 0), (10, 9), (0, 9), 3),
    ),
}


@pytest.mark.parametrize("name", sorted(CASES))
def test_the_volume_of_a_family_is_that_of_its_closed_form(name):
    build, closed_form = CASES[name]
    assert revolved_volume_mm3(build().outline) == pytest.approx(closed_form, rel=1e-9)


@pytest.mark.parametrize("segments", [24, 96])
@pytest.mark.parametrize("name", sorted(CASES))
def test_the_mesh_with_corrected_radii_has_the_volume_of_the_closed_form_at_any_number_of_chords(name, segments):
    build, closed_form = CASES[name]
    kernel = MeshKernel(segments)
    solid = kernel.revolve(build().outline)
    assert kernel.volume(solid) == pytest.approx(closed_form, rel=1e-8)
    assert kernel.bodies(solid) == 1
    assert kernel.is_closed(solid)


@pytest.mark.parametrize("name", sorted(CASES))
def test_the_exact_solid_has_the_volume_of_the_closed_form(name):
    build, closed_form = CASES[name]
    kernel = BrepKernel()
    solid = kernel.revolve(build().outline)
    assert kernel.volume(solid) == pytest.approx(closed_form, rel=1e-9)
    assert kernel.bodies(solid) == 1
    assert kernel.is_closed(solid)


@pytest.mark.parametrize("name", ["roller", "wheel"])
def test_rubber_and_core_together_fill_the_part_without_a_gap(name):
    shape = drawn(name, outer_diameter=60, height=24, core_diameter=40, core_bore=8, **GROOVE.get(name, {}))
    both = revolved_volume_mm3(shape.outline) + revolved_volume_mm3(shape.core.outline)
    assert both == pytest.approx(tube(24, 30, 4), rel=1e-12)


GROOVE = {"wheel": {"groove_width": 10, "groove_depth": 2}}
