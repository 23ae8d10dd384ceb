"""The plain figures that a mould hands to the checks, and what each key means.

Lengths mm, areas mm2, volumes mm3. Keys (those of one style only are marked):

part_volume_mm3 one scaled part · well_volume_mm3 well of one cell without channels · well_needed_mm3 ·
trapped_share of the part, air that may stay, level_within_deg how
far the mould may lean before more stays (measured) · lean_deg of the closed mould while its air leaves, 0 level ·
overfill_mm3 resin meant to stand in a well (lidded) ·
silicone_modulus_MPa · lid_span_mm radius of the widest place a lid spans over resin (lidded) ·
vents_per_cell · vent_radius_mm · vent_ring_mm radius on which they stand · screws_per_pattern · screw_radius_mm
core hole · screw_depth_mm · screw_length_mm from head to tip · rim_height_mm · mouth_inner_mm, mouth_outer_mm radii
of the mouth · mouth_edge_radius_mm rounding left under the mouth's edge · part_depth_mm deepest point under the
parting · part_above_mm highest point over it · bore_diameter_mm, bore_length_mm silicone core (0 without) ·
bore_ratio length over diameter · bore_sag_mm under resin on one side only, bore_sideways_mm under its own weight on
its side · bore_buckling_N force on the tip at which it gives way, bore_pressed_N of a closing piece that sits too
deep · bore_neck_stretch lengthwise to pass the narrowest place · bore_is_rod 1 or 0 ·
of a part from a file these are of the bore whose filling is the least steady, bores how many it has · core_rods metal
rods in one cell, core_rod_1_mm, core_rod_2_mm … their different diameters, the widest first · slug_length_mm,
slug_diameter_mm bridged bore · turned_over 1 when the part stands on its head, or 0 ·
floor_mm silicone under the deepest point · side_mm, between_mm · plate_mm base plate · cover_mm closing piece
over the parting · cover_floor_mm under a well · wall_mm thickness of the printed walls · wall_free_length_mm ·
wall_bulge_mm · wall_ribs along each straight wall, wall_rib_mm how far they stand out ·
freeboard_mm · pour_depth_mm of the first pour · seam_gap_mm, seam_path_mm, seam_width_mm,
seam_count of the walls' laps in the first pour · edge_gap_mm,
edge_path_mm, edge_width_mm of the gap round the base · pattern_displaced_mm3 silicone that
one pattern pushes away in the first pour · pattern_pieces, printed_pieces all copies · infill · breather 1 or 0 ·
fit_mm · pot_circle_mm circle round everything · outside_height_mm · bridge_span_mm widest unsupported print
pocket · layout_area_mm2 · stretch of the lower half's silicone · release_parting_mm2, release_keys_mm2 (lidded) ·
bead_mm3 of the walls' bead at the parting, ticks_mm3 of their witness ticks besides (lidded) ·
key_radius_mm, key_volume_mm3, key_misfit_mm3, key_to_cavity_mm, key_to_wall_mm (lidded) · upper_displaced_mm3
silicone that one upper piece pushes away (lidded) · rod_length_mm cut length of a vent rod (lidded) ·
lid_over_part_mm (lidded) · free_face_mm2 the mouth that stays open, free_face_proud_mm how high the resin must stand
over it for shrinkage, gas and overfill (one-part open).

With a hard core: core_end_mm, core_bore_mm radii · core_outside_mm radius of the
rubber as wanted, core_scale of its pattern · core_wall_mm thinnest wall · core_seat_mm length under rubber ·
core_land_mm width and core_land_mm2 area of the silicone that closes on its ends · core_squeeze_mm · core_cups 1 or 0 ·
core_low_mm,
core_high_mm its ends · spindle_radius_mm · spindle_printed 1 or 0 · spindle_play_mm bore less spindle, in diameter ·
spindle_span_mm between its sockets · core_run_out_mm what is accepted · core_mass_g as weighed · core_holds_mm3,
core_turns_mm3 rubber that stands against sliding and turning; measured: core_volume_mm3 bore closed, core_solid_mm3,
core_hollows, resin_kg_m3.
"""

from __future__ import annotations

import math

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.vents import Vents
from pourwright.catalogue.moulds.hollows.wells import Well
from pourwright.catalogue.moulds.prints.patterns import Holding
from pourwright.catalogue.moulds.prints.stiffening import WallForm, bulge_mm
from pourwright.catalogue.moulds.prints.walls import seam_path_mm
from pourwright.catalogue.moulds.stand.frame import Frame
from pourwright.catalogue.moulds.stand.setup import Boxed, Setup, outside_mm
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.engines.geometry.profiles.outlines import end_faces

_ROD_KEYS = tuple(f"core_rod_{number}_mm" for number in range(1, 17))


def common_figures(
    setup: Setup, boxed: Boxed, *, holding: Holding, vents: Vents | None, well: Well | None, need_mm3: float
) -> dict[str, float]:
    """The figures that every style has; those of vents and wells are 0 where it has none."""
    wish, standing, frame = setup.wish, setup.standing, boxed.frame
    depth = -frame.fill_lower_mm
    longest, form = frame.plan.free_length_mm, frame.form or WallForm(wall_mm=frame.wall_mm)
    outside = outside_mm(frame)
    screw = holding.screw
    found = {
        "part_volume_mm3": standing.volume_mm3,
        "screws_per_pattern": float(len(holding.points_mm)),
        "screw_radius_mm": 0.0 if screw is None else screw.core_mm,
        "screw_depth_mm": holding.depth_mm,
        "screw_length_mm": 0.0 if screw is None else _screw_length_mm(holding),
        "part_depth_mm": -standing.low_mm,
        "part_above_mm": standing.high_mm,
        "turned_over": float(standing.turned),
        "floor_mm": setup.floor_mm,
        "side_mm": boxed.layout.side_mm,
        "between_mm": wish.between_mm,
        "plate_mm": sizes.PLATE_MM,
        "cover_mm": frame.fill_upper_mm,
        "cover_floor_mm": 0.0 if well is None else well.floor_mm - max(0.0, standing.high_mm),
        "wall_mm": frame.wall_mm,
        "wall_free_length_mm": longest,
        "wall_bulge_mm": bulge_mm(longest, form, frame.fill_upper_mm - frame.fill_lower_mm),
        "wall_ribs": float(form.ribs),
        "wall_rib_mm": form.rib_mm,
        "freeboard_mm": sizes.FREEBOARD_MM,
        "pour_depth_mm": depth,
        "infill": wish.infill,
        "breather": float(wish.breathers),
        "fit_mm": wish.fit_mm,
        "pot_circle_mm": boxed.layout.pot_bore_mm(frame.reach_mm),
        "outside_height_mm": outside[2],
        "bridge_span_mm": sizes.LONGEST_BRIDGE_MM,
        "layout_area_mm2": boxed.layout.area_mm2,
        "bead_mm3": frame.bead_mm3,
        "ticks_mm3": frame.ticks_mm3,
    }
    found |= _bore_figures(setup) | _vent_figures(wish, vents, well, need_mm3)
    return found | _seam_figures(frame, 2 * setup.ground.longer_mm(boxed.layout.centres_mm)) | _round_figures(setup)


def _bore_figures(setup: Setup) -> dict[str, float]:
    """Of the bore whose filling is the least steady; the neck is the worst of all."""
    bore = setup.bore
    rods = [radius for _, _, radius in setup.rods_mm] if setup.hold is None else []
    return {
        "bores": float(sum(one.kind != "none" for one in setup.bores)),
        "core_rods": float(len(rods)),
        **{name: 2 * radius for name, radius in zip(_ROD_KEYS, sorted(set(rods), reverse=True), strict=False)},
        "bore_diameter_mm": bore.diameter_mm,
        "bore_length_mm": bore.length_mm,
        "bore_ratio": bore.slenderness,
        "bore_sag_mm": bore.sag_mm,
        "bore_sideways_mm": bore.sideways_mm,
        "bore_buckling_N": bore.buckling_n,
        "bore_pressed_N": bore.pressed_n,
        "bore_neck_stretch": max(one.neck for one in setup.bores) if bore.diameter_mm > 0 else 0.0,
        "bore_is_rod": float(bore.rod),
        "slug_length_mm": 0.0 if bore.rod else bore.length_mm,
        "slug_diameter_mm": 0.0 if bore.rod else bore.diameter_mm,
    }


def _vent_figures(wish: StyleWish, vents: Vents | None, well: Well | None, need_mm3: float) -> dict[str, float]:
    return {
        "well_volume_mm3": 0.0 if well is None else well.volume_mm3,
        "well_needed_mm3": need_mm3,
        "trapped_share": wish.trapped_share,
        "lean_deg": 0.0 if wish.lean is None else wish.lean.tilt_deg,
        "silicone_modulus_MPa": wish.silicone_modulus_mpa,
        "vents_per_cell": 0.0 if vents is None else float(len(vents.points_mm)),
        "vent_radius_mm": 0.0 if vents is None else vents.radius_mm,
        "vent_ring_mm": 0.0 if vents is None else math.hypot(*vents.points_mm[0]),
    }


def _screw_length_mm(holding: Holding) -> float:
    """From under its head to its tip; of several the longest, which goes through a base that hangs down there."""
    return sizes.PLATE_MM + sizes.RIM_HEIGHT_MM + holding.depth_mm - min(holding.tops_mm, default=0.0)


def _seam_figures(frame: Frame, longer_mm: float) -> dict[str, float]:
    """Where silicone could creep out in the first pour: the walls' laps, and the gap round the base.

    `longer_mm` is by how much a parting that rises and falls along two walls lengthens that gap.
    """
    return {
        "seam_gap_mm": frame.fit_mm,
        "seam_path_mm": seam_path_mm(frame),
        "seam_width_mm": -frame.fill_lower_mm,
        "seam_count": 2.0,
        "edge_gap_mm": sizes.EDGE_GAP_MM,
        "edge_path_mm": sizes.EDGE_LAND_MM + 2 * frame.seam_mm,
        "edge_width_mm": frame.plan.perimeter_mm + longer_mm,
    }


def _round_figures(setup: Setup) -> dict[str, float]:
    """What only a body of revolution can say exactly."""
    standing = setup.standing
    if standing.outline is None:
        return {"rim_height_mm": 0.0}
    low = max(standing.low_mm, -0.001)
    inner, outer = standing.widths.between(low, low)
    top = end_faces(standing.outline)[1]
    at_top = abs(top.height_mm) < 1e-6
    return {
        "rim_height_mm": sizes.RIM_HEIGHT_MM,
        "mouth_inner_mm": inner,
        "mouth_outer_mm": top.rim_mm if at_top else outer,
        "mouth_edge_radius_mm": top.edge_radius_mm if at_top else 0.0,
        "stretch": standing.widths.stretch_below(0.0),
    }
