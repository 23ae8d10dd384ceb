"""What to weigh: each pour's volume, masses of A and B, how wrong the scale can make it, the clock."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.domain.check_result import CheckResult


@dataclass(frozen=True, kw_only=True)
class Pour:
    """One mix. Masses kg, volume m3, times s; `ratio_error` is a share (0.01 for one per cent)."""

    name: str
    material: str
    volume: float
    density: float
    total: float
    a: float
    b: float
    ratio_basis: str
    ratio_error: float
    smallest_batch: float
    stop_scale_at: tuple[float, ...]
    pot_life: float
    clock: float
    too_fast: bool
    cup_loss: float
    overfill: float
    cost: float | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Pours:
    """All the pours of one mould and one cast, in pouring order, with what is wrong with them."""

    project: str
    pours: tuple[Pour, ...]
    checks: tuple[CheckResult, ...]
    parts_in_hand: float
    cost: float | None = None
    currency: str = ""
