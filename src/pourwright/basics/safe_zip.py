"""Unpack a zip file from outside within limits, so that a small file cannot fill the memory or leave its folder."""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import PurePosixPath, PureWindowsPath

from pourwright.basics.errors import CannotRead

MOST_ENTRIES = 500
MOST_BYTES = 512 * 2**20
MOST_RATIO = 200
RATIO_FREE_BYTES = 2**20  # very small files of repeated text may pack better than MOST_RATIO
_CHUNK = 2**18
_ENCRYPTED = 0x1
_WRONG = "if it came by mail or download, fetch it again; otherwise write it anew from the drawing program"


def unzip(data: bytes, *, file: str, suffixes: tuple[str, ...] = ("",)) -> Mapping[str, bytes]:
    """The members of a zip file whose names end in one of `suffixes`, by name.

    Parameters
    ----------
    data : the whole file.
    file : its name, for errors.
    suffixes : endings in small letters; other members are not unpacked.

    Raises
    ------
    CannotRead
        No zip file, damaged, locked by a password, more than 500 members, more than 512 MB unpacked (counted
        while unpacking, whatever the file claims), packed better than 200 to 1, or a member that is a link or
        whose name is absolute or climbs out of its folder.
    """
    archive = _open(data, file)
    members = archive.infolist()
    if len(members) > MOST_ENTRIES:
        raise CannotRead(
            f"the file holds {len(members)} packed files; at most {MOST_ENTRIES} are read", advice=_WRONG, file=file
        )
    for member in members:
        _check_member(member, file)
    unpacked: dict[str, bytes] = {}
    left = MOST_BYTES
    for member in members:
        if member.filename.lower().endswith(suffixes) and not member.is_dir():
            unpacked[member.filename] = _read_counted(archive, member, left=left, file=file)
            left -= len(unpacked[member.filename])
    return unpacked


def _open(data: bytes, file: str) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, ValueError, NotImplementedError, UnicodeDecodeError) as error:
        raise CannotRead(f"the file is no zip file, or it is cut off ({error})", advice=_WRONG, file=file) from error


def _check_member(member: zipfile.ZipInfo, file: str) -> None:
    # zipfile cuts names at a null byte and turns the host's separators round, so judge the name as stored too.
    names = {member.filename, member.orig_filename}
    if any(_climbs(name) for name in names):
        raise CannotRead(
            f"a packed file is named {member.orig_filename!r}, which leads out of its folder",
            advice="do not trust this file; ask for a fresh one",
            file=file,
            value=member.orig_filename,
        )
    if stat.S_ISLNK(member.external_attr >> 16):
        raise CannotRead(f"the packed file {member.filename!r} is a link", advice=_WRONG, file=file)
    if member.flag_bits & _ENCRYPTED:
        raise CannotRead(f"the packed file {member.filename!r} is locked by a password", advice=_WRONG, file=file)


def _climbs(name: str) -> bool:
    windows = PureWindowsPath(name)
    return bool(
        PurePosixPath(name).is_absolute() or windows.drive or windows.root or ".." in windows.parts or "\0" in name
    )


def _read_counted(archive: zipfile.ZipFile, member: zipfile.ZipInfo, *, left: int, file: str) -> bytes:
    most = min(left, max(MOST_RATIO * member.compress_size, RATIO_FREE_BYTES))
    chunks: list[bytes] = []
    count = 0
    try:
        with archive.open(member) as stream:
            while chunk := stream.read(_CHUNK):
                chunks.append(chunk)
                count += len(chunk)
                if count > most:
                    raise _too_large(member, left=left, file=file)
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, OSError, ValueError) as error:
        raise CannotRead(
            f"the packed file {member.filename!r} is damaged ({error})", advice=_WRONG, file=file
        ) from error
    return b"".join(chunks)


def _too_large(member: zipfile.ZipInfo, *, left: int, file: str) -> CannotRead:
    if left < max(MOST_RATIO * member.compress_size, RATIO_FREE_BYTES):
        return CannotRead(
            f"the file unpacks to more than {MOST_BYTES // 2**20} MB",
            advice="write it with fewer triangles",
            file=file,
        )
    return CannotRead(
        f"the packed file {member.filename!r} unpacks to more than {MOST_RATIO} times its size",
        advice="no drawing packs that well; do not trust this file",
        file=file,
    )
