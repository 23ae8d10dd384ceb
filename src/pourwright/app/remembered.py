"""Kits remembered from before, so that a second `make` of an unchanged project takes no time.

An entry is found by the steps' names and versions, the program's own files and everything that goes in; a change in
any of them misses it.
"""

from __future__ import annotations

import dataclasses
import json
import os
import re
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import import_module
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from pkgutil import iter_modules

import pourwright
from pourwright import domain
from pourwright.app.project_files import Loaded
from pourwright.basics.content_key import content_key
from pourwright.basics.plain_form import from_plain, to_plain
from pourwright.domain.kit import Kit
from pourwright.store.cache import Cache

STEPS = ("make_kit", "proofs.prove_assembly", "print_advice", "forecast_sizes", "make_pours", "pictures.draw_kit",
         "pictures.draw_assembly", "sheets")  # fmt: skip
_KERNELS = ("manifold3d", "cadquery-ocp-novtk", "numpy", "typst")
_VERSION_LINE = re.compile(r"^VERSION = (\d+)$", re.MULTILINE)
_KIT = "kit"  # the name of the noun among an entry's pieces; files have a dot in theirs


class Remembered:
    """Kits with their files, in a cache.

    Parameters
    ----------
    cache : where they are kept.
    fresh : make everything anew, and keep that.
    """

    def __init__(self, kept: Cache, *, fresh: bool = False) -> None:
        self._cache = kept
        self._fresh = fresh

    def recall(self, what: Sequence[str], loaded: Loaded) -> tuple[Kit, dict[str, bytes]] | None:
        """The kit made before of just this, with its files; None when it must be made.

        Parameters
        ----------
        what : words for what of it was made.
        """
        key = None if self._fresh else _key(what, loaded)
        parts = None if key is None else self._cache.get(key)
        if parts is None:
            return None
        try:
            kit = from_plain(json.loads(parts.pop(_KIT)), _nouns())
        except (ValueError, KeyError):  # of another program, or spoilt: it is made again
            return None
        return (kit, parts) if isinstance(kit, Kit) else None

    def keep(self, what: Sequence[str], loaded: Loaded, kit: Kit, files: Mapping[str, bytes]) -> None:
        """Remember what was made."""
        key = _key(what, loaded)
        if key is None:
            return
        try:
            plain = json.dumps(to_plain(kit)).encode()
        except TypeError:  # something in it cannot be written down: it is made again each time
            return
        self._cache.put(key, {_KIT: plain, **files})


def _key(what: Sequence[str], loaded: Loaded) -> str | None:
    """By everything that the kit is made from; None for a project of something that has no key."""
    try:
        return content_key(
            tuple(what),
            step_versions(),
            _program(),
            loaded.project,
            loaded.shop,
            loaded.materials,
            loaded.cautions,
            sorted((digest, solid.name) for digest, solid in loaded.library.items()),
        )
    except TypeError:
        return None


def step_versions() -> tuple[tuple[str, int], ...]:
    """Every step that takes part, with its version: read, not imported, for some steps take long to load."""
    folder = Path(pourwright.__file__).parent / "steps"
    texts = ((name, (folder / f"{name.replace('.', '/')}.py").read_text(encoding="utf-8")) for name in STEPS)
    return tuple((name, int(_VERSION_LINE.findall(text)[0])) for name, text in texts)


@cache
def _program() -> tuple[str, ...]:
    """The program's version and that of its kernels, and of each of its files the size and time of change."""
    root = Path(pourwright.__file__).parent
    files = []
    for folder, _, names in os.walk(root):
        for name in names:
            if name.endswith((".py", ".toml", ".typ")):
                about = os.stat(os.path.join(folder, name))
                files.append(f"{os.path.relpath(os.path.join(folder, name), root)}:{about.st_size}:{about.st_mtime_ns}")
    return (pourwright.__version__, *(f"{name} {_version(name)}" for name in _KERNELS), *sorted(files))


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "-"


@cache
def _nouns() -> dict[str, type]:
    """Every dataclass of the domain by its name."""
    found: dict[str, type] = {}
    for module in iter_modules(domain.__path__):
        for name, one in vars(import_module(f"{domain.__name__}.{module.name}")).items():
            if isinstance(one, type) and dataclasses.is_dataclass(one):
                found[name] = one
    return found
