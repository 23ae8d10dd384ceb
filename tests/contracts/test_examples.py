"""The example scripts run and print what they promise."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def test_more_cavities_take_less_silicone_a_part() -> None:
    command = [sys.executable, str(EXAMPLES / "grams_for_a_part.py")]
    rows = subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()[1:]
    numbers = [[float(word) for word in row.split()] for row in rows]
    assert [row[0] for row in numbers] == [1, 2, 4]
    assert numbers[0][3] > numbers[1][3] > numbers[2][3]
    assert numbers[0][2] < numbers[1][2] < numbers[2][2]
