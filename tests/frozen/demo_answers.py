"""Answers for the demo's mount as plain numbers; run this file to save them again when they moved for a reason."""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path
from typing import Any

from pourwright.app.answer_kit import kit_answer
from pourwright.app.answer_pours import pours_answer
from pourwright.app.shops import DEMO, DEMO_PROJECT, start_shop
from pourwright.app.workbench import Workbench
from pourwright.steps import make_kit, make_pours

SAVED = Path(__file__).with_name("demo_mount.json")
_KIT = ("style", "cavities", "scale", "part_mm3", "cavity_mm3", "vents_mm3", "wells_mm3", "silicone_lower_mm3",
        "silicone_lid_mm3", "box_inside_mm", "box_outside_mm", "stretch", "undercut_mm3", "thinnest_lip_mm",
        "release_area_cm2", "air")  # fmt: skip
_POUR = ("name", "total_g", "a_g", "b_g", "ratio_error_percent", "smallest_batch_g", "stop_scale_at_g", "clock_min")


def demo_answers(folder: Path) -> dict[str, Any]:
    """What the mesh kernel and the pours say about the demo's mount, with the versions of the steps."""
    start_shop(folder, DEMO)
    kit, pours = Workbench(folder).pours(DEMO_PROJECT)
    told = kit_answer(kit, {})
    return {
        "versions": {"make_kit": make_kit.VERSION, "make_pours": make_pours.VERSION},
        "kit": {key: told[key] for key in _KIT},
        "pieces": {body.name: [body.count, body.volume * 1e9] for body in kit.bodies},
        "pours": [{key: pour[key] for key in _POUR} for pour in pours_answer(pours)["pours"]],  # type: ignore[index]
    }


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        SAVED.write_text(json.dumps(demo_answers(Path(place) / "shop"), indent=1) + "\n", encoding="utf-8")
    sys.exit(0)
