"""A part laid on its side, its axis in the parting plane: its size, where it is fed and vented, where pins fit.

The block lies with the part's axis along x and is stood on end for the cast, so that +x is up then. Millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.prints.patterns import SCREWS, Screw
from pourwright.catalogue.moulds.stand.facts import SideFacts, SolidFacts, Widths, flat_mouth
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.profiles.outline_math import curves, moment_mm3
from pourwright.engines.geometry.profiles.outlines import bounds_mm, scaled_outline, shifted, turned_over
from pourwright.engines.geometry.tree import Node, Outline, Revolve, Turned

FEED_RADII_MM = (3.0, 2.5, 2.0, 1.5, 1.0, 0.75)
_VENT_RADIUS_MM = 1.5  # at most: a stub that trims clean
_WEB_MM = 1.0  # silicone between a channel and the rod, or between feed and vent
_INTO_MM = 0.5  # how far a channel reaches into the part
_STRAIGHT_MM = 0.05  # a bore that varies by more is not straight
_STEP_MM = 0.5  # places tried along the axis
_THREADS_MM = (8.0, 6.0, 5.0, 4.0)
_OVER_MM = 1.5  # of part left under a hole
_APART_MM = 4.5  # from pin to screw
_PINS_APART_MM = 6.0
_SLACK_MM = 0.05  # polygons stand in for circles
_SAME_MM = 1e-9
_FINE_MM = 0.1  # between the heights at which the part is measured

PINS_MM = ((1.5, 1.6), (1.0, 1.1))  # pin and its hole, radii: 3 mm and 2 mm stock
PIN_DEEP_MM = 5.0
_Fitting = Callable[[float, float], list[float]]  # radius and depth of a hole: where it fits


@dataclass(frozen=True)
class Spot:
    """Where a channel along x leaves the part: its distance from the axis, its radius, where it starts inside."""

    y_mm: float
    radius_mm: float
    start_mm: float
    surface_mm: float


@dataclass(frozen=True, kw_only=True)
class Pins:
    """Screws from below, and pins that centre the halves of the pattern: places along the axis, from its foot."""

    screw: Screw | None = None
    depth_mm: float = 0.0
    screws_mm: tuple[tuple[float, float], ...] = ()
    pin_mm: float = 0.0
    hole_mm: float = 0.0
    pins_mm: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Lain:
    """A scaled part on its side. `draw` puts its foot at an x; heights along it are measured from the foot.

    `low_mm`, `high_mm` are how far it reaches below and above the parting; `bore_mm` the radius of its bore;
    `widths` are those of a body of revolution.
    """

    draw: Callable[[float], Node]
    length_mm: float
    half_y_mm: float
    low_mm: float
    high_mm: float
    volume_mm3: float
    feed: Spot
    vent: Spot
    pins: Pins
    bore_mm: float = 0.0
    widths: Widths | None = None


def lay(shape: PartShape, wish: StyleWish, solid: SolidFacts | None) -> Lain:
    """The part on its side.

    Raises
    ------
    CannotBuild
        A hard core, a bore that is not straight, no room for feed and vent, or no way to part a solid so.
    """
    if shape.core is not None:
        raise CannotBuild("a hard core would have to be held in the halves' own seats", advice="leave style out")
    if shape.outline is not None:
        return _of_outline(shape.outline, shape.bore_mm * wish.scale, wish)
    if solid is None or solid.side is None:
        raise CannotBuild(
            "no way was found to lay this solid on its side so that both halves let go", advice="leave style out"
        )
    return _of_solid(shape, solid.volume_mm3, solid.side, wish.scale)


# ---------------------------------------------------------------- bodies of revolution


def _of_outline(drawn: Outline, bore: float, wish: StyleWish) -> Lain:
    """Its wider flat end up, so that feed and vent find room there and nothing under a ledge holds air."""
    height = bounds_mm(drawn)[3]
    upright = turned_over(drawn, about_mm=height / 2) if flat_mouth(drawn)[0].turned else drawn
    outline = scaled_outline(upright, wish.scale)
    widths = Widths(outline)
    _refuse_crooked_bore(widths, bore, wish)
    feed, vent = _spots(widths, bore)
    radius = bounds_mm(outline)[2]

    def draw(foot_mm: float) -> Node:
        return Turned(Revolve(shifted(outline, foot_mm)), "y", 90.0)

    return Lain(
        draw=draw,
        length_mm=bounds_mm(outline)[3],
        half_y_mm=max(radius, abs(feed.y_mm) + feed.radius_mm),
        low_mm=-radius,
        high_mm=radius,
        volume_mm3=2 * math.pi * math.fsum(moment_mm3(curve) for curve in curves(outline)),
        feed=feed,
        vent=vent,
        pins=_pins(widths),
        bore_mm=bore,
        widths=widths,
    )


def _refuse_crooked_bore(widths: Widths, bore: float, wish: StyleWish) -> None:
    """Only a bore that a rod fills from end to end can be cast on its side."""
    if widths.between(widths.low_mm + 1e-3, widths.high_mm - 1e-3)[0] > bore + _STRAIGHT_MM:
        raise CannotBuild(
            "its bore is not one straight hole: on its side, silicone in it would be locked by the part",
            advice="leave style out",
        )
    if bore > 0 and wish.bore_core == "silicone":
        raise CannotBuild(
            "a silicone core of this bore would be split between the halves and locked by the part",
            advice='leave bore_core out, or write "rod": a rod lies in the parting',
            field="mould.bore_core",
            value="silicone",
        )


def _spots(widths: Widths, bore: float) -> tuple[Spot, Spot]:
    """Feed on one side of the axis, vent on the other, both at the highest ring; at a peak the vent takes the peak."""
    at_top = widths.points[widths.points[:, 1] >= widths.high_mm - 1e-6, 0]
    inner, outer = float(at_top.min()), float(at_top.max())
    for radius in FEED_RADII_MM:
        vent = min(radius, _VENT_RADIUS_MM)
        least = bore + _WEB_MM if bore > 0 else vent + _WEB_MM / 2
        if outer - inner >= 2 * radius - _SAME_MM and outer - 2 * radius >= least - _SAME_MM:
            start = widths.high_mm - _INTO_MM
            return (
                Spot(outer - radius, radius, start, widths.high_mm),
                Spot(vent - outer, vent, start, widths.high_mm),
            )
    for radius in FEED_RADII_MM:
        vent = min(radius, _VENT_RADIUS_MM)
        found = _at_a_peak(widths, radius, vent) if bore == 0 else _at_a_crest(widths, radius, vent, outer, bore)
        if found is not None:
            return found
    raise CannotBuild(
        "its upper end leaves no room for feed and vent beside each other",
        advice=f"it takes a wall of {2 * FEED_RADII_MM[-1] + _WEB_MM:.1f} mm round the bore, or a wider end",
    )


def _at_a_crest(widths: Widths, radius: float, vent: float, crest: float, bore: float) -> tuple[Spot, Spot] | None:
    """On a rounded ring, feed and vent on its crest."""
    if crest - radius < bore + _WEB_MM or crest + radius > float(widths.points[:, 0].max()):
        return None
    spots = []
    for y, r in ((crest, radius), (-crest, vent)):
        low = widths.top(crest - r, crest + r)
        if low < widths.high_mm - 2 * r:
            return None
        spots.append(Spot(y, r, low - _INTO_MM, widths.top(crest, crest)))
    return spots[0], spots[1]


def _at_a_peak(widths: Widths, radius: float, vent: float) -> tuple[Spot, Spot] | None:
    """The vent on the peak, the feed as near beside it as a web allows."""
    y = vent + radius + 2 * _WEB_MM
    if y + radius > float(widths.points[:, 0].max()):
        return None
    low, tip = widths.top(max(0.0, y - radius), y + radius), widths.top(0.0, vent)
    if low - _INTO_MM <= widths.low_mm + _OVER_MM:
        return None
    return Spot(y, radius, low - _INTO_MM, widths.top(y, y)), Spot(0.0, vent, tip - _INTO_MM, widths.high_mm)


def _pins(widths: Widths) -> Pins:
    """Two pins as far apart as can be, and one or two screws between them, all on the axis."""
    heights = np.arange(widths.low_mm + _FINE_MM, widths.high_mm, _FINE_MM)
    _, outer = widths.at(heights)
    places = np.arange(widths.low_mm + _STEP_MM, widths.high_mm, _STEP_MM)

    def fitting(radius: float, deep: float) -> list[float]:
        reach = radius + sizes.COVER_MM
        need = max(math.hypot(deep, reach), deep + _OVER_MM) + _SLACK_MM
        wide = [np.abs(heights - x) <= reach + _FINE_MM for x in places]
        room = (places - reach > widths.low_mm) & (places + reach < widths.high_mm)
        good = room & np.array([bool(outer[near].min(initial=np.inf) >= need) for near in wide])
        return [float(x) for x in places[good]]

    tried = [_both(fitting, pin, hole) for pin, hole in PINS_MM]
    return max(tried, key=lambda pins: (bool(pins.screws_mm), len(pins.pins_mm), len(pins.screws_mm)))


def _both(fitting: _Fitting, pin: float, hole: float) -> Pins:
    """Two pins and screws beside them; one pin where two would leave no room for a screw; none where none fits."""
    room = fitting(hole, PIN_DEEP_MM)
    ends = [room[0], room[-1]] if room and room[-1] - room[0] >= _PINS_APART_MM else room[:1]
    kept = [(pinned, *_screws(fitting, pinned)) for pinned in (ends, ends[:1])]
    pinned, screw, depth, screwed = max(kept, key=lambda one: (one[1] is not None, len(one[0])))
    return Pins(
        screw=screw,
        depth_mm=depth,
        screws_mm=tuple((x, 0.0) for x in screwed),
        pin_mm=pin if pinned else 0.0,
        hole_mm=hole if pinned else 0.0,
        pins_mm=tuple((x, 0.0) for x in pinned),
    )


def _screws(fitting: _Fitting, pinned: list[float]) -> tuple[Screw | None, float, list[float]]:
    for screw in SCREWS:
        for depth in _THREADS_MM:
            free = [x for x in fitting(screw.core_mm, depth) if all(abs(x - pin) >= _APART_MM for pin in pinned)]
            if free:
                two = free[-1] - free[0] >= _PINS_APART_MM
                return screw, depth, [free[0], free[-1]] if two else [free[len(free) // 2]]
    return None, 0.0, []


# ---------------------------------------------------------------- solids from files


def _of_solid(shape: PartShape, volume_mm3: float, side: SideFacts, scale: float) -> Lain:
    """A solid turned about its own upright axis until it pulls along z when it is laid down."""

    def draw(foot_mm: float) -> Node:
        upright = shape.node.at(turn_deg=side.turn_deg).at(-side.parting_mm, -side.middle_mm, 0.0).scaled(scale)
        return Turned(upright, "y", 90.0).at(x_mm=foot_mm)

    screw = next((one for one in SCREWS if one.name == side.screw), None)
    return Lain(
        draw=draw,
        length_mm=shape.size_mm[2] * scale,
        half_y_mm=side.half_y_mm * scale,
        low_mm=-side.below_mm * scale,
        high_mm=side.above_mm * scale,
        volume_mm3=volume_mm3 * scale**3,
        feed=_scaled(side.feed_mm, scale),
        vent=_scaled(side.vent_mm, scale),
        pins=Pins(
            screw=screw,
            depth_mm=side.screw_depth_mm,
            screws_mm=tuple((x * scale, y * scale) for x, y in side.screws_mm),
            pin_mm=side.pin_mm,
            hole_mm=side.pin_mm + 0.1 if side.pin_mm > 0 else 0.0,
            pins_mm=tuple((x * scale, y * scale) for x, y in side.pins_mm),
        ),
    )


def _scaled(spot: tuple[float, float, float], scale: float) -> Spot:
    y, radius, top = spot
    return Spot(y * scale, radius, top * scale - _INTO_MM, top * scale)
