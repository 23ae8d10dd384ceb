"""Upright holes that a pour has to fill from above: how narrow, how deep, how much they hold. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, scan

_SLICES = 32
_ROUND_SHARE = 0.8  # of the circle of its area: as wide inside counts as round
_LEAST_CELLS = 4  # across columns; less is noise of the sampling


@dataclass(frozen=True, kw_only=True)
class Hole:
    """One hole, mm: where it stands, the heights of floor and mouth along `up`, its narrowest place, what it holds.

    `narrow_mm` is the diameter of the narrowest place, of the circle of its area where it is nearly round, else of
    the widest circle in it, and `narrow_mm2` its area. `open_below`: air can leave it elsewhere than by its mouth.
    """

    x_mm: float
    y_mm: float
    floor_mm: float
    mouth_mm: float
    narrow_mm: float
    narrow_mm2: float
    volume_mm3: float
    open_below: bool = False

    @property
    def depth_mm(self) -> float:
        """From floor to mouth."""
        return self.mouth_mm - self.floor_mm

    @property
    def even_mm(self) -> float:
        """How long a hole as narrow as its narrowest place would have to be to hold as much."""
        return self.volume_mm3 / self.narrow_mm2


def round_hole(radius_at: Callable[[float], float], *, floor_mm: float, mouth_mm: float) -> Hole | None:
    """The hole on the axis of a body of revolution between two heights; None where it is closed somewhere.

    Parameters
    ----------
    radius_at : mm, radius of the hole at a height, 0 where there is none.
    floor_mm, mouth_mm : its ends.

    Examples
    --------
    >>> hole = round_hole(lambda z: 2.0 if z < 6 else 4.0, floor_mm=0.0, mouth_mm=8.0)
    >>> hole is not None and (hole.narrow_mm, round(hole.even_mm, 1))
    (4.0, 14.0)
    """
    if mouth_mm <= floor_mm:
        return None
    step = (mouth_mm - floor_mm) / (12 * _SLICES)
    radii = np.array([radius_at(floor_mm + step * (k + 0.5)) for k in range(12 * _SLICES)])
    narrow = float(radii.min())
    if narrow <= 0.0:
        return None
    return Hole(
        x_mm=0.0,
        y_mm=0.0,
        floor_mm=floor_mm,
        mouth_mm=mouth_mm,
        narrow_mm=2 * narrow,
        narrow_mm2=math.pi * narrow**2,
        volume_mm3=float((math.pi * radii**2).sum()) * step,
    )


def upright_holes(vertices: Floats, triangles: Ints, *, up: object, columns: int = 192) -> tuple[Hole, ...]:
    """The holes of a space that fills: parts of it that solid shuts in all round, and that open upwards.

    Parameters
    ----------
    vertices : mm, (n, 3), of the space, whose outer sides are free.
    triangles : (m, 3), outward
    up : direction that points up while it fills.
    columns : across the wider side.

    Returns
    -------
    tuple of Hole
        The narrowest first. Diameters are within about half a column.
    """
    cols = scan(vertices, triangles, direction=up, columns=columns)
    step = (cols.span_mm[1] - cols.span_mm[0]) / _SLICES
    heights = cols.span_mm[0] + step * (np.arange(_SLICES) + 0.5)
    layers = [_Layer(_filled_at(cols, height), cols) for height in heights]
    chains = _Chains(layers)
    found = [_hole(chain, chains, layers, heights, step, cols) for chain in chains.open_upwards()]
    return tuple(sorted(found, key=lambda hole: (hole.narrow_mm, hole.x_mm, hole.y_mm)))


def _filled_at(cols: Columns, height: float) -> NDArray[np.bool_]:
    """Which columns are space at a height, (rows, places)."""
    column = np.repeat(np.arange(len(cols.starts) - 1), np.diff(cols.starts))
    held = (cols.bottom_mm <= height) & (height < cols.top_mm)
    filled = np.zeros(len(cols.starts) - 1, dtype=bool)
    filled[column[held]] = True
    return filled.reshape(cols.counts[1], cols.counts[0])


class _Layer:
    """One slice: its pieces numbered from 1, and which of them are shut in by solid."""

    def __init__(self, filled: NDArray[np.bool_], cols: Columns) -> None:
        from scipy.ndimage import distance_transform_edt, label

        self.names, count = label(filled)
        edge = np.concatenate((self.names[0], self.names[-1], self.names[:, 0], self.names[:, -1]))
        cells = np.bincount(self.names.ravel(), minlength=count + 1)
        outside = np.isin(np.arange(count + 1), edge)
        self.shut = np.flatnonzero(~outside & (cells >= _LEAST_CELLS)).tolist()
        self.shut = [name for name in self.shut if name > 0]
        self.area_mm2 = cells * cols.cell_mm2
        self.outside = np.isin(self.names, np.flatnonzero(outside[1:]) + 1)
        self.inside: NDArray[np.float64] = np.zeros(0)
        if self.shut:
            away = distance_transform_edt(np.isin(self.names, self.shut), sampling=cols.cell_mm[::-1])
            self.inside = np.array([0.0] + [away[self.names == name].max() for name in range(1, count + 1)])

    def width_mm(self, name: int) -> float:
        """Diameter of a piece: that of its area where it is nearly round, else of the widest circle in it."""
        even, inscribed = 2.0 * math.sqrt(self.area_mm2[name] / math.pi), 2.0 * float(self.inside[name])
        return float(even) if inscribed >= _ROUND_SHARE * even else inscribed


Place = tuple[int, int]  # layer and name of a piece


class _Chains:
    """Shut-in pieces of neighbouring slices that lie over each other, and where they meet the outside."""

    def __init__(self, layers: list[_Layer]) -> None:
        self._layers = layers
        self._group: dict[Place, Place] = {
            (k, name): (k, name) for k, layer in enumerate(layers) for name in layer.shut
        }
        self._meets: dict[Place, list[int]] = {}
        for k in range(len(layers) - 1):
            self._join(k)

    def _root(self, place: Place) -> Place:
        while self._group[place] != place:
            place = self._group[place]
        return place

    def _join(self, k: int) -> None:
        below, above = self._layers[k], self._layers[k + 1]
        for name in below.shut:
            over = above.names[below.names == name]
            for other in np.unique(over[over > 0]).tolist():
                if (k + 1, other) in self._group:
                    self._group[self._root((k + 1, other))] = self._root((k, name))
            if above.outside[below.names == name].any():
                self._meets.setdefault((k, name), []).append(1)
        for name in above.shut:
            if below.outside[above.names == name].any():
                self._meets.setdefault((k + 1, name), []).append(-1)

    def open_upwards(self) -> list[list[Place]]:
        """The chains with a piece under the open, lowest piece first."""
        chains: dict[Place, list[Place]] = {}
        for place in self._group:
            chains.setdefault(self._root(place), []).append(place)
        return [sorted(chain) for chain in chains.values() if any(1 in self._meets.get(p, []) for p in chain)]

    def open_below(self, chain: list[Place]) -> bool:
        """Whether a piece lies over the open as well, or the chain opens twice."""
        ways = [way for place in chain for way in self._meets.get(place, [])]
        return len(ways) > 1


def _hole(
    chain: list[Place], chains: _Chains, layers: list[_Layer], heights: Floats, step: float, cols: Columns
) -> Hole:
    widths = {place: layers[place[0]].width_mm(place[1]) for place in chain}
    narrow = min(chain, key=lambda place: (widths[place], place))
    rows, places = np.nonzero(layers[chain[-1][0]].names == chain[-1][1])
    u = cols.origin_mm[0] + cols.cell_mm[0] * float(places.mean())
    v = cols.origin_mm[1] + cols.cell_mm[1] * float(rows.mean())
    low, high = float(heights[chain[0][0]]) - step / 2, float(heights[chain[-1][0]]) + step / 2
    x, y, _ = np.array([u, v, high]) @ cols.frame
    return Hole(
        x_mm=float(x),
        y_mm=float(y),
        floor_mm=low,
        mouth_mm=high,
        narrow_mm=widths[narrow],
        narrow_mm2=float(layers[narrow[0]].area_mm2[narrow[1]]),
        volume_mm3=sum(float(layers[k].area_mm2[name]) for k, name in chain) * step,
        open_below=chains.open_below(chain),
    )
