"""The picture of the layers holds, and the guard that keeps it bites."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
GUARD = Path(sys.executable).with_name("lint-imports")

WRONG = {
    "an engine knows the nouns": ("engines/process/mixing.py", "import pourwright.domain.shop"),
    "an engine knows another engine": ("engines/process/mixing.py", "import pourwright.engines.geometry.tree"),
    "a noun knows an engine": ("domain/shop.py", "import pourwright.engines.geometry.tree"),
    "basics know anything": ("basics/need.py", "import pourwright.domain.shop"),
    "a shelf knows another shelf": ("catalogue/moulds/design.py", "import pourwright.catalogue.families"),
    "a shelf knows a step": ("catalogue/part_shape.py", "import pourwright.steps"),
    "a step knows the store": ("steps/__init__.py", "import pourwright.store"),
    "the store knows the catalogue": ("store/__init__.py", "import pourwright.catalogue"),
    "the app knows the command line": ("app/__init__.py", "import pourwright.cli"),
}


def _guard(folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(folder / "src")}
    command = [str(GUARD), "--no-cache", "--config", "pyproject.toml"]
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_imports_point_down_only() -> None:
    answer = _guard(ROOT)
    assert answer.returncode == 0, answer.stdout
    assert "0 broken" in answer.stdout


@pytest.mark.parametrize("kind", WRONG)
def test_the_guard_bites_when(kind: str, copy: Path) -> None:
    place, line = WRONG[kind]
    file = copy / "src" / "pourwright" / place
    file.write_text(file.read_text(encoding="utf-8") + f"\n{line}\n", encoding="utf-8")
    answer = _guard(copy)
    assert answer.returncode != 0
    assert "BROKEN" in answer.stdout
