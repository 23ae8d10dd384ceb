"""Roller: a rubber sleeve cast around a smooth tube or shaft, straight or crowned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pourwright.catalogue.families.bowed import Side, bowed_outline
from pourwright.catalogue.families.core_locks import drawn_locks
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
from pourwright.catalogue.families.drawing import EDGE_RADIUS, HEIGHT, OUTER_DIAMETER, edge_cautions
from pourwright.catalogue.families.family import Dimension, Family
from pourwright.catalogue.part_shape import PartShape


def _build(values: Mapping[str, float], wish: CoreWish = NO_WISH) -> PartShape:
    values = with_core(values, wish)
    check_core(values, least_rubber_mm=values["outer_diameter"])
    end_mm, core_mm = values["outer_diameter"] / 2, values["core_diameter"] / 2
    side = Side(end_mm=end_mm, middle_mm=end_mm + values["crown"] / 2, height_mm=values["height"])
    outline = bowed_outline(side, bore_mm=core_mm, edge_mm=values["edge_radius"])
    cautions = (*edge_cautions(values["edge_radius"]), BOND)
    return cored_part(outline, values, wish, locks=drawn_locks(wish.locks, values), cautions=cautions)


FAMILY = Family(
    name="roller",
    words="A rubber sleeve cast around a smooth tube or shaft, straight or a little wider in the middle.",
    dimensions=(
        replace(OUTER_DIAMETER, words="diameter of the rubber at both ends, before the edges are rounded"),
        replace(HEIGHT, words="length of the rubber along the axis"),
        *CORE_SIZES,
        Dimension(
            key="crown",
            default="0 mm",
            low="0 mm",
            high="100 mm",
            words="how much larger the diameter is at half length than at the ends (parabolic); 0 for straight",
        ),
        EDGE_RADIUS,
        *CORE_STAND,
    ),
    build=_build,
    texts=CORE_TEXTS,
    more=core_wish,
    example={
        "outer_diameter": "36 mm",
        "height": "40 mm",
        "core_diameter": "20 mm",
        "core_bore": "8 mm",
        "core_overhang": "5 mm",
    },
)
