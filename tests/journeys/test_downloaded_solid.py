"""The page "From a downloaded solid to a mould", followed word by word."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.write import stl_bytes
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Revolve, polygon
from shop_runs import run, write

PAGE = (Path(__file__).parents[2] / "docs" / "how-to" / "from-a-downloaded-solid.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^    pourwright (.+)$", PAGE, re.MULTILINE)
PROJECT, MORE = re.findall(r"```toml\n(.+?)```", PAGE, re.DOTALL)
KNOB = Revolve(polygon([(0, 0), (12, 0), (12, 3), (7, 8), (7, 11), (13, 15), (13, 21), (0, 22)]))


@pytest.fixture(scope="module")
def bench(tmp_path_factory) -> Path:
    """The shop folder of the page, with the file that was downloaded."""
    folder = tmp_path_factory.mktemp("downloaded") / "my-shop"
    assert run("new", str(folder)).code == 0
    solid = stl_bytes(Evaluator(MeshKernel(24)).mesh(KNOB))
    write(folder / "knob.stl", solid)
    write(folder / "projects" / "knob" / "knob.stl", solid)
    return folder


def told(command: str, folder: Path, monkeypatch):
    monkeypatch.chdir(folder)
    return run(*command.split(), "--json")


def test_the_knob_is_inspected_as_the_page_says(bench, monkeypatch) -> None:
    done = told(COMMANDS[0], bench, monkeypatch)
    assert done.code == 0
    assert done.answer["verdict"]["opens"]
    assert (bench / "knob.svg").read_bytes().startswith(b"<svg")


@pytest.mark.parametrize(("project", "turned"), [(PROJECT, "the silicone lets go"), (PROJECT + MORE, "asked for")])
def test_the_knob_becomes_a_kit_as_the_page_says(bench, monkeypatch, project: str, turned: str) -> None:
    write(bench / "projects" / "knob" / "project.toml", project)
    done = told(COMMANDS[1], bench, monkeypatch)
    assert done.code == 0, done.answer.get("error") or done.failed()
    assert turned in done.answer["pull_reason"]
    assert done.answer["cavities"] == (2 if "cavities = 2" in project else 1)
    assert (bench / "projects" / "knob" / "out" / "print" / "kit.3mf").exists()
