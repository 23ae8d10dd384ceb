"""Inspect a solid from a file: what it is, which way to pull it, where to part it, where air stays, how thin it is."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from pourwright.basics.progress import Report, silent, span
from pourwright.domain.inspection import AirTrap, HeldSilicone, Inspection, Point, PullChoice, WayUp
from pourwright.engines.geometry.files.read import Reading
from pourwright.engines.geometry.measure import to_m, to_m2, to_m3
from pourwright.steps.mould_verdict import NOTHING, against, judge

if TYPE_CHECKING:
    from pourwright.engines.geometry.air.air_paths import Trap
    from pourwright.engines.geometry.air.dexels import Floats, Ints
    from pourwright.engines.geometry.pulls.best_pull import BestPull, PullWay
    from pourwright.engines.geometry.pulls.held import Held

VERSION = 3
# Silicone of 450 % elongation at break, stretched to a third of it.
USUAL_STRETCH = 2.5
TOP_SHARE = 2e-3  # of the height: what lies nearer to the top counts as its highest place
TILTS_DEG = (2.0, 5.0, 10.0)
AZIMUTHS = 12
_THIN_SAMPLES = 6000  # enough for walls a fiftieth of the part wide
_TILT_COLUMNS = 128
_TWIN_TRIANGLES, _TWIN_SHARE = 20_000, 0.006
_MOST_TRAPS = 20
_TRAP_SHARE = 1e-5  # of the volume: smaller pockets are not listed
_WORTH_A_TILT = 0.05  # and 1 mm3: less is not worth turning or tilting a mould for (judgement)


def inspect_solid(
    reading: Reading,
    *,
    file: str,
    silicone: str = "",
    allowed_stretch: float = USUAL_STRETCH,
    report: Report = silent,
) -> Inspection:
    """What a solid is and how it could be moulded.

    Parameters
    ----------
    reading : from `read_solid`.
    file : its name, for the person.
    silicone : the name of the mould silicone, for the person.
    allowed_stretch : what the silicone stands, at least 1.
    report : told the progress.
    """
    from pourwright.engines.geometry.probes.thickness import thinnest
    from pourwright.engines.geometry.pulls.best_pull import best_pull
    from pourwright.engines.geometry.repeats.twin import coarse_twin

    mesh, placing = (reading.solid.vertices_mm, reading.solid.triangles), reading.solid.placing
    pull = best_pull(*mesh, allowed_stretch=allowed_stretch, report=span(report, 0.0, 0.5))
    light = coarse_twin(*mesh, share=_TWIN_SHARE) if len(mesh[1]) > _TWIN_TRIANGLES else mesh
    air = _better_first(
        *(
            way_up(mesh, light, pull, placing, up=sign, report=span(report, begin, begin + 0.1))
            for sign, begin in ((1.0, 0.5), (-1.0, 0.6))
        )
    )
    thin = thinnest(*mesh, samples=_THIN_SAMPLES, report=span(report, 0.7, 1.0))
    volume = to_m3(reading.volume_mm3)
    best = pull_choice(pull, allowed_stretch)
    others = tuple(pull_choice(way, allowed_stretch) for way in pull.runners_up)
    held = tuple(_held(piece, placing) for piece in pull.held)
    return Inspection(
        file=file,
        unit=reading.solid.unit,
        exact=reading.solid.step is not None,
        triangles=reading.triangles,
        watertight=reading.watertight,
        volume=volume,
        area=to_m2(reading.area_mm2),
        bounds=_bounds(reading),
        pull=best,
        runners_up=tuple(replace(w, why=against(w, best, volume=volume, allowed=allowed_stretch)) for w in others),
        held=tuple(piece for piece in held if piece.volume > NOTHING * volume),
        silicone=silicone,
        stretch_allowed=allowed_stretch,
        air=air[0],
        air_other=air[1],
        thinnest=to_m(thin.thickness_mm),
        thinnest_at=in_file(thin.point_mm, placing),
        verdict=judge(best, others, held, volume=volume, allowed=allowed_stretch),
        warnings=reading.warnings,
    )


def _better_first(upright: WayUp, over: WayUp) -> tuple[WayUp, WayUp]:
    """The part stands as it is pulled, unless it clearly traps less turned over: level first, then at the worst."""
    for mine, other in ((upright.trapped, over.trapped), (upright.worst_trapped, over.worst_trapped)):
        if _clearly_less(other, mine):
            return over, upright
        if _clearly_less(mine, other):
            break
    return upright, over


def _clearly_less(one: float, other: float) -> bool:
    return one < (1 - _WORTH_A_TILT) * other - to_m3(1.0)


def pull_choice(way: PullWay, allowed: float) -> PullChoice:
    """One direction with its best parting, in SI; `allowed` is the stretch that the silicone stands."""
    lower, upper = way.halves_mm3
    stretch_lower, stretch_upper = way.stretches
    return PullChoice(
        direction=way.direction,
        parting_height=to_m(way.parting_height_mm),
        height=to_m(way.height_mm),
        undercut_lower=to_m3(lower),
        undercut_upper=to_m3(upper),
        stretch_lower=stretch_lower,
        stretch_upper=stretch_upper,
        unavoidable_undercut=to_m3(way.report.gap_mm3),
        runs_through=to_m3(way.through_mm3),
        allowed=max(stretch_lower, stretch_upper) <= allowed + 1e-3,
        flat_top=min(way.flat_top, 1.0),
        lid_fills=0.0 if way.recess is None else to_m3(way.recess.volume_mm3),
    )


def _held(piece: Held, placing: Point) -> HeldSilicone:
    return HeldSilicone(
        half=piece.half,
        volume=to_m3(piece.volume_mm3),
        depth=to_m(piece.depth_mm),
        runs_through=piece.runs_through,
        stretch=piece.stretch,
        place=in_file(piece.point_mm, placing),
    )


# ---------------------------------------------------------------- air


def way_up(
    mesh: tuple[Floats, Ints],
    light: tuple[Floats, Ints],
    pull: BestPull,
    placing: Point,
    *,
    up: float,
    report: Report = silent,
) -> WayUp:
    """Air in the part's room, level and tilted, with the pull's direction up (1) or down (-1).

    `light` is the same mesh, or a coarser copy of it, for the many tilts.
    """
    from pourwright.engines.geometry.air.air_paths import highest_places, tilted, trapped

    x, y, z = (up * part + 0.0 for part in pull.direction)
    way, spare = (x, y, z), TOP_SHARE * pull.height_mm
    top = float(max(up * pull.report.z_mm[0], up * pull.report.z_mm[-1]))
    report(0.0, "looking for places where air stays")
    level = trapped(*mesh, up=way, open_level=top - spare, tilts_deg=(0.0,))
    vents = highest_places(*light, up=way, within_mm=spare, columns=_TILT_COLUMNS)
    leaned = trapped(
        *light,
        up=way,
        vents=vents,
        columns=_TILT_COLUMNS,
        tilts_deg=TILTS_DEG,
        azimuths=AZIMUTHS,
        report=span(report, 0.2, 1.0),
    )
    worst = max(leaned.per_tilt, key=lambda pose: (pose.volume_mm3, -pose.tilt_deg, -pose.azimuth_deg))
    best = leaned.best_tilt
    helps = _clearly_less(to_m3(best.volume_mm3), to_m3(level.level_mm3))
    listed = _lister(placing, _TRAP_SHARE * pull.report.volume_mm3)
    return WayUp(
        up=way,
        trapped=to_m3(level.level_mm3),
        traps=listed(level.traps),
        worst_tilt=math.radians(worst.tilt_deg),
        worst_azimuth=math.radians(worst.azimuth_deg),
        worst_trapped=to_m3(max(worst.volume_mm3, level.level_mm3)),
        worst_traps=listed(leaned.traps),
        best_tilt=math.radians(best.tilt_deg) if helps else 0.0,
        best_azimuth=math.radians(best.azimuth_deg) if helps else 0.0,
        best_trapped=to_m3(best.volume_mm3 if helps else level.level_mm3),
        lean=tilted(way, best.tilt_deg, best.azimuth_deg) if helps else way,
        vents=tuple(in_file(vent, placing) for vent in vents),
    )


def _lister(placing: Point, least_mm3: float) -> Callable[[tuple[Trap, ...]], tuple[AirTrap, ...]]:
    def listed(traps: tuple[Trap, ...]) -> tuple[AirTrap, ...]:
        return tuple(
            AirTrap(volume=to_m3(one.volume_mm3), depth=to_m(one.depth_mm), place=in_file(one.peak_mm, placing))
            for one in traps[:_MOST_TRAPS]
            if one.volume_mm3 > least_mm3
        )

    return listed


# ---------------------------------------------------------------- places


def _bounds(reading: Reading) -> tuple[Point, Point]:
    x, y, z = reading.size_mm
    placing = reading.solid.placing
    return in_file((-x / 2, -y / 2, 0.0), placing), in_file((x / 2, y / 2, z), placing)


def in_file(point_mm: Point, placing: Point) -> Point:
    """A place of the solid as it was moved, mm, in the file's own coordinates, m."""
    x, y, z = (to_m(here - move) + 0.0 for here, move in zip(point_mm, placing, strict=True))
    return (x, y, z)
