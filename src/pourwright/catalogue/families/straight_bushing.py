"""Straight bushing: a cylinder with a bore; without the bore, a disc."""

from __future__ import annotations

from collections.abc import Mapping

from pourwright.catalogue.families.drawing import (
    BORE,
    EDGE_RADIUS,
    HEIGHT,
    OUTER_DIAMETER,
    edge_cautions,
    edged,
    refuse_wide_bore,
    round_part,
)
from pourwright.catalogue.families.family import Family
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.profiles.rounding import Corner


def _build(values: Mapping[str, float]) -> PartShape:
    outer_mm, height_mm, edge_mm = values["outer_diameter"] / 2, values["height"], values["edge_radius"]
    refuse_wide_bore(values["bore"], values["outer_diameter"], "the part")
    bore_mm = values["bore"] / 2
    corners = [
        Corner(bore_mm, 0.0),
        Corner(outer_mm, 0.0, edge_mm),
        Corner(outer_mm, height_mm, edge_mm),
        Corner(bore_mm, height_mm),
    ]
    return round_part(edged(corners, edge_mm), cautions=edge_cautions(edge_mm))


FAMILY = Family(
    name="straight bushing",
    words="A cylinder with a bore along its axis; without the bore, a disc.",
    dimensions=(OUTER_DIAMETER, HEIGHT, BORE, EDGE_RADIUS),
    build=_build,
    example={"outer_diameter": "28 mm", "height": "26 mm", "bore": "10 mm"},
)
