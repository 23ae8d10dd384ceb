"""A box that surely holds a solid, read off its description without making it. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from pourwright.engines.geometry import tree
from pourwright.engines.geometry.partings.relief import ByKernel, Shifted
from pourwright.engines.geometry.profiles.outlines import bounds_mm
from pourwright.engines.geometry.tree import Node

Point = tuple[float, float, float]
Corners = tuple[Point, Point]
_bounds_mm = lru_cache(maxsize=4096)(bounds_mm)  # asked for again and again


def enclosing(node: Node, *, swell: float = 1.0, imported: Callable[[str], Corners] | None = None) -> Corners:
    """Lowest and highest corner of a box around a solid; not always the smallest.

    Parameters
    ----------
    swell : by how much the kernel makes radii larger than they are drawn.
    imported : the box of a solid from a file, by its digest.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import cylinder
    >>> enclosing(cylinder(radius_mm=2, z0_mm=0, z1_mm=5).at(10, 0) | tree.Box(0, 0, 0, 1, 1, 1))
    ((0.0, -2.0, 0.0), (12.0, 2.0, 5.0))
    """

    def around(one: Node) -> Corners:
        return enclosing(one, swell=swell, imported=imported)

    match node:
        case tree.Box() | tree.Tapered():
            return (
                (float(node.x0_mm), float(node.y0_mm), float(node.z0_mm)),
                (float(node.x1_mm), float(node.y1_mm), float(node.z1_mm)),
            )
        case tree.Revolve():
            _, low, radius, high = _bounds_mm(node.outline)
            return _round(radius * swell, low, high)
        case tree.Ball():
            return _round(node.radius_mm * swell, -node.radius_mm, node.radius_mm)
        case tree.Prism():
            x0, y0, x1, y1 = _bounds_mm(node.outline)
            return (x0, y0, node.z0_mm), (x1, y1, node.z1_mm)
        case tree.Imported() if imported is not None:
            return imported(node.digest)
        case tree.Placed():
            return _moved(_turned(around(node.solid), node.turn_deg), (node.x_mm, node.y_mm, node.z_mm))
        case tree.Scaled():
            low_corner, high_corner = around(node.solid)
            return _times(low_corner, node.factor), _times(high_corner, node.factor)
        case tree.Mirrored():
            (x0, y0, z0), (x1, y1, z1) = around(node.solid)
            return (x0, y0, -z1), (x1, y1, -z0)
        case Shifted():
            (x0, y0, z0), (x1, y1, z1) = around(node.solid)
            least, most = sorted((node.times * node.relief.low_mm, node.times * node.relief.high_mm))
            return (x0, y0, z0 + least), (x1, y1, z1 + most)
        case ByKernel():
            return around(node.mesh)
        case tree.Turned():
            reach = max(abs(number) for corner in around(node.solid) for number in corner) * math.sqrt(3)
            return (-reach, -reach, -reach), (reach, reach, reach)
        case tree.Op(kind="cut"):
            return around(node.solids[0])
        case tree.Op(kind="common"):
            (low, high), (other_low, other_high) = around(node.solids[0]), around(node.solids[1])
            return _each(max, low, other_low), _each(min, high, other_high)
        case tree.Op():
            lows, highs = zip(*(around(solid) for solid in node.solids), strict=True)
            return _each(min, *lows), _each(max, *highs)
    raise TypeError(f"no box is known around a {type(node).__name__}")


def _round(radius: float, low: float, high: float) -> Corners:
    return (-radius, -radius, float(low)), (radius, radius, float(high))


def _turned(corners: Corners, turn_deg: float) -> Corners:
    """Turned about z: the box around the four turned corners."""
    if turn_deg == 0.0:
        return corners
    (x0, y0, z0), (x1, y1, z1) = corners
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    spots = [(c * x - s * y, s * x + c * y) for x in (x0, x1) for y in (y0, y1)]
    xs, ys = zip(*spots, strict=True)
    return (min(xs), min(ys), z0), (max(xs), max(ys), z1)


def _moved(corners: Corners, by: Point) -> Corners:
    low, high = corners
    return _each(sum_of, low, by), _each(sum_of, high, by)


def sum_of(*numbers: float) -> float:
    """Their sum."""
    return float(sum(numbers))


def _times(corner: Point, factor: float) -> Point:
    x, y, z = corner
    return x * factor, y * factor, z * factor


def _each(pick: Callable[..., float], *corners: Point) -> Point:
    x, y, z = (pick(*numbers) for numbers in zip(*corners, strict=True))
    return x, y, z
