"""A part that is turned about its pull or mirrored has the same air, the same vents, the same silicone."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from test_vents import Vent

from mesh_bodies import bored_block, domed_cavity, meshed
from pourwright.engines.geometry.air.air_map import AirMap
from pourwright.engines.geometry.air.air_paths import Point
from pourwright.engines.geometry.air.vent_search import fewest_vents, outlets
from pourwright.engines.geometry.tree import Box, Node, cylinder
from solid_kits import Moulded, moulded, solid_of

FRAMES = {
    "a quarter turn": ((0, -1, 0), (1, 0, 0), (0, 0, 1)),
    "half a turn": ((-1, 0, 0), (0, -1, 0), (0, 0, 1)),
    "mirrored": ((-1, 0, 0), (0, 1, 0), (0, 0, 1)),
}
BODIES = {"dome": domed_cavity, "bore": bored_block}


@cache
def looked(body: str, frame: str) -> tuple[AirMap, tuple[Point, ...], float]:
    """The air of a body in a frame, a vent in its top, and how many cubic millimetres it holds."""
    vertices, triangles = meshed(BODIES[body](), 48)
    rows = np.array(FRAMES.get(frame, np.eye(3)), dtype=float)
    faces = triangles if np.linalg.det(rows) > 0 else triangles[:, ::-1]
    top = vertices[int(np.argmax(vertices[:, 2]))] * (0.99, 0.99, 1.0)
    x, y, z = (rows @ top).tolist()
    air = AirMap(vertices @ rows.T, faces, columns=64)
    return air, ((x, y, z),), float(np.ptp(vertices, axis=0).prod())


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("body", BODIES)
def test_turned_and_mirrored_bodies_keep_the_same_air(body: str, frame: str) -> None:
    air, vents, holds = looked(body, frame)
    plain, there, _ = looked(body, "as it is")
    here, was = air.left(vents), plain.left(there)
    assert here.level_mm3 == pytest.approx(was.level_mm3, rel=0.02, abs=1e-4 * holds)
    assert here.worst_mm3 == pytest.approx(was.worst_mm3, rel=0.03, abs=1e-4 * holds)
    # Every tilt has its own counterpart, so that the sorted volumes agree one by one.
    assert np.allclose(np.sort(here.volumes_mm3), np.sort(was.volumes_mm3), rtol=0.05, atol=5e-4 * holds)


@pytest.mark.parametrize("body", BODIES)
def test_the_search_finds_as_many_vents_in_every_frame(body: str) -> None:
    def found(frame: str) -> int:
        air, _, holds = looked(body, frame)

        def seat(peak: Point) -> Vent:
            return Vent(x_mm=peak[0], y_mm=peak[1], start_mm=peak[2], inside_mm=peak[2], top_mm=peak[2])

        vents = fewest_vents(air, seat, limit_mm3=2e-3 * holds, apart_mm=3.0, gain=0.05, most=12)
        assert (air.left(outlets(vents)).volumes_mm3 <= 2e-3 * holds * 1.01).all()
        return len(vents)

    counts = {frame: found(frame) for frame in ("as it is", *FRAMES)}
    assert len(set(counts.values())) == 1, counts


def lopsided() -> Node:
    """A flat-topped block with a step, a hole and a foot, like its mirror image in nothing."""
    block = Box(-14, -9, -12, 14, 9, 0) | Box(4, -9, -18, 14, 3, -10)
    return block - cylinder(radius_mm=2.5, z0_mm=-30, z1_mm=1).at(-8, 3, 0) - Box(-20, -20, -30, -9, -4, -6)


@cache
def kit(frame: str) -> Moulded:
    return moulded(solid_of(lopsided(), FRAMES.get(frame)), pull="as drawn", cavities=1)


@pytest.mark.parametrize("frame", ["a quarter turn", "mirrored"])
def test_the_kit_of_a_turned_or_mirrored_solid_holds_the_same_silicone_and_resin(frame: str) -> None:
    here, was = kit(frame), kit("as it is")
    assert here.proof.ok
    assert here.design.style == was.design.style
    for name in ("part", "silicone lower", "silicone lid", "vents"):
        assert here.volume_mm3(name) == pytest.approx(was.volume_mm3(name), rel=5e-3, abs=1e-6), name
    mine, theirs = here.study(), was.study()
    assert mine.undercut_mm3 == pytest.approx(theirs.undercut_mm3, rel=1e-2, abs=1.0)
    assert mine.trapped_mm3 == pytest.approx(theirs.trapped_mm3, rel=5e-2, abs=1.0)
