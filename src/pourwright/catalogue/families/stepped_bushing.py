"""Stepped bushing: a cylinder with a narrower shoulder on top and one bore through both."""

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
from pourwright.catalogue.families.family import Dimension, Family, refusal
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.profiles.rounding import Corner


def _build(values: Mapping[str, float]) -> PartShape:
    outer_mm, shoulder_mm, bore_mm = (values[key] / 2 for key in ("outer_diameter", "shoulder_diameter", "bore"))
    height_mm, edge_mm = values["height"], values["edge_radius"]
    ledge_mm = height_mm - values["shoulder_height"]
    _check(values)
    corners = [
        Corner(bore_mm, 0.0),
        Corner(outer_mm, 0.0, edge_mm),
        Corner(outer_mm, ledge_mm),
        Corner(shoulder_mm, ledge_mm),
        Corner(shoulder_mm, height_mm, edge_mm),
        Corner(bore_mm, height_mm),
    ]
    return round_part(edged(corners, edge_mm), cautions=edge_cautions(edge_mm))


def _check(values: Mapping[str, float]) -> None:
    outer, shoulder = values["outer_diameter"], values["shoulder_diameter"]
    if shoulder >= outer:
        raise refusal(
            "shoulder_diameter",
            shoulder,
            f"the shoulder ({shoulder:.9g} mm) is not narrower than the part below it ({outer:.9g} mm)",
            "exchange the two and turn the part over, or take a straight bushing",
        )
    if values["shoulder_height"] >= values["height"]:
        raise refusal(
            "shoulder_height",
            values["shoulder_height"],
            f"the shoulder ({values['shoulder_height']:.9g} mm) is as high as the whole part "
            f"({values['height']:.9g} mm) or higher",
            f"make it lower than {values['height']:.9g} mm; height is that of the whole part",
        )
    refuse_wide_bore(values["bore"], shoulder, "the shoulder")


FAMILY = Family(
    name="stepped bushing",
    words="A cylinder that steps in to a narrower shoulder on top, with one bore through both.",
    dimensions=(
        OUTER_DIAMETER,
        Dimension(
            key="shoulder_diameter",
            default=None,
            low="0.5 mm",
            high="900 mm",
            words="diameter of the shoulder, narrower than the outside",
        ),
        Dimension(
            key="shoulder_height",
            default=None,
            low="0.1 mm",
            high="400 mm",
            words="height of the shoulder, from the step to the top",
        ),
        HEIGHT,
        BORE,
        EDGE_RADIUS,
    ),
    build=_build,
    example={
        "outer_diameter": "34 mm",
        "shoulder_diameter": "20 mm",
        "shoulder_height": "8 mm",
        "height": "22 mm",
        "bore": "10 mm",
    },
)
