"""Solids are made once, remade only where the tree changed, and are the same in every process."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.basics.errors import Cancelled
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.brep import BrepKernel
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.measure import to_m, to_m2, to_m3, to_mm, to_mm2, to_mm3
from pourwright.engines.geometry.tree import Box, Node, cylinder, union
from reference_kits import bushing, lidded_kit, open_kit

TESTS = Path(__file__).resolve().parents[1]


def kit_of(wall: float) -> Node:
    part = bushing()
    cells = union(*(part.at(x) for x in (-15, 15)))
    return Box(-30 - wall, -15 - wall, -20, 30 + wall, 15 + wall, 0) - cells


def test_a_shared_solid_is_made_once() -> None:
    here = Evaluator(MeshKernel(24))
    here.volume(kit_of(5))
    kinds = [entry.kind for entry in here.log]
    assert sorted(kinds) == ["Box", "Op", "Op", "Placed", "Placed", "Revolve"]


def test_asking_again_makes_nothing() -> None:
    here = Evaluator(MeshKernel(24))
    first = here.volume(kit_of(5))
    made = len(here.log)
    assert here.volume(kit_of(5)) == first
    assert here.bodies(kit_of(5)) == 1
    assert len(here.log) == made


def test_what_is_forgotten_is_made_again_and_known_figures_stay() -> None:
    here = Evaluator(MeshKernel(24))
    volume, made = here.volume(kit_of(5)), len(here.log)
    here.forget()
    assert here.volume(kit_of(5)) == volume
    assert len(here.log) == made
    here.area(kit_of(5))
    assert len(here.log) == 2 * made


def test_a_change_remakes_only_what_it_touches() -> None:
    here = Evaluator(MeshKernel(24))
    here.volume(kit_of(5))
    made = len(here.log)
    here.volume(kit_of(6))
    assert [entry.kind for entry in here.log[made:]] == ["Box", "Op"]


def test_the_volume_of_a_moved_copy_needs_no_new_solid() -> None:
    here = Evaluator(BrepKernel())
    part = bushing()
    volume = here.volume(part)
    made = len(here.log)
    assert here.volume(part.at(5, 6, 7, turn_deg=30)) == volume
    assert here.volume(part.scaled(2.0).mirrored_z()) == pytest.approx(8 * volume, rel=1e-12)
    assert len(here.log) == made


def test_a_tree_deeper_than_the_recursion_limit_is_made() -> None:
    node: Node = Box(0, 0, 0, 1, 1, 1)
    for _ in range(3 * sys.getrecursionlimit()):
        node = node.at(1.0)
    here = Evaluator(MeshKernel(24))
    assert here.bounds(node)[0][0] == pytest.approx(3 * sys.getrecursionlimit())


def test_a_bounded_memory_forgets_but_answers_the_same() -> None:
    wide, narrow = Evaluator(MeshKernel(24)), Evaluator(MeshKernel(24), memory=100)
    kit = open_kit()
    assert narrow.volume(kit.cavity) == wide.volume(kit.cavity)
    again = len(narrow.log)
    narrow.area(kit.cavity)
    narrow.area(kit.lower)
    assert len(narrow.log) > again


def test_a_stopped_evaluation_goes_on_where_it_stopped() -> None:
    here = Evaluator(MeshKernel(24))
    kit = open_kit()

    def stop(fraction: float, words: str) -> None:
        if len(here.log) == 5:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        here.solid(kit.cavity, report=stop)
    assert len(here.log) == 5
    said: list[float] = []
    here.solid(kit.cavity, report=lambda fraction, words: said.append(fraction))
    assert len({entry.key for entry in here.log}) == len(here.log)
    assert all(0 <= fraction <= 1 for fraction in said)


def test_kernels_with_other_settings_have_other_names() -> None:
    kernels = [MeshKernel(24), MeshKernel(48), MeshKernel(48, corrected=False), MeshKernel(48, tolerance_mm=0.1)]
    names = {kernel.name for kernel in [*kernels, BrepKernel(), BrepKernel(fuzzy_mm=1e-5)]}
    assert len(names) == 6


def digest() -> str:
    """Every vertex, triangle and figure of reference moulds in both kernels, as one hash."""
    found = hashlib.sha256()
    for kernel, kit in ((MeshKernel(24), open_kit()), (MeshKernel(48), lidded_kit()), (BrepKernel(), lidded_kit())):
        here = Evaluator(kernel)
        for node in (kit.lower, kit.closing, kit.cavity):
            vertices, triangles = here.mesh(node, 0.1)
            found.update(vertices.tobytes() + triangles.tobytes())
            found.update(f"{here.volume(node).hex()} {here.area(node).hex()}".encode())
    return found.hexdigest()


def test_a_fresh_process_makes_the_same_solids_to_the_last_bit() -> None:
    command = f"import sys; sys.path[:0] = [{str(TESTS)!r}, {str(TESTS / 'identities')!r}]\n"
    command += "import test_evaluator; print(test_evaluator.digest())"
    other = subprocess.run([sys.executable, "-c", command], capture_output=True, text=True, check=True)
    assert other.stdout.split()[-1] == digest()


@given(st.floats(min_value=1e-3, max_value=1e4).map(lambda x: round(x, 6)))
def test_millimetres_survive_the_way_through_si(length_mm: float) -> None:
    assert to_mm(to_m(length_mm)) == length_mm
    assert to_mm2(to_m2(length_mm)) == pytest.approx(length_mm, rel=1e-15)
    assert to_mm3(to_m3(length_mm)) == pytest.approx(length_mm, rel=1e-15)


def test_a_rod_is_what_it_says() -> None:
    low, high = Evaluator(BrepKernel()).bounds(cylinder(radius_mm=2, z0_mm=1, z1_mm=3))
    assert [*low, *high] == pytest.approx([-2, -2, 1, 2, 2, 3], abs=1e-6)
