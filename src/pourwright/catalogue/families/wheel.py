"""Wheel: a tyre cast around a hub, with sloping shoulders and a groove in the hub that holds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pourwright.catalogue.families.core_locks import BOTH, GROOVES, Groove, Locks, drawn_locks
from pourwright.catalogue.families.cores import (
    BOND,
    CORE_SIZES,
    CORE_STAND,
    CORE_TEXTS,
    NO_WISH,
    CoreWish,
    check_core,
    core_wish,
    cored_part,
    with_core,
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
from pourwright.engines.geometry.profiles.rounding import Corner

Point = tuple[float, float]


def _build(values: Mapping[str, float], wish: CoreWish = NO_WISH) -> PartShape:
    values = with_core(values, wish)
    _check_shoulders(values)
    check_core(values, least_rubber_mm=values["outer_diameter"] - 2 * values["shoulder_drop"])
    _check_groove(values)
    locks = _locks(values, wish)
    edge_mm = values["edge_radius"]
    seat = [(values["core_diameter"] / 2, z) for z in (values["height"], 0.0)]
    corners = [*(Corner(*point, edge_mm) for point in _tread(values)), *(Corner(*point) for point in seat)]
    cautions = (*edge_cautions(edge_mm), *_hold(values, locks), BOND)
    return cored_part(edged(corners, edge_mm), values, wish, locks=locks, cautions=cautions)


def _tread(values: Mapping[str, float]) -> list[Point]:
    """The outside from the lower face up."""
    outer_mm, height_mm = values["outer_diameter"] / 2, values["height"]
    drop_mm, slope_mm = values["shoulder_drop"], values["shoulder_width"]
    ends = [(outer_mm - drop_mm, 0.0), (outer_mm - drop_mm, height_mm)]
    middle = [(outer_mm, slope_mm), (outer_mm, height_mm - slope_mm)] if drop_mm > 0 else []
    return [ends[0], *middle, ends[1]]


def _locks(values: Mapping[str, float], wish: CoreWish) -> Locks:
    """The groove around the middle of the hub, where one is given by its sizes, and the locks asked for."""
    if values["groove_depth"] == 0.0:
        return drawn_locks(wish.locks, values)
    if wish.locks in (GROOVES, BOTH):
        raise refusal(
            "locks",
            None,
            "the groove is given by groove_width and groove_depth, and locks asks for grooves too",
            'leave out one of them, or write locks = "flats"',
        )
    low_mm, high_mm = ((values["height"] + sign * values["groove_width"]) / 2 for sign in (-1, 1))
    groove, found = Groove(low_mm, high_mm, values["groove_depth"]), drawn_locks(wish.locks, values)
    return replace(found, grooves=(groove,))


def _hold(values: Mapping[str, float], locks: Locks) -> tuple[str, ...]:
    if values["groove_depth"] > 0 or locks.grooves or locks.cuts:
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
        *CORE_SIZES,
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
        *CORE_STAND,
    ),
    build=_build,
    texts=CORE_TEXTS,
    more=core_wish,
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
