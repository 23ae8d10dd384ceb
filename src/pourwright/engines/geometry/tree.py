"""Describe a solid as an immutable tree of simple shapes; no kernel is needed to write one down.

All lengths are millimetres. The frame is that of the mould as it will be used: z up, parting at z = 0.
Two trees are equal exactly when their keys are; the key is the cache key and the provenance of files.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from functools import cached_property, reduce

from pourwright.basics.errors import CannotBuild

_SAME_MM = 1e-9


# ---------------------------------------------------------------- outlines


@dataclass(frozen=True)
class Line:
    """A straight edge to (a_mm, b_mm)."""

    a_mm: float
    b_mm: float


@dataclass(frozen=True)
class Arc:
    """A circular edge to (a_mm, b_mm) about (centre_a_mm, centre_b_mm), at most a half turn."""

    a_mm: float
    b_mm: float
    centre_a_mm: float
    centre_b_mm: float
    anticlockwise: bool = True


@dataclass(frozen=True)
class Bow:
    """A parabola to (a_mm, b_mm): the quadratic Bézier curve with one control point."""

    a_mm: float
    b_mm: float
    control_a_mm: float
    control_b_mm: float


Edge = Line | Arc | Bow


@dataclass(frozen=True)
class Outline:
    """A closed plane outline: start point, then edges; the last edge ends at the start.

    Parameters
    ----------
    start_mm : mm, (2,)
        (r, z) for a body of revolution, (x, y) for a prism.
    edges : in order, anticlockwise seen with the second axis up.

    Raises
    ------
    CannotBuild
        Not closed, fewer than two edges, or an arc whose ends lie at different distances from its centre.

    Examples
    --------
    >>> square = polygon([(0, 0), (2, 0), (2, 1), (0, 1)])
    >>> len(square.edges)
    4
    """

    start_mm: tuple[float, float]
    edges: tuple[Edge, ...]

    def __post_init__(self) -> None:
        if len(self.edges) < 2:
            raise CannotBuild("an outline needs at least two edges")
        last = self.edges[-1]
        if math.dist((last.a_mm, last.b_mm), self.start_mm) > 1e-6:
            raise CannotBuild(
                f"the outline ends at ({last.a_mm:g}, {last.b_mm:g}) mm and starts at "
                f"({self.start_mm[0]:g}, {self.start_mm[1]:g}) mm",
                advice="let the last edge end at the start",
            )
        for begin, edge in self.pieces():
            if isinstance(edge, Arc):
                _check_arc(begin, edge)

    def pieces(self) -> list[tuple[tuple[float, float], Edge]]:
        """Each edge with the point where it begins."""
        begin, found = self.start_mm, []
        for edge in self.edges:
            found.append((begin, edge))
            begin = (edge.a_mm, edge.b_mm)
        return found

    def numbers(self) -> tuple[object, ...]:
        """Everything that defines the outline, for the key."""
        flat: list[object] = [*self.start_mm]
        for edge in self.edges:
            flat.append(type(edge).__name__)
            flat.extend(vars(edge).values())
        return tuple(flat)


def _check_arc(begin: tuple[float, float], arc: Arc) -> None:
    centre = (arc.centre_a_mm, arc.centre_b_mm)
    first, second = math.dist(begin, centre), math.dist((arc.a_mm, arc.b_mm), centre)
    if abs(first - second) > 1e-6 or first < _SAME_MM:
        raise CannotBuild(
            f"an arc begins {first:g} mm and ends {second:g} mm from its centre", advice="both must be the radius"
        )


def polygon(points_mm: list[tuple[float, float]]) -> Outline:
    """A closed outline of straight edges through the points."""
    start = (float(points_mm[0][0]), float(points_mm[0][1]))
    rest = [Line(float(a), float(b)) for a, b in points_mm[1:]]
    return Outline(start, (*rest, Line(*start)))


# ---------------------------------------------------------------- solids


@dataclass(frozen=True, eq=False)
class Node:
    """A solid. `|` unites, `-` cuts, `&` keeps what is common (mind: `&` binds tighter than `|`)."""

    @cached_property
    def key(self) -> str:
        """Equal for equal solids; worked out when it is first asked for."""
        # Those inside first, one after the other: a deep tree would go beyond the depth of calls.
        waiting = [child for child in self.children() if "key" not in vars(child)]
        while waiting:
            inside = [child for child in waiting[-1].children() if "key" not in vars(child)]
            if inside:
                waiting.extend(inside)
            else:
                _ = waiting.pop().key
        digest = hashlib.sha256(type(self).__name__.encode())
        for part in self._parts():
            digest.update(b"|" + _key_bytes(part))
        return digest.hexdigest()

    def _parts(self) -> tuple[object, ...]:
        raise NotImplementedError

    def children(self) -> tuple[Node, ...]:
        """The solids that this one is made of."""
        return ()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Node) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)

    def __or__(self, other: Node) -> Node:
        return Op("union", (*_flat(self), *_flat(other)))

    def __sub__(self, other: Node) -> Node:
        mine = self.solids if isinstance(self, Op) and self.kind == "cut" else (self,)
        return Op("cut", (*mine, other))

    def __and__(self, other: Node) -> Node:
        return Op("common", (self, other))

    def at(self, x_mm: float = 0.0, y_mm: float = 0.0, z_mm: float = 0.0, *, turn_deg: float = 0.0) -> Node:
        """Turned about z, then moved; the same object when nothing changes."""
        if x_mm == y_mm == z_mm == turn_deg == 0.0:
            return self
        return Placed(self, float(x_mm), float(y_mm), float(z_mm), float(turn_deg))

    def scaled(self, factor: float) -> Node:
        """Scaled about the origin by one factor; the same object for 1."""
        return self if factor == 1.0 else Scaled(self, float(factor))

    def mirrored_z(self) -> Node:
        """Turned over: the mirror image in the plane z = 0."""
        return Mirrored(self)


def _key_bytes(part: object) -> bytes:
    if isinstance(part, Node):
        return part.key.encode()
    if isinstance(part, (bool, str)):
        return str(part).encode()
    if isinstance(part, (int, float)):
        return (float(part) + 0.0).hex().encode()
    raise TypeError(f"{type(part).__name__} cannot be part of a key")


def _flat(solid: Node) -> tuple[Node, ...]:
    return solid.solids if isinstance(solid, Op) and solid.kind == "union" else (solid,)


@dataclass(frozen=True, eq=False)
class Box(Node):
    """A block between two corners."""

    x0_mm: float
    y0_mm: float
    z0_mm: float
    x1_mm: float
    y1_mm: float
    z1_mm: float

    def __post_init__(self) -> None:
        if not (self.x1_mm > self.x0_mm and self.y1_mm > self.y0_mm and self.z1_mm > self.z0_mm):
            raise CannotBuild(
                f"a block of {self.x1_mm - self.x0_mm:g} × {self.y1_mm - self.y0_mm:g} × "
                f"{self.z1_mm - self.z0_mm:g} mm has no volume"
            )

    def _parts(self) -> tuple[object, ...]:
        return (self.x0_mm, self.y0_mm, self.z0_mm, self.x1_mm, self.y1_mm, self.z1_mm)


@dataclass(frozen=True, eq=False)
class Revolve(Node):
    """A full turn of a closed (r, z) outline about z; r >= 0, anticlockwise."""

    outline: Outline

    def _parts(self) -> tuple[object, ...]:
        return self.outline.numbers()


@dataclass(frozen=True, eq=False)
class Prism(Node):
    """An (x, y) outline drawn straight up from z0_mm to z1_mm."""

    outline: Outline
    z0_mm: float
    z1_mm: float

    def _parts(self) -> tuple[object, ...]:
        return (*self.outline.numbers(), self.z0_mm, self.z1_mm)


@dataclass(frozen=True, eq=False)
class Tapered(Node):
    """A block whose sides slope: the rectangle at z0_mm, shrunk by `inset_mm` on each side at z1_mm."""

    x0_mm: float
    y0_mm: float
    z0_mm: float
    x1_mm: float
    y1_mm: float
    z1_mm: float
    inset_mm: float

    def __post_init__(self) -> None:
        top_x = self.x1_mm - self.x0_mm - 2 * self.inset_mm
        top_y = self.y1_mm - self.y0_mm - 2 * self.inset_mm
        if min(self.x1_mm - self.x0_mm, self.y1_mm - self.y0_mm, top_x, top_y, self.z1_mm - self.z0_mm) <= 0:
            raise CannotBuild("a tapered block whose sides meet before its end")

    def _parts(self) -> tuple[object, ...]:
        return (self.x0_mm, self.y0_mm, self.z0_mm, self.x1_mm, self.y1_mm, self.z1_mm, self.inset_mm)


@dataclass(frozen=True, eq=False)
class Ball(Node):
    """A ball about the origin."""

    radius_mm: float

    def _parts(self) -> tuple[object, ...]:
        return (self.radius_mm,)


@dataclass(frozen=True, eq=False)
class Imported(Node):
    """Geometry that is held outside the tree under the hash of its content."""

    digest: str

    def _parts(self) -> tuple[object, ...]:
        return (self.digest,)


@dataclass(frozen=True, eq=False)
class Placed(Node):
    """A solid turned about z, then moved."""

    solid: Node
    x_mm: float
    y_mm: float
    z_mm: float
    turn_deg: float

    def _parts(self) -> tuple[object, ...]:
        return (self.solid, self.x_mm, self.y_mm, self.z_mm, self.turn_deg)

    def children(self) -> tuple[Node, ...]:
        return (self.solid,)


@dataclass(frozen=True, eq=False)
class Scaled(Node):
    """A solid scaled about the origin."""

    solid: Node
    factor: float

    def _parts(self) -> tuple[object, ...]:
        return (self.solid, self.factor)

    def children(self) -> tuple[Node, ...]:
        return (self.solid,)


@dataclass(frozen=True, eq=False)
class Turned(Node):
    """A solid turned about the x, y or z axis."""

    solid: Node
    axis: str
    angle_deg: float

    def _parts(self) -> tuple[object, ...]:
        return (self.solid, self.axis, self.angle_deg)

    def children(self) -> tuple[Node, ...]:
        return (self.solid,)


@dataclass(frozen=True, eq=False)
class Mirrored(Node):
    """The mirror image of a solid in the plane z = 0."""

    solid: Node

    def _parts(self) -> tuple[object, ...]:
        return (self.solid,)

    def children(self) -> tuple[Node, ...]:
        return (self.solid,)


@dataclass(frozen=True, eq=False)
class Op(Node):
    """union of two or more, cut (the first minus the rest), or common of exactly two."""

    kind: str
    solids: tuple[Node, ...]

    def __post_init__(self) -> None:
        # Kernels disagree on what "common" of three means, so it is never written.
        if self.kind == "common" and len(self.solids) != 2:
            raise CannotBuild("common takes exactly two solids")
        if len(self.solids) < 2:
            raise CannotBuild(f"{self.kind} needs at least two solids")

    def _parts(self) -> tuple[object, ...]:
        return (self.kind, *self.solids)

    def children(self) -> tuple[Node, ...]:
        return self.solids


# ---------------------------------------------------------------- handy shapes


def union(*solids: Node) -> Node:
    """All of the solids together; the one solid when there is only one."""
    return reduce(lambda a, b: a | b, solids)


def cylinder(*, radius_mm: float, z0_mm: float, z1_mm: float) -> Node:
    """A round rod about z."""
    return frustum(lower_mm=radius_mm, upper_mm=radius_mm, z0_mm=z0_mm, z1_mm=z1_mm)


def frustum(*, lower_mm: float, upper_mm: float, z0_mm: float, z1_mm: float) -> Node:
    """A cone frustum about z, radius `lower_mm` at z0_mm and `upper_mm` at z1_mm."""
    if min(lower_mm, upper_mm) <= 0 or z1_mm <= z0_mm:
        raise CannotBuild(f"a frustum of radii {lower_mm:g} and {upper_mm:g} mm, {z1_mm - z0_mm:g} mm high")
    return Revolve(polygon([(0, z0_mm), (lower_mm, z0_mm), (upper_mm, z1_mm), (0, z1_mm)]))


def tube(*, inner_mm: float, outer_mm: float, z0_mm: float, z1_mm: float) -> Node:
    """A round tube about z."""
    return Revolve(polygon([(inner_mm, z0_mm), (outer_mm, z0_mm), (outer_mm, z1_mm), (inner_mm, z1_mm)]))
