"""Outlines of rubber round a hard core: the outside is scaled with the shrink, the side at the core is not."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.tree import Edge, Line, Outline

_SAME_MM = 1e-7
Point = tuple[float, float]


def outer_side(outline: Outline, foot_mm: Point, head_mm: Point) -> list[Edge]:
    """The edges of an outline from its inner lower corner along the outside to its inner upper corner.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> ring = polygon([(2, 0), (5, 0), (5, 7), (2, 7)])
    >>> [(edge.a_mm, edge.b_mm) for edge in outer_side(ring, (2, 0), (2, 7))]
    [(5.0, 0.0), (5.0, 7.0), (2.0, 7.0)]
    """
    pieces = outline.pieces()
    start = next((i for i, (begin, _) in enumerate(pieces) if math.dist(begin, foot_mm) < _SAME_MM), None)
    if start is None:
        raise CannotBuild(f"the rubber has no corner at ({foot_mm[0]:g}, {foot_mm[1]:g}) mm on its core")
    found: list[Edge] = []
    for _, edge in (*pieces[start:], *pieces[:start]):
        found.append(edge)
        if math.dist((edge.a_mm, edge.b_mm), head_mm) < _SAME_MM:
            return found
    raise CannotBuild(f"the rubber has no corner at ({head_mm[0]:g}, {head_mm[1]:g}) mm on its core")


def outside_on(outside: Sequence[Edge], foot_mm: Point, head_mm: Point) -> list[Edge]:
    """The outside joined to other inner corners on the same end faces; the edges that follow `foot_mm`.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import polygon
    >>> side = outer_side(polygon([(2, 0), (5, 0), (5, 7), (2, 7)]), (2, 0), (2, 7))
    >>> [(edge.a_mm, edge.b_mm) for edge in outside_on(side, (1.5, 0), (1.5, 7))]
    [(5.0, 0.0), (5.0, 7.0), (1.5, 7)]
    """
    edges = list(outside)
    last, before = edges[-1], edges[-2]
    level = isinstance(last, Line) and abs(before.b_mm - head_mm[1]) < _SAME_MM
    return [*(edges[:-1] if level else edges), Line(*head_mm)]


def drawn_through(start_mm: Point, *parts: Sequence[Edge | Point]) -> Outline:
    """A closed outline through points and edges in turn; what would have no length is left out."""
    edges: list[Edge] = []
    here = start_mm
    for item in (*(one for part in parts for one in part), start_mm):
        edge = Line(*item) if isinstance(item, tuple) else item
        if math.dist(here, (edge.a_mm, edge.b_mm)) > _SAME_MM:
            edges.append(edge)
            here = (edge.a_mm, edge.b_mm)
    return Outline(start_mm, tuple(edges))
