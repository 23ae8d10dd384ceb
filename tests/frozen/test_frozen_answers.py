"""What we said before about the demo still holds, or its step has a new version."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from demo_answers import SAVED, demo_answers

MOVED = "bump VERSION in the step, write a line under 'Numbers that changed', run tests/frozen/demo_answers.py"


def test_the_answers_for_the_demo_are_those_that_were_saved(tmp_path: Path) -> None:
    saved, now = json.loads(SAVED.read_text(encoding="utf-8")), demo_answers(tmp_path / "shop")
    for place, before, after in _pairs("", saved, now):
        if isinstance(before, float) or isinstance(after, float):
            assert after == pytest.approx(before, rel=1e-9, abs=1e-9), f"{place} moved: {MOVED}"
        else:
            assert after == before, f"{place} moved: {MOVED}"


def _pairs(place: str, before: Any, after: Any) -> Iterator[tuple[str, Any, Any]]:
    if isinstance(before, dict) and isinstance(after, dict) and before.keys() == after.keys():
        for key in before:
            yield from _pairs(f"{place}.{key}", before[key], after[key])
    elif isinstance(before, list) and isinstance(after, (list, tuple)) and len(before) == len(after):
        for index, pair in enumerate(zip(before, after, strict=True)):
            yield from _pairs(f"{place}[{index}]", *pair)
    else:
        yield place, before, after
