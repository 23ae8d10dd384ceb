"""A parting that follows a solid where a flat one would hold it: along x or along y, whichever rises less. mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Columns, scan
from pourwright.engines.geometry.partings.relief import Relief
from pourwright.engines.geometry.partings.ruled import (
    GRAZINGS,
    STEEPEST,
    STEEPEST_STEP,
    Line,
    corridor,
    flattest_line,
    steepest,
    stepped_line,
)
from pourwright.engines.geometry.pulls.pull import PullReport, pull_report

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

RULED, STEPPED = "ruled", "stepped"

_COLUMNS = 256
_SLICES = 200
_WORTH = 4e-3  # of the volume that a flat parting must block before others are looked for
_BETTER = 0.25  # of the flat parting's undercut that another may leave at most (judgement)
_SMALL = 0.2  # of that: so little is not worth a line that rises and falls more often
_ROUNDING = 1e-6


@dataclass(frozen=True, kw_only=True)
class FoundParting:
    """A face that follows the part: its line about the middle, the highest at 0 and `level_mm` up; the levelled part.

    `undercut_mm3` is what it leaves in the way; `vertices` and `triangles` are the part with its columns so moved that
    the face is z = 0.
    """

    kind: str
    line_mm: Line
    axis: int
    level_mm: float
    undercut_mm3: float
    vertices: Floats
    triangles: Ints


def shape_parting(
    vertices: Floats, triangles: Ints, pull: PullReport, *, flat_undercut_mm3: float
) -> tuple[FoundParting, ...]:
    """The ruled and the stepped parting of a solid, the better first; empty where a flat one does as well.

    Parameters
    ----------
    vertices : mm, (n, 3), the middle of the box on the z axis.
    triangles : (m, 3), outward
    pull : along z.
    flat_undercut_mm3 : what the best flat parting leaves in the way.
    """
    allowed = _BETTER * flat_undercut_mm3
    if flat_undercut_mm3 < _WORTH * pull.volume_mm3 or pull.gap_mm3 > allowed:
        return ()
    columns = scan(vertices, triangles, columns=_COLUMNS)
    found: dict[str, FoundParting] = {}
    for grazing in GRAZINGS:
        for kind, _, axis, line in sorted(_lines(columns, grazing)):
            known = found.get(kind)
            if known is not None and known.undercut_mm3 <= _SMALL * allowed:
                continue
            parting = _parted(vertices, triangles, kind, axis, line)
            if parting.undercut_mm3 <= allowed and (known is None or parting.undercut_mm3 < known.undercut_mm3 / 2):
                found[kind] = parting
    # A ruled one that is steep goes behind a stepped one, whose stretches are level.
    return tuple(sorted(found.values(), key=lambda one: one.kind == RULED and steepest(one.line_mm) > STEEPEST))


def _lines(columns: Columns, grazing: float) -> Iterator[tuple[str, float, int, Line]]:
    """Lines along x and y, with what they are called and how steep they are."""
    for axis in (0, 1):
        way = corridor(columns, axis, grazing=grazing)
        line, steps = flattest_line(way), stepped_line(way)
        if line is not None and steepest(line) <= STEEPEST_STEP + _ROUNDING:
            yield RULED, round(steepest(line), 6), axis, line
        if steps is not None and STEEPEST < steepest(steps) <= STEEPEST_STEP + _ROUNDING:
            yield STEPPED, float(len(steps)), axis, steps


def _parted(vertices: Floats, triangles: Ints, kind: str, axis: int, line: Line) -> FoundParting:
    level = max(z for _, z in line)
    about = tuple((u, z - level) for u, z in line)
    moved, faces = Relief(corners_mm=about, axis=axis).shifted(vertices - np.array([0.0, 0.0, level]), triangles)
    pull = pull_report(moved, faces, columns=_COLUMNS, slices=_SLICES)
    return FoundParting(
        kind=kind,
        line_mm=about,
        axis=axis,
        level_mm=level,
        undercut_mm3=float(np.interp(0.0, pull.z_mm, pull.u_mm3)),
        vertices=moved,
        triangles=faces,
    )
