"""Frozen values as plain JSON and back, without running anything that the text says."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any


def to_plain(value: object) -> Any:
    """A value of dataclasses, tuples, lists, mappings and simple values as what JSON can hold.

    Raises
    ------
    TypeError
        A value of a kind that cannot be read back.

    Examples
    --------
    >>> to_plain((1, {"a": None}))
    {'tuple': [1, {'mapping': [['a', None]]}]}
    """
    if value is None or isinstance(value, (bool, str)):
        return value
    if isinstance(value, int):
        return int(value)
    if isinstance(value, float):
        return float(value)
    if isinstance(value, tuple):
        return {"tuple": [to_plain(item) for item in value]}
    if isinstance(value, list):
        return {"list": [to_plain(item) for item in value]}
    if isinstance(value, Mapping):
        return {"mapping": [[to_plain(key), to_plain(item)] for key, item in value.items()]}
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        inner = {one.name: to_plain(getattr(value, one.name)) for one in dataclasses.fields(value) if one.init}
        return {"is": type(value).__name__, "of": inner}
    raise TypeError(f"{type(value).__name__} has no plain form")


def from_plain(plain: Any, known: Mapping[str, type]) -> Any:
    """The value again.

    Parameters
    ----------
    plain : as `to_plain` made it.
    known : the dataclasses that may occur, by name.

    Raises
    ------
    ValueError
        Something that `to_plain` never makes, or a dataclass that is not known or has changed.

    Examples
    --------
    >>> from_plain(to_plain((1, {"a": None})), {})
    (1, {'a': None})
    """
    if not isinstance(plain, dict):
        if isinstance(plain, list):
            raise ValueError("a bare list")
        return plain
    match plain:
        case {"tuple": list(items)}:
            return tuple(from_plain(item, known) for item in items)
        case {"list": list(items)}:
            return [from_plain(item, known) for item in items]
        case {"mapping": list(pairs)}:
            return {from_plain(key, known): from_plain(item, known) for key, item in pairs}
        case {"is": str(name), "of": dict(inner)} if name in known:
            try:
                return known[name](**{key: from_plain(item, known) for key, item in inner.items()})
            except TypeError as error:
                raise ValueError(f"{name} is not what it was") from error
    raise ValueError("no plain form")
