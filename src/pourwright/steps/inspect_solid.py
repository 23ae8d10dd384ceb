"""Inspect a solid from a file: what it is, which way to pull it, where to part it, where air stays, how thin it is."""

from __future__ import annotations

from pourwright.basics.progress import Report, silent, span
from pourwright.domain.inspection import Inspection, Point
from pourwright.engines.geometry.measure import to_m, to_m2, to_m3
from pourwright.engines.geometry.read import Reading

VERSION = 1
# Silicone of 300 % elongation at break, stretched to a third of it.
USUAL_STRETCH = 2.0
_THIN_SAMPLES = 6000  # enough for walls a fiftieth of the part wide
_TOP_SHARE = 2e-3  # of the height: what lies nearer to the top counts as vented


def inspect_solid(
    reading: Reading, *, file: str, allowed_stretch: float = USUAL_STRETCH, report: Report = silent
) -> Inspection:
    """What a solid is and how it could be moulded.

    Parameters
    ----------
    reading : from `read_solid`.
    file : its name, for the person.
    allowed_stretch : what the silicone stands, at least 1.
    report : told the progress.
    """
    from pourwright.engines.geometry.air_paths import trapped
    from pourwright.engines.geometry.best_pull import best_pull
    from pourwright.engines.geometry.thickness import thinnest

    mesh = reading.solid.vertices_mm, reading.solid.triangles
    pull = best_pull(*mesh, allowed_stretch=allowed_stretch, report=span(report, 0.0, 0.6))
    report(0.6, "looking for places where air stays")
    open_level = float(pull.report.z_mm[-1] - _TOP_SHARE * pull.height_mm)
    air = trapped(*mesh, up=pull.direction, open_level=open_level, tilts_deg=(0.0,))
    thin = thinnest(*mesh, samples=_THIN_SAMPLES, report=span(report, 0.7, 1.0))
    return Inspection(
        file=file,
        unit=reading.solid.unit,
        exact=reading.solid.step is not None,
        triangles=reading.triangles,
        watertight=reading.watertight,
        volume=to_m3(reading.volume_mm3),
        area=to_m2(reading.area_mm2),
        bounds=_bounds(reading),
        best_pull=pull.direction,
        parting_height=to_m(pull.parting_height_mm),
        height=to_m(pull.height_mm),
        undercut=to_m3(pull.parting.undercut_mm3),
        unavoidable_undercut=to_m3(pull.report.gap_mm3),
        stretch=pull.parting.stretch,
        trapped=to_m3(air.level_mm3),
        thinnest=to_m(thin.thickness_mm),
        thinnest_at=_in_file(thin.point_mm, reading.solid.placing),
        warnings=reading.warnings,
    )


def _bounds(reading: Reading) -> tuple[Point, Point]:
    x, y, z = reading.size_mm
    placing = reading.solid.placing
    return _in_file((-x / 2, -y / 2, 0.0), placing), _in_file((x / 2, y / 2, z), placing)


def _in_file(point_mm: Point, placing: Point) -> Point:
    x, y, z = (to_m(here - move) + 0.0 for here, move in zip(point_mm, placing, strict=True))
    return (x, y, z)
