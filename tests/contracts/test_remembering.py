"""What was made before and has not changed is not made again; anything else is, and a spoilt memory is only slow."""

from __future__ import annotations

import json
import os
import threading
from collections.abc import Iterator
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.app import remembered, workbench
from pourwright.app.remembered import STEPS, Remembered, step_versions
from pourwright.app.shops import start_shop
from pourwright.app.workbench import Made, Workbench
from pourwright.basics.errors import KernelFault
from pourwright.basics.plain_form import from_plain, to_plain
from pourwright.store.cache import Cache, cache_folder

PART = """title = "Pad"

[part]
family = "straight bushing"
outer_diameter = "{size} mm"
height = "8 mm"
bore = "0 mm"
edge_radius = "0 mm"

[resin]
material = "urethane 80A"

[silicone]
material = "platinum silicone 30A"

[mould]
style = "open with cover plate"
cavities = 1
"""


@pytest.fixture(scope="module")
def memory(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder of its own in which kits are remembered."""
    folder = tmp_path_factory.mktemp("memory")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("POURWRIGHT_CACHE", str(folder))
        yield folder


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with one small part."""
    folder = tmp_path_factory.mktemp("remembering") / "shop"
    start_shop(folder)
    write(folder, 20)
    return folder


def write(shop: Path, size: int) -> None:
    place = shop / "projects" / "pad"
    place.mkdir(exist_ok=True)
    (place / "project.toml").write_text(PART.format(size=size), encoding="utf-8")


def contents(out: Path) -> dict[str, bytes]:
    return {str(path.relative_to(out)): path.read_bytes() for path in sorted(out.rglob("*")) if path.is_file()}


@pytest.fixture(scope="module")
def first(memory: Path, shop: Path) -> tuple[Made, dict[str, bytes]]:
    """The kit made once, with its files."""
    made = Workbench(shop).kit("pad", step=False)
    return made, contents(made.out)


@pytest.fixture
def idle(monkeypatch: pytest.MonkeyPatch) -> None:
    """A workbench that can make nothing."""

    def refuse(*_: object, **__: object) -> None:
        raise KernelFault("it was made again")

    monkeypatch.setattr(workbench, "make_kit", refuse)


@pytest.mark.usefixtures("idle")
def test_the_second_time_nothing_is_made_and_everything_is_the_same(
    shop: Path, first: tuple[Made, dict[str, bytes]]
) -> None:
    made, files = first
    again = Workbench(shop).kit("pad", step=False)
    assert not made.remembered
    assert again.remembered
    assert again.kit == made.kit
    assert contents(again.out) == files


@pytest.mark.usefixtures("idle", "first")
@pytest.mark.parametrize("change", ["size", "fresh", "version", "program", "spoilt", "empty", "off"])
def test_what_has_changed_or_is_spoilt_is_made_again(
    change: str, shop: Path, memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = next(memory.glob("*.kept"))
    whole = kept.read_bytes()
    if change == "size":
        write(shop, 21)
    elif change == "version":
        monkeypatch.setattr(remembered, "step_versions", lambda: (("make_kit", 0),))
    elif change == "program":
        monkeypatch.setattr(remembered, "_program", lambda: ("another",))
    elif change == "spoilt":
        kept.write_bytes(whole[:-7] + b"nothing")
    elif change == "empty":
        kept.write_bytes(b"")
    elif change == "off":
        monkeypatch.setenv("POURWRIGHT_CACHE", "off")
    try:
        with pytest.raises(KernelFault, match="made again"):
            Workbench(shop, fresh=change == "fresh").kit("pad", step=False)
    finally:
        kept.write_bytes(whole)
        write(shop, 20)


def test_the_versions_in_the_key_are_those_of_the_steps() -> None:
    assert step_versions() == tuple((name, import_module(f"pourwright.steps.{name}").VERSION) for name in STEPS)


def test_a_noun_that_has_no_plain_form_is_not_kept(tmp_path: Path, first: tuple[Made, dict[str, bytes]]) -> None:
    made, _ = first
    Remembered(Cache(tmp_path)).keep(("kit",), made.loaded, replace(made.kit, stretch={"lower": 1j}), {})  # type: ignore[dict-item]
    assert list(tmp_path.iterdir()) == []


# ---------------------------------------------------------------- the folder


def test_beyond_its_limit_the_least_recently_used_go(tmp_path: Path) -> None:
    cache = Cache(tmp_path, limit_bytes=3000)
    for number, key in enumerate(("a", "b", "c")):
        cache.put(key, {"x.bin": bytes(800)})
        os.utime(tmp_path / f"{key}.kept", (1000.0 + number, 1000.0 + number))
    assert cache.get("a") == {"x.bin": bytes(800)}
    cache.put("d", {"x.bin": bytes(800)})
    assert [cache.get(key) is not None for key in ("a", "b", "c", "d")] == [True, False, True, True]


def test_what_is_larger_than_the_limit_is_not_kept(tmp_path: Path) -> None:
    cache = Cache(tmp_path, limit_bytes=100)
    cache.put("a", {"x.bin": bytes(101)})
    assert cache.get("a") is None


def test_a_reader_beside_writers_sees_a_whole_entry_or_none(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    ended = threading.Event()
    entries = [{"x.bin": bytes([number]) * 200_000} for number in range(3)]

    def write_on(entry: dict[str, bytes]) -> None:
        while not ended.is_set():
            cache.put("key", entry)

    threads = [threading.Thread(target=write_on, args=(entry,)) for entry in entries]
    for thread in threads:
        thread.start()
    try:
        seen = [cache.get("key") for _ in range(60)]
    finally:
        ended.set()
        for thread in threads:
            thread.join()
    assert all(entry is None or entry in entries for entry in seen)
    assert cache.get("key") in entries
    assert [path.name for path in tmp_path.iterdir()] == ["key.kept"]


def test_a_folder_that_cannot_be_made_is_only_slow(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_bytes(b"")
    cache = Cache(blocked / "inside")
    cache.put("a", {"x.bin": b"1"})
    assert cache.get("a") is None


def test_an_entry_under_the_name_of_another_is_none(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    cache.put("a", {"x.bin": b"1"})
    (tmp_path / "a.kept").rename(tmp_path / "b.kept")
    assert cache.get("b") is None


def test_off_remembers_nothing_and_a_folder_may_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("POURWRIGHT_CACHE", "off")
    assert cache_folder() is None
    monkeypatch.setenv("POURWRIGHT_CACHE", str(tmp_path))
    assert cache_folder() == tmp_path


# ---------------------------------------------------------------- the plain form


@dataclass(frozen=True)
class Noun:
    """Any frozen value."""

    name: str
    inner: object = None


simple = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text()
values = st.recursive(
    simple,
    lambda inner: (
        st.lists(inner)
        | st.lists(inner).map(tuple)
        | st.dictionaries(st.text(), inner)
        | st.builds(Noun, st.text(), inner)
    ),
)


@given(values)
def test_a_value_comes_back_from_its_plain_form(value: object) -> None:
    assert from_plain(json.loads(json.dumps(to_plain(value))), {"Noun": Noun}) == value


@pytest.mark.parametrize("plain", [[1], {"is": "Other", "of": {}}, {"is": "Noun", "of": {"age": 3}}, {"tuple": 3}, {}])
def test_what_no_value_has_as_its_plain_form_is_refused(plain: object) -> None:
    with pytest.raises(ValueError, match=r"."):
        from_plain(plain, {"Noun": Noun})
