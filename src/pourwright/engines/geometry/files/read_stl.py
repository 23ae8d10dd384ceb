"""Read an STL file, binary or text."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotRead
from pourwright.basics.progress import Report
from pourwright.engines.geometry.files.closed import counted
from pourwright.engines.geometry.files.loose_mesh import UNIT_MM, LooseMesh, check_count, unit_name, weld

MOST_BYTES = 128 * 2**20
_HEAD = 84
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_AGAIN = "write the file again, as binary STL"
_WORDS = (b"facet", b"outer", b"vertex", b"vertex", b"vertex", b"endloop", b"endfacet")


def read_stl(data: bytes, *, file: str, unit: str | None, report: Report) -> LooseMesh:
    """The triangles of an STL file; millimetres unless `unit` says otherwise.

    Raises
    ------
    CannotRead
        Empty, cut off, neither binary nor text STL, or a number that is none.
    """
    report(0.0, "reading triangles")
    corners, notes = _corners(data, file)
    check_count(len(corners) // 3, file=file)
    _check_finite(corners, file)
    report(0.5, "joining corners")
    vertices, vertex = weld(corners)
    known = unit_name(unit, file=file) if unit else "mm"
    return LooseMesh(
        vertices_mm=vertices * UNIT_MM[known], triangles=vertex.reshape(-1, 3), unit=known, notes=tuple(notes)
    )


def _corners(data: bytes, file: str) -> tuple[NDArray[np.floating], list[str]]:
    if not data:
        raise CannotRead("the file is empty", advice=_AGAIN, file=file)
    told = int.from_bytes(data[80:_HEAD], "little") if len(data) >= _HEAD else -1
    # Binary files may begin with "solid" too, so the length decides.
    if len(data) != _HEAD + told * _RECORD.itemsize and data.lstrip()[:5].lower() == b"solid":
        return _text_corners(data, file), []
    return _binary_corners(data, told, file)


def _binary_corners(data: bytes, told: int, file: str) -> tuple[NDArray[np.float32], list[str]]:
    if told < 0:
        raise CannotRead(
            f"the file has {len(data)} bytes; it is no STL file, or it is cut off", advice=_AGAIN, file=file
        )
    there = (len(data) - _HEAD) // _RECORD.itemsize
    if there < told:
        raise CannotRead(
            f"the file says {told:,} triangles and holds {there:,}: it is cut off, or no STL file",
            advice=_AGAIN,
            file=file,
        )
    surplus = len(data) - _HEAD - told * _RECORD.itemsize
    notes = [f"{surplus:,} bytes after the last triangle were not read"] if surplus else []
    records = np.frombuffer(data, dtype=_RECORD, count=told, offset=_HEAD)
    return records["corners"].reshape(-1, 3), notes


def _text_corners(data: bytes, file: str) -> NDArray[np.float64]:
    numbers: list[bytes] = []
    step = 0  # which of the seven lines of a facet comes next
    for line_number, line in enumerate(data.splitlines(), 1):
        words = line.split()
        if not words:
            continue
        word = words[0].lower()
        if step == 0 and word in (b"solid", b"endsolid"):
            continue
        if word != _WORDS[step] or (word == b"vertex" and len(words) != 4):
            raise _bad_line(line, line_number, _WORDS[step], file)
        if word == b"vertex":
            numbers += words[1:]
        step = (step + 1) % 7
    if step:
        raise CannotRead("the last triangle is not finished: the file is cut off", advice=_AGAIN, file=file)
    try:
        return np.array(numbers, dtype=np.bytes_).astype(np.float64).reshape(-1, 3)
    except ValueError as error:
        raise _bad_number(data, file) from error


def _bad_line(line: bytes, line_number: int, wanted: bytes, file: str) -> CannotRead:
    shown = line.strip()[:40].decode("ascii", "replace")
    return CannotRead(
        f"{shown!r} stands where {wanted.decode()!r} should", advice=_AGAIN, file=file, line=line_number, value=shown
    )


def _bad_number(data: bytes, file: str) -> CannotRead:
    for line_number, line in enumerate(data.splitlines(), 1):
        words = line.split()
        if words and words[0].lower() == b"vertex":
            for word in words[1:]:
                try:
                    float(word)
                except ValueError:
                    shown = word[:40].decode("ascii", "replace")
                    return CannotRead(
                        f"{shown!r} is no number", advice=_AGAIN, file=file, line=line_number, value=shown
                    )
    return CannotRead("a coordinate is no number", advice=_AGAIN, file=file)


def _check_finite(corners: NDArray[np.floating], file: str) -> None:
    bad = np.flatnonzero(~np.isfinite(corners).all(axis=1))
    if len(bad):
        raise CannotRead(
            f"not every coordinate is a number: {counted(len(bad), 'bad corner')}, "
            f"the first in triangle {bad[0] // 3 + 1:,}",
            advice="write the file again; if the fault stays, the drawing itself is damaged there",
            file=file,
        )
