"""The hard core of an overmoulded part in its mould: where it stands, what seals it, the spindle that centres it.

Silicone is too soft to centre anything: a spindle through the core's bore runs on through the silicone into sockets in
rigid pieces below and above. The core is never scaled; the rubber's outside is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.facts import Attitude, Standing, stand
from pourwright.catalogue.moulds.parted import parted
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import Hub, PartShape, rubber_on
from pourwright.engines.geometry.cored_outlines import drawn_through, outer_side, outside_on
from pourwright.engines.geometry.outline_math import curves, moment_mm3
from pourwright.engines.geometry.outlines import bounds_mm, scaled_outline, shifted, turned_over
from pourwright.engines.geometry.tree import Edge, Node, Outline, Revolve, Turned, cylinder, union

Point = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Spindle:
    """The rod through a core's bore: its radius, whether it is printed, and how much wider the bore is (diameters)."""

    radius_mm: float
    printed: bool
    play_mm: float


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

    @property
    def end_mm(self) -> float:
        """Radius of the core's ends."""
        return self.hub.end_mm

    @property
    def through_mm(self) -> float:
        """Radius of the spindle, 0 without one."""
        return 0.0 if self.spindle is None else self.spindle.radius_mm

    @property
    def seats_mm(self) -> tuple[float, float]:
        """Heights of the faces that close on the core's ends: silicone a squeeze nearer, a rigid cover just there."""
        upper = self.high_mm - self.squeeze_mm if self.lidded else self.high_mm
        return self.low_mm + self.squeeze_mm, upper

    @property
    def land_mm2(self) -> float:
        """Area of silicone that one core's end faces close on."""
        ring = math.pi * (self.end_mm**2 - self.hub.bore_mm**2)
        return 2 * ring if self.lidded else ring

    @property
    def land_width_mm(self) -> float:
        """Width of those lands."""
        return self.end_mm - self.hub.bore_mm

    def body(self) -> Outline:
        """What the pattern copies: rubber and core together, with room for the spindle."""
        lower, upper = self.seats_mm
        hole = self.through_mm
        return self._drawn((hole, lower), [(self.end_mm, lower)], [(self.end_mm, upper), (hole, upper)])

    def cell(self, low_mm: float, high_mm: float) -> Node:
        """What one cavity takes out of the mould: rubber, core and spindle, in one solid."""
        return Revolve(parted(self._whole(low_mm, high_mm)))

    def below_mouth(self, low_mm: float) -> Node:
        """What of it the lower half is poured around, up to the parting."""
        _, top = self.head_mm
        lower = self.seats_mm[0]
        foot = [(self.through_mm, low_mm), (self.through_mm, lower)] if self.spindle else []
        start = (0.0, low_mm if self.spindle else lower)
        return Revolve(parted(self._drawn(start, [*foot, (self.end_mm, lower)], [(0.0, top)])))

    def held(self, low_mm: float, high_mm: float) -> Node:
        """What keeps resin out: the core, its bore closed, and the spindle."""
        if self.spindle is None:
            return self.filled
        return union(self.filled, cylinder(radius_mm=self.through_mm, z0_mm=low_mm, z1_mm=high_mm))

    def _whole(self, low_mm: float, high_mm: float) -> Outline:
        (lower, upper), wide, thin = self.seats_mm, self.end_mm, self.through_mm
        if self.spindle is None:
            return self._drawn((0.0, lower), [(wide, lower)], [(wide, upper), (0.0, upper)])
        return self._drawn(
            (0.0, low_mm),
            [(thin, low_mm), (thin, lower), (wide, lower)],
            [(wide, upper), (thin, upper), (thin, high_mm), (0.0, high_mm)],
        )

    def _drawn(self, start: Point, before: list[Point], after: list[Point]) -> Outline:
        return drawn_through(start, [*before, self.foot_mm], self.outside, after)


# ---------------------------------------------------------------- where it stands


def stand_cored(shape: PartShape, wish: StyleWish, attitude: Attitude, *, lidded: bool) -> tuple[Standing, CoreHold]:
    """The part on its core as it stands in the mould.

    Notes
    -----
    The rubber's outside is scaled about the parting. The core is not: in the open style its upper end keeps its place
    to the mouth, in a lidded mould its middle keeps its place to the middle of the rubber.
    """
    hub, outline = shape.hub, shape.outline
    if hub is None or outline is None:
        raise ValueError("a part without a core")
    height, scale = shape.size_mm[2], wish.scale
    anchor = height / 2 if lidded else attitude.parting_mm
    lift = (anchor - attitude.parting_mm) * scale - anchor

    def to_place(z: float) -> float:
        return (height - z if attitude.turned else z) + lift

    low, high = sorted((to_place(hub.low_mm), to_place(hub.high_mm)))
    seat = [(r, to_place(z)) for r, z in hub.seat_mm]
    seat = seat[::-1] if attitude.turned else seat
    upright = turned_over(outline, about_mm=height / 2) if attitude.turned else outline
    scaled = shifted(scaled_outline(upright, scale), -attitude.parting_mm * scale)
    _, bottom, _, top = (0.0 if abs(v) < 1e-9 else v for v in bounds_mm(scaled))
    foot, head = (hub.end_mm, bottom), (hub.end_mm, top)
    outside = outside_on(
        outer_side(scaled, (hub.end_mm * scale, bounds_mm(scaled)[1]), (hub.end_mm * scale, bounds_mm(scaled)[3])),
        foot,
        head,
    )
    drawn = parted(drawn_through(foot, outside, seat[1:-1]))

    def moved(node: Node) -> Node:
        return _moved(node, height if attitude.turned else None, lift)

    rubber = rubber_on(drawn, hub, moved(hub.plug))
    plain = stand(
        replace(shape, core=None, hub=None), scale=scale, turned=attitude.turned, parting_mm=attitude.parting_mm
    )
    volume = 2 * math.pi * math.fsum(moment_mm3(curve) for curve in curves(drawn))
    hold = CoreHold(
        hub=hub,
        core=moved(shape.core or hub.filled),
        filled=moved(hub.filled),
        rubber=rubber,
        outside=tuple(outside),
        foot_mm=foot,
        head_mm=head,
        low_mm=low,
        high_mm=0.0 if abs(high) < 1e-9 else high,
        squeeze_mm=wish.squeeze_mm,
        lidded=lidded,
        spindle=_spindle(hub, wish),
    )
    standing = replace(
        plain, cell=rubber, outline=drawn, bore_mm=hub.end_mm, volume_mm3=volume, body_outline=parted(hold.body())
    )
    return standing, hold


def _moved(node: Node, turned_about_mm: float | None, lift_mm: float) -> Node:
    if isinstance(node, Revolve):
        outline = node.outline if turned_about_mm is None else turned_over(node.outline, about_mm=turned_about_mm / 2)
        return Revolve(parted(shifted(outline, lift_mm)))
    upright = node if turned_about_mm is None else Turned(node, "x", 180.0).at(z_mm=turned_about_mm)
    return upright.at(z_mm=lift_mm)


def _spindle(hub: Hub, wish: StyleWish) -> Spindle | None:
    """A rod of stock that fits the bore closely, else a printed one; none where there is no bore."""
    if hub.bore_mm <= 0:
        return None
    bore = 2 * hub.bore_mm
    stock = max((rod for rod in sizes.ROD_STOCK_MM if bore - sizes.MOST_PLAY_MM <= rod <= bore), default=None)
    if stock is not None:
        return Spindle(radius_mm=stock / 2, printed=False, play_mm=bore - stock)
    return Spindle(radius_mm=hub.bore_mm - wish.fit_mm, printed=True, play_mm=2 * wish.fit_mm)
