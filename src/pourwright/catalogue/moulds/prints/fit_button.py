"""A small print to try the printer's fits on before the kit is printed: two of them fit into each other. mm."""

from __future__ import annotations

from pourwright.catalogue.moulds.prints.patterns import SCREWS
from pourwright.catalogue.moulds.stand.frame import cut
from pourwright.engines.geometry.tree import Box, Node, cylinder, union

_LONG, _WIDE, _HIGH = 30.0, 14.0, 6.0
_TONGUE_LONG, _TONGUE_WIDE = 6.0, 4.0
_ROD_SEAT_MM = 1.6  # 0.1 mm round a 3 mm rod, as in the patterns
_NOTCH_MM = 1.5


def fit_button(fit_mm: float) -> Node:
    """A block with a tongue at one end and the slot for it at the other, and three holes between.

    From the tongue on: a core hole for an M3 screw, its clear hole, and, by the notch, the seat of a 3 mm rod.

    Parameters
    ----------
    fit_mm : mm on each side between printed faces that meet.
    """
    half, screw = _WIDE / 2, SCREWS[0]
    tongue = Box(-_TONGUE_LONG, -_TONGUE_WIDE / 2, 0.0, 1.0, _TONGUE_WIDE / 2, _HIGH)
    room = _TONGUE_WIDE / 2 + fit_mm
    slot = Box(_LONG - _TONGUE_LONG - 2 * fit_mm, -room, -1.0, _LONG + 1.0, room, _HIGH + 1.0)
    radii = (screw.core_mm, screw.clear_mm, _ROD_SEAT_MM)
    drills = [cylinder(radius_mm=radius, z0_mm=-1.0, z1_mm=_HIGH + 1.0) for radius in radii]
    holes = [drill.at(5.0 + 6.5 * place) for place, drill in enumerate(drills)]
    notch = Box(18.0 - _NOTCH_MM / 2, half - _NOTCH_MM, -1.0, 18.0 + _NOTCH_MM / 2, half + 1.0, _HIGH + 1.0)
    block = union(Box(0.0, -half, 0.0, _LONG, half, _HIGH), tongue)
    return cut(block, slot, notch, *holes)
