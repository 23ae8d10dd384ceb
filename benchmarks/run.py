"""Run every benchmark and print the table: `python -m benchmarks.run [TOPIC ...]`; nothing passes or fails here.

Topics are preview, kits, large, files, air, pulls, launch and demo; all of them when none is named.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module

from benchmarks.timing import Topic


def _compared(module: str) -> list[str]:
    topics: Callable[[], Sequence[Topic]] = import_module(f"benchmarks.{module}").topics
    return [line for topic in topics() for line in topic.lines()]


def _demo() -> list[str]:
    made = import_module("benchmarks.demo").made
    timing, memory = made()
    return [*Topic(title="make of the demo, from a fresh process", ours=timing).lines(), f"  {memory}"]


_TOPICS: dict[str, Callable[[], list[str]]] = {
    "launch": lambda: _compared("launch"),
    "files": lambda: _compared("files"),
    "air": lambda: _compared("air"),
    "pulls": lambda: _compared("pulls"),
    "preview": lambda: _compared("preview"),
    "kits": lambda: _compared("kits"),
    "large": lambda: _compared("large"),
    "demo": _demo,
}


def main(names: Sequence[str]) -> None:
    """Print the medians of the named topics as they come."""
    busy = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    print(f"{os.cpu_count()} processors, load {busy:.1f}: wall clock, processor, times as long as the first row")
    for name in names or list(_TOPICS):
        if name not in _TOPICS:
            raise SystemExit(f"no topic {name!r}; there are {', '.join(_TOPICS)}")
        print("\n".join(_TOPICS[name]()), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
