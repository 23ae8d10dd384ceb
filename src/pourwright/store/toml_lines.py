"""On which line of a TOML file each key stands, so that an error can point at it."""

from __future__ import annotations

import bisect
import re
import tomllib

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\n]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BARE_VALUE = re.compile(r"[^,\]}#\n]*")


def key_lines(text: str) -> dict[Path, int]:
    """The line (from 1) of every key, table header and array element; of several, the first.

    Parameters
    ----------
    text : what `tomllib` has accepted, nested no deeper than the recursion limit allows.

    Examples
    --------
    >>> key_lines('[part]\\nheight = "26 mm"\\nwanted = [1, 2]')
    {('part',): 1, ('part', 'height'): 2, ('part', 'wanted'): 3, ('part', 'wanted', 0): 3, ('part', 'wanted', 1): 3}
    """
    scanner = _Scanner(text.replace("\r\n", "\n"))
    scanner.document()
    return scanner.lines


def table_ends(text: str) -> dict[Path, int]:
    """For every table with a header, and for the top of the file, the line after which a further key of it belongs.

    Examples
    --------
    >>> table_ends('[part]\\nheight = "26 mm"\\n\\n# about the resin\\n[resin]\\n')
    {(): 0, ('part',): 2, ('resin',): 5}
    """
    scanner = _Scanner(text.replace("\r\n", "\n"))
    scanner.document()
    return scanner.ends


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """The line of a path, or of the longest part of it that is written: a missing key points at its table."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self.ends: dict[Path, int] = {(): 0}
        self._counts: dict[Path, int] = {}
        self._newlines = [found.start() for found in re.finditer("\n", text)]

    def document(self) -> None:
        table: Path = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text.startswith("[", self.at):
                table = self._header()
            else:
                self._pair(table)
                self.ends[table] = self._line(self.at)
            self._skip(_BLANK)

    def _header(self) -> Path:
        start = self.at
        of_tables = self.text.startswith("[[", start)
        self.at += 2 if of_tables else 1
        names = self._key()
        self.at += 2 if of_tables else 1
        if not of_tables:
            path = self._resolve(names)
        else:
            path = (*self._resolve(names[:-1]), names[-1])
            self._counts[path] = self._counts.get(path, 0) + 1
            path = (*path, self._counts[path] - 1)
        self._note(path, 1, start)
        self.ends[path] = self._line(start)
        return path

    def _resolve(self, names: tuple[str, ...]) -> Path:
        """The names with, after each array of tables, the place of its last element."""
        path: Path = ()
        for name in names:
            path = (*path, name)
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
        return path

    def _pair(self, table: Path) -> None:
        start = self.at
        path = (*table, *self._key())
        self._note(path, len(table) + 1, start)
        self.at += 1  # the equals sign
        self._value(path)

    def _value(self, path: Path) -> None:
        self._skip(_SPACE)
        first = self.text[self.at]
        if first in "\"'":
            self._string()
        elif first == "[":
            self._array(path)
        elif first == "{":
            self._inline_table(path)
        else:
            self._skip(_BARE_VALUE)

    def _array(self, path: Path) -> None:
        self._open()
        index = 0
        while self.text[self.at] != "]":
            self._note((*path, index), len(path) + 1, self.at)
            self._value((*path, index))
            index += 1
            self._comma()
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self._open()
        while self.text[self.at] != "}":
            self._pair(path)
            self._comma()
        self.at += 1

    def _open(self) -> None:
        self.at += 1
        self._skip(_BLANK)

    def _comma(self) -> None:
        self._skip(_BLANK)
        if self.text[self.at] == ",":
            self._open()

    def _key(self) -> tuple[str, ...]:
        """A key with its dots, and the blanks around it."""
        names = []
        while True:
            self._skip(_SPACE)
            start = self.at
            if self.text[start] in "\"'":
                self._string()
                names.append(tomllib.loads(f"k={self.text[start : self.at]}")["k"])
            else:
                self._skip(_BARE_KEY)
                names.append(self.text[start : self.at])
            self._skip(_SPACE)
            if self.text[self.at] != ".":
                return tuple(names)
            self.at += 1

    def _string(self) -> None:
        """Over a string of any of the four kinds; a backslash escapes in double quotes only."""
        mark = self.text[self.at]
        triple = self.text.startswith(mark * 3, self.at)
        end = mark * 3 if triple else mark
        self.at += len(end)
        while not self.text.startswith(end, self.at):
            self.at += 2 if mark == '"' and self.text[self.at] == "\\" else 1
        self.at += len(end)
        for _ in range(2 if triple else 0):  # up to two quotes may belong to the text before the closing three
            if self.text.startswith(mark, self.at):
                self.at += 1

    def _note(self, path: Path, shortest: int, start: int) -> None:
        line = self._line(start)
        for length in range(shortest, len(path) + 1):
            self.lines.setdefault(path[:length], line)

    def _line(self, place: int) -> int:
        return bisect.bisect_left(self._newlines, place) + 1

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        self.at = found.end() if found else self.at
