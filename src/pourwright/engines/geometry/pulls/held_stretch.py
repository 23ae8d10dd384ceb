"""How far the silicone round one held piece must stretch: a ring over the part, or a core out of it. mm."""

from __future__ import annotations

import numpy as np

from pourwright.basics.need import need
from pourwright.engines.geometry.air.dexels import Floats, Ints
from pourwright.engines.geometry.probes.slices import hull_perimeter
from pourwright.engines.geometry.pulls.gaps import Bools, Gaps

_LEVELS = 48


def stretch_round(gaps: Gaps, piece: int) -> float:
    """The stretch that frees one piece, -; 1 where nothing is to be compared.

    Parameters
    ----------
    gaps : of one half, its pieces found already.
    piece : the number that names it.
    """
    columns = gaps.columns
    own = np.flatnonzero(gaps.group == piece)
    row, place = np.divmod(np.searchsorted(gaps.starts, own, side="right") - 1, columns.counts[0])
    spare = max(min(int(np.ptp(row)), int(np.ptp(place))) // 2, 2)
    window = (
        slice(max(int(row.min()) - spare, 0), int(row.max()) + spare + 1),
        slice(max(int(place.min()) - spare, 0), int(place.max()) + spare + 1),
    )
    levels = np.linspace(columns.span_mm[0], float(gaps.high[own].max()), _LEVELS + 1)
    return _RoundPiece(gaps, own, window).stretch(0.5 * (levels[1:] + levels[:-1]))


class _RoundPiece:
    """The sections near one piece of silicone, from the bottom of the part up.

    Where the piece lies outside of the part it is a ring, which must pass the widest section below it: the hulls'
    perimeters are compared. Where the part surrounds it, it is the bulge of a core, which must pass the narrowest
    opening below it: silicone keeps its volume, so the areas are compared.
    """

    def __init__(self, gaps: Gaps, own: Ints, window: tuple[slice, slice]) -> None:
        self._gaps, self._own, self._window = gaps, own, window

    def stretch(self, levels: Floats) -> float:
        """The worst ratio over the piece's own heights; 1 where nothing is to be compared."""
        first = float(self._gaps.low[self._own].min())
        last = float(self._gaps.high[self._own].max())
        # Near its tips a piece is too thin to tell a section from.
        held = (levels > first + 0.1 * (last - first)) & (levels < last)
        solid = [self._gaps.solid_mask(float(z))[self._window] for z in levels]
        core = self._core_areas(levels, solid, held)
        if core is not None:
            return _worst(-core, held)
        return _worst(np.array([self._round(mask) for mask in solid]), held)

    def _round(self, solid: Bools) -> float:
        """Perimeter of the hull of a section; 0 for none."""
        row, place = np.nonzero(solid)
        if not len(row):
            return 0.0
        wide, deep = self._gaps.columns.cell_mm
        ends = _ends_of_rows(np.column_stack((place * wide, row * deep)))
        return hull_perimeter(ends) + 4 * max(wide, deep)

    def _core_areas(self, levels: Floats, solid: list[Bools], held: Bools) -> Floats | None:
        """Area of the silicone that the part surrounds at each level; None where it is not surrounded."""
        label = need("scipy.ndimage").label
        area = np.zeros(len(levels))
        seed = np.zeros_like(solid[0])
        for k in range(len(levels) - 1, -1, -1):
            if held[k]:
                seed = seed | self._gaps.own_mask(self._own, float(levels[k]))[self._window]
            silicone = np.pad(~solid[k], 1, constant_values=True)
            names = label(silicone)[0]
            chosen = np.unique(names[1:-1, 1:-1][seed & ~solid[k]])
            if not len(chosen):
                continue
            if names[0, 0] in chosen:
                # Below the part's lowest opening every core runs out into the floor.
                return area if not held[: k + 1].any() and held.any() else None
            seed = np.isin(names[1:-1, 1:-1], chosen)
            area[k] = float(np.count_nonzero(seed))
        return area


def _worst(size: Floats, held: Bools) -> float:
    """The widest so far over each one's own; of negative sizes, each one's own over the narrowest so far."""
    worst, widest = 1.0, -np.inf
    for here, counts in zip(size, held, strict=True):
        if here == 0.0:
            continue
        widest = max(widest, here)
        if counts:
            worst = max(worst, widest / here if here > 0.0 else here / widest)
    return float(worst)


def _ends_of_rows(spots: Floats) -> Floats:
    """The first and last of each row of cells: the hull needs no others."""
    new = np.flatnonzero(np.diff(spots[:, 1]) != 0.0)
    ends = np.concatenate((new, new + 1, [0, len(spots) - 1])) if len(spots) else new
    return spots[ends]
