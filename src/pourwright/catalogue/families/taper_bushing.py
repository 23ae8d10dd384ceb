"""Taper bushing: a cone frustum with a straight bore."""

from __future__ import annotations

from collections.abc import Mapping

from pourwright.catalogue.families.drawing import (
    BORE,
    EDGE_RADIUS,
    HEIGHT,
    edge_cautions,
    edged,
    refuse_wide_bore,
    round_part,
)
from pourwright.catalogue.families.family import Dimension, Family
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.profiles.rounding import Corner


def _build(values: Mapping[str, float]) -> PartShape:
    lower_mm, upper_mm = values["lower_diameter"] / 2, values["upper_diameter"] / 2
    height_mm, edge_mm, bore_mm = values["height"], values["edge_radius"], values["bore"] / 2
    refuse_wide_bore(values["bore"], 2 * min(lower_mm, upper_mm), "the narrow end")
    corners = [
        Corner(bore_mm, 0.0),
        Corner(lower_mm, 0.0, edge_mm),
        Corner(upper_mm, height_mm, edge_mm),
        Corner(bore_mm, height_mm),
    ]
    return round_part(edged(corners, edge_mm), cautions=edge_cautions(edge_mm))


FAMILY = Family(
    name="taper bushing",
    words="A cone frustum with a straight bore along its axis.",
    dimensions=(
        Dimension(
            key="lower_diameter",
            default=None,
            low="1 mm",
            high="1000 mm",
            words="diameter at the lower end, where the cone meets the face before the edge is rounded",
        ),
        Dimension(
            key="upper_diameter",
            default=None,
            low="1 mm",
            high="1000 mm",
            words="diameter at the upper end, where the cone meets the face before the edge is rounded",
        ),
        HEIGHT,
        BORE,
        EDGE_RADIUS,
    ),
    build=_build,
    example={"lower_diameter": "30 mm", "upper_diameter": "22 mm", "height": "24 mm", "bore": "8 mm"},
)
