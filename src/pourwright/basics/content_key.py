"""A short name for a value that changes exactly when the value does."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Mapping


def content_key(*values: object) -> str:
    """SHA-256, as 64 hex digits, of plain values, frozen dataclasses and their nests.

    Raises
    ------
    TypeError
        A value of a kind that has no stable form.

    Examples
    --------
    >>> content_key(1.0) == content_key(1), content_key(0.0) == content_key(-0.0)
    (True, True)
    """
    digest = hashlib.sha256()
    for value in values:
        digest.update(_stable(value).encode())
    return digest.hexdigest()


def _stable(value: object) -> str:
    if value is None or isinstance(value, bool):
        return repr(value)
    if isinstance(value, (int, float)):
        return (float(value) + 0.0).hex()  # so that 0, 0.0 and -0.0 are one value
    if isinstance(value, str):
        return f"s{len(value)}:{value}"
    if isinstance(value, bytes):
        return f"b{len(value)}:{value.hex()}"
    if isinstance(value, (tuple, list)):
        return "(" + ",".join(_stable(item) for item in value) + ")"
    if isinstance(value, Mapping):
        pairs = sorted((_stable(key), _stable(item)) for key, item in value.items())
        return "{" + ",".join(f"{key}={item}" for key, item in pairs) + "}"
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = ((f.name, getattr(value, f.name)) for f in dataclasses.fields(value))
        return type(value).__name__ + "{" + ",".join(f"{n}={_stable(v)}" for n, v in fields) + "}"
    raise TypeError(f"{type(value).__name__} has no stable form")
