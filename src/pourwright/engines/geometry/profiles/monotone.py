"""Cut an (r, z) outline into pieces that only rise or only fall, in r and in z, to ask exactly where it runs. mm."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace

from pourwright.engines.geometry.tree import Arc, Bow, Edge, Line, Outline

_ROUNDOFF = 1e-12


@dataclass(frozen=True)
class Piece:
    """A stretch of an outline between two points along which neither r nor z turns back.

    `curve` is the edge on which it lies, `begin_mm` where that edge begins; `flip` is -1 when turned over.
    """

    r0_mm: float
    z0_mm: float
    r1_mm: float
    z1_mm: float
    curve: Edge
    begin_mm: tuple[float, float]
    flip: float = 1.0

    @property
    def r_low(self) -> float:
        """Least radius, mm."""
        return min(self.r0_mm, self.r1_mm)

    @property
    def r_high(self) -> float:
        """Greatest radius, mm."""
        return max(self.r0_mm, self.r1_mm)

    @property
    def z_low(self) -> float:
        """Lowest height, mm."""
        return min(self.z0_mm, self.z1_mm)

    @property
    def z_high(self) -> float:
        """Greatest height, mm."""
        return max(self.z0_mm, self.z1_mm)

    def upside_down(self) -> Piece:
        """The piece mirrored in z = 0."""
        return replace(self, z0_mm=-self.z0_mm, z1_mm=-self.z1_mm, flip=-self.flip)

    def r_at(self, z_mm: float) -> float:
        """Radius at a height within the piece, mm."""
        if z_mm == self.z0_mm:
            return self.r0_mm
        if z_mm == self.z1_mm:
            return self.r1_mm
        return self._other(1, z_mm * self.flip, self.r_low, self.r_high)

    def z_at(self, r_mm: float) -> float:
        """Height at a radius within the piece, mm."""
        if r_mm == self.r0_mm:
            return self.z0_mm
        if r_mm == self.r1_mm:
            return self.z1_mm
        low, high = sorted((self.z_low * self.flip, self.z_high * self.flip))
        return self._other(0, r_mm, low, high) * self.flip

    def _other(self, axis: int, value: float, low: float, high: float) -> float:
        """The other coordinate where this one has the value."""
        edge = self.curve
        if isinstance(edge, Line):
            ends = ((self.r0_mm, self.z0_mm * self.flip), (self.r1_mm, self.z1_mm * self.flip))
            share = (value - ends[0][axis]) / (ends[1][axis] - ends[0][axis])
            return ends[0][1 - axis] + share * (ends[1][1 - axis] - ends[0][1 - axis])
        if isinstance(edge, Arc):
            centre = (edge.centre_a_mm, edge.centre_b_mm)
            radius = math.dist((edge.a_mm, edge.b_mm), centre)
            along = value - centre[axis]
            away = math.sqrt(max(0.0, (radius - along) * (radius + along)))
            # Monotone pieces lie on one side of the centre.
            side = 1.0 if 0.5 * (low + high) > centre[1 - axis] else -1.0
            return centre[1 - axis] + side * away
        return _bow_other(edge, self.begin_mm, axis, value, low, high)


def _bow_point(edge: Bow, begin: tuple[float, float], t: float) -> tuple[float, float]:
    a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
    return (
        a * begin[0] + b * edge.control_a_mm + c * edge.a_mm,
        a * begin[1] + b * edge.control_b_mm + c * edge.b_mm,
    )


def _bow_other(edge: Bow, begin: tuple[float, float], axis: int, value: float, low: float, high: float) -> float:
    p0 = begin[axis]
    p1 = (edge.control_a_mm, edge.control_b_mm)[axis]
    p2 = (edge.a_mm, edge.b_mm)[axis]
    found = [_bow_point(edge, begin, t)[1 - axis] for t in _roots(p0 - 2 * p1 + p2, 2 * (p1 - p0), p0 - value)]
    # Of both crossings of the whole curve, the one on this stretch.
    return min(max(min(found, key=lambda other: max(low - other, other - high, 0.0)), low), high)


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Real roots of a t² + b t + c; a grazing curve counts as touching."""
    if abs(a) <= _ROUNDOFF * abs(b):
        return (-c / b,)
    root = math.sqrt(max(0.0, b * b - 4 * a * c))
    half = -0.5 * (b + math.copysign(root, b))
    return (half / a, c / half) if half != 0.0 else (0.0,)


def monotone_pieces(outline: Outline) -> list[Piece]:
    """The outline as pieces along which neither coordinate turns back.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> len(monotone_pieces(polygon([(0, 0), (2, 0), (2, 1), (0, 1)])))
    4
    """
    pieces = []
    for begin, edge in outline.pieces():
        points = [begin, *_turning_points(begin, edge), (edge.a_mm, edge.b_mm)]
        for (r0, z0), (r1, z1) in itertools.pairwise(points):
            if math.dist((r0, z0), (r1, z1)) > _ROUNDOFF:
                pieces.append(Piece(r0, z0, r1, z1, edge, begin))
    return pieces


def _turning_points(begin: tuple[float, float], edge: Edge) -> list[tuple[float, float]]:
    if isinstance(edge, Arc):
        return _arc_turns(begin, edge)
    if isinstance(edge, Bow):
        return _bow_turns(begin, edge)
    return []


def _arc_turns(begin: tuple[float, float], arc: Arc) -> list[tuple[float, float]]:
    """Points due east, north, west and south of the centre that lie within the arc."""
    cx, cy = arc.centre_a_mm, arc.centre_b_mm
    radius = math.dist(begin, (cx, cy))
    start = math.atan2(begin[1] - cy, begin[0] - cx)
    sense = 1.0 if arc.anticlockwise else -1.0
    sweep = (sense * (math.atan2(arc.b_mm - cy, arc.a_mm - cx) - start)) % (2 * math.pi)
    near = 1e-9
    turns = []
    for quarter, (east, north) in enumerate(((1, 0), (0, 1), (-1, 0), (0, -1))):
        way = (sense * (quarter * math.pi / 2 - start)) % (2 * math.pi)
        if near < way < sweep - near:
            turns.append((way, (cx + east * radius, cy + north * radius)))
    return [point for _, point in sorted(turns)]


def _bow_turns(begin: tuple[float, float], bow: Bow) -> list[tuple[float, float]]:
    turns = set()
    for p0, p1, p2 in (
        (begin[0], bow.control_a_mm, bow.a_mm),
        (begin[1], bow.control_b_mm, bow.b_mm),
    ):
        bend = p0 - 2 * p1 + p2
        if bend != 0.0 and 1e-9 < (p0 - p1) / bend < 1 - 1e-9:
            turns.add((p0 - p1) / bend)
    return [_bow_point(bow, begin, t) for t in sorted(turns)]
