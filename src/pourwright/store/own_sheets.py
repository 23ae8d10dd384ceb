"""The shop's own sheets in `materials/`: one file a material, over the class defaults."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pourwright.store.folder import ShopFolder, as_shop
from pourwright.store.toml_file import TomlFile, read_toml


def own_sheet_names(root: Path | ShopFolder) -> tuple[str, ...]:
    """The names of the materials for which the shop has a sheet of its own."""
    return tuple(_sheet_name(file) for file in _sheets(as_shop(root)))


def read_own_sheet(root: Path | ShopFolder, material: str) -> Mapping[str, Any] | None:
    """The values of the shop's own sheet for a material, as written; None when there is none.

    The sheet is the file in `materials/` that is called like the material ("bench-80.toml" for "bench 80"),
    or whose key `name` says so; that key is not handed on.

    Raises
    ------
    CannotRead
        A sheet is no TOML.
    """
    found = _find(as_shop(root), material)
    return None if found is None else {key: value for key, value in found.data.items() if key != "name"}


def own_sheet_file(root: Path | ShopFolder, material: str) -> Path | None:
    """The file of the shop's own sheet for a material; None when there is none."""
    found = _find(as_shop(root), material)
    return None if found is None else found.path


def _find(shop: ShopFolder, material: str) -> TomlFile | None:
    return next((file for file in _sheets(shop) if _folded(_sheet_name(file)) == _folded(material)), None)


def _sheets(shop: ShopFolder) -> list[TomlFile]:
    folder = shop.root / "materials"
    paths = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return [read_toml(path, shown=shop.shown(path)) for path in paths]


def _sheet_name(file: TomlFile) -> str:
    name = file.data.get("name")
    return name if isinstance(name, str) else re.sub(r"[-_]", " ", file.path.stem)


def _folded(name: str) -> str:
    return re.sub(r"[\s_-]+", " ", name).strip().casefold()
