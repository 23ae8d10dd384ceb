"""Barrel bushing: widest at half height, with a parabolic outside and a straight bore."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pourwright.catalogue.families.bowed import Side, bowed_outline
from pourwright.catalogue.families.drawing import (
    BORE,
    EDGE_RADIUS,
    HEIGHT,
    OUTER_DIAMETER,
    edge_cautions,
    refuse_wide_bore,
    round_part,
)
from pourwright.catalogue.families.family import Dimension, Family, refusal
from pourwright.catalogue.part_shape import PartShape


def _build(values: Mapping[str, float]) -> PartShape:
    ends, belly = values["outer_diameter"], values["belly_diameter"]
    if belly < ends:
        raise refusal(
            "belly_diameter",
            belly,
            f"the belly ({belly:.9g} mm) is narrower than the ends ({ends:.9g} mm)",
            "make it wider than outer_diameter, or take a waisted bushing",
        )
    refuse_wide_bore(values["bore"], ends, "the ends")
    side = Side(end_mm=ends / 2, middle_mm=belly / 2, height_mm=values["height"])
    outline = bowed_outline(side, bore_mm=values["bore"] / 2, edge_mm=values["edge_radius"])
    return round_part(outline, cautions=edge_cautions(values["edge_radius"]))


FAMILY = Family(
    name="barrel bushing",
    words="A bushing that bulges: a parabolic outside, widest at half height, with a straight bore.",
    dimensions=(
        replace(OUTER_DIAMETER, words="diameter at both ends, before the edges are rounded"),
        Dimension(
            key="belly_diameter", default=None, low="1 mm", high="1000 mm", words="diameter at half height, the widest"
        ),
        HEIGHT,
        BORE,
        EDGE_RADIUS,
    ),
    build=_build,
    example={"outer_diameter": "28 mm", "belly_diameter": "34 mm", "height": "26 mm", "bore": "10 mm"},
)
