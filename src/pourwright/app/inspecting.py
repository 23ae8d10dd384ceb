"""Read a solid from anywhere and say what it is and how it could be moulded, as words and as `--json`."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

from pourwright.basics.progress import Report, silent, span
from pourwright.domain.inspection import Inspection

_MM, _MM2, _MM3 = 1e3, 1e6, 1e9


def inspect_file(file: Path, *, unit: str | None = None, report: Report = silent) -> tuple[Inspection, float]:
    """The facts of the one solid in a file, and the seconds it took.

    Raises
    ------
    CannotRead
        Missing, broken, too large, or not one closed solid.
    """
    from pourwright.app.reading_job import read_part_file
    from pourwright.steps.inspect_solid import inspect_solid

    start = time.perf_counter()
    reading = read_part_file(file, name=str(file), unit=unit, report=span(report, 0.0, 0.3))
    found = inspect_solid(reading, file=str(file), report=span(report, 0.3, 1.0))
    report(1.0, "inspected")
    return found, time.perf_counter() - start


def inspection_answer(found: Inspection, seconds: float) -> dict[str, object]:
    """Everything the contract promises about a solid."""
    return {
        "file": found.file,
        "unit": found.unit,
        "exact": found.exact,
        "triangles": found.triangles,
        "watertight": found.watertight,
        "volume_mm3": found.volume * _MM3,
        "area_mm2": found.area * _MM2,
        "bounds_mm": [_millimetres(corner) for corner in found.bounds],
        "size_mm": _millimetres(found.size),
        "best_pull": list(found.best_pull),
        "parting_height_mm": found.parting_height * _MM,
        "height_mm": found.height * _MM,
        "undercut_mm3": found.undercut * _MM3,
        "unavoidable_undercut_mm3": found.unavoidable_undercut * _MM3,
        "stretch": found.stretch,
        "trapped_mm3": found.trapped * _MM3,
        "thinnest_mm": found.thinnest * _MM,
        "thinnest_at_mm": _millimetres(found.thinnest_at),
        "warnings": list(found.warnings),
        "seconds": round(seconds, 4),
    }


def inspection_words(found: Inspection) -> Iterator[str]:
    """The same for a person, the answer to "can it be moulded?" first."""
    yield f"{found.file}: one closed solid of {found.triangles} triangles ({_kind(found)})"
    size = " × ".join(f"{length * _MM:.2f}" for length in found.size)
    yield f"Size              {size} mm, {found.volume * _MM3 / 1e3:.3f} mL, surface {found.area * 1e4:.2f} cm²"
    yield f"Best pull         {_direction(found.best_pull)}"
    yield f"Part it           {found.parting_height * _MM:.2f} mm up, of {found.height * _MM:.2f} mm along the pull"
    yield f"Undercut there    {found.undercut * _MM3:.1f} mm³; a silicone ring stretches {found.stretch:.2f} times"
    yield f"Trapped air       {found.trapped * _MM3:.1f} mm³ when only its highest places are vented"
    x, y, z = _millimetres(found.thinnest_at)
    yield f"Thinnest wall     {found.thinnest * _MM:.2f} mm, at ({x:.1f}, {y:.1f}, {z:.1f}) mm"
    for warning in found.warnings:
        yield f"note: {warning}"
    yield f'Next: put the file beside a project.toml and write file = "{Path(found.file).name}" under [part].'


def _kind(found: Inspection) -> str:
    return "exact surfaces, so that the kit can be written as STEP" if found.exact else f"a mesh, in {found.unit}"


def _direction(pull: tuple[float, float, float]) -> str:
    axes = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}
    for name, axis in axes.items():
        along = sum(a * b for a, b in zip(pull, axis, strict=True))
        if abs(along) > 0.99999:
            return f"along {'-' if along < 0 else '+'}{name} of the file"
    return "along ({:.4f}, {:.4f}, {:.4f}) of the file".format(*pull)


def _millimetres(lengths: tuple[float, ...]) -> list[float]:
    return [round(length * _MM, 6) for length in lengths]
