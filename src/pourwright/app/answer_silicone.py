"""What the pours of silicone have to mind, as plain objects: air under ledges, bores to fill."""

from __future__ import annotations

import math

from pourwright.domain.kit import Kit
from pourwright.domain.silicone_pour import BoreToFill, PourAir

_MM, _MM3 = 1e3, 1e9


def silicone_answer(kit: Kit) -> dict[str, object]:
    """Air per cavity in each pour that keeps any, and every bore."""
    return {"air": [_air(one) for one in kit.pour_air], "bores": [_bore(one) for one in kit.bores]}


def _air(air: PourAir) -> dict[str, object]:
    return {
        "pour": air.pour,
        "trapped_mm3": air.level * _MM3,
        "worst_tilt_trapped_mm3": air.worst * _MM3,
        "worst_tilt_deg": round(math.degrees(air.worst_tilt), 6),
        "round_about": air.round_about,
        "lean": None
        if air.lean is None
        else {
            "tilt_deg": round(math.degrees(air.lean[0]), 6),
            "towards_deg": round(math.degrees(air.lean[1]), 6),
        },
        "pockets": [
            {
                "volume_mm3": pocket.volume * _MM3,
                "depth_mm": pocket.depth * _MM,
                "at_mm": [round(part * _MM, 3) for part in pocket.at],
            }
            for pocket in air.pockets
        ],
    }


def _bore(bore: BoreToFill) -> dict[str, object]:
    return {
        "pour": bore.pour,
        "at_mm": [round(part * _MM, 3) for part in bore.at],
        "diameter_mm": bore.diameter * _MM,
        "depth_mm": bore.depth * _MM,
        "silicone_ml": bore.volume * 1e6,
        "count": bore.count,
        "fills_in_s": None if math.isinf(bore.time) else bore.time,
        "limit_s": bore.limit,
        "fills_itself": bore.fills_itself,
        "syringe": not bore.fills_itself,
        "source": "Viana2003",
    }
