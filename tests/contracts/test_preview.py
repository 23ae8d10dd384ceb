"""A preview follows the edits of a person: the newest wins, nothing stale comes after it, and an error ends nothing."""

from __future__ import annotations

import itertools
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import pytest

from pourwright.app.preview import Preview, edited
from pourwright.app.preview_job import STAGES, Look
from pourwright.app.project_files import Loaded, load
from pourwright.app.shops import DEMO, start_shop
from pourwright.basics.errors import DoesNotFit
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.repeats.surfaces import Surfaces
from pourwright.steps.planning.plan_mould import plan_mould
from pourwright.steps.quick_look import look_at_mould
from pourwright.store.shop_folder import open_shop

PATIENCE_SECONDS = 120.0
PARTS = {
    "straight bushing": {"outer_diameter": 0.028, "height": 0.024, "bore": 0.009},
    "taper bushing": {"lower_diameter": 0.028, "upper_diameter": 0.022, "height": 0.02, "bore": 0.009},
    "barrel bushing": {"outer_diameter": 0.028, "belly_diameter": 0.034, "height": 0.026, "bore": 0.01},
    "waisted bushing": {"outer_diameter": 0.028, "waist_diameter": 0.024, "height": 0.026, "bore": 0.01},
    "stepped bushing": {
        "outer_diameter": 0.03,
        "shoulder_diameter": 0.02,
        "shoulder_height": 0.008,
        "height": 0.024,
        "bore": 0.008,
    },
    "bumper": {"outer_diameter": 0.024, "height": 0.015},
    "ring": {"outer_diameter": 0.04, "inner_diameter": 0.028, "height": 0.006},
    "roller": {"outer_diameter": 0.03, "height": 0.02, "core_diameter": 0.012, "core_bore": 0.006},
}


class Watcher:
    """A preview with everything that it delivered."""

    def __init__(self) -> None:
        self.looks: list[Look] = []
        self._news = threading.Condition()
        self.preview = Preview(self._seen, rest_seconds=0.05)

    def _seen(self, look: Look) -> None:
        with self._news:
            self.looks.append(look)
            self._news.notify_all()

    def wait_for(self, wanted: Callable[[Look], bool]) -> Look:
        """The first look of this kind; fails when none comes."""
        with self._news:
            assert self._news.wait_for(lambda: any(map(wanted, self.looks)), timeout=PATIENCE_SECONDS)
            return next(filter(wanted, self.looks))


@pytest.fixture(scope="module")
def watcher() -> Iterator[Watcher]:
    watcher = Watcher()
    yield watcher
    watcher.preview.close()


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    shop = tmp_path_factory.mktemp("preview") / "shop"
    name = start_shop(shop, DEMO).projects[0]
    return load(open_shop(shop), name)


def with_bore(loaded: Loaded, bore: float) -> Loaded:
    return edited(
        loaded, part=replace(loaded.project.part, dimensions={**loaded.project.part.dimensions, "bore": bore})
    )


def with_cavities(loaded: Loaded, cavities: int) -> Loaded:
    return edited(loaded, project=replace(loaded.project, mould=replace(loaded.project.mould, cavities=cavities)))


@pytest.fixture(scope="module")
def dragged(watcher: Watcher, loaded: Loaded) -> tuple[int, ...]:
    """The numbers of requests that came faster than they could be answered, the last one answered in full."""
    numbers = tuple(watcher.preview.ask(with_bore(loaded, 0.010 + 1e-5 * step)) for step in range(12))
    watcher.wait_for(lambda look: look.number == numbers[-1] and look.stage == "proof")
    return numbers


def test_the_newest_request_is_answered_in_full_and_in_order(watcher: Watcher, dragged: tuple[int, ...]) -> None:
    assert [look.stage for look in watcher.looks if look.number == dragged[-1]] == list(STAGES)


def test_nothing_stale_comes_after_a_newer_look(watcher: Watcher, dragged: tuple[int, ...]) -> None:
    numbers = [look.number for look in watcher.looks]
    assert numbers == sorted(numbers)


def test_what_is_overtaken_is_never_proven(watcher: Watcher, dragged: tuple[int, ...]) -> None:
    stages = {look.stage for look in watcher.looks if look.number in dragged[:-1]}
    assert stages <= {"mould"}


def test_only_the_last_look_is_proven_and_it_holds_every_check(watcher: Watcher, dragged: tuple[int, ...]) -> None:
    quick, pieces, proof = (look for look in watcher.looks if look.number == dragged[-1])
    assert [quick.proven, pieces.proven, proof.proven] == [False, False, True]
    assert proof.kit is not None
    full = {check.name: check for check in proof.kit.checks}
    for check in pieces.checks:
        assert check.name in full
        if not proof.seen:
            assert check.ok == full[check.name].ok, check.name
            assert check.value == pytest.approx(full[check.name].value, rel=1e-3), check.name


def test_the_figures_found_from_like_pieces_are_those_of_the_proof(watcher: Watcher, dragged: tuple[int, ...]) -> None:
    quick, _, proof = (look for look in watcher.looks if look.number == dragged[-1])
    kit = proof.kit
    assert kit is not None
    true = {
        "part_mm3": kit.part_volume,
        "cavity_mm3": kit.cavity_volume,
        "vents_mm3": kit.vents_volume,
        "wells_mm3": kit.wells_volume,
        "silicone_lower_mm3": kit.silicone_lower_volume,
        "silicone_lid_mm3": kit.silicone_lid_volume,
    }
    for key, volume in true.items():
        assert proof.figures[key] == pytest.approx(1e9 * volume, rel=1e-9), key
        if not proof.seen:
            assert quick.figures[key] == proof.figures[key]
    bodies = {body.name: body for body in kit.bodies}
    for piece in proof.figures["pieces"]:
        body = bodies[piece["name"]]
        assert piece["volume_mm3"] == pytest.approx(1e9 * body.volume, rel=1e-9)
        assert piece["size_mm"] == pytest.approx([1e3 * length for length in body.size], abs=2e-3)


def test_everything_that_the_kit_names_is_drawn(watcher: Watcher, dragged: tuple[int, ...]) -> None:
    quick, pieces, proof = (look for look in watcher.looks if look.number == dragged[-1])
    assert proof.kit is not None
    seen = proof.seen or (*quick.seen, *pieces.seen)
    assert {one.name for one in seen} == {body.name for body in proof.kit.bodies}
    for one in itertools.chain.from_iterable(thing.surfaces for thing in seen):
        assert one.vertices_mm.dtype == np.float32
        assert one.triangles.dtype == np.uint32
        assert int(one.triangles.max()) < len(one.vertices_mm)


@pytest.mark.parametrize("family", sorted(PARTS))
def test_the_volumes_of_a_quick_look_are_those_of_solids_made_whole(family: str) -> None:
    part = Part(family=family, dimensions=PARTS[family])
    wish = MouldWish(cavities=2)
    resin, silicone = "urethane 80A", "platinum silicone 30A"
    plan = plan_mould(
        Project(name="one", title="one", part=part, resin=resin, silicone=silicone, mould=wish),
        shape_of(part),
        Shop(),
        resin=load_material(resin),
        silicone=load_material(silicone),
    )
    figures = look_at_mould(plan, Surfaces(Evaluator(MeshKernel()))).figures
    design, whole = plan.design, Evaluator(MeshKernel())
    nodes = {
        "cavity_mm3": design.resin,
        "silicone_lower_mm3": design.lower,
        "silicone_lid_mm3": design.closing if design.closing_is_silicone else None,
        "vents_mm3": design.vents,
        "wells_mm3": design.wells,
    }
    for key, node in nodes.items():
        volume = 0.0 if node is None else whole.volume(node)
        assert figures[key] == pytest.approx(volume, rel=1e-9, abs=1e-6), key


def test_an_error_is_told_and_the_next_request_is_answered(watcher: Watcher, loaded: Loaded) -> None:
    bad = watcher.preview.ask(with_cavities(loaded, 64))
    told = watcher.wait_for(lambda look: look.number == bad)
    assert isinstance(told.error, DoesNotFit)
    assert told.error.advice
    good = watcher.preview.ask(loaded)
    assert watcher.wait_for(lambda look: look.number == good).error is None


def test_what_is_stopped_is_not_delivered(watcher: Watcher, loaded: Loaded) -> None:
    stopped = watcher.preview.ask(with_bore(loaded, 0.0123))
    watcher.preview.stop()
    after = watcher.preview.ask(loaded)
    watcher.wait_for(lambda look: look.number == after)
    assert stopped not in [look.number for look in watcher.looks]


def test_after_closing_nothing_comes(loaded: Loaded) -> None:
    watcher = Watcher()
    watcher.preview.ask(loaded)
    watcher.preview.close()
    told = len(watcher.looks)
    time.sleep(0.2)
    assert len(watcher.looks) == told
    assert all(look.stage != "proof" for look in watcher.looks)
