"""The box of a kit: which one was taken, the others with what they would take, how many moulds the pot holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.stand.layout import Layout
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.domain.kit import Proof
from pourwright.engines.geometry.layouts.side_by_side import circle_round_mm, circles_in_circle, rectangles_in_circle
from pourwright.engines.geometry.measure import to_m, to_m3, to_mm3

_SHOWN = 5  # of all layouts, besides the best of every kind of box


def box_of(design: MouldDesign, proof: Proof, wish: StyleWish) -> dict[str, Any]:
    """What a kit says of its box, under the names of Kit's fields.

    Parameters
    ----------
    design : the mould.
    proof : its mould fit check, for the silicone.
    wish : with the pot.
    """
    layout = design.layout
    if layout is None:
        return {}
    return {
        "box": layout.box,
        "arrangement": layout.name,
        "box_volume": to_m3(layout.area_mm2 * design.box_inside_mm[2] - _on_the_walls_mm3(design)),
        "pot_circle": to_m(design.figures["pot_circle_mm"]),
        "per_pot": per_pot(design, wish.pot_mm),
        "alternatives": _alternatives(design, layout, proof),
    }


def _on_the_walls_mm3(design: MouldDesign) -> float:
    """What bead and ticks take from the box."""
    return design.figures["bead_mm3"] + design.figures["ticks_mm3"]


def _alternatives(design: MouldDesign, taken: Layout, proof: Proof) -> tuple[Mapping[str, object], ...]:
    """The best layout of every kind of box, and the runners-up, with the silicone that each would take."""
    depth = design.box_inside_mm[2]
    silicone = to_mm3(proof.volumes["silicone lower"] + proof.volumes["silicone lid"])
    poured = depth if design.closing_is_silicone else -design.fill_lower_mm
    best = {layout.box: layout for layout in reversed(design.layouts)}
    shown = [layout for layout in design.layouts if layout in (taken, *best.values(), *design.layouts[:_SHOWN])]
    return tuple(
        {
            "box": layout.box,
            "layout": layout.name,
            "box_inside_mm": [round(2 * half, 3) for half in layout.half_mm],
            "box_volume_mm3": round(layout.area_mm2 * depth, 1),
            "silicone_mm3": round(silicone + (layout.area_mm2 - taken.area_mm2) * poured, 1),
            **_room_words(design, layout),
            "chosen": layout is taken,
        }
        for layout in shown
    )


def _room_words(design: MouldDesign, layout: Layout) -> dict[str, object]:
    """Bore of the pot that it needs, whether it fits, and what is missing."""
    room = design.rooms[layout]
    return {
        "pot_bore_mm": round(layout.pot_bore_mm(room.around_mm) + 2 * sizes.FINGER_ROOM_MM, 1),
        "fits": not room.missing_mm(layout),
        "base_parts": room.parts(layout),
        "in_parts": _parts_words(room.parts(layout)),
        "missing": room.words(layout),
    }


def _parts_words(parts: int) -> str:
    """How the base is printed, where not in one piece.

    Examples
    --------
    >>> _parts_words(2), _parts_words(1)
    ('base and boards in 2 parts each', '')
    """
    return f"base and boards in {parts} parts each" if parts > 1 else ""


def per_pot(design: MouldDesign, pot_mm: tuple[float, float] | None) -> Mapping[str, object] | None:
    """The closed moulds that the pot takes at once, side by side and on top of each other.

    Parameters
    ----------
    design : the mould.
    pot_mm : mm, inside diameter and height of the pot; None without one.

    Returns
    -------
    None without a pot; else moulds in all, `side_by_side`, `stacked`, the casts they make, and the bore and the height
    that one more beside or on top would need.
    """
    if pot_mm is None:
        return None
    x, y, height = design.box_outside_mm
    free = pot_mm[0] / 2 - sizes.FINGER_ROOM_MM
    radius, gap = design.figures["pot_circle_mm"] / 2, sizes.BETWEEN_MOULDS_MM
    beside = max(circles_in_circle(radius, free, gap), rectangles_in_circle((x, y), free, gap))
    stacked = int((pot_mm[1] + 1e-9) // height)
    next_bore = 2 * (circle_round_mm(beside + 1, radius, gap) + sizes.FINGER_ROOM_MM)
    next_height = (stacked + 1) * height
    return {
        "moulds": beside * stacked,
        "casts": beside * stacked * design.cavities,
        "side_by_side": beside,
        "stacked": stacked,
        "next_bore_mm": round(next_bore, 1),
        "next_height_mm": round(next_height, 1),
        "limited_by": f"one more beside takes a bore of {next_bore:.0f} mm at the most, one more on top an inside "
        f"height of {next_height:.0f} mm",
    }
