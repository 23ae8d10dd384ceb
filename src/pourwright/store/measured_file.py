"""What calipers found on a project's patterns: a file beside project.toml to which readings are only ever added."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Any

from pourwright.basics.quantities import show
from pourwright.domain.size_forecast import Measured
from pourwright.store.folder import ShopFolder, as_shop
from pourwright.store.toml_file import read_toml
from pourwright.store.writing import write_file

MEASURED_FILE = "measured.toml"
_HEAD = """# What calipers found on the patterns of this project. `pourwright measure` adds to the end of it. Of two
# entries for one size the later one counts. "drawn" is the size that the pattern was drawn with.
"""


def measured_file(root: Path | ShopFolder, name: str) -> Path:
    """Where the readings of a project are kept."""
    return as_shop(root).project_file(name).with_name(MEASURED_FILE)


def read_measured(root: Path | ShopFolder, name: str) -> tuple[Measured, ...]:
    """The readings of a project, oldest first; none when nothing was measured.

    Raises
    ------
    CannotRead, InputErrors
        With the line of each thing that is wrong.
    """
    path = measured_file(root, name)
    if not path.is_file():
        return ()
    from pourwright.store.reading import validated
    from pourwright.store.readings_model import MeasuredFile

    said: Any = validated(read_toml(path, shown=as_shop(root).shown(path)), MeasuredFile)
    return tuple(
        Measured(
            name=one.size,
            readings=tuple(one.readings),
            resolution=one.resolution,
            instrument=one.instrument,
            drawn=one.drawn,
            on="" if one.on is None else str(one.on),
        )
        for one in said.pattern
    )


def read_readings(path: Path, names: Collection[str]) -> tuple[Measured, ...]:
    """Readings that a person wrote into a file of their own: a list for each size, and about the calipers.

    Parameters
    ----------
    path : the file.
    names : the sizes that the part has.

    Raises
    ------
    CannotRead, InputErrors
        With the line of each thing that is wrong.
    """
    from pourwright.store.reading import validated
    from pourwright.store.readings_model import readings_model

    said: Any = validated(read_toml(path, shown=str(path)), readings_model(names))
    found = {name: value for name in names if (value := getattr(said, name)) is not None}
    return tuple(
        Measured(name=name, readings=tuple(value), resolution=said.resolution, instrument=said.instrument)
        for name, value in found.items()
    )


def add_measured(root: Path | ShopFolder, name: str, found: Sequence[Measured]) -> Path:
    """Write readings behind those that are there; nothing that stands in the file is changed.

    Raises
    ------
    CannotRead, InputErrors
        What is there already cannot be read; it is left alone.
    CannotWrite
        The folder refuses, or the disk is full.
    """
    read_measured(root, name)
    path = measured_file(root, name)
    before = path.read_bytes() if path.is_file() else _HEAD.encode()
    gap = b"" if before.endswith(b"\n") else b"\n"
    write_file(path, before + gap + "".join(map(_entry, found)).encode())
    return path


def _entry(one: Measured) -> str:
    readings = ", ".join(f'"{_length(value)}"' for value in one.readings)
    on = datetime.date.fromisoformat(one.on).isoformat()
    return (
        f'\n[[pattern]]\non = {on}\nsize = "{one.name}"\nreadings = [{readings}]\ndrawn = "{_length(one.drawn)}"\n'
        f'resolution = "{_length(one.resolution)}"\ninstrument = "{_length(one.instrument)}"\n'
    )


def _length(value: float) -> str:
    return show(value, "length", "mm", digits=9)
