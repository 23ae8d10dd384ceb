"""Read a part's file so that a broken one cannot take the program down with it."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

from pourwright.basics.errors import Cancelled, CannotRead, KernelFault
from pourwright.basics.progress import Report, silent

if TYPE_CHECKING:
    from pourwright.engines.geometry.files.read import Reading

_IN_WORKER = (".step", ".stp")  # the exact kernel may crash on a damaged file, and takes a second to load
_PATIENCE_SECONDS = 300.0  # a damaged file can also send the exact kernel round in circles


class _TookTooLong(Cancelled):
    """Nobody stopped it, but it has had time enough."""


def read_part_file(path: Path, *, name: str, unit: str | None = None, report: Report = silent) -> Reading:
    """The solid in a file, as `read_solid` gives it; STEP files are read in a process of their own.

    Raises
    ------
    CannotRead
        As `read_solid` says, or a file on which the exact kernel broke down.
    """
    if path.suffix.lower() not in _IN_WORKER or not path.is_file():
        from pourwright.engines.geometry.files.read import read_solid

        return read_solid(path, name=name, unit=unit, report=report)
    from pourwright.app.jobs import Worker

    with Worker() as worker:
        worker.start("pourwright.engines.geometry.files.read:read_solid", path_or_bytes=path, name=name, unit=unit)
        try:
            reading: Reading = worker.result(_patient(report))
        except (KernelFault, _TookTooLong) as error:
            raise CannotRead(
                f"the exact kernel broke down on this file ({error.message})",
                advice="write the file again as STEP, or as binary STL or 3MF",
                file=name,
            ) from error
    return reading


def _patient(report: Report) -> Report:
    end = time.monotonic() + _PATIENCE_SECONDS

    def part(fraction: float, words: str) -> None:
        if time.monotonic() > end:
            raise _TookTooLong(f"no answer in {_PATIENCE_SECONDS:g} s")
        report(fraction, words)

    return part
