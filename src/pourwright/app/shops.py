"""Start shop folders from the examples that come along, and write the schemas of their files."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from pourwright.app.project_files import corner_fields, part_fields
from pourwright.catalogue.materials import material_names
from pourwright.catalogue.moulds.style import STYLES
from pourwright.store.new_shop import FIRST, example_files, new_shop
from pourwright.store.schemas import project_schema, shop_schema
from pourwright.store.writing import write_file

DEMO = "parcel box"
DEMO_PROJECT = "mount"
_DEMO_FOLDER = "demo-shop"


@dataclass(frozen=True, kw_only=True)
class Started:
    """A new shop folder: its files as written, its projects, the demo's main one first."""

    folder: Path
    files: tuple[str, ...]
    projects: tuple[str, ...]


def start_shop(folder: Path, example: str | None = None) -> Started:
    """Make a shop folder with a first project, or with everything of an example.

    Raises
    ------
    CannotWrite
        Something is in the folder already.
    UnknownName
        No such example.
    """
    files = example_files(example or FIRST)
    new_shop(folder, files)
    names = {name.split("/")[1] for name in files if name.startswith("projects/")}
    return Started(
        folder=folder,
        files=tuple(sorted(files)),
        projects=tuple(sorted(names, key=lambda name: (name != DEMO_PROJECT, name))),
    )


def demo_folder(into: Path) -> Path:
    """A name for the demo's shop folder that is not taken yet: demo-shop, demo-shop-2, …"""
    folder, number = into / _DEMO_FOLDER, 1
    while folder.exists():
        number += 1
        folder = into / f"{_DEMO_FOLDER}-{number}"
    return folder


def write_schemas(folder: Path) -> tuple[Path, ...]:
    """Write the JSON Schemas of shop.toml and project.toml, for editors."""
    names = material_names()
    project = project_schema(
        part_fields=part_fields(),
        corner_fields=corner_fields(),
        resins=tuple(name for name in names if name.startswith("urethane")),
        silicones=tuple(name for name in names if not name.startswith("urethane")),
        styles=tuple(STYLES),
    )
    written = []
    for name, schema in (("shop", shop_schema()), ("project", project)):
        path = folder / f"{name}.schema.json"
        write_file(path, (json.dumps(schema, indent=1, ensure_ascii=False) + "\n").encode())
        written.append(path)
    return tuple(written)
