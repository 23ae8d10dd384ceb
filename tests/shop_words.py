"""What the catalogue knows, handed to the readers of project files as the program does."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.materials import load_material, material_names
from pourwright.store.new_shop import example_files, new_shop
from pourwright.store.shop_folder import ShopFolder

PART_FIELDS = {name: {field.key: field for field in family.dimensions} for name, family in FAMILIES.items()}
CORNER_FIELDS = {
    name: {field.key: field for field in family.corner} for name, family in FAMILIES.items() if family.corner
}
RESINS = [name for name in material_names() if load_material(name).kind == "urethane"]
SILICONES = [name for name in material_names() if name not in RESINS]
STYLES = ["one-part open", "open with cover plate", "two-part lidded", "two-part side-parted"]

WORDS: dict[str, Any] = {
    "part_fields": PART_FIELDS,
    "corner_fields": CORNER_FIELDS,
    "resins": RESINS,
    "silicones": SILICONES,
    "styles": STYLES,
}


def example_shop(folder: Path, name: str = "parcel box") -> ShopFolder:
    """A fresh copy of an example's shop."""
    return new_shop(folder / "shop", example_files(name))


def shop_with(folder: Path, *, project: str | None = None, shop: str = "") -> ShopFolder:
    """A shop folder with these two files; the project is called "mount"."""
    files = {"shop.toml": shop.encode()}
    if project is not None:
        files["projects/mount/project.toml"] = project.encode()
    return new_shop(folder / "shop", files)
