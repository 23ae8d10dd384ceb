"""What is said of an inspected solid: as the one JSON object, and in words for a person."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from pourwright.app.answer_pull import pull_figures
from pourwright.app.inspecting import Inspected
from pourwright.domain.inspection import AirTrap, HeldSilicone, Inspection, PullChoice, WayUp

_MM, _MM2, _MM3 = 1e3, 1e6, 1e9
_SHOWN = 4  # pieces, pockets and runners-up named in words; all of them are in the JSON


def inspection_answer(inspected: Inspected) -> dict[str, object]:
    """Everything the contract promises about a solid, and more."""
    found = inspected.found
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
        "verdict": {
            "opens": found.verdict.opens,
            "scheme": found.verdict.scheme,
            "direction": list(found.verdict.direction),
            "reasons": list(found.verdict.reasons),
            "advice": list(found.verdict.advice),
            "kit_can_be_made": found.verdict.opens and found.verdict.kit,
        },
        "best_pull": list(found.pull.direction),
        **_pull(found.pull),
        "stretch_allowed": found.stretch_allowed,
        "silicone": found.silicone,
        "silicone_assumed": inspected.silicone_assumed,
        "held": [_held(piece) for piece in found.held],
        "runners_up": [{"direction": list(w.direction), **_pull(w), "why": w.why} for w in found.runners_up],
        **_air(found.air),
        "other_way_up": _air(found.air_other),
        "thinnest_mm": found.thinnest * _MM,
        "thinnest_at_mm": _millimetres(found.thinnest_at),
        "picture": None if inspected.picture is None else str(inspected.picture),
        "warnings": list(found.warnings),
        "seconds": round(inspected.seconds, 4),
    }


def _pull(way: PullChoice) -> dict[str, object]:
    return {
        **pull_figures(way),
        "height_mm": way.height * _MM,
        "undercut_mm3": way.undercut * _MM3,
        "unavoidable_undercut_mm3": way.unavoidable_undercut * _MM3,
        "stretch": way.stretch,
        "flat_top_share": way.flat_top,
        "lid_fills_mm3": way.lid_fills * _MM3,
    }


def _held(piece: HeldSilicone) -> dict[str, object]:
    return {
        "half": piece.half,
        "volume_mm3": piece.volume * _MM3,
        "depth_mm": piece.depth * _MM,
        "runs_through": piece.runs_through,
        "stretch": piece.stretch,
        "at_mm": _millimetres(piece.place),
    }


def _air(way: WayUp) -> dict[str, object]:
    return {
        "way_up": list(way.up),
        "vents_at_mm": [_millimetres(vent) for vent in way.vents],
        "trapped_mm3": way.trapped * _MM3,
        "traps": [_trap(trap) for trap in way.traps],
        "worst_tilt_deg": _degrees(way.worst_tilt),
        "worst_tilt_azimuth_deg": _degrees(way.worst_azimuth),
        "worst_tilt_trapped_mm3": way.worst_trapped * _MM3,
        "worst_tilt_traps": [_trap(trap) for trap in way.worst_traps],
        "best_tilt_deg": _degrees(way.best_tilt),
        "best_tilt_up": list(way.lean),
        "best_tilt_trapped_mm3": way.best_trapped * _MM3,
    }


def _trap(trap: AirTrap) -> dict[str, object]:
    return {"volume_mm3": trap.volume * _MM3, "depth_mm": trap.depth * _MM, "at_mm": _millimetres(trap.place)}


# ---------------------------------------------------------------- words


def inspection_words(inspected: Inspected) -> Iterator[str]:
    """The same for a person, the answer to "can it be moulded?" first."""
    found = inspected.found
    yield f"{found.file}: one closed solid of {found.triangles} triangles ({_kind(found)})"
    size = " × ".join(f"{length * _MM:.2f}" for length in found.size)
    yield f"Size              {size} mm, {found.volume * _MM3 / 1e3:.3f} mL, surface {found.area * 1e4:.2f} cm²"
    yield from _verdict_words(found)
    yield from _pull_words(found, assumed=inspected.silicone_assumed)
    yield from _air_words(found)
    edge = ", a knife edge" if found.knife_edge else ""
    yield f"Thinnest wall     {found.thinnest * _MM:.2f} mm{edge}, at {_at(found.thinnest_at)}"
    for warning in found.warnings:
        yield f"note: {warning}"
    if inspected.picture is not None:
        yield f"Picture           {inspected.picture}"
    else:
        yield "A picture of what holds, where air stays and where it parts: --picture FILE.svg"
    yield f'Next: put the file beside a project.toml and write file = "{Path(found.file).name}" under [part].'


def _verdict_words(found: Inspection) -> Iterator[str]:
    verdict = found.verdict
    answer = "no; least bad" if not verdict.opens else "yes" if verdict.kit else "lets go, but no kit as it is"
    yield f"Two-part mould    {answer}: {verdict.scheme}, pulled {_direction(verdict.direction)}"
    for reason in verdict.reasons:
        yield f"                  - {reason}"
    for advice in verdict.advice:
        yield f"                  try: {advice}"


def _pull_words(found: Inspection, *, assumed: bool) -> Iterator[str]:
    pull = found.pull
    yield f"Best pull         {_direction(pull.direction)}"
    yield f"Part it           {pull.parting_height * _MM:.2f} mm up, of {pull.height * _MM:.2f} mm along the pull"
    yield (
        f"Undercut there    {pull.undercut_lower * _MM3:.1f} mm³ in the lower half, {pull.undercut_upper * _MM3:.1f} "
        f"mm³ in the lid; {pull.unavoidable_undercut * _MM3:.1f} mm³ whatever the parting"
    )
    yield (
        f"Stretch           {pull.stretch_lower:.2f} lower half, {pull.stretch_upper:.2f} lid, of "
        f"{found.stretch_allowed:.2f} that {found.silicone} stands{' (assumed: --silicone NAME)' if assumed else ''}"
    )
    for piece in found.held[:_SHOWN]:
        through = ", right through the part" if piece.runs_through else ""
        yield (
            f"  held            {piece.volume * _MM3:.1f} mm³ of the {piece.half} at {_at(piece.place)}, "
            f"{piece.depth * _MM:.1f} mm deep{through}"
        )
    for way in found.runners_up[:_SHOWN]:
        yield (
            f"  next best       {_direction(way.direction)}: undercut {way.undercut * _MM3:.1f} mm³, stretch "
            f"{way.stretch:.2f}, parted {way.parting_height * _MM:.2f} mm up; {way.why}"
        )


def _air_words(found: Inspection) -> Iterator[str]:
    air, other = found.air, found.air_other
    yield (
        f"Trapped air       {air.trapped * _MM3:.1f} mm³ with a vent at each highest place, {_direction(air.up)} up; "
        f"{other.trapped * _MM3:.1f} mm³ turned over"
    )
    yield from _trap_words(air.traps)
    yield (
        f"  at worst        {air.worst_trapped * _MM3:.1f} mm³, tilted {_degrees(air.worst_tilt):g}° (of tilts up to "
        f"10° all round); {other.worst_trapped * _MM3:.1f} mm³ turned over"
    )
    yield from _trap_words(air.worst_traps)
    if air.best_tilt:
        yield (
            f"  at best         {air.best_trapped * _MM3:.1f} mm³, tilted {_degrees(air.best_tilt):g}° so that "
            f"{_direction(air.lean)} points up"
        )


def _trap_words(traps: Sequence[AirTrap]) -> Iterator[str]:
    for trap in traps[:_SHOWN]:
        yield f"  pocket          {trap.volume * _MM3:.1f} mm³, {trap.depth * _MM:.2f} mm deep, at {_at(trap.place)}"


def _kind(found: Inspection) -> str:
    return "exact surfaces, so that the kit can be written as STEP" if found.exact else f"a mesh, in {found.unit}"


def _direction(pull: tuple[float, float, float]) -> str:
    axes = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}
    for name, axis in axes.items():
        along = sum(a * b for a, b in zip(pull, axis, strict=True))
        if abs(along) > 0.99999:
            return f"along {'-' if along < 0 else '+'}{name} of the file"
    return "along ({:.3f}, {:.3f}, {:.3f}) of the file".format(*pull)


def _at(place: Sequence[float]) -> str:
    return "({:.1f}, {:.1f}, {:.1f}) mm".format(*(length * _MM + 0.0 for length in place))


def _degrees(angle: float) -> float:
    return round(math.degrees(angle), 6)


def _millimetres(lengths: Sequence[float]) -> list[float]:
    return [round(length * _MM, 6) for length in lengths]
