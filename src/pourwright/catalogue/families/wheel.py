"""Wheel: a tyre cast around a hub, with sloping shoulders and a groove in the hub that holds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pourwright.catalogue.families.cores import (
    BOND,
    CORE_BORE,
    CORE_DIAMETER,
    CORE_MASS,
    CORE_OVERHANG,
    RUN_OUT,
    Groove,
    check_core,
    cored_part,
    seat_of,
)
from pourwright.catalogue.families.drawing import (
    EDGE_RADIUS,
    HEIGHT,
    OUTER_DIAMETER,
    edge_cautions,
    edged,
)
from pourwright.catalogue.families.family import Dimension, Family, refusal
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.rounding import Corner

Point = tuple[float, float]


def _build(values: Mapping[str, float]) -> PartShape:
    _check_shoulders(values)
    check_core(values, least_rubber_mm=values["outer_diameter"] - 2 * values["shoulder_drop"])
    _check_groove(values)
    edge_mm, grooves = values["edge_radius"], _grooves(values)
    seat = seat_of(values, grooves)
    corners = [*(Corner(*point, edge_mm) for point in _tread(values)), *(Corner(*point) for point in seat)]
    cautions = (*edge_cautions(edge_mm), *_hold(values), BOND)
    return cored_part(edged(corners, edge_mm), values, grooves=grooves, cautions=cautions)


def _tread(values: Mapping[str, float]) -> list[Point]:
    """The outside from the lower face up."""
    outer_mm, height_mm = values["outer_diameter"] / 2, values["height"]
    drop_mm, slope_mm = values["shoulder_drop"], values["shoulder_width"]
    ends = [(outer_mm - drop_mm, 0.0), (outer_mm - drop_mm, height_mm)]
    middle = [(outer_mm, slope_mm), (outer_mm, height_mm - slope_mm)] if drop_mm > 0 else []
    return [ends[0], *middle, ends[1]]


def _grooves(values: Mapping[str, float]) -> tuple[Groove, ...]:
    """The groove around the middle of the hub, where one is wanted."""
    if values["groove_depth"] == 0.0:
        return ()
    low_mm, high_mm = ((values["height"] + sign * values["groove_width"]) / 2 for sign in (-1, 1))
    return (Groove(low_mm, high_mm, values["groove_depth"]),)


def _hold(values: Mapping[str, float]) -> tuple[str, ...]:
    if values["groove_depth"] > 0:
        return ()
    return ("nothing but the bond holds the tyre on its smooth hub; a groove (groove_width, groove_depth) does too",)


def _check_shoulders(values: Mapping[str, float]) -> None:
    drop, wide = values["shoulder_drop"], values["shoulder_width"]
    if (drop > 0) != (wide > 0):
        key, other = ("shoulder_width", "shoulder_drop") if drop > 0 else ("shoulder_drop", "shoulder_width")
        raise refusal(key, 0.0, f"{other} is given but {key} is 0 mm", "give both, or neither")
    if 2 * wide >= values["height"]:
        raise refusal(
            "shoulder_width",
            wide,
            f"two shoulders of {wide:.9g} mm leave no tread on a wheel {values['height']:.9g} mm wide",
            f"make them narrower than {values['height'] / 2:.9g} mm",
        )


def _check_groove(values: Mapping[str, float]) -> None:
    wide, deep = values["groove_width"], values["groove_depth"]
    if (wide > 0) != (deep > 0):
        key, other = ("groove_depth", "groove_width") if wide > 0 else ("groove_width", "groove_depth")
        raise refusal(key, 0.0, f"{other} is given but {key} is 0 mm", "give both, or neither")
    if deep > 0 and wide <= 2 * deep:
        raise refusal(
            "groove_width",
            wide,
            f"a groove {deep:.9g} mm deep with sides at 45° is wider than {wide:.9g} mm",
            f"make it wider than {2 * deep:.9g} mm, or less deep",
        )
    if wide >= values["height"]:
        raise refusal(
            "groove_width",
            wide,
            f"the groove ({wide:.9g} mm) is as wide as the wheel ({values['height']:.9g} mm) or wider",
            "make it narrower, so that the hub keeps a land at both ends",
        )
    wall = (values["core_diameter"] - values["core_bore"]) / 2
    if deep >= wall:
        raise refusal(
            "groove_depth",
            deep,
            f"a groove {deep:.9g} mm deep cuts through the hub's wall ({wall:.9g} mm)",
            f"make it less deep than {wall:.9g} mm",
        )


FAMILY = Family(
    name="wheel",
    words="A tyre cast around a hub, with sloping shoulders and a groove in the hub that holds the tyre.",
    dimensions=(
        replace(OUTER_DIAMETER, words="diameter of the tread"),
        replace(HEIGHT, words="width of the tyre, along the axis"),
        CORE_DIAMETER,
        CORE_BORE,
        CORE_OVERHANG,
        Dimension(
            key="shoulder_drop",
            default="0 mm",
            low="0 mm",
            high="100 mm",
            words="how much smaller the radius is at the end faces than at the tread; 0 for a plain tyre",
        ),
        Dimension(
            key="shoulder_width",
            default="0 mm",
            low="0 mm",
            high="300 mm",
            words="width of each sloping shoulder, along the axis",
        ),
        Dimension(
            key="groove_width",
            default="0 mm",
            low="0 mm",
            high="200 mm",
            words="width of the groove around the middle of the hub, at the hub's surface; 0 for none",
        ),
        Dimension(key="groove_depth", default="0 mm", low="0 mm", high="50 mm", words="depth of that groove"),
        replace(EDGE_RADIUS, words="rounding of the outer edges of both end faces and of the tread's edges"),
        CORE_MASS,
        RUN_OUT,
    ),
    build=_build,
    example={
        "outer_diameter": "60 mm",
        "height": "24 mm",
        "core_diameter": "40 mm",
        "core_bore": "8 mm",
        "shoulder_drop": "2 mm",
        "shoulder_width": "4 mm",
        "groove_width": "10 mm",
        "groove_depth": "2 mm",
    },
)
