"""Results remembered on the disk: deleting them loses time, never data."""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import sys
import time
from collections.abc import Mapping
from pathlib import Path

_MARK = b"pourwright 1\n"
_LIMIT_BYTES = 400_000_000
_ENDING = ".kept"
_HALF_WRITTEN_SECONDS = 3600.0  # what is older than that was left by a process that ended
_VARIABLE = "POURWRIGHT_CACHE"  # a folder, or "off"


def cache_folder() -> Path | None:
    """Where results are remembered: the user's own cache folder, or as POURWRIGHT_CACHE says; None for nowhere."""
    wanted = os.environ.get(_VARIABLE, "")
    if wanted:
        return None if wanted.lower() == "off" else Path(wanted)
    try:
        home = Path.home()
    except RuntimeError:
        return None
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME") or home / ".cache")
    return base / "pourwright"


class Cache:
    """Named pieces of bytes under a key, whole or not at all; what cannot be read or written is only slow.

    Parameters
    ----------
    folder : made when something is first kept; None remembers nothing.
    limit_bytes : beyond it the least recently used go.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as place:
    ...     kept = Cache(Path(place))
    ...     kept.put("5eed", {"kit.json": b"{}"})
    ...     kept.get("5eed"), kept.get("0ff0")
    ({'kit.json': b'{}'}, None)
    """

    def __init__(self, folder: Path | None, *, limit_bytes: int = _LIMIT_BYTES) -> None:
        self._folder = folder
        self._limit_bytes = limit_bytes

    def get(self, key: str) -> dict[str, bytes] | None:
        """What was kept under a key; None when there is nothing, or not all of it as it was written."""
        if self._folder is None:
            return None
        path = self._folder / f"{key}{_ENDING}"
        try:
            found = _unpacked(path.read_bytes(), key)
            os.utime(path)
        except (OSError, ValueError):
            return None
        return found

    def put(self, key: str, parts: Mapping[str, bytes]) -> None:
        """Keep pieces under a key, in place of what was there."""
        if self._folder is None:
            return
        content = _packed(key, parts)
        if len(content) > self._limit_bytes:
            return
        fresh = self._folder / f".{key}.{secrets.token_hex(4)}"
        try:
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            fresh.write_bytes(content)
            os.replace(fresh, self._folder / f"{key}{_ENDING}")
        except OSError:
            _remove(fresh)
            return
        self._tidy()

    def _tidy(self) -> None:
        """Drop the least recently used beyond the limit, and what was left half written."""
        entries = sorted(self._entries(), key=lambda entry: entry[1], reverse=True)
        held, now = 0, time.time()
        for path, used, size in entries:
            if path.suffix != _ENDING:
                gone = now - used > _HALF_WRITTEN_SECONDS
            else:
                held += size
                gone = held > self._limit_bytes
            if gone:
                _remove(path)

    def _entries(self) -> list[tuple[Path, float, int]]:
        found = []
        try:
            with os.scandir(self._folder) as listing:
                for entry in listing:
                    if entry.name.startswith(".") or entry.name.endswith(_ENDING):
                        about = entry.stat()
                        found.append((Path(entry.path), about.st_mtime, about.st_size))
        except OSError:  # another process tidies at the same time
            return []
        return found


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError:
        return


def _packed(key: str, parts: Mapping[str, bytes]) -> bytes:
    """A mark, the hash of all that follows, and after one line of names and lengths the pieces."""
    index = json.dumps([key, [[name, len(content)] for name, content in parts.items()]], ensure_ascii=True).encode()
    body = b"".join((index, b"\n", *parts.values()))
    return b"".join((_MARK, hashlib.sha256(body).digest(), body))


def _unpacked(content: bytes, key: str) -> dict[str, bytes]:
    start = len(_MARK) + 32
    body = memoryview(content)[start:]
    if content[: len(_MARK)] != _MARK or hashlib.sha256(body).digest() != content[len(_MARK) : start]:
        raise ValueError("not as it was written")
    end = content.index(b"\n", start)
    named, index = json.loads(content[start:end])
    if named != key:
        raise ValueError("kept under another key")
    found, at = {}, end + 1
    for name, length in index:
        found[name] = content[at : at + length]
        at += length
    return found
