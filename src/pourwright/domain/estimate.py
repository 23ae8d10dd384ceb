"""A number with its doubt: lowest, best and highest, and what it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Basis = Literal["class default", "data sheet", "own measurement", "calculated"]


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """low <= best <= high, in SI units."""

    low: float
    best: float
    high: float
    rests_on: Basis = "class default"

    def __post_init__(self) -> None:
        if not self.low <= self.best <= self.high:
            raise ValueError(f"an estimate out of order: {self.low} {self.best} {self.high}")
