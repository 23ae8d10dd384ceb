"""The bores of a solid from a file, standing in the mould: what fills each, and where a metal rod may run through."""

from __future__ import annotations

import math
from dataclasses import replace

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.bore import NO_BORE, BoreCore, choose_bore_core, neck_of
from pourwright.catalogue.moulds.stand.facts import Standing
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.probes.round_bores import RoundBore

_EDGE_MM = 0.03  # a bore that is so much wider at its mouth has a rounded or chamfered edge there
_OVER_SHARE, _OVER_MM = 1.7e-3, 2e-3  # a rod is drawn so much wider than the bore that no facet of its wall is left
_STRAIGHT = 0.5  # of its length that a bore must be as narrow as the rod (judgement)
_LEAST_ROD_MM = 0.5  # radius of the thinnest rod (judgement)
_SAME_MM = 0.05
_CONE_ROOM_MM = 2 * sizes.TIP_CONE_MM


def bores_in_place(shape: PartShape, standing: Standing, scale: float) -> tuple[RoundBore, ...]:
    """The bores as they stand in the mould."""
    turned = shape.size_mm[2] if standing.turned else None
    return tuple(bore.moved(scale=scale, turned_mm=turned, lift_mm=standing.low_mm) for bore in shape.bores)


def file_bore_cores(shape: PartShape, wish: StyleWish, standing: Standing, *, lidded: bool) -> tuple[BoreCore, ...]:
    """What fills each bore: rods where they are asked for or needed and can be, else silicone.

    Raises
    ------
    CannotBuild
        Rods were asked for, and no bore can take one.
    """
    bores = bores_in_place(shape, standing, wish.scale)
    found, refused = [], []
    for bore in bores:
        why = against_rod(bore, lidded=lidded)
        if why:
            refused.append(why)
        found.append(_core(bore, wish, lidded=lidded, rod_stands=not why))
    if wish.bore_core == "rod" and not any(core.rod for core in found):
        why = refused[0] if refused else "no round bore runs along the pull"
        raise CannotBuild(
            f"no metal rod fills a bore of this solid: {why}",
            advice="leave bore_core out, or draw the part with a straight round bore along the pull",
            field="bore_core",
            value="rod",
        )
    known = any(math.hypot(bore.x_mm, bore.y_mm) < bore.radius_mm for bore in bores)
    if standing.bore_mm > 0 and not known:  # not round: silicone fills it exactly
        length = max(-standing.low_mm, standing.high_mm)
        soft = replace(wish, bore_core="silicone")
        found.append(choose_bore_core(soft, bore_mm=standing.bore_mm, length_mm=length, lidded=False))
    return tuple(found) or (NO_BORE,)


def against_rod(bore: RoundBore, *, lidded: bool) -> str:
    """Why a rod cannot run through a bore; empty when it can."""
    wide, narrow = 2 * max(bore.inner_mm), 2 * bore.radius_mm
    if not bore.through:
        return f"the bore of {narrow:.2f} mm is closed at one end"
    if bore.radius_mm < _LEAST_ROD_MM:
        return f"a rod for the bore of {narrow:.2f} mm would be too thin to stand"
    if bore.chambered or bore.straight_share < _STRAIGHT:
        return f"the bore is {narrow:.2f} mm wide at its narrowest and {wide:.2f} mm elsewhere"
    at_mouth = bore.inner_mm[-1]
    if not lidded and abs(bore.high_mm) < _SAME_MM and at_mouth > bore.radius_mm + _EDGE_MM:
        return (
            f"the bore is {2 * at_mouth:.2f} mm wide at the mouth and {narrow:.2f} mm further in: round a metal rod a "
            "ring of silicone would be shut in there, that hangs on nothing (a lid would carry it)"
        )
    return ""


def rod_radius_mm(bore: RoundBore) -> float:
    """The rod as drawn: a hair wider than the bore, so that nothing of its facets is left."""
    return bore.radius_mm * (1 + _OVER_SHARE) + _OVER_MM


def _core(bore: RoundBore, wish: StyleWish, *, lidded: bool, rod_stands: bool) -> BoreCore:
    """One bore's filling; a core that hangs from one end only is as long as the bore."""
    asked = wish.bore_core if rod_stands or wish.bore_core == "silicone" else "silicone"
    meets = lidded and bore.through and bore.low_mm < -_CONE_ROOM_MM and bore.high_mm >= -_SAME_MM
    length = max(-bore.low_mm, bore.high_mm) if bore.through else bore.high_mm - bore.low_mm
    if bore.through and not bore.low_mm < 0.0 < bore.high_mm + _SAME_MM:
        length = bore.high_mm - bore.low_mm
    chosen = choose_bore_core(
        replace(wish, bore_core=asked), bore_mm=bore.radius_mm, length_mm=length, lidded=meets, neck=_neck(bore)
    )
    placed = replace(chosen, x_mm=bore.x_mm, y_mm=bore.y_mm)
    return replace(placed, diameter_mm=2 * rod_radius_mm(bore)) if placed.rod else placed


def _neck(bore: RoundBore) -> float:
    """Stretch of the soft core that hangs from either end, whichever is more."""
    places = list(zip(bore.heights_mm, bore.inner_mm, strict=True))
    below = [radius for z, radius in places if z < 0.0 or not bore.through]
    above = [radius for z, radius in reversed(places) if z > 0.0 and bore.through]
    return max(neck_of(below), neck_of(above))
