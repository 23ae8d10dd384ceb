"""How high a solid is parted: least stretch, then least undercut, on an edge, or where a rounding begins. mm."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import scan
from pourwright.engines.geometry.partings.mesh_lips import mesh_lips
from pourwright.engines.geometry.partings.rings import level_rings
from pourwright.engines.geometry.pulls.held import burden
from pourwright.engines.geometry.pulls.pull import Parting, PullReport, best_parting, sharp_edges

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_COLUMNS, _PARTINGS = 192, 3
_BARS = 4e-3  # of the volume: what the grid cannot tell from nothing
_MOST_LIPS = 12  # parting heights whose lips are looked at
_RING_SHARE = 0.5  # of the outline must be a level edge for the height to be one where a rounding begins (judgement)
_BELOW_MM = 1.0  # how far below the best height a rounding may begin
LEAST_PIECE_MM = 0.6  # of a pattern: a thinner piece is no more than a few layers (judgement)
_SAME_UNDERCUT = 1e-4  # of the part's volume
_SAME_STRETCH = 2e-3
_SAME_MM = 1e-6


def choose_parting(vertices: Floats, triangles: Ints, pull: PullReport, *, allowed_stretch: float) -> float:
    """The height at which a solid is parted flat.

    A parting that falls just beside the place where a rounded edge begins is put there exactly: neither half is then
    left with a flap of silicone that reaches over the rounding.

    Parameters
    ----------
    vertices : mm, (n, 3), standing on z = 0.
    triangles : (m, 3), outward
    pull : along z.
    allowed_stretch : what the silicone stands, at least 1.
    """
    sharp, looked = sharp_edges(vertices, triangles, pull), 0

    def lips_pass(height: float) -> bool:
        nonlocal looked
        looked += 1
        return looked <= _MOST_LIPS and lips_hold(vertices, triangles, height)

    count = _PARTINGS if pull.gap_mm3 > _BARS * pull.volume_mm3 else 1
    found = best_parting(pull, sharp, allowed_stretch=allowed_stretch, lips_pass=lips_pass, count=count)
    found = found or best_parting(pull, sharp, allowed_stretch=allowed_stretch, count=count)
    if not found:
        return float(vertices[:, 2].max())
    taken = _without_bars(vertices, triangles, found)
    height = taken.z_mm
    height = (_on_an_edge if taken.sharp_share else _where_a_rounding_begins)(vertices, triangles, pull, height)
    return _at_the_top(vertices, triangles, pull, _at_a_corner(vertices, height), allowed_stretch)


def _without_bars(vertices: Floats, triangles: Ints, found: tuple[Parting, ...]) -> Parting:
    """The first of some partings that leaves no bar of silicone through the part; the one with least of it, if all do.

    Bars count in steps that the grid can tell apart.
    """
    if len(found) == 1:
        return found[0]
    columns = scan(vertices, triangles, columns=_COLUMNS)
    step = _BARS * columns.volume_mm3
    return min(found, key=lambda parting: burden(columns, parting.z_mm)[0] // step)


def lips_hold(vertices: Floats, triangles: Ints, height: float) -> bool:
    """Whether the silicone of both halves is thick enough behind every edge of the mouth."""
    return all(lip.ok for lip in mesh_lips(vertices, triangles, height))


def _on_an_edge(vertices: Floats, triangles: Ints, pull: PullReport, height: float) -> float:
    """The one edge that is meant where several lie closer together than the sections: that with least in the way."""
    heights, lengths = level_rings(vertices, triangles)
    around = np.interp(heights, pull.middle_mm, pull.perimeter_mm)
    step = float(pull.z_mm[1] - pull.z_mm[0])
    near = np.flatnonzero((np.abs(heights - height) <= 1.5 * step) & (lengths >= _RING_SHARE * around))
    if not len(near) or np.abs(heights[near] - height).min() <= _SAME_MM:
        return height
    return float(heights[min(near, key=lambda k: (-round(float(lengths[k]), 6), abs(heights[k] - height)))])


def _at_the_top(vertices: Floats, triangles: Ints, pull: PullReport, height: float, allowed: float) -> float:
    """The top itself where what rises above the parting is too thin to be a piece and the silicone can bear it."""
    top = float(vertices[:, 2].max())
    thin = 0.0 < top - height < LEAST_PIECE_MM
    return top if thin and pull.stretch[-1] <= allowed and lips_hold(vertices, triangles, top) else height


def _where_a_rounding_begins(vertices: Floats, triangles: Ints, pull: PullReport, height: float) -> float:
    """The nearest level ring of edges that is as good a parting; the height itself where there is none."""
    z = pull.z_mm
    step = float(z[1] - z[0])
    heights, lengths = level_rings(vertices, triangles)
    around = np.interp(heights, pull.middle_mm, pull.perimeter_mm)
    undercut = np.interp(heights, z, pull.u_mm3)
    stretch = np.interp(heights, z, pull.stretch)
    here = pull.at(height)
    good = (heights >= height - max(1.5 * step, _BELOW_MM)) & (heights <= height + 1.5 * step)
    good &= (heights > z[0]) & (heights < z[-1]) & (lengths >= _RING_SHARE * around)
    good &= undercut <= pull.u_mm3[here] + _SAME_UNDERCUT * pull.volume_mm3
    good &= stretch <= pull.stretch[here] + _SAME_STRETCH
    for k in sorted(np.flatnonzero(good), key=lambda k: (round(float(undercut[k]), 9), abs(heights[k] - height))):
        if lips_hold(vertices, triangles, float(heights[k])):
            return float(heights[k])
    return height


def _at_a_corner(vertices: Floats, height: float) -> float:
    """The height of the corners that lie there but for rounding: cut a hair beside them, and sheets are left."""
    heights = vertices[:, 2]
    near = heights[np.abs(heights - height) <= _SAME_MM]
    return float(np.sort(near)[len(near) // 2]) if len(near) else height
