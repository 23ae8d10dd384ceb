"""Named entries found by scanning a folder: to add one, add a file."""

from __future__ import annotations

import difflib
import importlib
import pkgutil
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import Generic, TypeVar

from pourwright.basics.errors import UnknownName

Entry = TypeVar("Entry")


class Shelf(Mapping[str, Entry], Generic[Entry]):
    """The entries of one folder, by name.

    Each module of `package` that has the attribute `attribute` is an entry; its name is the module's
    `NAME`, or else the file's name with blanks for underscores. Modules are imported at first use.

    Parameters
    ----------
    package : dotted name of the folder.
    attribute : name of the module attribute that is the entry.
    noun : what an entry is called in an error ("part family").
    """

    def __init__(self, package: str, *, attribute: str, noun: str) -> None:
        self._package = package
        self._attribute = attribute
        self._noun = noun

    @cached_property
    def _entries(self) -> dict[str, Entry]:
        folder = importlib.import_module(self._package)
        found: dict[str, Entry] = {}
        for info in sorted(pkgutil.iter_modules(folder.__path__), key=lambda item: item.name):
            module = importlib.import_module(f"{self._package}.{info.name}")
            if hasattr(module, self._attribute):
                name = getattr(module, "NAME", info.name.replace("_", " "))
                found[name] = getattr(module, self._attribute)
        return found

    def __getitem__(self, name: str) -> Entry:
        if name not in self._entries:
            raise unknown_name(name, self._entries, noun=self._noun)
        return self._entries[name]

    def __contains__(self, name: object) -> bool:
        return name in self._entries

    def __iter__(self) -> Iterator[str]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that a person most likely meant, or None.

    Examples
    --------
    >>> nearest("hieght", ["height", "bore"])
    'height'
    """
    by_lower = {item.lower(): item for item in known}
    close = difflib.get_close_matches(name.lower(), list(by_lower), n=1, cutoff=0.6)
    return by_lower[close[0]] if close else None


def unknown_name(name: str, known: Iterable[str], *, noun: str) -> UnknownName:
    """The error for a name that is not known, with the nearest one offered."""
    names = list(known)
    guess = nearest(name, names)
    advice = f"did you mean {guess!r}?" if guess else f"known: {', '.join(names)}"
    return UnknownName(f"no {noun} is called {name!r}", advice=advice, value=name)
