"""Write files so that a half-written one is never seen: beside the old, and swapped in when whole."""

from __future__ import annotations

import contextlib
import errno
import glob
import os
import secrets
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath, PureWindowsPath

from pourwright.basics.errors import CannotWrite
from pourwright.basics.progress import Report, silent

_ADVICE = {
    errno.ENOSPC: "make room on the disk; nothing was changed",
    errno.EDQUOT: "your share of the disk is used up: make room; nothing was changed",
    errno.EROFS: "the disk can only be read: copy the shop folder to one that can be written",
    errno.EACCES: "this folder refuses: change its rights, or copy the shop folder to one of your own",
    errno.EPERM: "this folder refuses: change its rights, or copy the shop folder to one of your own",
    errno.ENAMETOOLONG: "give the project a shorter name",
}


def write_files(folder: Path, files: Mapping[str, bytes], *, report: Report = silent) -> None:
    """Make `folder` hold exactly `files`, all of them or none.

    The files are written into a new folder beside it, which takes its place when it is whole. Until then the old
    folder stays as it is; stopped, out of space or refused, the new one is taken away again.

    Parameters
    ----------
    folder : made if it is not there; what was in it is replaced.
    files : name with forward slashes, inside the folder, to content.
    report : may stop the work between two files.

    Raises
    ------
    CannotWrite
        The folder cannot be written, the disk is full, a file stands in the way, or a name leads out of the folder.
    """
    folder = _real(folder)
    for name in files:
        _check_name(name, folder)
    if folder.exists() and not folder.is_dir():
        raise CannotWrite(
            f"{folder} is a file, and a folder is to be made there", advice="move that file away", file=str(folder)
        )
    with _told(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        _bring_back(folder)
        fresh = _beside(folder, "new")
        try:
            _fill(fresh, files, report)
            if folder.is_dir():
                shutil.copymode(folder, fresh)
            _swap(fresh, folder)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)


def write_file(path: Path, content: bytes) -> None:
    """Write one file, whole or not at all; an old file's mode is kept.

    Raises
    ------
    CannotWrite
        The folder cannot be written, the disk is full, or a folder stands in the way.
    """
    path = _real(path)
    if path.is_dir():
        raise CannotWrite(f"{path} is a folder, and a file is to be written there", file=str(path))
    with _told(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh = _beside(path, "new")
        try:
            _write(fresh, content)
            if path.exists():
                shutil.copymode(path, fresh)
            os.replace(fresh, path)
            _settle(path.parent)
        finally:
            fresh.unlink(missing_ok=True)


# ---------------------------------------------------------------- names


def _real(path: Path) -> Path:
    # A link is written through, not replaced by a file or folder of its own.
    with _told(path):
        return path.resolve() if path.is_symlink() else path.absolute()


def _beside(path: Path, word: str) -> Path:
    return path.with_name(f".{path.name}.{word}-{secrets.token_hex(4)}")


def _check_name(name: str, folder: Path) -> None:
    windows = PureWindowsPath(name)
    plain = PurePosixPath(name)
    if not plain.parts or windows.drive or windows.root or ".." in windows.parts or plain.is_absolute():
        raise CannotWrite(f"a file named {name!r} would lie outside {folder}", value=name)


# ---------------------------------------------------------------- writing


def _fill(fresh: Path, files: Mapping[str, bytes], report: Report) -> None:
    fresh.mkdir()
    for number, (name, content) in enumerate(files.items()):
        report(number / len(files), f"writing {name}")
        path = fresh / name
        path.parent.mkdir(parents=True, exist_ok=True)
        _write(path, content)
    for place, _, _ in os.walk(fresh):
        _settle(Path(place))


def _write(path: Path, content: bytes) -> None:
    with path.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _settle(folder: Path) -> None:
    """Make sure that the names in a folder are on the disk too."""
    if os.name != "posix":
        return  # a folder cannot be opened there
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _swap(fresh: Path, folder: Path) -> None:
    old = _beside(folder, "old")
    try:
        if folder.is_dir():
            os.rename(folder, old)
        os.rename(fresh, folder)
    except BaseException:
        # Also when stopped between the two: the old folder goes back to its place.
        if old.is_dir() and not folder.exists():
            os.rename(old, folder)
        raise
    finally:
        if folder.exists():
            shutil.rmtree(old, ignore_errors=True)
    _settle(folder.parent)


def _bring_back(folder: Path) -> None:
    """Put back an old folder which a power cut left between its two renames."""
    if not folder.exists():
        left = sorted(folder.parent.glob(f".{glob.escape(folder.name)}.old-*"))
        if len(left) == 1:
            os.rename(left[0], folder)


# ---------------------------------------------------------------- errors


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        advice = _ADVICE.get(error.errno or 0, "look whether the folder is there and may be written")
        raise CannotWrite(f"{path} cannot be written: {reason}", advice=advice, file=str(path)) from error
