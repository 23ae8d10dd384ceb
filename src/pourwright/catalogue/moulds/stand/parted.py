"""Give an outline a corner exactly in the parting face, so that both halves of the mould share it to the last digit.

A point a rounding error beside the parting makes sheets of no thickness, which volumes cannot see.
"""

from __future__ import annotations

from pourwright.engines.geometry.profiles.outline_math import Curve, curves
from pourwright.engines.geometry.profiles.outlines import crossings, point_at
from pourwright.engines.geometry.tree import Arc, Bow, Edge, Line, Outline

_SAME_MM = 1e-9


def parted(outline: Outline) -> Outline:
    """The same outline with every edge that meets z = 0 divided there, and ends beside it put into it.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> [edge.b_mm for edge in parted(polygon([(2, -3), (5, -3), (5, 4), (2, 4)])).edges]
    [-3.0, 0.0, 4.0, 4.0, 0.0, -3.0]
    """
    edges: list[Edge] = []
    for (_, edge), curve in zip(outline.pieces(), curves(outline), strict=True):
        edges += _divided(edge, curve)
    return Outline((outline.start_mm[0], _snapped(outline.start_mm[1])), tuple(edges))


def _divided(edge: Edge, curve: Curve) -> list[Edge]:
    inner = [t for t in crossings(curve, 0.0) if 0.0 < t < 1.0]
    level = curve.straight and abs(curve.begin_mm[1] - curve.end_mm[1]) <= _SAME_MM
    times = [] if level else [t for t in inner if all(_apart(point_at(curve, t), end) for end in _ends(curve))]
    found: list[Edge] = []
    for start, stop in zip([0.0, *times], [*times, 1.0], strict=True):
        a, b = point_at(curve, stop)
        found.append(_stretch(edge, curve, start, stop, (a, 0.0 if stop < 1.0 else _snapped(b))))
    return found


def _stretch(edge: Edge, curve: Curve, start: float, stop: float, end: tuple[float, float]) -> Edge:
    """The part of an edge between two parameters, ending at a given point."""
    if isinstance(edge, Line):
        return Line(*end)
    if isinstance(edge, Arc):
        return Arc(*end, edge.centre_a_mm, edge.centre_b_mm, edge.anticlockwise)
    p, c, q = curve.begin_mm, (edge.control_a_mm, edge.control_b_mm), curve.end_mm
    u, v = 1 - start, 1 - stop
    control = [u * v * p[k] + (start * v + stop * u) * c[k] + start * stop * q[k] for k in range(2)]
    return Bow(*end, *control)


def _ends(curve: Curve) -> tuple[tuple[float, float], tuple[float, float]]:
    return curve.begin_mm, curve.end_mm


def _apart(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1])) > 1e-6


def _snapped(z_mm: float) -> float:
    return 0.0 if abs(z_mm) <= _SAME_MM else z_mm
