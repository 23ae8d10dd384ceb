"""Reading one TOML file that a person wrote: its values, the line of each, and what is wrong with its form."""

from __future__ import annotations

import hashlib
import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pourwright.basics.errors import CannotRead, InputError
from pourwright.store.toml_lines import Path as KeyPath
from pourwright.store.toml_lines import key_lines, line_of

LARGEST_FILE = 1_000_000
DEEPEST_NESTING = 32

# A key of more parts than the nesting allows; looked for first, because tomllib needs long for one of thousands.
# Possessive, and begun only where a name begins, so that it is done in one pass.
_PART = r"(?:[A-Za-z0-9_-]++|\"[^\"\n]*+\"|'[^'\n]*+')[ \t]*+"
_LONG_KEY = re.compile(rf"(?<![A-Za-z0-9_-]){_PART}(?:\.[ \t]*+{_PART}){{{DEEPEST_NESTING}}}")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_UNQUOTED = re.compile(r"\s*([A-Za-z0-9_.-]+)\s*=\s*([^\"'\[{#\s][^\"'#]*)")
_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


@dataclass(frozen=True, kw_only=True)
class TomlFile:
    """A file as read: `shown` is its path as an error names it, `sha256` the hash of its bytes."""

    path: Path
    shown: str
    text: str
    data: Mapping[str, Any]
    lines: dict[KeyPath, int]
    sha256: str

    def error(self, path: KeyPath, message: str, *, advice: str = "", value: object = None) -> InputError:
        """An error at a key, or at the table in which it is missing."""
        return InputError(
            message,
            advice=advice,
            file=self.shown,
            line=line_of(self.lines, path),
            field=dotted(path),
            value=None if value is None else str(value)[:200],
        )


def dotted(path: KeyPath) -> str:
    """A path as one text.

    Examples
    --------
    >>> dotted(("printer", 0, "bed", 2)), dotted(("prices", "per_kg", "urethane 80A"))
    ('printer[0].bed[2]', 'prices.per_kg."urethane 80A"')
    """
    text = "".join(f"[{part}]" if isinstance(part, int) else f".{_key(part)}" for part in path)
    return text.removeprefix(".")


def _key(name: str) -> str:
    quoted = json.dumps(name, ensure_ascii=False).replace("\x7f", "\\u007f")
    return name if _BARE_KEY.fullmatch(name) else quoted


def read_toml(path: Path, *, shown: str) -> TomlFile:
    """Read a file and find the line of each key.

    Raises
    ------
    CannotRead
        Missing, too large, no UTF-8, no TOML, or nested too deep; with the line where there is one.
    """
    content = _content(path, shown)
    text = _decoded(content, shown)
    data = _parsed(text, shown)
    return TomlFile(
        path=path,
        shown=shown,
        text=text,
        data=data,
        lines=key_lines(text),
        sha256=hashlib.sha256(content).hexdigest(),
    )


def _content(path: Path, shown: str) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise CannotRead("there is no such file", advice="see that the name is right", file=shown) from None
    except OSError as error:
        raise CannotRead(
            f"the file cannot be opened ({error.strerror})", advice="see its permissions", file=shown
        ) from error
    if len(content) > LARGEST_FILE:
        raise CannotRead("the file is larger than 1 MB", advice="is this the right file?", file=shown)
    return content


def _decoded(content: bytes, shown: str) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise CannotRead("the file is written in UTF-16", advice="save it as UTF-8", file=shown, line=1)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise CannotRead(
            f"a character that is no UTF-8 (byte {content[error.start]:#04x})",
            advice="save the file as UTF-8",
            file=shown,
            line=line,
        ) from error


def _parsed(text: str, shown: str) -> dict[str, Any]:
    deep = CannotRead(
        f"tables and arrays are nested deeper than {DEEPEST_NESTING}", advice="write it flatter", file=shown
    )
    if _LONG_KEY.search(text):
        raise deep
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(str(error), text, shown) from None
    except ValueError as error:  # a number of thousands of digits
        raise CannotRead(f"a value cannot be read ({error})", file=shown) from error
    except RecursionError:
        raise deep from None
    if _depth(data) > DEEPEST_NESTING:
        raise deep
    return data


def _depth(data: object) -> int:
    deepest, waiting = 0, [(data, 0)]
    while waiting:
        value, depth = waiting.pop()
        deepest = max(deepest, depth)
        if isinstance(value, dict):
            waiting += [(item, depth + 1) for item in value.values()]
        elif isinstance(value, list):
            waiting += [(item, depth + 1) for item in value]
    return deepest


def _syntax_error(message: str, text: str, shown: str) -> CannotRead:
    lines = text.split("\n")
    place = _PLACE.search(message)
    line = int(place[1]) if place and place[1] else len(lines)
    written = lines[line - 1].strip("\r") if line <= len(lines) else ""
    return CannotRead(
        f"this is no TOML: {_lower_first(_PLACE.sub('', message))}",
        advice=_syntax_advice(message, written),
        file=shown,
        line=line,
        value=written.strip()[:80] or None,
    )


def _syntax_advice(message: str, written: str) -> str:
    if "overwrite" in message or "twice" in message or "mutate" in message:
        return "this key or table stands twice; keep one of them"
    unquoted = _UNQUOTED.fullmatch(written)
    if unquoted:
        return f'put the value in quotes: {unquoted[1]} = "{unquoted[2].strip()}"'
    if written.count('"') % 2 == 1:
        return "a quote is missing"
    return 'a line is: key = "value", or a [table] header'


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]
