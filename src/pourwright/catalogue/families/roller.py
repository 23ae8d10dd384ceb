"""Roller: a rubber sleeve cast around a smooth tube or shaft, straight or crowned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pourwright.catalogue.families.bowed import Side, bowed_outline
from pourwright.catalogue.families.cores import BOND, CORE_BORE, CORE_DIAMETER, CORE_OVERHANG, check_core
from pourwright.catalogue.families.drawing import EDGE_RADIUS, HEIGHT, OUTER_DIAMETER, edge_cautions, round_part
from pourwright.catalogue.families.family import Dimension, Family
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.tree import Revolve, polygon


def _build(values: Mapping[str, float]) -> PartShape:
    check_core(values, least_rubber_mm=values["outer_diameter"])
    end_mm, core_mm, hole_mm = (values[key] / 2 for key in ("outer_diameter", "core_diameter", "core_bore"))
    side = Side(end_mm=end_mm, middle_mm=end_mm + values["crown"] / 2, height_mm=values["height"])
    low_mm, high_mm = -values["core_overhang"], values["height"] + values["core_overhang"]
    core = Revolve(polygon([(hole_mm, low_mm), (core_mm, low_mm), (core_mm, high_mm), (hole_mm, high_mm)]))
    return round_part(
        bowed_outline(side, bore_mm=core_mm, edge_mm=values["edge_radius"]),
        core=core,
        cautions=(*edge_cautions(values["edge_radius"]), BOND),
    )


FAMILY = Family(
    name="roller",
    words="A rubber sleeve cast around a smooth tube or shaft, straight or a little wider in the middle.",
    dimensions=(
        replace(OUTER_DIAMETER, words="diameter of the rubber at both ends, before the edges are rounded"),
        replace(HEIGHT, words="length of the rubber along the axis"),
        CORE_DIAMETER,
        CORE_BORE,
        CORE_OVERHANG,
        Dimension(
            key="crown",
            default="0 mm",
            low="0 mm",
            high="100 mm",
            words="how much larger the diameter is at half length than at the ends (parabolic); 0 for straight",
        ),
        EDGE_RADIUS,
    ),
    build=_build,
    example={
        "outer_diameter": "36 mm",
        "height": "40 mm",
        "core_diameter": "20 mm",
        "core_bore": "8 mm",
        "core_overhang": "5 mm",
    },
)
