"""Print advice as the plain object that `--json` prints: keys carry their unit, one copy of each piece."""

from __future__ import annotations

from pourwright.domain.estimate import Estimate
from pourwright.domain.printing import PrintAdvice, Printing

_MM, _MM2, _MM3 = 1e3, 1e6, 1e9


def printing_answer(printing: Printing) -> dict[str, object]:
    """Every piece, the sums with all copies, the fits, and what the figures rest on."""
    return {
        "pieces": [_piece(one) for one in printing.pieces],
        "line_mm": round(printing.line * _MM, 4),
        "layer_mm": round(printing.layer * _MM, 4),
        "fit_mm": round(printing.fit * _MM, 4),
        "play_at_worst_mm": round(printing.play * _MM, 4),
        "filament_g": _estimate(printing.filament, 1e3),
        "filament_m": _estimate(printing.filament_length, 1.0),
        "time_min": _estimate(printing.time, 1 / 60),
        "cost": None if printing.cost is None else _estimate(printing.cost, 1.0),
        "currency": printing.currency,
        "basis": list(printing.basis),
    }


def _piece(one: PrintAdvice) -> dict[str, object]:
    return {
        "name": one.name,
        "count": one.count,
        "face_down": one.face_down,
        "better": one.better,
        "contact_mm2": round(one.contact * _MM2, 2),
        "overhang_mm2": round(one.overhang * _MM2, 2),
        "bridged_mm2": round(one.bridged * _MM2, 2),
        "marked_mm2": round(one.marked * _MM2, 2),
        "support_mm3": round(one.support * _MM3, 1),
        "height_mm": round(one.height * _MM, 3),
        "clean_faces": one.clean,
        "thinnest_mm": None if one.thinnest is None else round(one.thinnest * _MM, 3),
        "seam_mm": [round(place * _MM, 3) for place in one.seam],
        "seam": one.seam_words,
        "filament_g": _estimate(one.filament, 1e3),
        "filament_m": _estimate(one.filament_length, 1.0),
        "time_min": _estimate(one.time, 1 / 60),
    }


def _estimate(value: Estimate, factor: float) -> dict[str, object]:
    low, best, high = (round(factor * number, 3) for number in (value.low, value.best, value.high))
    return {"low": low, "best": best, "high": high, "rests_on": value.rests_on}
