"""Where screws and pins fit into a solid that is cut along a face which follows it. mm."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

import numpy as np

from pourwright.engines.geometry.air.dexels import Floats
from pourwright.engines.geometry.partings.ruled import steepest
from pourwright.engines.geometry.probes.seats import Mask, Place, Room
from pourwright.steps.studies.shape_parting import FoundParting

_COLUMNS = 128
_SCREW_ROOM_MM, _SCREW_DEPTHS_MM = 2.3, (8.0, 6.0, 5.0, 4.0)
_PIN_ROOM_MM, _PIN_HALVES_MM = 2.65, (5.0, 4.0, 3.0, 2.5)
_SPARE_MM = 0.3  # of depth left under a screw, and beyond a pin
_APART_MM = 5.0  # from the middle of one hole to that of the next
_MOST = 2
_SLOPES = (0.0, 0.3, 0.6, 1.0)  # shares of the steepest, tried one after the other
_LEVEL_MM = 0.1  # rises less within a hole are covered by what is spared


def hold_shaped(parting: FoundParting, *, clear_of: Sequence[Place]) -> dict[str, Any]:
    """Screws and pins, under the names of `ShapedFacts`; pins first, for without them the upper piece slides.

    Parameters
    ----------
    parting : with the part levelled: there the face from which holes go is z = 0.
    clear_of : mm, (x, y) of vent rods.
    """
    look = _Look(parting)
    pins, half = _pins(look, list(clear_of))
    for depth in _SCREW_DEPTHS_MM:
        screws = look.places(
            up_mm=0.0, down_mm=depth + _SPARE_MM, around_mm=_SCREW_ROOM_MM, clear_of=[*clear_of, *pins]
        )
        if screws:
            return {"screws_mm": screws, "screw_depth_mm": depth, "pins_mm": pins, "pin_half_mm": half}
    return {"pins_mm": pins, "pin_half_mm": half}


def _pins(look: _Look, clear_of: list[Place]) -> tuple[tuple[Place, ...], float]:
    """Two pins, or one, as long as can be."""
    for least in (_MOST, 1):
        for half in _PIN_HALVES_MM:
            reach = half + _SPARE_MM
            found = look.places(up_mm=reach, down_mm=reach, around_mm=_PIN_ROOM_MM, clear_of=clear_of)
            if len(found) >= least:
                return found, half
    return (), 0.0


class _Look:
    """A levelled part, in which upright holes lean by as much as the face rises across them."""

    def __init__(self, parting: FoundParting) -> None:
        self._room = Room(parting.vertices, parting.triangles, columns=_COLUMNS)
        self._line, self._axis = parting.line_mm, parting.axis

    def places(self, *, up_mm: float, down_mm: float, around_mm: float, clear_of: Sequence[Place]) -> tuple[Place, ...]:
        """Where holes fit that reach so far up and down from the face: where that is level, else on gentle slopes."""
        best: tuple[Place, ...] = ()
        for share in _SLOPES:
            rise = share * steepest(self._line) * around_mm
            found = self._room.spread(
                face_mm=up_mm + (rise if up_mm > 0 else 0.0),
                depth_mm=up_mm + down_mm + (2 * rise if up_mm > 0 else rise),
                around_mm=around_mm,
                most=_MOST,
                clear_of=clear_of,
                clear_mm=_APART_MM,
                only=partial(self._rises_less, rise + _LEVEL_MM, around_mm),
            )
            if len(found) == _MOST:
                return found
            best = best or found
        return best

    def _rises_less(self, rise_mm: float, around_mm: float, x: Floats, y: Floats) -> Mask:
        """Where the face rises or falls by less than so much within a radius."""
        us, zs = zip(*self._line, strict=True)
        places = (x, y)[self._axis]
        heights = [np.interp(places + step * around_mm, us, zs) for step in (-1.0, -0.5, 0.0, 0.5, 1.0)]
        rises: Mask = np.ptp(heights, axis=0) / 2 <= rise_mm
        return rises
