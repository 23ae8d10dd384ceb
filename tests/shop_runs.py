"""A shop in a folder of the test, and the program run in it as a person would."""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pourwright.cli.main import main

SHOP = """
[[printer]]
bed = ["220 mm", "220 mm", "250 mm"]

[pot]
inside_diameter = "260 mm"
inside_height = "280 mm"
rated_pressure = "60 psi"

[scale]
readability = "0.01 g"
repeatability = "0.01 g"
"""

# A small part that takes the open style: one pour, no lid.
STOP = {
    "part": {"family": "straight bushing", "outer_diameter": "24 mm", "height": "14 mm", "bore": "6 mm"},
    "resin": {"material": "urethane 80A"},
    "silicone": {"material": "platinum silicone 30A"},
}


@dataclass(frozen=True)
class Run:
    """What one command gave: exit code, both streams, and the object of --json where that was asked."""

    code: int
    out: str
    err: str
    answer: dict[str, Any] = field(default_factory=dict)

    @property
    def error(self) -> dict[str, Any]:
        found: dict[str, Any] = self.answer["error"]
        return found

    def check(self, name: str) -> dict[str, Any]:
        """The one check of that name."""
        [found] = [check for check in self.answer["checks"] if check["name"] == name]
        return found

    def failed(self) -> list[str]:
        return [check["name"] for check in self.answer["checks"] if not check["ok"] and check["severity"] == "fail"]

    def pour(self, name: str) -> dict[str, Any]:
        [found] = [pour for pour in self.answer["pours"] if pour["name"] == name]
        return found


@dataclass(frozen=True)
class ShopFolder:
    """A shop folder, and commands in it."""

    root: Path

    @property
    def out(self) -> Path:
        return self.root / "projects" / "part" / "out"

    @property
    def project(self) -> Path:
        return self.root / "projects" / "part" / "project.toml"

    def run(self, *words: str, json_too: bool = True) -> Run:
        """One command in this process; with --json its one object is read."""
        return run(*words, "--shop", str(self.root), *(["--json"] if json_too else []))

    def spawn(self, *words: str, **more: Any) -> subprocess.CompletedProcess[str]:
        """One command in a process of its own."""
        return subprocess.run(
            [*COMMAND, *words, "--shop", str(self.root)], capture_output=True, text=True, check=False, **more
        )


COMMAND = (sys.executable, "-m", "pourwright.cli.main")


def run(*words: str) -> Run:
    """One command line in this process."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(list(words))
    answer = only_object(out.getvalue()) if "--json" in words else {}
    return Run(code, out.getvalue(), err.getvalue(), answer)


def only_object(text: str) -> dict[str, Any]:
    """The one JSON object that a text is, and nothing else."""

    def refuse(name: str) -> None:
        raise ValueError(f"{name} is no JSON")

    found = json.loads(text, parse_constant=refuse)
    if not isinstance(found, dict) or text.count("\n") != 1:
        raise ValueError("not one object on one line")
    return found


def shop(folder: Path, *projects: Mapping[str, Mapping[str, Any]], toml: str = SHOP, **sheets: str) -> ShopFolder:
    """A new shop with one project called "part"; tables of later projects are laid over earlier ones.

    Own sheets by name ("mine" becomes materials/mine.toml).
    """
    tables: dict[str, dict[str, Any]] = {}
    for project in projects or (STOP,):
        for table, keys in project.items():
            tables[table] = {**tables.get(table, {}), **keys} if table != "part" else dict(keys)
    found = ShopFolder(folder)
    write(found.root / "shop.toml", toml)
    write(found.project, "".join(_table(name, keys) for name, keys in tables.items()))
    for name, sheet in sheets.items():
        write(found.root / "materials" / f"{name}.toml", sheet)
    return found


def write(path: Path, text: str | bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def snapshot(folder: Path) -> dict[str, str]:
    """Every file below a folder with the hash of its content, empty folders too."""
    found = {}
    for place, folders, files in os.walk(folder):
        for name in folders:
            found[str((Path(place) / name).relative_to(folder)) + "/"] = ""
        for name in files:
            path = Path(place) / name
            found[str(path.relative_to(folder))] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


def _table(name: str, keys: Mapping[str, Any]) -> str:
    lines = [f"{key} = {_value(value)}" for key, value in keys.items()]
    return f"[{name}]\n" + "\n".join(lines) + "\n\n"


def _value(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)
