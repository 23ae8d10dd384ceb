"""What a mould style is asked for, from what the person owns, wants and pours."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.vents import Lean
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.domain.material import Material
from pourwright.domain.part import MouldWish, Project
from pourwright.domain.shop import Pot, Printer, Shop
from pourwright.engines.elastomer.hardness import young_modulus
from pourwright.engines.geometry.measure import to_mm
from pourwright.engines.process import dimension_chain
from pourwright.engines.process.air_pressure import pressure_ratio

_STRETCH_SHARE = 1 / 3  # of the elongation at break that a mould may be stretched each time (from memory)
_LEAST_FIT_MM = 0.1


def wish_of(project: Project, shop: Shop, *, resin: Material, silicone: Material) -> StyleWish:
    """The wish for one project in one shop.

    Notes
    -----
    The pattern is larger than the part by the best shrink of resin and silicone together, times the project's own
    correction.
    """
    mould, printer = project.mould, shop.printers[0]
    plain = StyleWish(
        cavities=mould.cavities,
        scale=pattern_scale(resin, silicone) * project.pattern.scale,
        bore_core=mould.bore_core,
        mouth=mould.mouth,
        flat_face=mould.flat_face,
        free_face=mould.free_face,
        fit_mm=max(_LEAST_FIT_MM, to_mm(printer.hole_offset) / 2),
        infill=mould.infill,
        breathers=mould.breathers,
        pressure_ratio=pressure_ratio(gauge=mould.pressure or 0.0, altitude=shop.room.altitude),
        stretch_allowed=allowed_stretch(silicone),
        silicone_modulus_mpa=young_modulus(hardness=silicone.best("hardness")) / 1e6,
        bed_mm=bed_mm(printer),
        pot_mm=pot_mm(shop.pot) if mould.pressure else None,
        box=mould.box,
        layout=mould.layout,
        parting=mould.parting,
        pattern=mould.pattern,
    )
    return replace(plain, **_asked(mould))


def _asked(mould: MouldWish) -> dict[str, Any]:
    asked: dict[str, Any] = {}
    if mould.wall is not None:
        asked["wall_mm"] = to_mm(mould.wall)
    if mould.between is not None:
        asked["between_mm"] = to_mm(mould.between)
    if mould.overflow is not None:
        asked["overfill"] = mould.overflow
    if mould.longest_piece is not None:
        asked["longest_piece_mm"] = to_mm(mould.longest_piece)
    if mould.trapped_limit is not None:
        asked["trapped_share"] = mould.trapped_limit
    if mould.lean is not None:
        towards = sizes.LEAN_TOWARDS_DEG if mould.lean_towards is None else math.degrees(mould.lean_towards)
        asked["lean"] = Lean(tilt_deg=math.degrees(mould.lean), towards_deg=towards)
    return asked


def allowed_stretch(silicone: Material) -> float:
    """The most that the mould may be stretched each time, as a ratio of lengths."""
    return 1.0 + _STRETCH_SHARE * silicone.best("elongation")


def pattern_scale(resin: Material, silicone: Material) -> float:
    """How much larger than the part the pattern is, so that the cast comes out right."""
    return dimension_chain.pattern_scale(resin.best("shrink"), silicone.best("shrink"))


def pot_mm(pot: Pot | None) -> tuple[float, float] | None:
    """Inside diameter and height of the pot, mm; None when they are not known."""
    if pot is None or pot.inside_diameter is None or pot.inside_height is None:
        return None
    return to_mm(pot.inside_diameter), to_mm(pot.inside_height)


def bed_mm(printer: Printer) -> tuple[float, float, float]:
    """The bed, mm (x, y, z)."""
    x, y, z = printer.bed
    return to_mm(x), to_mm(y), to_mm(z)
