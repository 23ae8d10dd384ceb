"""Ring: a flat ring whose four edges are all rounded, down to a round cord."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pourwright.catalogue.families.drawing import EDGE_RADIUS, HEIGHT, OUTER_DIAMETER, edge_cautions, edged, round_part
from pourwright.catalogue.families.family import Dimension, Family, refusal
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.profiles.rounding import Corner


def _build(values: Mapping[str, float]) -> PartShape:
    outer_mm, inner_mm = values["outer_diameter"] / 2, values["inner_diameter"] / 2
    height_mm, edge_mm = values["height"], values["edge_radius"]
    if inner_mm >= outer_mm:
        raise refusal(
            "inner_diameter",
            2 * inner_mm,
            f"the inside ({2 * inner_mm:.9g} mm) is not narrower than the outside ({2 * outer_mm:.9g} mm)",
            f"make it smaller than {2 * outer_mm:.9g} mm",
        )
    corners = [
        Corner(inner_mm, 0.0, edge_mm),
        Corner(outer_mm, 0.0, edge_mm),
        Corner(outer_mm, height_mm, edge_mm),
        Corner(inner_mm, height_mm, edge_mm),
    ]
    return round_part(edged(corners, edge_mm), cautions=edge_cautions(edge_mm))


FAMILY = Family(
    name="ring",
    words="A ring with all four edges rounded; with edge_radius half its height and half its width, a round cord.",
    dimensions=(
        OUTER_DIAMETER,
        Dimension(key="inner_diameter", default=None, low="0.5 mm", high="800 mm", words="diameter of the inside"),
        HEIGHT,
        replace(EDGE_RADIUS, words="rounding of all four edges, those of the inside too"),
    ),
    build=_build,
    example={"outer_diameter": "48 mm", "inner_diameter": "36 mm", "height": "6 mm"},
)
