"""A part of very many triangles: its twin and its print files are made beside the rest, in a process of their own."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pourwright.app.jobs import Worker
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.engines.geometry.imported import ImportedSolid, Library
from pourwright.steps.print_files import LaidPiece, bed_file, lay_pieces, printing_evaluator, stl_files

_HERE = "pourwright.app.large_part"
# From this size of the file a process of its own is worth the second that it takes to start.
_LARGE_BYTES: Mapping[str, int] = {".stl": 10 * 2**20, ".3mf": 3 * 2**20}


class LargePart:
    """The second process of one kit; it does nothing until a large file is met, and then one thing after the other."""

    def __init__(self) -> None:
        self._worker: Worker | None = None
        self._asked: list[str] = []
        self._design: MouldDesign | None = None

    def __enter__(self) -> LargePart:
        return self

    def __exit__(self, *_: object) -> None:
        if self._worker is not None:
            self._worker.close()

    def expect(self, file: Path) -> None:
        """Get ready for a file, if it is large."""
        if file.is_file() and file.stat().st_size >= _LARGE_BYTES.get(file.suffix.lower(), 2**62):
            self._worker = Worker()
            self._ask("warm_up")

    def begin_twin(self, solid: ImportedSolid) -> None:
        """Begin the twin of a solid as it was drawn."""
        self._ask("make_twin", solid=solid)

    def twin_corners(self, report: Report = silent) -> Any:
        """The twin that was begun, as `closed_twin.twin_corners` gives it; None without a second process."""
        return self._answer("make_twin", report)

    def begin_print(self, design: MouldDesign, library: Library) -> None:
        """Begin to mesh what is printed."""
        self._design = design
        self._ask("lay_and_write", design=design, library=dict(library))

    def print_files(self, design: MouldDesign, *, report: Report, **bed: Any) -> dict[str, bytes] | None:
        """The print files of a mould, as `print_files` gives them; None when they were not begun."""
        if self._worker is None or self._design is not design:
            return None
        self._ask("write_bed", **bed)
        files: dict[str, bytes] = self._answer("lay_and_write", span(report, 0.0, 0.7))
        files |= self._answer("write_bed", span(report, 0.7, 1.0))
        return files

    def _ask(self, job: str, **keywords: Any) -> None:
        if self._worker is not None:
            self._worker.start(f"{_HERE}:{job}", **keywords)
            self._asked.append(job)

    def _answer(self, job: str, report: Report) -> Any:
        """Answers come in the order of the questions."""
        found = None
        while self._worker is not None and job in self._asked:
            found = self._worker.result(report)
            self._asked.pop(0)
        return found


# ---------------------------------------------------------------- in the second process


_LAID: list[LaidPiece] = []  # between two jobs


def warm_up(*, report: Report) -> None:
    """Load what the next jobs need."""


def make_twin(*, solid: ImportedSolid, report: Report) -> Any:
    """The corners that the twin keeps, and its triangles."""
    from pourwright.engines.geometry.repeats.closed_twin import twin_corners

    return twin_corners(solid, report=report)


def lay_and_write(*, design: MouldDesign, library: Library, report: Report) -> dict[str, bytes]:
    """The STL files of a mould; the pieces are kept for `write_bed`."""
    evaluator = printing_evaluator(design, library)
    _LAID[:] = lay_pieces(design, evaluator, report=report)
    return stl_files(design, evaluator, _LAID)


def write_bed(*, bed_mm: tuple[float, float, float], metadata: Mapping[str, str], report: Report) -> dict[str, bytes]:
    """The 3MF of the pieces that were laid."""
    report(0.0, "writing the 3MF")
    return bed_file(_LAID, bed_mm=bed_mm, metadata=metadata)
