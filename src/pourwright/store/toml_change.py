"""Changing values in a file that a person wrote: comments, order and all other lines stay byte for byte."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pourwright.basics.errors import CannotRead, CannotWrite, InputError, KernelFault
from pourwright.basics.need import need
from pourwright.store.toml_file import dotted, read_toml
from pourwright.store.toml_lines import Path as KeyPath
from pourwright.store.toml_lines import table_ends
from pourwright.store.writing import write_file

Value = str | int | float | bool

_PIECE = re.compile(r'\.?(?:(?P<bare>[A-Za-z0-9_-]+)|"(?P<quoted>(?:[^"\\]|\\.)*)"|\[(?P<index>[0-9]{1,6})\])')
_BYTE_ORDER_MARK = "\ufeff"


def change_values(path: Path, changes: Mapping[str, Value], *, sha256: str | None = None) -> str:
    """Write other values for some keys of a file, and nothing else.

    A key that is not there is added at the end of its table. The file is written beside the old one and
    takes its place when it is whole.

    Parameters
    ----------
    path : the TOML file.
    changes : value by dotted key ("part.height", "printer[0].nozzle", 'prices.per_kg."urethane 80A"').
    sha256 : of the file's bytes as the caller read it; a file that has changed since is left alone.

    Returns
    -------
    SHA-256 of the new file.

    Raises
    ------
    CannotRead
        The file is missing or no TOML.
    CannotWrite
        Someone else has changed the file meanwhile, or the folder refuses.
    InputError
        A key runs through something that is no table, or ends at one.
    """
    file = read_toml(path, shown=str(path))
    if sha256 is not None and file.sha256 != sha256:
        raise _changed_meanwhile(path)
    content = path.read_bytes()
    if hashlib.sha256(content).hexdigest() != file.sha256:
        raise _changed_meanwhile(path)
    fresh = changed_text(content.decode("utf-8"), changes).encode()
    if path.read_bytes() != content:  # the shortest time that another writer is given
        raise _changed_meanwhile(path)
    write_file(path, fresh)
    return hashlib.sha256(fresh).hexdigest()


def changed_text(text: str, changes: Mapping[str, Value]) -> str:
    """The text of a TOML file with other values for some keys.

    Examples
    --------
    >>> changed_text('[part]  # a bushing\\nheight = "26 mm"  # over all\\n', {"part.height": "28 mm"})
    '[part]  # a bushing\\nheight = "28 mm"  # over all\\n'
    """
    mark = _BYTE_ORDER_MARK if text.startswith(_BYTE_ORDER_MARK) else ""
    body = text.removeprefix(_BYTE_ORDER_MARK)
    returns = "\r\n" in body and "\n" not in body.replace("\r\n", "")
    body = body.replace("\r\n", "\n") if returns else body
    fresh = body
    for key, value in changes.items():
        fresh = _with(fresh, key_path(key), value)
    _refuse_other_changes(body, fresh, len(changes))
    return mark + (fresh.replace("\n", "\r\n") if returns else fresh)


def key_path(key: str) -> KeyPath:
    """A dotted key as a path.

    Examples
    --------
    >>> key_path('prices.per_kg."urethane 80A"'), key_path("printer[0].bed[2]")
    (('prices', 'per_kg', 'urethane 80A'), ('printer', 0, 'bed', 2))
    """
    path: list[str | int] = []
    at = 0
    while at < len(key):
        found = _PIECE.match(key, at)
        if not found or (not found["index"] and (at == 0) == key[at].startswith(".")):
            raise CannotRead(f"{key!r} is no key of a file", advice="write it like part.height", value=key)
        if found["index"]:
            path.append(int(found["index"]))
        else:
            quoted = found["quoted"]
            path.append(found["bare"] if quoted is None else tomllib.loads(f'k = "{quoted}"')["k"])
        at = found.end()
    if not path:
        raise CannotRead("an empty text is no key of a file", advice="write it like part.height")
    return tuple(path)


def _with(text: str, path: KeyPath, value: Value) -> str:
    """The text with one value changed or added; proved by reading it back."""
    tomlkit = need("tomlkit")
    wanted = tomllib.loads(text)
    there = _set(wanted, path, value)
    ends = table_ends(text)
    if there or path[:-1] not in ends:
        document = tomlkit.parse(text)
        _set(document, path, value, new_table=tomlkit.table)
        fresh = document.as_string()
    else:
        lines = text.split("\n")
        line = f"{tomlkit.key(str(path[-1])).as_string()} = {tomlkit.item(value).as_string()}"
        lines.insert(ends[path[:-1]], line)
        fresh = "\n".join(lines)
    if tomllib.loads(fresh) != wanted:
        raise KernelFault(f"{dotted(path)} could not be written; the file was left alone")
    return fresh


def _set(holder: Any, path: KeyPath, value: Value, *, new_table: Any = dict) -> bool:
    """Set a value in nested tables; whether the key was there before."""
    for depth, part in enumerate(path[:-1], start=1):
        if isinstance(holder, dict) and isinstance(part, str) and part not in holder:
            holder[part] = new_table()
        holder = _checked(holder, part, path[:depth])[part]
    last = path[-1]
    there = isinstance(last, int) or last in _checked(holder, last, path)
    if there and isinstance(_checked(holder, last, path)[last], (dict, list)):
        raise InputError(f"{dotted(path)} holds several values, not one", field=dotted(path))
    holder[last] = value
    return there


def _checked(holder: Any, part: str | int, path: KeyPath) -> Any:
    fits = isinstance(holder, list) if isinstance(part, int) else isinstance(holder, dict)
    if not fits or (isinstance(part, int) and part >= len(holder)):
        raise InputError(f"there is no {dotted(path)} in this file", field=dotted(path))
    return holder


def _refuse_other_changes(before: str, after: str, changes: int) -> None:
    """The promise of this file, kept even where the library that edits should break it."""
    kept = Counter(after.split("\n"))
    lost = [line for line, times in Counter(before.split("\n")).items() if kept[line] < times]
    if len(lost) > changes:
        raise KernelFault(f"the change would touch other lines ({lost[-1]!r}); the file was left alone")


def _changed_meanwhile(path: Path) -> CannotWrite:
    return CannotWrite(
        f"{path.name} was changed by someone else meanwhile", advice="look at it and try again", file=str(path)
    )
