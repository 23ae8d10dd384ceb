"""The page "Your first part", followed word by word."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path
from typing import Any

import pytest

from shop_runs import Run, run

PAGE = (Path(__file__).parents[2] / "docs" / "tutorial" / "first-part.md").read_text(encoding="utf-8")
DEMO, MAKE, MEASURE, POURS, NEW = [shlex.split(line) for line in re.findall(r"^    \./start(.*)$", PAGE, re.MULTILINE)]


@pytest.fixture
def bench(lidded, tmp_path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder in which the demo's shop was made, as the first two commands leave it."""
    assert (DEMO, MAKE) == ([], ["make", "mount", "--shop", "demo-shop"])
    shutil.copytree(lidded.shop.root, tmp_path / "demo-shop")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def asked(command: list[str]) -> Run:
    return run(*command, "--json")


def grams(pours: list[dict[str, Any]], name: str) -> list[str]:
    [pour] = [one for one in pours if one["name"] == name]
    return [f"{pour[key]:.1f} g" for key in ("a_g", "b_g", "total_g")]


def test_every_file_that_the_page_names_is_made(bench, lidded) -> None:
    out = bench / "demo-shop" / "projects" / "mount" / "out"
    named = ["bench-sheet-a4.pdf", "bench-sheet-letter.pdf", "pictures/apart.svg", "print/fit-button.stl"]
    assert all(f"`{name.removeprefix('bench-sheet') if 'letter' in name else name}`" in PAGE for name in named)
    for name in (*named, "print/lower-pattern.stl", "print/upper-pattern.stl"):
        assert (out / name).stat().st_size > 0
    assert (bench / "demo-shop" / "shop.toml").exists()
    assert (lidded.run.code, lidded.run.answer["kit"]["ok"]) == (0, True)


def test_the_grams_on_the_page_are_those_of_the_demo(lidded) -> None:
    pours = lidded.run.answer["pours"]["pours"]
    assert f"fill line 1: {grams(pours, 'silicone lower half')[2]} in all" in PAGE
    assert f"Pour the lid, {grams(pours, 'silicone lid')[2]}," in PAGE
    a, _, total = grams(pours, "cast")
    assert f"Weigh A to {a}, then B into the same cup up to {total}." in PAGE


def test_the_readings_on_the_page_are_a_go(bench) -> None:
    done = asked(MEASURE)
    assert (done.code, done.answer["verdict"]) == (0, "go")
    assert (bench / "demo-shop" / "projects" / "mount" / "measured.toml").exists()


def test_too_much_a_gets_the_b_that_the_page_tells(bench) -> None:
    done = asked(POURS)
    a, b, _ = grams(done.answer["pours"], "cast")
    assert done.code == 0
    assert f"{a} of A wants {b} of B" in PAGE


def test_a_shop_of_ones_own_has_a_first_project(bench) -> None:
    done = asked(NEW)
    assert (done.code, done.answer["projects"]) == (0, ["first"])
