"""Readings of an existing part as a person wrote them, and the new project that is made from them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pourwright.basics.errors import BadQuantity, CannotWrite, InputError
from pourwright.basics.quantities import parse
from pourwright.domain.old_part import OldPart, OldSize, Station
from pourwright.store.folder import ShopFolder, as_shop
from pourwright.store.toml_file import TomlFile, read_toml
from pourwright.store.writing import write_file

_NAME_MARKS = frozenset("-_ ")
_SOFTEST, _HARDEST = 5, 95  # Shore A, where a stiffness follows from it


def read_old_part(path: Path) -> OldPart:
    """The readings in a file.

    Raises
    ------
    CannotRead, InputErrors
        With the line of each thing that is wrong.
    """
    from pourwright.store.reading import validated
    from pourwright.store.readings_model import OldPartFile

    file = read_toml(path, shown=str(path))
    said: Any = validated(file, OldPartFile)
    return OldPart(
        title=said.title or "",
        material=said.material,
        resolution=said.resolution,
        instrument=said.instrument,
        hardness=None if said.hardness is None else _shore_a(file, said.hardness),
        sizes=tuple(
            OldSize(name=name, readings=tuple(one.readings), worn=one.worn) for name, one in said.sizes.items()
        ),
        stations=tuple(
            Station(height=one.z, outside=tuple(one.diameter), inside=tuple(one.inside), worn=one.worn)
            for one in said.station
        ),
    )


def _shore_a(file: TomlFile, written: str) -> float:
    path = ("hardness",)
    try:
        hardness = parse(written, "hardness")
    except BadQuantity as error:
        raise file.error(path, error.message, advice=error.advice, value=written) from None
    if hardness.scale != "A" or not _SOFTEST <= hardness.number <= _HARDEST:
        advice = f"give it on Shore A, from {_SOFTEST} to {_HARDEST}; leave it out for a hard part"
        raise file.error(path, f"a hardness of {written}", advice=advice, value=written)
    return hardness.number


def write_new_project(root: Path | ShopFolder, name: str, text: str) -> Path:
    """Write the file of a project that is not there yet.

    Raises
    ------
    InputError
        The name is none for a folder.
    CannotWrite
        There is a project of that name, or the folder refuses.
    """
    shop = as_shop(root)
    if not name or not name[0].isalnum() or not all(mark.isalnum() or mark in _NAME_MARKS for mark in name):
        raise InputError(f"{name!r} is no name for a project", advice="take letters, digits and -", value=name)
    path = shop.project_file(name)
    if path.parent.exists():
        raise CannotWrite(
            f"there is something at {shop.shown(path.parent)} already",
            advice="give another name; nothing was changed",
            file=shop.shown(path.parent),
        )
    write_file(path, text.encode())
    return path
