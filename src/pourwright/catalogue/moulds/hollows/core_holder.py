"""The hard core of an overmoulded part in its mould: where it stands, what seals it, the spindle that centres it.

Silicone is too soft to centre anything: a spindle through the core's bore runs on through the silicone into sockets in
rigid pieces below and above. The core is never scaled; the rubber's outside is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.stand.facts import Attitude, Standing, stand
from pourwright.catalogue.moulds.stand.parted import parted
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import Hub, PartShape, rubber_on
from pourwright.engines.geometry.profiles.cored_outlines import drawn_through, outer_side, outside_on
from pourwright.engines.geometry.profiles.outline_math import curves, moment_mm3
from pourwright.engines.geometry.profiles.outlines import bounds_mm, scaled_outline, shifted, turned_over
from pourwright.engines.geometry.tree import (
    Box,
    Edge,
    Imported,
    Node,
    Op,
    Outline,
    Placed,
    Revolve,
    Turned,
    cylinder,
    union,
)

Point = tuple[float, float]
_AT_MOUTH_MM = 1e-9
_COLLAR_MM = sizes.LAND_LEAST_MM  # silicone round the core between its rubber and a cup
_LOOSE_MM = 0.05  # round a spindle that is drawn
_SLIP_MM = 0.02  # corners of a facetted bore lie so much inside its nominal size


@dataclass(frozen=True, kw_only=True)
class Spindle:
    """The rod through a core's bore: its radius, whether it is printed, and how much wider the bore is (diameters)."""

    radius_mm: float
    printed: bool
    play_mm: float


@dataclass(frozen=True, kw_only=True)
class Cups:
    """Printed cups that hold the ends of a core without a bore: outer radius, radius of the hole for the core's end.

    The lower one grips the core's end up to `low_mm`, the upper one, in a lidded mould, from `high_mm` on; between
    them and the rubber silicone closes round the core.
    """

    radius_mm: float
    hole_mm: float
    low_mm: float
    high_mm: float | None


@dataclass(frozen=True, kw_only=True)
class CoreHold:
    """A core where it stands in the mould, true to size, parting at z = 0.

    `rubber` is the tyre alone, scaled outside; `outside` its outer edges from `foot_mm` to `head_mm`, the corners at
    the core. The lower land, and in a lidded mould the upper one too, stands `squeeze_mm` into the core's room.
    """

    hub: Hub
    core: Node
    filled: Node
    rubber: Node
    outside: tuple[Edge, ...]
    foot_mm: Point
    head_mm: Point
    low_mm: float
    high_mm: float
    squeeze_mm: float
    lidded: bool
    spindle: Spindle | None
    cups: Cups | None = None

    @property
    def end_mm(self) -> float:
        """Radius of the core's ends."""
        return self.hub.end_mm

    @property
    def through_mm(self) -> float:
        """Radius of the spindle, 0 without one."""
        return 0.0 if self.spindle is None else self.spindle.radius_mm

    @property
    def upright_mm(self) -> float:
        """Radius of what stands up from the lower board: spindle or cup; 0 for nothing."""
        return self.through_mm if self.cups is None else self.cups.radius_mm

    @property
    def seats_mm(self) -> tuple[float, float]:
        """Heights of the faces that close on the core's ends: silicone a squeeze nearer, a rigid cover just there."""
        if self.cups is not None:
            return self.low_mm, self.high_mm
        # Under the parting the lid has no land: what it would press there is the lower half's.
        upper = max(0.0, self.high_mm - self.squeeze_mm) if self.lidded else self.high_mm
        return self.low_mm + self.squeeze_mm, upper

    @property
    def land_mm2(self) -> float:
        """Area of silicone that one core's end faces close on."""
        if self.cups is not None:
            return 0.0
        rings = [math.pi * (face**2 - self.hub.bore_mm**2) for face in self._faces_mm]
        return sum(rings) if self.lidded else rings[0]

    @property
    def squeezed_mm3(self) -> float:
        """How much of one core stands into the silicone of its lands."""
        if self.cups is not None:
            return 0.0
        lower, upper = (math.pi * (face**2 - self.hub.bore_mm**2) for face in self._faces_mm)
        below = lower * self.squeeze_mm
        return below + upper * (self.high_mm - self.seats_mm[1]) if self.lidded else below

    @property
    def land_width_mm(self) -> float:
        """Width of those lands."""
        return _COLLAR_MM if self.cups is not None else min(self._faces_mm) - self.hub.bore_mm

    @property
    def _faces_mm(self) -> tuple[float, float]:
        return self.hub.faces_mm or (self.end_mm, self.end_mm)

    def body(self) -> Node:
        """What the pattern copies: rubber and core together, without the spindle."""
        if self.hub.shaped:
            return self._shaped(self._outline(None, None))
        return Revolve(parted(self._bored(*self.seats_mm)))

    def cast(self) -> Node:
        """Rubber and core as they leave the mould: the spindle is drawn out of them."""
        if not self.hub.shaped or self.spindle is None:
            return self.body()
        radius, reach = self.through_mm + _LOOSE_MM, 2 * (self.high_mm - self.low_mm)
        return Op("cut", (self.body(), cylinder(radius_mm=radius, z0_mm=-reach, z1_mm=reach)))

    def face(self) -> Outline:
        """The outline of rubber and core between the rubber's end faces: where screws and rims find room."""
        return parted(self._bored(self.foot_mm[1], self.head_mm[1]))

    def cell(self, low_mm: float, high_mm: float) -> Node:
        """What one cavity takes out of the mould: rubber, core and spindle, in one solid."""
        outline = self._outline(low_mm, high_mm)
        return self._shaped(outline) if self.hub.shaped else Revolve(parted(outline))

    def below_mouth(self, low_mm: float) -> Node:
        """What of it the lower half is poured around, up to the parting."""
        reach = 2 * (self.end_mm + abs(low_mm)) + 200
        over = Box(-reach, -reach, 0.0, reach, reach, reach)
        if self.hub.shaped:
            return Op("cut", (self.cell(low_mm, max(1.0, self.high_mm + 1.0)), over))
        (lower, _), thin = self.seats_mm, self.through_mm
        if self.cups is not None:
            thin, lower = self.cups.radius_mm, self.cups.low_mm
        stands = self.spindle is not None or self.cups is not None
        foot = [(thin, low_mm), (thin, lower)] if stands else []
        start = (0.0, low_mm if stands else lower)
        return Revolve(parted(self._drawn(start, [*foot, (self.end_mm, lower)], [(0.0, self.head_mm[1])])))

    def held(self, low_mm: float, high_mm: float) -> Node:
        """What keeps resin out: the core, its bore closed, and the spindle or the cups."""
        if self.cups is not None:
            return union(self.filled, *self._cup_rooms(self.cups, low_mm, high_mm))
        if self.spindle is None:
            return self.filled
        return union(self.filled, cylinder(radius_mm=self.through_mm, z0_mm=low_mm, z1_mm=high_mm))

    def _cup_rooms(self, cups: Cups, low_mm: float, high_mm: float) -> list[Node]:
        """The cups and what is in them."""
        found = [cylinder(radius_mm=cups.radius_mm, z0_mm=low_mm, z1_mm=cups.low_mm)]
        if cups.high_mm is not None:
            found.append(cylinder(radius_mm=cups.radius_mm, z0_mm=cups.high_mm, z1_mm=high_mm))
        return found

    def pressed(self) -> Node | None:
        """What of a core from a file stands into the silicone of its lands; None where a formula says it."""
        if not self.hub.shaped:
            return None
        (lower, upper), reach = self.seats_mm, 2 * self.end_mm + 10
        ends = [Box(-reach, -reach, self.low_mm - 1, reach, reach, lower)]
        if self.lidded:
            ends.append(Box(-reach, -reach, upper, reach, reach, self.high_mm + 1))
        slices = self.core & union(*ends)
        if self.spindle is None:
            return slices
        return Op("cut", (slices, cylinder(radius_mm=self.through_mm, z0_mm=self.low_mm - 2, z1_mm=self.high_mm + 2)))

    def rubber_on_file(self) -> Node:
        """The rubber on a core from a file: all between its ends that the core does not fill."""
        return Op("cut", (self.envelope(), self.filled))

    def envelope(self) -> Node:
        """All between the rubber's faces, filled to the axis."""
        return Revolve(parted(self._outline(None, None)))

    def _shaped(self, outline: Outline) -> Node:
        """Rubber filled to the axis, and the core itself between its seats."""
        (lower, upper), reach = self.seats_mm, 2 * self.end_mm + 10
        room = Box(-reach, -reach, lower, reach, reach, upper)
        return union(Revolve(parted(outline)), self.filled & room)

    def _outline(self, low_mm: float | None, high_mm: float | None) -> Outline:
        """Rubber, core and spindle filled to the axis; without the spindle where no heights are given."""
        (lower, upper), wide, thin = self.seats_mm, self.end_mm, self.through_mm
        if self.hub.shaped:  # the ends are the core's own; only a core shorter than its rubber leaves a hollow
            lower, upper = max(lower, self.foot_mm[1]), min(upper, self.head_mm[1])
        if self.cups is not None and low_mm is not None and high_mm is not None:
            return self._in_cups(self.cups, low_mm, high_mm)
        if self.spindle is None or low_mm is None or high_mm is None:
            return self._drawn((0.0, lower), [(wide, lower)], [(wide, upper), (0.0, upper)])
        return self._drawn(
            (0.0, low_mm),
            [(thin, low_mm), (thin, lower), (wide, lower)],
            [(wide, upper), (thin, upper), (thin, high_mm), (0.0, high_mm)],
        )

    def _in_cups(self, cups: Cups, low_mm: float, high_mm: float) -> Outline:
        """Rubber and core between cups, filled to the axis."""
        wide, end = cups.radius_mm, self.end_mm
        foot = [(wide, low_mm), (wide, cups.low_mm), (end, cups.low_mm)]
        head = [(end, self.high_mm), (0.0, self.high_mm)]
        if cups.high_mm is not None:
            head = [(end, cups.high_mm), (wide, cups.high_mm), (wide, high_mm), (0.0, high_mm)]
        return self._drawn((0.0, low_mm), foot, head)

    def _bored(self, lower: float, upper: float) -> Outline:
        """Rubber and core between two heights at the core, with a hole for the spindle."""
        hole = self.through_mm
        return self._drawn((hole, lower), [(self.end_mm, lower)], [(self.end_mm, upper), (hole, upper)])

    def _drawn(self, start: Point, before: list[Point], after: list[Point]) -> Outline:
        return drawn_through(start, [*before, self.foot_mm], self.outside, after)


# ---------------------------------------------------------------- where it stands


def stand_cored(shape: PartShape, wish: StyleWish, attitude: Attitude, *, lidded: bool) -> tuple[Standing, CoreHold]:
    """The part on its core as it stands in the mould.

    Notes
    -----
    The rubber's outside is scaled about the parting. The core is not: in the open style its upper end keeps its place
    to the mouth, in a lidded mould its middle keeps its place to the middle of the rubber, or its end reaches the
    parting.
    """
    hub, outline = shape.hub, shape.outline
    if hub is None or outline is None:
        raise CannotBuild("a part on a core that is not told of")
    if hub.shaped:  # rubber is alike both ways up, while the ends of a core from a file need not be
        attitude = replace(attitude, turned=False)
    place = _placed(hub, shape.size_mm[2], wish.scale, attitude, lidded=lidded)
    outside, foot, head = _outside(outline, hub, shape.size_mm[2], wish.scale, attitude)
    drawn = parted(drawn_through(foot, outside, place.seat(hub)[1:-1]))
    hold = CoreHold(
        hub=hub,
        core=place.moved(shape.core or hub.filled, hub),
        filled=place.moved(hub.filled, hub),
        rubber=rubber_on(drawn, hub, place.moved(hub.plug, hub)),
        outside=tuple(outside),
        foot_mm=foot,
        head_mm=head,
        low_mm=place.low_mm,
        high_mm=place.high_mm,
        squeeze_mm=wish.squeeze_mm,
        lidded=lidded,
        spindle=_spindle(hub, wish),
        cups=_cups(hub, wish, place, (foot[1], head[1]), lidded=lidded),
    )
    if hub.shaped:
        hold = replace(hold, rubber=hold.rubber_on_file())
    return _standing(shape, wish, attitude, drawn, hold), hold


def _standing(shape: PartShape, wish: StyleWish, attitude: Attitude, drawn: Outline, hold: CoreHold) -> Standing:
    plain = stand(
        replace(shape, core=None, hub=None), scale=wish.scale, turned=attitude.turned, parting_mm=attitude.parting_mm
    )
    return replace(
        plain,
        cell=hold.rubber,
        outline=drawn,
        bore_mm=hold.end_mm,
        volume_mm3=2 * math.pi * math.fsum(moment_mm3(curve) for curve in curves(drawn)),
        body=hold.body(),
        body_outline=hold.face(),
        body_ends_mm=hold.seats_mm,
    )


@dataclass(frozen=True, kw_only=True)
class _Place:
    """Where a core stands: turned over in a part of this height or not, lifted, with its ends."""

    turned_mm: float | None
    lift_mm: float
    low_mm: float
    high_mm: float

    def seat(self, hub: Hub) -> list[Point]:
        """Where rubber meets it, from above."""
        over = self.turned_mm
        points = [(r, (z if over is None else over - z) + self.lift_mm) for r, z in hub.seat_mm]
        return points if over is None else points[::-1]

    def moved(self, node: Node, hub: Hub) -> Node:
        """A solid of the core where it stands."""
        return _moved(node, self.turned_mm, self.lift_mm, self.high_mm - hub.raw_top_mm)


def _placed(hub: Hub, height: float, scale: float, attitude: Attitude, *, lidded: bool) -> _Place:
    anchor = height / 2 if lidded else attitude.parting_mm
    lift = (anchor - attitude.parting_mm) * scale - anchor
    ends = (hub.low_mm, hub.high_mm)
    low, high = sorted((height - z if attitude.turned else z) + lift for z in ends)
    if lidded and high < 0.0:  # its end must reach the parting, or a disc of the lower half would lie on it
        lift, low, high = lift - high, low - high, 0.0
    return _Place(
        turned_mm=height if attitude.turned else None,
        lift_mm=lift,
        low_mm=low,
        high_mm=0.0 if abs(high) < _AT_MOUTH_MM else high,
    )


def _outside(
    outline: Outline, hub: Hub, height: float, scale: float, attitude: Attitude
) -> tuple[list[Edge], Point, Point]:
    """The rubber's outside, scaled and in place, with its corners at the core, which is not scaled."""
    upright = turned_over(outline, about_mm=height / 2) if attitude.turned else outline
    scaled = shifted(scaled_outline(upright, scale), -attitude.parting_mm * scale)
    low, high = bounds_mm(scaled)[1::2]
    foot, head = ((hub.end_mm, 0.0 if abs(z) < _AT_MOUTH_MM else z) for z in (low, high))
    wide = hub.end_mm * scale
    return outside_on(outer_side(scaled, (wide, low), (wide, high)), foot, head), foot, head


def _moved(node: Node, turned_about_mm: float | None, lift_mm: float, raw_lift_mm: float) -> Node:
    """A node lifted, each solid in one move, so that faces that should lie at the mouth do to the last digit."""
    if isinstance(node, Op):
        return Op(node.kind, tuple(_moved(one, turned_about_mm, lift_mm, raw_lift_mm) for one in node.solids))
    if isinstance(node, Revolve):
        outline = node.outline if turned_about_mm is None else turned_over(node.outline, about_mm=turned_about_mm / 2)
        return Revolve(parted(shifted(outline, lift_mm)))
    if isinstance(node, Placed) and turned_about_mm is None and _is_raw(node.solid):
        return node.solid.at(node.x_mm, node.y_mm, raw_lift_mm)
    upright = node if turned_about_mm is None else Turned(node, "x", 180.0).at(z_mm=turned_about_mm)
    return upright.at(z_mm=lift_mm)


def _is_raw(node: Node) -> bool:
    return isinstance(node, Imported) or (isinstance(node, Turned) and isinstance(node.solid, Imported))


def _cups(hub: Hub, wish: StyleWish, place: _Place, rubber_mm: tuple[float, float], *, lidded: bool) -> Cups | None:
    """Cups for a core without a bore that stands out of its rubber far enough at both ends; else None.

    Under a rigid cover the upper end stands in the cover's own recess.
    """
    out = rubber_mm[0] - place.low_mm, place.high_mm - rubber_mm[1]
    least = _COLLAR_MM + sizes.CUP_GRIP_MM
    if hub.bore_mm > 0 or hub.shaped or hub.upper_mm is not None or out[0] < least:
        return None
    if out[1] < (least if lidded else sizes.CUP_GRIP_MM) or (lidded and rubber_mm[1] + _COLLAR_MM <= 0.0):
        return None
    hole = hub.end_mm + wish.fit_mm
    return Cups(
        radius_mm=hole + sizes.CUP_WALL_MM,
        hole_mm=hole,
        low_mm=rubber_mm[0] - _COLLAR_MM,
        high_mm=rubber_mm[1] + _COLLAR_MM if lidded else None,
    )


def _spindle(hub: Hub, wish: StyleWish) -> Spindle | None:
    """A rod of stock that fits the bore closely, else a printed one; none where there is no bore."""
    if hub.bore_mm <= 0:
        return None
    bore = 2 * hub.bore_mm
    stock = max(
        (rod for rod in sizes.ROD_STOCK_MM if bore - sizes.MOST_PLAY_MM <= rod <= bore + _SLIP_MM), default=None
    )
    if stock is not None:
        return Spindle(radius_mm=stock / 2, printed=False, play_mm=max(0.0, bore - stock))
    return Spindle(radius_mm=hub.bore_mm - wish.fit_mm, printed=True, play_mm=2 * wish.fit_mm)
