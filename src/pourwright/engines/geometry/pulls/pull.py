"""Can the part be pulled out: undercut at every parting height, stretch of the silicone, best parting. mm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, scan
from pourwright.engines.geometry.partings.sharp import SHARP_SHARE, SharpEdges
from pourwright.engines.geometry.partings.sharp import sharp_edges as sharp_edges
from pourwright.engines.geometry.probes.slices import Slices, cut_slices

# Two partings closer than this count as equal at first, so that a sharp edge may decide between them.
_SAME_STRETCH = 2e-3
_SAME_UNDERCUT = 1e-4  # of the part's volume


@dataclass(frozen=True, eq=False)
class PullReport:
    """What each parting height along one direction would cost. Heights run along the direction.

    Parameters
    ----------
    direction : (3,), unit vector of the pull.
    z_mm : mm, (k + 1,), the heights at which the part can be parted.
    u_low_mm3, u_up_mm3 : mm3, (k + 1,), silicone of the lower half, and of the lid, that blocks the pull.
    stretch_low, stretch_up : -, (k + 1,), the most that a ring of the lower half, or of the lid, must stretch.
    middle_mm : mm, (k,), heights of the sections.
    area_mm2, perimeter_mm : mm2, mm, (k,), section area and perimeter of the section's hull.
    gap_mm3 : mm3, blocked volume that no parting surface along this direction can avoid.
    shadow_mm2 : mm2, area of the shadow along the direction.
    volume_mm3 : mm3, of the part, from the columns.
    cell_mm : mm, (2,), the grid on which the volumes rest.
    bad_columns : number of columns in which the surface does not close.
    """

    direction: tuple[float, float, float]
    z_mm: Floats
    u_low_mm3: Floats
    u_up_mm3: Floats
    stretch_low: Floats
    stretch_up: Floats
    middle_mm: Floats
    area_mm2: Floats
    perimeter_mm: Floats
    gap_mm3: float
    shadow_mm2: float
    volume_mm3: float
    cell_mm: tuple[float, float]
    bad_columns: int

    @property
    def u_mm3(self) -> Floats:
        """Undercut of both halves together, at each parting height."""
        return self.u_low_mm3 + self.u_up_mm3

    @property
    def stretch(self) -> Floats:
        """The worse stretch of the two halves, at each parting height."""
        return np.maximum(self.stretch_low, self.stretch_up)

    def at(self, height_mm: float) -> int:
        """Index of the parting height nearest to `height_mm`."""
        return int(np.argmin(np.abs(self.z_mm - height_mm)))


@dataclass(frozen=True)
class Parting:
    """One parting height and what speaks for or against it.

    `sharp_share` is the part of the outline there that is a sharp edge; `marked` says that the line would
    cross a face which the person wants clean.
    """

    z_mm: float
    undercut_mm3: float
    stretch: float
    sharp_share: float
    marked: bool
    allowed: bool


def pull_report(
    vertices: Floats,
    triangles: Ints,
    direction: object = (0.0, 0.0, 1.0),
    columns: int = 256,
    slices: int = 400,
) -> PullReport:
    """Undercut, stretch and gap volume for every parting height along a direction.

    A part in the lower half is blocked by silicone that lies above part material in the same column; in the
    lid likewise, upside down. A ring of silicone must pass every wider section on the way out.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward
    direction : of the pull.
    columns : across the wider side of the shadow.
    slices : parting heights, less one.

    Returns
    -------
    PullReport
        Volumes within about 1e-3 of the part at 512 columns, 3e-3 at 256; stretch within 1e-3.
        The stretch speaks of full rings: for a bump on one side it says too little.
    """
    return report_of(
        vertices, triangles, scan(vertices, triangles, direction=direction, columns=columns), slices=slices
    )


def report_of(vertices: Floats, triangles: Ints, cols: Columns, *, slices: int = 400) -> PullReport:
    """As `pull_report`, from columns that were scanned already."""
    cuts = cut_slices(vertices, triangles, direction=cols.direction, slices=slices)
    low, up = _undercuts(cols, cuts.bounds_mm)
    stretch_low, stretch_up = _stretches(cuts)
    x, y, z = cols.direction
    return PullReport(
        direction=(float(x), float(y), float(z)),
        z_mm=cuts.bounds_mm,
        u_low_mm3=low,
        u_up_mm3=up,
        stretch_low=stretch_low,
        stretch_up=stretch_up,
        middle_mm=cuts.middle_mm,
        area_mm2=cuts.area_mm2,
        perimeter_mm=cuts.hull_mm,
        gap_mm3=gap_volume(cols),
        shadow_mm2=cols.shadow_mm2,
        volume_mm3=cols.volume_mm3,
        cell_mm=cols.cell_mm,
        bad_columns=cols.bad,
    )


def gap_volume(columns: Columns) -> float:
    """Volume of the gaps between the solid intervals of all columns, mm3.

    No parting surface along this direction has less undercut; 0 says that some surface opens cleanly.
    """
    same = _same_column(columns)
    gaps = columns.bottom_mm[1:] - columns.top_mm[:-1]
    return float(gaps[same].sum()) * columns.cell_mm2


def _same_column(columns: Columns) -> np.ndarray:
    """For each interval but the last: does the next one lie in the same column?"""
    of = np.repeat(np.arange(len(columns.starts) - 1), np.diff(columns.starts))
    return of[1:] == of[:-1]


def _undercuts(columns: Columns, bounds: Floats) -> tuple[Floats, Floats]:
    """Blocked volume below and above each bound, exactly for these columns."""
    filled = np.diff(columns.starts) > 0
    lowest = columns.bottom_mm[columns.starts[:-1][filled]]
    highest = columns.top_mm[columns.starts[1:][filled] - 1]
    solid_low = _ramps(columns.bottom_mm, bounds) - _ramps(columns.top_mm, bounds)
    low = _ramps(lowest, bounds) - solid_low
    solid_up = _ramps(-columns.top_mm, -bounds[::-1]) - _ramps(-columns.bottom_mm, -bounds[::-1])
    up = (_ramps(-highest, -bounds[::-1]) - solid_up)[::-1]
    # Differences of sums of the same size: what is left of nothing is round-off.
    return np.maximum(low, 0.0) * columns.cell_mm2, np.maximum(up, 0.0) * columns.cell_mm2


def _ramps(starts: Floats, bounds: Floats) -> Floats:
    """At each bound z, the sum of max(0, z - a) over all starts a."""
    first = np.searchsorted(bounds, starts)
    count = np.bincount(first, minlength=len(bounds) + 1)[: len(bounds)]
    offset = np.bincount(first, weights=starts - bounds[0], minlength=len(bounds) + 1)[: len(bounds)]
    return (bounds - bounds[0]) * np.cumsum(count) - np.cumsum(offset)


def _stretches(cuts: Slices) -> tuple[Floats, Floats]:
    def worst(perimeter: Floats) -> Floats:
        """Seen from the tip inwards: widest section so far over this one, then the worst so far."""
        widest = np.maximum.accumulate(perimeter)
        ratio = np.divide(widest, perimeter, out=np.ones_like(widest), where=perimeter > 0.0)
        return np.concatenate(([1.0], np.maximum.accumulate(ratio)))

    return worst(cuts.hull_mm), worst(cuts.hull_mm[::-1])[::-1]


# ---------------------------------------------------------------- parting height


def best_parting(
    report: PullReport,
    sharp: SharpEdges | None = None,
    *,
    allowed_stretch: float,
    lips_pass: Callable[[float], bool] | None = None,
    marked_mm: Sequence[tuple[float, float]] = (),
    count: int = 2,
) -> tuple[Parting, ...]:
    """The best parting heights, best first; the top stands first among equals.

    Least stretch decides, then least undercut, then a sharp edge that hides the line. Heights within a marked
    span come after all others that the silicone can bear.

    Parameters
    ----------
    report : of one direction.
    sharp : from `sharp_edges`; a parting on such an edge is put at the edge's exact height.
    allowed_stretch : -, at least 1; a third of the elongation at break above 1 is the usual limit.
    lips_pass : says whether the silicone lips at a height hold; heights where they do not are dropped.
    marked_mm : mm, spans of height that the line should not cross.
    count : how many to give; they lie at least a twentieth of the height apart.
    """
    z = report.z_mm
    share = np.zeros(len(z)) if sharp is None else sharp.share
    height = z if sharp is None else np.where(share >= SHARP_SHARE, sharp.height_mm, z)
    marked = np.zeros(len(z), dtype=bool)
    for low, high in marked_mm:
        marked |= (height > low) & (height < high)
    allowed = report.stretch <= allowed_stretch + 1e-3
    apart = max(3 * (z[1] - z[0]), 0.05 * (z[-1] - z[0]))
    found: list[Parting] = []
    for k in _ranked(report, share, height, marked, allowed):
        here = float(height[k])
        if any(abs(here - other.z_mm) < apart for other in found):
            continue
        if lips_pass is not None and not lips_pass(here):
            continue
        undercut, stretch = float(report.u_mm3[k]), float(report.stretch[k])
        found.append(Parting(here, undercut, stretch, float(share[k]), bool(marked[k]), bool(allowed[k])))
        if len(found) == count:
            break
    return tuple(found)


def _ranked(report: PullReport, share: Floats, height: Floats, marked: np.ndarray, allowed: np.ndarray) -> Ints:
    """Indices of the parting heights, best first. The last key given to lexsort decides first."""
    stretch = report.stretch - report.stretch.min()
    undercut = report.u_mm3 / max(report.volume_mm3, 1e-300)
    return np.lexsort(
        (
            -height,
            np.round(undercut, 9),
            np.round(stretch, 9),
            share < SHARP_SHARE,
            np.floor(undercut / _SAME_UNDERCUT),
            np.floor(stretch / _SAME_STRETCH),
            marked,
            ~allowed,
        )
    )
