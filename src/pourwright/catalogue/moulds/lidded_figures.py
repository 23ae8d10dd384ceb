"""What a lidded mould is drawn from, and its plain figures for the checks."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pourwright.catalogue.moulds.figures import common_figures
from pourwright.catalogue.moulds.hollows.breathers import Airing
from pourwright.catalogue.moulds.hollows.core_pieces import core_figures
from pourwright.catalogue.moulds.hollows.keys import Keys
from pourwright.catalogue.moulds.hollows.lidded_vents import Seating
from pourwright.catalogue.moulds.hollows.wells import Well, needed_mm3
from pourwright.catalogue.moulds.prints.bridge import rod_top_mm
from pourwright.catalogue.moulds.stand.setup import Boxed, Setup, well_reach_mm
from pourwright.engines.geometry.tree import Node


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """What several solids of a lidded mould share; `hollow` is what the lid fills in one cell."""

    setup: Setup
    seating: Seating
    well: Well
    boxed: Boxed
    keys: Keys
    rod: Node | None
    airing: Airing
    hollow: Node | None = None


def lidded_figures(drawn: Drawn) -> dict[str, float]:
    """What the checks are told of a lidded mould; the keys are explained in figures.py."""
    setup, keys, vents = drawn.setup, drawn.keys, drawn.seating.vents
    need = needed_mm3(setup.wish, setup.standing.volume_mm3)
    figures = common_figures(
        setup, drawn.boxed, holding=drawn.seating.holding, vents=vents, well=drawn.well, need_mm3=need
    )
    figures |= {
        "key_radius_mm": keys.radius_mm,
        "key_volume_mm3": keys.volume_mm3,
        "key_misfit_mm3": keys.misfit_mm3(),
        "key_to_cavity_mm": keys.to_cavity_mm,
        "key_to_wall_mm": keys.to_wall_mm,
        "release_keys_mm2": keys.area_mm2,
        "rod_length_mm": rod_top_mm(drawn.boxed.frame) - vents.start_mm,
        "lid_over_part_mm": drawn.well.top_mm - max(0.0, setup.standing.high_mm),
        "core_cone": float(setup.bore.cone),
        "lid_span_mm": well_reach_mm(setup),
        "overfill_mm3": setup.wish.overfill * setup.standing.volume_mm3,
        **core_figures(setup, drawn.boxed.frame),
    }
    if setup.standing.outline is not None:
        figures["release_parting_mm2"] = _parting_area_mm2(drawn, figures)
    return figures


def _parting_area_mm2(drawn: Drawn, figures: dict[str, float]) -> float:
    """Flat silicone on silicone at the parting: the box less mouths, keys' roots, cones' roots and rods."""
    setup, cells = drawn.setup, len(drawn.boxed.layout.centres_mm)
    mouth = figures["mouth_outer_mm"] ** 2 - figures["mouth_inner_mm"] ** 2
    lost = math.pi * mouth
    if setup.bore.cone:
        lost += math.pi * (setup.standing.bore_mm - 1.0) ** 2
    if setup.bore.rod or setup.hold is not None:
        lost += math.pi * setup.standing.bore_mm**2
    roots = len(drawn.keys.points_mm) * math.pi * drawn.keys.radius_mm**2
    box = drawn.boxed.layout.plan.grown_area_mm2(-drawn.boxed.frame.seam_mm)
    return box - cells * lost - roots
