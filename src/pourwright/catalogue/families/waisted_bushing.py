"""Waisted bushing: narrowest at half height, with a parabolic outside and a straight bore."""

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
    ends, waist = values["outer_diameter"], values["waist_diameter"]
    if waist > ends:
        raise refusal(
            "waist_diameter",
            waist,
            f"the waist ({waist:.9g} mm) is wider than the ends ({ends:.9g} mm)",
            "make it narrower than outer_diameter, or take a barrel bushing",
        )
    refuse_wide_bore(values["bore"], waist, "the waist")
    side = Side(end_mm=ends / 2, middle_mm=waist / 2, height_mm=values["height"])
    outline = bowed_outline(side, bore_mm=values["bore"] / 2, edge_mm=values["edge_radius"])
    return round_part(outline, cautions=edge_cautions(values["edge_radius"]))


FAMILY = Family(
    name="waisted bushing",
    words="A bushing with a waist: a parabolic outside, narrowest at half height, with a straight bore.",
    dimensions=(
        replace(OUTER_DIAMETER, words="diameter at both ends, before the edges are rounded"),
        Dimension(
            key="waist_diameter",
            default=None,
            low="1 mm",
            high="1000 mm",
            words="diameter at half height, the narrowest",
        ),
        HEIGHT,
        BORE,
        EDGE_RADIUS,
    ),
    build=_build,
    example={"outer_diameter": "32 mm", "waist_diameter": "24 mm", "height": "28 mm", "bore": "8 mm"},
)
