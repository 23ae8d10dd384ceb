"""The silicone that a part holds: each piece behind an overhang, how deep it sits and whether it runs through. mm.

A piece with one mouth can be folded or stretched out. A piece with two is a bar that runs through the part: no
stretching frees it, for part and silicone are linked like two rings. The long web between the coils of a spring
counts as one too: it has a mouth on either side, though the two meet round the end of the wire.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints
from pourwright.engines.geometry.pulls.gaps import Gaps, Point, gap_at
from pourwright.engines.geometry.pulls.held_stretch import stretch_round

LOWER, LID = "lower half", "lid"
_LEAST_SHARE = 5e-4  # of the part's volume: smaller pieces are not told
_MOST = 6  # pieces of each half whose own stretch is looked at


@dataclass(frozen=True)
class Held:
    """One piece of silicone that lies behind part material as the halves are pulled off.

    Parameters
    ----------
    half : "lower half" or "lid", of which it is a part.
    volume_mm3 : mm3
    depth_mm : mm, how far from its mouth the deepest silicone sits.
    mouths : ways out of it; two or more make it a bar through the part.
    stretch : -, how far a ring of silicone round this place alone must stretch; 1 where that says nothing.
    point_mm : mm, its deepest place.
    """

    half: str
    volume_mm3: float
    depth_mm: float
    mouths: int
    stretch: float
    point_mm: Point

    @property
    def runs_through(self) -> bool:
        """Whether it is a bar that only a cut could free."""
        return self.mouths > 1


def held_silicone(columns: Columns, parting_mm: float) -> tuple[Held, ...]:
    """Every piece of silicone that blocks the pull at a parting height, largest first.

    Parameters
    ----------
    columns : of the part, scanned along the pull.
    parting_mm : mm, height along the pull.
    """
    up = _half(columns, columns, parting_mm, LOWER)
    down = _half(columns, _mirrored(columns), -parting_mm, LID)
    return tuple(sorted((*up, *down), key=lambda piece: -piece.volume_mm3))


def burden(columns: Columns, parting_mm: float) -> tuple[float, float]:
    """How hard a parting height is on the silicone: bars through the part, mm3, and what must move how far, mm4.

    The second is the volume of all that is held times its way to the mouth, bars left out.
    """
    through = moved = 0.0
    for side, height in ((columns, parting_mm), (_mirrored(columns), -parting_mm)):
        gaps = Gaps(side, height)
        volume, mouths, _, _ = gaps.pieces()
        bars = mouths > 1
        through += float(volume[bars].sum())
        moved += float(gaps.moments()[~bars].sum())
    return through, moved


def held_at(columns: Columns, parting_mm: float, points: Floats) -> Ints:
    """What holds the silicone at each point: 0 nothing, 1 the lower half, 2 the lid, 3 a bar through the part.

    Parameters
    ----------
    columns : of the part, scanned along the pull.
    parting_mm : mm, height along the pull.
    points : mm, (k, 3), outside of the part, in the mesh's own coordinates.
    """
    seen = np.zeros(len(points), dtype=np.int64)
    u, v, height = columns.frame @ np.asarray(points, dtype=np.float64).T
    n_u, n_v = columns.counts
    place = np.rint((u - columns.origin_mm[0]) / columns.cell_mm[0]).astype(np.int64)
    row = np.rint((v - columns.origin_mm[1]) / columns.cell_mm[1]).astype(np.int64)
    there = (place >= 0) & (place < n_u) & (row >= 0) & (row < n_v)
    column = np.where(there, row * n_u + place, -1)
    for side, z, heights, code in (
        (columns, parting_mm, height, 1),
        (_mirrored(columns), -parting_mm, -height, 2),
    ):
        gaps = Gaps(side, z)
        volume, mouths, _, _ = gaps.pieces()
        kept = (volume > _LEAST_SHARE * columns.volume_mm3) & (mouths > 0)
        gap = gap_at(gaps.starts, gaps.low, gaps.high, column, heights)
        inside = np.flatnonzero(gap >= 0)
        piece = gaps.group[gap[inside]]
        inside, piece = inside[kept[piece]], piece[kept[piece]]
        seen[inside] = np.where(mouths[piece] > 1, 3, code)
    return seen


def _mirrored(columns: Columns) -> Columns:
    """The same columns seen from above: heights turned round, u and v as they were."""
    count = len(columns.top_mm)
    of = np.repeat(np.arange(len(columns.starts) - 1), np.diff(columns.starts))
    turned = columns.starts[of] + columns.starts[of + 1] - 1 - np.arange(count)
    return Columns(
        frame=columns.frame * np.array([[1.0], [1.0], [-1.0]]),
        origin_mm=columns.origin_mm,
        cell_mm=columns.cell_mm,
        counts=columns.counts,
        starts=columns.starts,
        bottom_mm=np.ascontiguousarray(-columns.top_mm[turned]),
        top_mm=np.ascontiguousarray(-columns.bottom_mm[turned]),
        span_mm=(-columns.span_mm[1], -columns.span_mm[0]),
        bad=columns.bad,
    )


def _half(whole: Columns, side: Columns, height: float, half: str) -> list[Held]:
    gaps = Gaps(side, height)
    volume, mouths, depth, deepest = gaps.pieces()
    least = _LEAST_SHARE * whole.volume_mm3
    # A piece without a mouth hangs on the other half, which fills what is open there, and draws freely.
    largest = sorted(np.flatnonzero((volume > least) & (mouths > 0)).tolist(), key=lambda g: (-volume[g], g))
    found = []
    for rank, g in enumerate(largest):
        stretch = stretch_round(gaps, g) if rank < _MOST else 1.0
        place = gaps.point_mm(int(deepest[g]))
        found.append(Held(half, float(volume[g]), float(depth[g]), int(mouths[g]), stretch, place))
    return found
