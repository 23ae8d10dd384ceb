"""Profile: a free outline, half of the part's section, turned about the axis.

A person writes the corners in order, once around, each as its distance r from the axis and its height z:

    [part]
    family = "profile"
    outline = [
        { r = "5 mm",  z = "0 mm" },
        { r = "14 mm", z = "0 mm", arc = "1.5 mm" },
        { r = "14 mm", z = "20 mm", bulge = "1 mm" },
        { r = "8 mm",  z = "26 mm" },
        { r = "5 mm",  z = "26 mm" },
    ]

or each corner under a heading `[[part.outline]]`. The last corner is joined to the first. `arc` rounds a
corner between two straight sides by that radius. `bulge` makes an arc of the side from this corner to the
next: how far its middle lies outside the straight line, away from the rubber (negative: a hollow). Either
direction will do. The part is moved so that its lowest place is at height 0.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from pourwright.basics.errors import CannotBuild, InputErrors
from pourwright.catalogue.families.drawing import SHARP, round_part
from pourwright.catalogue.families.family import Dimension, Family, drawn_values, refusal
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.imported import Library
from pourwright.engines.geometry.measure import to_mm
from pourwright.engines.geometry.profiles.outline_crossings import self_crossing
from pourwright.engines.geometry.profiles.outline_math import curves
from pourwright.engines.geometry.profiles.outlines import bounds_mm, bounds_of, end_faces, extremes, shifted
from pourwright.engines.geometry.profiles.rounding import Corner, room_for_rounding, rounded, side
from pourwright.engines.geometry.tree import Outline

_AXIS_MM = 1e-9
_MOST_CORNERS = 400
_FLAT = 1 / 1000  # of its side: a lower bulge is no longer one that anybody could measure or print

CORNER = (
    Dimension(key="r", default=None, low="0 mm", high="500 mm", words="distance of the corner from the axis"),
    Dimension(key="z", default=None, low="-1000 mm", high="1000 mm", words="height of the corner"),
    Dimension(
        key="arc",
        default="0 mm",
        low="0 mm",
        high="500 mm",
        words="radius that rounds the corner, between two straight sides; 0 for sharp",
    ),
    Dimension(
        key="bulge",
        default="0 mm",
        low="-500 mm",
        high="500 mm",
        words="how far the middle of the side to the next corner lies outside the straight line; negative: a hollow",
    ),
)


def _corners(part: Part, library: Library) -> tuple[Any, ...]:
    if part.file is not None:
        raise refusal("file", None, "a profile takes no file", "leave out the family, or the file")
    if len(part.outline) > _MOST_CORNERS:
        raise refusal("outline", None, f"the outline has {len(part.outline)} corners", f"at most {_MOST_CORNERS}")
    faults: list[CannotBuild] = []
    found = []
    for n, written in enumerate(part.outline):
        try:
            _refuse_beyond_axis(n, written)
            place = f"part.outline.{n}"
            found.append(drawn_values(CORNER, written, owner=f"corner {n + 1} of the outline", place=place))
        except InputErrors as several:
            faults.extend(fault for fault in several.errors if isinstance(fault, CannotBuild))
        except CannotBuild as fault:
            faults.append(fault)
    if faults:
        raise faults[0] if len(faults) == 1 else InputErrors(faults)
    return (found,)


def _refuse_beyond_axis(n: int, written: Mapping[str, float]) -> None:
    if written.get("r", 0.0) < 0:
        r_mm = to_mm(written["r"])
        raise CannotBuild(
            f"corner {n + 1} lies at r = {r_mm:.9g} mm, beyond the axis",
            advice="r is the distance from the axis: draw only one half of the section",
            field=f"part.outline.{n}.r",
            value=f"{r_mm:.9g} mm",
        )


def _build(values: Mapping[str, float], corners: Sequence[Mapping[str, float]]) -> PartShape:
    drawn = _anticlockwise(_without_repeat([_corner(written) for written in corners]))
    _check_sides(drawn)
    _check_arcs(drawn)
    outline = rounded(drawn)
    _check_crossing(outline)
    _check_axis(outline)
    outline = shifted(outline, -bounds_mm(outline)[1])
    sharp = any(face.flat and face.edge_radius_mm == 0.0 for face in end_faces(outline))
    return round_part(outline, cautions=(_SHARP,) if sharp else ())


_SHARP = SHARP.replace("edge_radius 0 mm", "no arc").replace("an edge_radius", "an arc")


def _corner(written: Mapping[str, float]) -> Corner:
    return Corner(written["r"], written["z"], written["arc"], written["bulge"])


def _without_repeat(corners: list[Corner]) -> list[Corner]:
    """The first corner may be written again at the end; it says nothing new."""
    first_again = len(corners) > 3 and (corners[-1].a_mm, corners[-1].b_mm) == (corners[0].a_mm, corners[0].b_mm)
    kept = corners[:-1] if first_again else corners
    if len(kept) < 3:
        raise refusal(
            "outline",
            None,
            f"an outline of {len(kept)} corners encloses nothing",
            "write at least three corners in order, once around the half section",
        )
    return kept


def _anticlockwise(corners: list[Corner]) -> list[Corner]:
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    area_mm2 = sum(one.a_mm * other.b_mm - other.a_mm * one.b_mm for one, other in pairs) / 2
    if abs(area_mm2) <= 1e-9:
        raise refusal("outline", None, "the outline encloses nothing", "write its corners in order, once around")
    if area_mm2 > 0:
        return corners
    # Walked the other way, a side belongs to the corner at its other end.
    bulges = [corners[n - 1].bulge_mm for n in range(len(corners))]
    return [replace(corner, bulge_mm=bulge) for corner, bulge in zip(corners, bulges, strict=True)][::-1]


def _check_sides(corners: Sequence[Corner]) -> None:
    for corner, after in zip(corners, [*corners[1:], corners[0]], strict=True):
        begin, end = (corner.a_mm, corner.b_mm), (after.a_mm, after.b_mm)
        if begin == end:
            raise refusal("outline", None, f"two corners in a row lie at {_place(*begin)}", "leave one out")
        if 0 < abs(corner.bulge_mm) < _FLAT * math.dist(begin, end):
            message = f"a bulge of {abs(corner.bulge_mm):.9g} mm from {_place(*begin)} to {_place(*end)} is flat"
            raise refusal("outline", corner.bulge_mm, message, "write 0 mm for a straight side")
        try:
            side(begin, end, bulge_mm=corner.bulge_mm)
        except CannotBuild as fault:
            message = f"{fault.message}, from {_place(*begin)} to {_place(*end)}"
            raise refusal("outline", corner.bulge_mm, message, fault.advice) from None


def _check_arcs(corners: Sequence[Corner]) -> None:
    for n, corner in enumerate(corners):
        if corner.radius_mm == 0.0:
            continue
        where = _place(corner.a_mm, corner.b_mm)
        if corner.bulge_mm != 0.0 or corners[n - 1].bulge_mm != 0.0:
            message = f"the corner at {where} has an arc beside a side with a bulge"
            raise refusal("outline", corner.radius_mm, message, "round only corners between two straight sides")
        alone = room_for_rounding([c if c is corner else replace(c, radius_mm=0.0) for c in corners])
        if alone < 1 - 1e-9:
            message = f"an arc of {corner.radius_mm:.9g} mm does not fit into the corner at {where}"
            advice = f"the largest there is {corner.radius_mm * alone:.4g} mm"
            raise refusal("outline", corner.radius_mm, message, advice)
    room = room_for_rounding(corners)
    if room < 1 - 1e-9:
        advice = f"make both smaller: all arcs fit at {100 * room:.3g} % of what is written"
        raise refusal("outline", None, "two arcs at the ends of one side overlap", advice)


def _check_crossing(outline: Outline) -> None:
    met = self_crossing(outline)
    if met is not None:
        raise refusal(
            "outline",
            None,
            f"the outline crosses or touches itself at {_place(*met[2])}",
            "write the corners in order, once around, without crossing a side",
        )


def _check_axis(outline: Outline) -> None:
    """The rubber may lie along the axis in one stretch, or leave a bore; anything else is no solid part."""
    drawn = curves(outline)
    for curve in drawn:
        least = bounds_of(curve)[0]
        if least < -_AXIS_MM:
            message = f"a bulge reaches {-least:.6g} mm beyond the axis"
            raise refusal("outline", None, message, "make the bulge smaller, or move its side outwards")
    along = [curve.straight and max(curve.begin_mm[0], curve.end_mm[0]) <= _AXIS_MM for curve in drawn]
    starts = sum(here and not along[n - 1] for n, here in enumerate(along))
    if starts > 1:
        message = "the outline lies along the axis in two places, so the part would hold a closed hollow"
        raise refusal("outline", None, message, "let it lie along the axis in one stretch, or leave a bore")
    for n, curve in enumerate(drawn):
        at_corner = curve.begin_mm[0] <= _AXIS_MM and not (along[n] or along[n - 1])
        between = any(r_mm <= _AXIS_MM for r_mm, _ in extremes(curve)[1:-1])
        if at_corner or between:
            message = "the outline touches the axis in a single point"
            raise refusal("outline", None, message, "leave a bore, or let it lie along the axis")


def _place(r_mm: float, z_mm: float) -> str:
    return f"r = {r_mm:.6g} mm, z = {z_mm:.6g} mm"


FAMILY = Family(
    name="profile",
    words="A free outline of straight sides and arcs, half of the section, turned about the axis.",
    dimensions=(),
    build=_build,
    more=_corners,
    corner=CORNER,
    example_outline=(
        {"r": "5 mm", "z": "0 mm"},
        {"r": "14 mm", "z": "0 mm", "arc": "1.5 mm"},
        {"r": "14 mm", "z": "20 mm", "bulge": "1 mm"},
        {"r": "8 mm", "z": "26 mm"},
        {"r": "5 mm", "z": "26 mm"},
    ),
)
