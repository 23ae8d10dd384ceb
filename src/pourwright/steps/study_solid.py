"""What a mould style must know of an imported solid: which way up, where it parts, where air ends, where screws fit."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds.facts import SolidFacts
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.evaluate import Evaluator

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_COLUMNS = 192
_SLICES = 200
_FLAT_MM = 1e-3
_VENT_REACH_MM = 2.6  # rod of 3 mm, 1 mm of part around it, and a tenth
_SCREW_REACH_MM = 2.4
_SCREW_DEPTH_MM = 8.5
_MOST_VENTS = 4
_TRAP_SHARE, _TRAP_DEPTH_MM = 1e-3, 0.2  # air worth a vent of its own (judgement)


def study_solid(
    shape: PartShape, evaluator: Evaluator, *, allowed_stretch: float, report: Report = silent
) -> SolidFacts | None:
    """The facts of a solid without an outline, in the attitude that moulds best; None for a body of revolution.

    Parameters
    ----------
    shape : the part as drawn.
    evaluator : a mesh kernel.
    allowed_stretch : what the silicone stands.
    """
    if shape.outline is not None:
        return None
    vertices, triangles = evaluator.mesh(shape.node)
    height = float(vertices[:, 2].max())
    flat = [_flat_area(vertices, triangles, level) for level in (0.0, height)]
    turned = flat[0] > flat[1]
    standing = vertices * np.array([1.0, -1.0, -1.0]) + np.array([0.0, 0.0, height]) if turned else vertices
    report(0.3, "looking for the parting")
    return _studied(standing, triangles, turned=turned, flat=max(flat), height=height, allowed=allowed_stretch)


def _studied(
    vertices: Floats, triangles: Ints, *, turned: bool, flat: float, height: float, allowed: float
) -> SolidFacts:
    from pourwright.engines.geometry.mesh_lips import mesh_lips
    from pourwright.engines.geometry.pull import best_parting, pull_report, sharp_edges

    pull = pull_report(vertices, triangles, columns=_COLUMNS, slices=_SLICES)
    found = best_parting(pull, sharp_edges(vertices, triangles, pull), allowed_stretch=allowed)
    parting = found[0].z_mm if found else height
    columns = _Columns(vertices, triangles)
    lips = mesh_lips(vertices, triangles, height)
    return SolidFacts(
        volume_mm3=_volume(vertices, triangles),
        turned=turned,
        parting_mm=parting,
        flat_share=flat / pull.shadow_mm2,
        lips_pass=all(lip.ok for lip in lips if lip.half == "lower half"),
        stretch=float(pull.stretch_low[-2]),
        vent_points_mm=tuple(_vents(vertices, triangles, columns, min(parting, height - _SCREW_DEPTH_MM))),
        screw_points_mm=tuple(columns.screw_points(parting)),
    )


def _flat_area(vertices: Floats, triangles: Ints, level: float) -> float:
    """Area of the triangles that lie in a level plane."""
    corners = vertices[triangles]
    inside = np.abs(corners[:, :, 2] - level).max(axis=1) < _FLAT_MM
    a, b, c = (corners[inside, k, :2] for k in range(3))
    cross = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return float(np.abs(cross).sum() / 2)


def _volume(vertices: Floats, triangles: Ints) -> float:
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def _vents(vertices: Floats, triangles: Ints, columns: _Columns, foot: float) -> list[tuple[float, float, float]]:
    """Where rods can stand on the highest places, one for each pocket that would hold air."""
    from pourwright.engines.geometry.air_paths import trapped

    volume = _volume(vertices, triangles)
    first = columns.highest_seat(foot)
    if first is None:
        return []
    vents = [first]
    while len(vents) < _MOST_VENTS:
        found = trapped(vertices, triangles, vents=vents, columns=_COLUMNS // 2, tilts_deg=(0.0,))
        pocket = found.traps[0] if found.traps else None
        if pocket is None or pocket.volume_mm3 < _TRAP_SHARE * volume or pocket.depth_mm < _TRAP_DEPTH_MM:
            break
        seat = columns.highest_seat(foot, near_mm=pocket.peak_mm[:2])
        if seat is None or any(np.hypot(seat[0] - x, seat[1] - y) < 2 * _VENT_REACH_MM for x, y, _ in vents):
            break
        vents.append(seat)
    return vents


class _Columns:
    """The solid as columns: where a rod or screw of some reach is inside the material all round."""

    def __init__(self, vertices: Floats, triangles: Ints) -> None:
        from pourwright.engines.geometry.dexels import scan

        self._scan = scan(vertices, triangles, columns=_COLUMNS)
        self._u, self._v = self._scan.counts

    def highest_seat(
        self, foot: float, near_mm: tuple[float, float] | None = None
    ) -> tuple[float, float, float] | None:
        """The point with the highest material for a vent rod that stands on `foot`, nearest to a place if given."""
        tops = self._eroded(self._tops_through(foot), _VENT_REACH_MM)
        good = np.isfinite(tops)
        if near_mm is not None:
            good &= self._distance(near_mm) < 4 * _VENT_REACH_MM
        if not good.any():
            return None
        best = np.where(good, tops, -np.inf)
        plateau = best > best.max() - 0.05
        middle = near_mm if near_mm is not None else self._middle(plateau)
        row, column = self._nearest(plateau, middle)
        x, y = self._place(row, column)
        return x, y, float(self._tops_through(foot)[row, column])

    def screw_points(self, parting: float) -> list[tuple[float, float]]:
        """One or two places where a screw fits into the face at the parting, as far apart as can be."""
        tops = self._tops_through(parting - _SCREW_DEPTH_MM)
        good = np.isfinite(self._eroded(np.where(tops >= parting - 0.02, 0.0, -np.inf), _SCREW_REACH_MM))
        if not good.any():
            return []
        row, column = self._nearest(good, self._middle(good))
        one = self._place(row, column)
        away = np.where(good, self._distance(one), -1.0)
        far = np.unravel_index(int(np.argmax(away)), away.shape)
        if away[far] < 4 * _SCREW_REACH_MM:
            return [one]
        other = self._place(int(far[0]), int(far[1]))
        opposite = np.where(good, self._distance(other), -1.0)
        third = np.unravel_index(int(np.argmax(opposite)), opposite.shape)
        return [other, self._place(int(third[0]), int(third[1]))]

    def _tops_through(self, height: float) -> Floats:
        """Top of the interval of each column that holds a height, -inf where there is none."""
        scan = self._scan
        holds = (scan.bottom_mm < height) & (scan.top_mm > height)
        column = np.repeat(np.arange(len(scan.starts) - 1), np.diff(scan.starts))
        tops = np.full(len(scan.starts) - 1, -np.inf)
        tops[column[holds]] = scan.top_mm[holds]
        return tops.reshape(self._v, self._u)

    def _eroded(self, values: Floats, reach_mm: float) -> Floats:
        """The least value within a reach of each column; beyond the grid there is nothing."""
        from scipy.ndimage import grey_erosion

        steps = [int(np.ceil(reach_mm / cell)) for cell in reversed(self._scan.cell_mm)]
        rows, columns = np.ogrid[-steps[0] : steps[0] + 1, -steps[1] : steps[1] + 1]
        disc = (rows * self._scan.cell_mm[1]) ** 2 + (columns * self._scan.cell_mm[0]) ** 2 <= reach_mm**2
        least: Floats = grey_erosion(values, footprint=disc, mode="constant", cval=-np.inf)
        return least

    def _place(self, row: int, column: int) -> tuple[float, float]:
        origin, cell = self._scan.origin_mm, self._scan.cell_mm
        u, v = origin[0] + column * cell[0], origin[1] + row * cell[1]
        x, y, _ = u * self._scan.frame[0] + v * self._scan.frame[1]
        return float(x), float(y)

    def _distance(self, place: tuple[float, float]) -> Floats:
        rows, columns = np.mgrid[0 : self._v, 0 : self._u]
        origin, cell, frame = self._scan.origin_mm, self._scan.cell_mm, self._scan.frame
        u, v = origin[0] + columns * cell[0], origin[1] + rows * cell[1]
        x, y = (u * frame[0][k] + v * frame[1][k] for k in range(2))
        away: Floats = np.hypot(x - place[0], y - place[1])
        return away

    def _middle(self, mask: NDArray[np.bool_]) -> tuple[float, float]:
        rows, columns = np.nonzero(mask)
        return self._place(round(float(rows.mean())), round(float(columns.mean())))

    def _nearest(self, mask: NDArray[np.bool_], place: tuple[float, float]) -> tuple[int, int]:
        away = np.where(mask, self._distance(place), np.inf)
        row, column = np.unravel_index(int(np.argmin(away)), away.shape)
        return int(row), int(column)
