"""What must hold of an inspection whatever the solid: turned, mirrored, tilted; and of the searches behind it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from awkward_solids import bellows, linked_hook, waisted_knob
from mesh_bodies import bored_block, domed_cavity, meshed, waisted_bushing
from pourwright.engines.geometry.air.air_paths import highest_places, trapped, trapped_at
from pourwright.engines.geometry.air.dexels import scan
from pourwright.engines.geometry.air.filling import reach_of
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.probes.ray_tree import nearest_points, ray_tree
from pourwright.engines.geometry.probes.thickness import ball_thickness, ray_thickness, surface_samples, thinnest
from pourwright.engines.geometry.pulls.held import burden, held_at, held_silicone
from pourwright.engines.geometry.pulls.pull import pull_report
from pourwright.engines.geometry.repeats.twin import coarse_twin
from pourwright.engines.geometry.tree import Box, Node
from pourwright.steps.inspect_solid import inspect_solid

SOLIDS = {"knob": waisted_knob, "hook": linked_hook, "bellows": bellows, "domed": domed_cavity}
# Turns and a mirror that take the file's axes to axes: x, y, z of the new file in the old.
FRAMES = {
    "turned about z": ((0, 1, 0), (-1, 0, 0), (0, 0, 1)),
    "laid on its side": ((1, 0, 0), (0, 0, -1), (0, 1, 0)),
    "mirrored": ((-1, 0, 0), (0, 1, 0), (0, 0, 1)),
}


def inspected(vertices, triangles):
    return inspect_solid(read_solid(stl_bytes((vertices, triangles)), name="part.stl"), file="part.stl")


@pytest.fixture(scope="module")
def plain():
    return {name: inspected(*meshed(solid(), 48)) for name, solid in SOLIDS.items()}


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("name", ["hook", "domed"])
def test_turning_or_mirroring_the_file_changes_no_figure(name: str, frame: str, plain) -> None:
    vertices, triangles = meshed(SOLIDS[name](), 48)
    turn = np.array(FRAMES[frame], dtype=float)
    faces = triangles if np.linalg.det(turn) > 0 else triangles[:, ::-1]
    here, there = plain[name], inspected(vertices @ turn.T, faces)
    assert there.verdict.opens == here.verdict.opens
    assert there.verdict.scheme == here.verdict.scheme
    small = 5e-3 * here.volume
    for figure in ("undercut", "unavoidable_undercut", "runs_through"):
        assert getattr(there.pull, figure) == pytest.approx(getattr(here.pull, figure), rel=1e-2, abs=small)
    assert there.pull.stretch == pytest.approx(here.pull.stretch, rel=1e-2)
    assert there.thinnest == pytest.approx(here.thinnest, rel=1e-2)
    assert there.air.trapped == pytest.approx(here.air.trapped, rel=2e-2, abs=small)
    assert there.air.worst_trapped == pytest.approx(here.air.worst_trapped, rel=5e-2, abs=small)


@pytest.mark.parametrize("name", SOLIDS)
def test_pieces_traps_and_halves_are_parts_of_their_sums(name: str, plain) -> None:
    found = plain[name]
    # A piece without a mouth is part of the undercut but holds nothing, so the pieces may be less.
    assert sum(piece.volume for piece in found.held) <= found.pull.undercut * (1 + 1e-3) + 1e-12
    assert found.pull.unavoidable_undercut <= found.pull.undercut * (1 + 1e-9) + 1e-15
    for air in (found.air, found.air_other):
        assert sum(trap.volume for trap in air.traps) <= air.trapped * (1 + 1e-9)
        assert air.best_trapped <= air.trapped <= air.worst_trapped <= found.volume * 1.01
        assert math.isclose(math.hypot(*air.lean), 1.0, rel_tol=1e-9)
    for way in found.runners_up:
        assert abs(np.dot(way.direction, found.pull.direction)) < math.cos(math.radians(14.9))


@pytest.mark.parametrize("solid", [waisted_bushing(), bored_block()], ids=["bushing", "bored block"])
def test_turned_over_the_lower_half_holds_what_the_lid_held(solid: Node) -> None:
    vertices, triangles = meshed(solid, 64)
    up = scan(vertices, triangles, columns=128)
    over = scan(vertices * [1, 1, -1], triangles[:, ::-1], columns=128)
    z = float(np.mean(up.span_mm))
    here, there = held_silicone(up, z), held_silicone(over, -z)
    assert [piece.volume_mm3 for piece in there] == pytest.approx([piece.volume_mm3 for piece in here], rel=1e-9)
    assert [piece.mouths for piece in there] == [piece.mouths for piece in here]
    assert sorted(p.half for p in there) == sorted({"lower half": "lid", "lid": "lower half"}[p.half] for p in here)
    assert burden(over, -z) == pytest.approx(burden(up, z), rel=1e-9)


@given(parting=st.floats(0.05, 0.95))
@settings(max_examples=20, deadline=None)
def test_what_is_held_is_never_more_than_the_undercut(parting: float) -> None:
    mesh = meshed(linked_hook(), 48)
    columns = scan(*mesh, direction=(0.2, 0.9, 0.1), columns=96)
    report = pull_report(*mesh, (0.2, 0.9, 0.1), columns=96, slices=200)
    k = report.at(columns.span_mm[0] + parting * float(np.ptp(columns.span_mm)))
    whole = sum(piece.volume_mm3 for piece in held_silicone(columns, float(report.z_mm[k])))
    assert whole <= report.u_mm3[k] * (1 + 1e-6) + 1e-6


def test_places_are_painted_where_silicone_is_held_and_nowhere_else() -> None:
    columns = scan(*meshed(waisted_bushing(), 96), columns=128)
    places = np.array([[9.0, 0, 7.5], [0, 0, 7.5], [12.5, 0, 7.5], [9.0, 0, 3.0], [99.0, 0, 7.5]])
    assert held_at(columns, 15.0, places).tolist() == [1, 0, 0, 0, 0]
    across = scan(*meshed(bored_block(), 96), columns=128)
    assert held_at(across, 10.0, np.array([[15.0, 10, 8], [15, 10, 12], [15, 2, 8]])).tolist() == [3, 3, 0]


def test_air_is_painted_in_the_dome_and_not_in_the_vented_bore() -> None:
    mesh = meshed(domed_cavity(), 64)
    places = np.array([[-10.0, 0, 24], [10, 0, 24], [0, 15, 19.5], [-10, 0, 10]])
    caught = trapped_at(*mesh, places, up=(0, 0, 1), open_level=26.9)
    assert caught.tolist() == [True, False, False, False]


# ---------------------------------------------------------------- air


def test_a_square_block_traps_the_same_whichever_side_it_leans_to() -> None:
    mesh = meshed(Box(-20, -20, 0, 20, 20, 20))
    found = trapped(*mesh, vents=[(0, 0, 20)], columns=256, tilts_deg=(4.0,), azimuths=4)
    volumes = [pose.volume_mm3 for pose in found.per_tilt]
    assert volumes == pytest.approx([volumes[0]] * 4, rel=2e-2)
    assert volumes[0] == pytest.approx(8000 * math.tan(math.radians(4.0)), rel=1e-2)


def test_the_highest_places_are_the_middles_of_what_stands_highest() -> None:
    boxes = Box(0, 0, 0, 30, 10, 4) | Box(0, 0, 4, 10, 10, 20) | Box(20, 0, 4, 30, 10, 20)
    found = sorted(highest_places(*meshed(boxes), within_mm=0.05, columns=120))
    assert len(found) == 2
    assert np.allclose(found, [(5, 5, 20), (25, 5, 20)], rtol=0, atol=0.3)


@st.composite
def cavities(draw: st.DrawFn):
    """Columns of up to three intervals on a small grid, heights from a few levels so that many are equal."""
    n_u, n_v = draw(st.integers(1, 5)), draw(st.integers(1, 5))
    starts, bottom, top = [0], [], []
    for _ in range(n_u * n_v):
        levels = sorted(draw(st.sets(st.integers(0, 12), min_size=0, max_size=6)))
        levels = levels[: len(levels) // 2 * 2]
        bottom += levels[::2]
        top += levels[1::2]
        starts.append(len(top))
    vents = draw(st.sets(st.integers(0, max(len(top) - 1, 0)), max_size=3)) if top else set()
    return n_u, n_v, np.array(starts), np.array(bottom, dtype=float), np.array(top, dtype=float), sorted(vents)


def _slowly(n_u, starts, bottom, top, outlet):
    """The same by trying every passage again until nothing changes."""
    column = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    reach, before = outlet.copy(), None
    while before is None or (reach != before).any():
        before = reach.copy()
        for i in range(len(top)):
            for j in range(len(top)):
                rows = abs(column[i] // n_u - column[j] // n_u), abs(column[i] % n_u - column[j] % n_u)
                if sum(rows) == 1 and min(top[i], top[j]) > max(bottom[i], bottom[j]):
                    reach[i] = max(reach[i], min(reach[j], top[i], top[j]))
    return reach


@given(cavity=cavities())
@settings(max_examples=120, deadline=None)
def test_air_reaches_what_trying_every_passage_reaches(cavity) -> None:
    n_u, n_v, starts, bottom, top, vents = cavity
    outlet = np.full(len(top), -np.inf)
    outlet[vents] = top[vents]
    found = reach_of(starts, bottom, top, outlet, n_u, n_v)
    assert found.tolist() == _slowly(n_u, starts, bottom, top, outlet).tolist()


@given(
    solid=st.sampled_from([domed_cavity, waisted_knob, linked_hook]),
    tilt=st.sampled_from([0.0, 4.0, 10.0]),
    seed=st.integers(0, 10_000),
)
@settings(max_examples=20, deadline=None)
def test_one_more_vent_anywhere_on_a_solid_never_traps_more(solid, tilt: float, seed: int) -> None:
    vertices, triangles = meshed(solid(), 32)
    random = np.random.default_rng(seed)
    columns = scan(vertices, triangles, columns=64)
    chosen = random.choice(len(columns.top_mm), size=3, replace=False)
    vents = [columns.point_mm(int(k), float(0.5 * (columns.top_mm[k] + columns.bottom_mm[k]))) for k in chosen]

    def caught(count: int) -> float:
        return trapped(
            vertices, triangles, vents=vents[:count], columns=64, tilts_deg=(tilt,), azimuths=1
        ).worst_mm3  # fmt: skip

    assert caught(2) <= caught(1) * (1 + 1e-9) + 1e-9
    assert caught(3) <= caught(2) * (1 + 1e-9) + 1e-9


# ---------------------------------------------------------------- the mesh itself


@pytest.mark.parametrize("share", [0.01, 0.03])
@pytest.mark.parametrize("solid", [waisted_knob, linked_hook, domed_cavity])
def test_a_coarser_copy_is_as_closed_as_the_solid_and_holds_nearly_its_volume(solid, share: float) -> None:
    mesh = meshed(solid(), 256, 0.002)
    copy = coarse_twin(*mesh, share=share)
    assert len(copy[1]) < len(mesh[1])
    for direction in ((0, 0, 1), (0.3, -0.5, 0.8)):
        whole, light = (scan(*one, direction=direction, columns=64) for one in (mesh, copy))
        assert light.bad == 0
        assert light.volume_mm3 == pytest.approx(whole.volume_mm3, rel=2 * share)


@pytest.mark.parametrize("solid", [bellows(), linked_hook(), waisted_knob()], ids=["bellows", "hook", "knob"])
def test_the_largest_ball_at_a_place_touches_the_surface_and_holds_none_of_it(solid: Node) -> None:
    mesh = meshed(solid, 48)
    tree = ray_tree(*mesh)
    points, normals, _ = surface_samples(*mesh, 400)
    by_ray, _ = ray_thickness(tree, points, normals)
    diameter, touched = ball_thickness(tree, points, normals, by_ray)
    assert (diameter <= by_ray * (1 + 1e-12)).all()
    met = touched >= 0
    assert met.any()
    radius = 0.5 * diameter[met]
    _, away, _ = nearest_points(tree, points[met] - radius[:, None] * normals[met])
    assert (away >= radius * (1 - 3e-4)).all()
    assert (away <= radius * (1 + 1e-9) + 1e-9).all()


def test_the_thinnest_wall_is_never_thicker_than_any_wall_tried() -> None:
    mesh = meshed(bellows(), 48)
    tree = ray_tree(*mesh)
    points, normals, _ = surface_samples(*mesh, 1500)
    by_ray, opposite = ray_thickness(tree, points, normals)
    corners = mesh[0][mesh[1]]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    facing = (across[opposite] * normals).sum(axis=1) / np.linalg.norm(across[opposite], axis=1)
    assert thinnest(*mesh, samples=1500).thickness_mm <= by_ray[facing < -0.5].min() * (1 + 1e-12)
