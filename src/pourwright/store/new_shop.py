"""Starting a shop folder, empty but for a first project, or with one of the examples."""

from __future__ import annotations

import importlib.resources
import shutil
from collections.abc import Mapping
from importlib.resources.abc import Traversable
from pathlib import Path

from pourwright.basics.errors import CannotWrite
from pourwright.basics.shelf import unknown_name
from pourwright.store.folder import ShopFolder
from pourwright.store.writing import write_files

FIRST = "first shop"


def example_names() -> tuple[str, ...]:
    """The shops that `new --example` can start with; "first shop" is the one without an example's name.

    Examples
    --------
    >>> FIRST in example_names()
    True
    """
    return tuple(sorted(item.name.replace("_", " ") for item in _examples().iterdir() if _is_shop(item)))


def example_files(name: str = FIRST) -> dict[str, bytes]:
    """The files of an example: content by name with forward slashes.

    Raises
    ------
    UnknownName
        No example is called so.
    """
    found = next((item for item in _examples().iterdir() if _is_shop(item) and _same(item.name, name)), None)
    if found is None:
        raise unknown_name(name, example_names(), noun="example")
    return dict(sorted(_files(found, "")))


def new_shop(path: Path, files: Mapping[str, bytes]) -> ShopFolder:
    """Make a shop folder with these files, all of them or none.

    Raises
    ------
    CannotWrite
        Something is in the folder already, or it cannot be written.
    """
    path = path.absolute()
    if path.exists() and not path.is_dir():
        raise CannotWrite(f"{path} is a file", advice="give another name for the folder", file=str(path))
    try:
        taken = path.is_dir() and any(path.iterdir())
    except OSError as error:
        raise CannotWrite(
            f"{path} cannot be read: {error.strerror}", advice="see its rights", file=str(path)
        ) from error
    if taken:
        raise CannotWrite(f"{path} is not empty", advice="give the name of a new or an empty folder", file=str(path))
    if path.is_dir():
        _fill_empty(path, files)
    else:
        write_files(path, files)
    return ShopFolder(root=path)


def _fill_empty(path: Path, files: Mapping[str, bytes]) -> None:
    """Fill a folder without putting another in its place: the person may be standing in it."""
    fresh = path / ".new-shop"
    try:
        write_files(fresh, files)
        for item in sorted(fresh.iterdir()):
            item.rename(path / item.name)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _examples() -> Traversable:
    return importlib.resources.files("pourwright.store") / "examples"


def _is_shop(item: Traversable) -> bool:
    return item.is_dir() and (item / "shop.toml").is_file()


def _same(folder: str, name: str) -> bool:
    return folder.replace("_", " ") == name.strip().lower().replace("-", " ").replace("_", " ")


def _files(folder: Traversable, path: str) -> list[tuple[str, bytes]]:
    found = []
    for item in folder.iterdir():
        if item.name.startswith((".", "__")):
            continue
        inner = f"{path}{item.name}"
        found += _files(item, f"{inner}/") if item.is_dir() else [(inner, item.read_bytes())]
    return found
