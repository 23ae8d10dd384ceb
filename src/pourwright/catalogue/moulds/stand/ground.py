"""The parting face of a mould: level, or ruled, when it follows the part along one way. Millimetres.

A ruled face is a line (u, z) drawn straight across the box, along x or along y: the same in every cell, level where
it runs out beside them. Its highest place is z = 0, so that the base under it is nowhere thinner than under a level
one: what hangs down from its plate is a ridge that the silicone copies.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pourwright.catalogue.moulds.stand.frame import Frame
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.engines.geometry.partings.relief import ByKernel, Relief, Shifted
from pourwright.engines.geometry.partings.ruled import Line, steepest
from pourwright.engines.geometry.tree import Box, Node, Op, Prism, Turned, polygon

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Centres = tuple[tuple[float, float], ...]

FLAT, RULED, STEPPED = "flat", "ruled", "stepped"
PARTINGS = (FLAT, RULED, STEPPED)

_LANDING_MM = 1.0  # level beside the part, before the face goes on to the next one (judgement)
_BEYOND_MM = 5.0  # how far the face is drawn past the box
_LEVEL_ROUND_MM = 0.25  # a key's root to where the face begins to rise or fall
_SAME_MM = 1e-6
_FAR_MM = 2000.0


@dataclass(frozen=True, kw_only=True)
class Ground:
    """The parting face of every cell.

    Parameters
    ----------
    line_mm : mm, corners (u, z) about the cell's middle, u rising, the highest at z = 0; empty for a level face.
    axis : 0 when the line runs along x, 1 along y.
    kind : "flat", "ruled", or "stepped" when it is made of level stretches and steps.
    """

    line_mm: Line = ()
    axis: int = 0
    kind: str = FLAT

    @property
    def level(self) -> bool:
        """A plane, z = 0."""
        return not self.line_mm

    @property
    def steepest_deg(self) -> float:
        """The steepest that it rises or falls, from level."""
        return math.degrees(math.atan(steepest(self.line_mm)))

    @cached_property
    def low_mm(self) -> float:
        """Its lowest height; 0 for a level one."""
        return min((z for _, z in self.line_mm), default=0.0)

    def height_mm(self, x_mm: float, y_mm: float) -> float:
        """Its height at a point about a cell's middle."""
        if self.level:
            return 0.0
        us, zs = zip(*self.line_mm, strict=True)
        return float(np.interp((x_mm, y_mm)[self.axis], us, zs))

    def rise_round_mm(self, radius_mm: float) -> float:
        """The most by which it rises or falls within a radius."""
        return 0.0 if self.level else steepest(self.line_mm) * radius_mm

    def square_share(self, points: Floats) -> Floats:
        """The share of an upright thickness that is left square to the face at points (n, 2) about a cell's middle.

        The squared cosine of the slope: the way behind an edge shrinks by one cosine, the thickness by the other.
        """
        us, zs = (np.array(along) for along in zip(*self.line_mm, strict=True))
        slopes = np.concatenate(([0.0], np.diff(zs) / np.diff(us), [0.0]))
        # On a corner the steeper side counts.
        here = np.maximum(
            *(np.abs(slopes[np.searchsorted(us, points[:, self.axis], side=side)]) for side in ("left", "right"))
        )
        found: Floats = 1.0 / (1.0 + here**2)
        return found

    # ------------------------------------------------------------ over the whole box

    def suits(self, layout: Layout) -> bool:
        """Whether it can go on from cell to cell without growing steeper."""
        if self.level:
            return True
        corners = self._corners(layout.centres_mm)
        follow = all(b[0] - a[0] > _SAME_MM for a, b in pairwise(corners))
        return follow and steepest(tuple(corners)) <= steepest(self.line_mm) + _SAME_MM

    def level_at(self, point: tuple[float, float], radius_mm: float, layout: Layout) -> float | None:
        """Its height at a point of the box where it is level all round; None where it is not."""
        if self.level:
            return 0.0
        us, zs = zip(*self._corners(layout.centres_mm), strict=True)
        reach = radius_mm + _LEVEL_ROUND_MM
        u = point[self.axis]
        places = np.array([u - reach, *(v for v in us if abs(v - u) < reach), u + reach])
        heights = np.interp(places, us, zs)
        return float(heights[0]) if np.ptp(heights) == 0.0 else None

    def relief(self, centres: Centres = ((0.0, 0.0),)) -> Relief:
        """Its heights over the whole box, or about one cell."""
        return Relief(corners_mm=tuple(self._corners(centres)), axis=self.axis)

    def longer_mm(self, centres: Centres) -> float:
        """By how much it is longer, from wall to wall, than a level one."""
        if self.level:
            return 0.0
        steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(self._corners(centres))]
        return math.fsum(math.hypot(run, rise) - run for run, rise in steps)

    def _corners(self, centres: Centres) -> list[tuple[float, float]]:
        places = sorted({round(centre[self.axis], 9) + 0.0 for centre in centres})
        return [(place + u, z) for place in places for u, z in self.line_mm]

    # ------------------------------------------------------------ solids

    def below(self, frame: Frame, centres: Centres, low_mm: float) -> Node:
        """The box from a height up to the face."""
        if self.level:
            return frame.block(low_mm, 0.0)
        return Op("cut", (frame.block(low_mm, 1.0), self.over(frame, centres)))

    def above(self, frame: Frame, centres: Centres, high_mm: float) -> Node:
        """The box from the face up to a height."""
        if self.level:
            return frame.block(0.0, high_mm)
        return frame.block(self.low_mm - 1.0, high_mm) & self.over(frame, centres)

    def ridge(self, frame: Frame, centres: Centres, *, grow_mm: float, up_mm: float) -> Node:
        """What hangs down from z = 0 to the face, the box grown or shrunk, and so much above it."""
        return frame.plan.block(self.low_mm - 1.0, up_mm, grow_mm=grow_mm) & self.over(frame, centres)

    def over(self, frame: Frame, centres: Centres) -> Node:
        """Everything above the face, further than the box reaches."""
        half = (frame.half_x_mm, frame.half_y_mm)
        reach = half[self.axis] + frame.wall_mm + _BEYOND_MM, half[1 - self.axis] + frame.wall_mm + _BEYOND_MM
        return self._drawn(self._corners(centres), reach, frame.high_mm + 100.0)

    def over_cell(self, reach_mm: float) -> Node:
        """Everything above the face about one cell, as far as a length beyond it."""
        return self._drawn(list(self.line_mm), (reach_mm, reach_mm), reach_mm)

    def _drawn(self, corners: list[tuple[float, float]], reach: tuple[float, float], top: float) -> Node:
        along, across = reach
        line = [(-along, corners[0][1]), *corners, (along, corners[-1][1]), (along, top), (-along, top)]
        # Turned about x, what was drawn in (x, y) stands in (x, z); turned on about z it stands in (y, z).
        upright = Turned(Prism(polygon(_without_doubles(line)), -across, across), "x", 90.0)
        return upright if self.axis == 0 else upright.at(turn_deg=90.0)

    # ------------------------------------------------------------ the world in which it is level

    def levelled(self, solid: Node, centres: Centres = ((0.0, 0.0),)) -> Node:
        """A solid with every column moved so that the face lies in z = 0."""
        return Shifted(solid, self.relief(centres), -1.0)

    def standing(self, levelled: Node, exact: Node, frame: Frame, centres: Centres) -> Node:
        """A solid that was made in the levelled world back where it belongs, between the fill lines.

        Parameters
        ----------
        levelled : the solid there, which may reach beyond the fill lines; for kernels of triangles.
        exact : the same solid as it stands; for exact surfaces.
        """
        between = Box(-_FAR_MM, -_FAR_MM, frame.fill_lower_mm, _FAR_MM, _FAR_MM, frame.fill_upper_mm)
        return ByKernel(Shifted(levelled, self.relief(centres), 1.0) & between, exact)

    def levelled_mesh(self, vertices: Floats, triangles: Ints) -> tuple[Floats, Ints]:
        """A cell's mesh with every column moved so that the face lies in z = 0."""
        return (vertices, triangles) if self.level else self.relief().shifted(vertices, triangles)


LEVEL = Ground()


def together(one: Node, other: Node) -> Node:
    """Two solids as one; where both meet on a ruled face they are joined in the world in which that is level."""
    if not (isinstance(one, ByKernel) and isinstance(other, ByKernel)):
        return one | other
    mesh, far = one.mesh, other.mesh
    if isinstance(mesh, Op) and isinstance(far, Op) and mesh.solids[1] == far.solids[1]:
        here, there = mesh.solids[0], far.solids[0]
        if isinstance(here, Shifted) and isinstance(there, Shifted) and here.relief == there.relief:
            joined = Shifted(here.solid | there.solid, here.relief, here.times)
            return ByKernel(joined & mesh.solids[1], one.exact | other.exact)
    return one | other


def ruled(line_mm: Line, axis: int, *, half_mm: float, kind: str = RULED) -> Ground:
    """The face that follows a line under the part and runs out level beside it.

    Parameters
    ----------
    line_mm : mm, corners (u, z) about the part's middle, the highest at z = 0.
    half_mm : mm, half the part's length along the line.
    kind : what it is called.

    Examples
    --------
    >>> ruled(((-9.0, -2.8), (9.0, 0.0)), 0, half_mm=10.0).line_mm
    ((-11.0, -2.8), (-9.0, -2.8), (9.0, 0.0), (11.0, 0.0))
    """
    (first, left), (last, right) = line_mm[0], line_mm[-1]
    out = max(half_mm, abs(first), abs(last)) + _LANDING_MM
    return Ground(line_mm=((-out, left), *line_mm, (out, right)), axis=axis, kind=kind)


def _without_doubles(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [point for k, point in enumerate(points) if k == 0 or math.dist(point, points[k - 1]) > _SAME_MM]
