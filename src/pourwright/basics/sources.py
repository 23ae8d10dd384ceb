"""Every work that a formula or a number rests on: its key, what it is, and how far it can be trusted."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pourwright.basics.shelf import unknown_name

FILE = Path(__file__).parent.parent / "sources.toml"

STATUSES = (
    "standard",
    "handbook",
    "paper",
    "authority",
    "docs",
    "general article",
    "forum",
    "common practice",
    "from memory",
    "judgement",
    "calculated",
)


@dataclass(frozen=True, kw_only=True)
class Source:
    """One cited work; `number` is that of a standard, a book or a journal's volume and page."""

    key: str
    text: str
    status: str
    doi: str = ""
    number: str = ""

    def words(self) -> str:
        """The source on one line.

        Examples
        --------
        >>> source("GUM2008").words().endswith("JCGM 100:2008 (standard)")
        True
        """
        place = ", ".join(filter(None, (self.number, self.doi and f"doi {self.doi}")))
        return f"{self.text}{', ' if place else ''}{place} ({self.status})"


@cache
def sources() -> Mapping[str, Source]:
    """All cited works by key."""
    entries = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return {key: Source(key=key, **entry) for key, entry in entries.items()}


def source(key: str) -> Source:
    """One cited work.

    Raises
    ------
    UnknownName
        No work has this key.
    """
    if key not in sources():
        raise unknown_name(key, sources(), noun="source")
    return sources()[key]
