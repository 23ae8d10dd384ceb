"""What to weigh: each pour's volume, masses of A and B, how wrong the scale can make it, the clock."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pourwright.domain.check_result import CheckResult
from pourwright.domain.estimate import Estimate

LOWER_HALF = "silicone lower half"
LID = "silicone lid"
CAST = "cast"


@dataclass(frozen=True, kw_only=True)
class MouldVolumes:
    """What one mould takes, m3: silicone of its two pieces (lid 0 without one) and resin of one cast.

    `cavity` holds the scaled parts and what resin fills of vents and wells, for all cavities.
    """

    lower_half: float
    lid: float
    cavity: float


@dataclass(frozen=True, kw_only=True)
class Pour:
    """One mix. Masses kg, volume m3, times s; `ratio_error` is a share (0.01 for one per cent).

    `total` = density · volume + `cup_loss` + `overfill`, or what A really poured makes of it. `ratio` is
    parts by weight (A, B); `ratio_basis` says how the sheet has it; `ratio_deviation` is one standard
    deviation. `clock` is what may be used of `pot_life` in this room, `needed` what the work takes,
    `in_pot_by` when a mould should be under pressure (None without pressure).
    """

    name: str
    material: str
    volume: float
    density: float
    total: float
    a: float
    b: float
    ratio_basis: Literal["weight", "volume"]
    ratio_error: float
    smallest_batch: float
    stop_scale_at: tuple[float, ...]
    pot_life: float
    clock: float
    too_fast: bool
    cup_loss: float
    overfill: float
    ratio: tuple[float, float] = (1.0, 1.0)
    placeholder_ratio: bool = False
    ratio_deviation: float = 0.0
    needed: float = 0.0
    in_pot_by: float | None = None
    poured_a: float | None = None
    cost: float | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Pours:
    """All the pours of one mould and one cast, in pouring order, with what is wrong with them.

    `parts_in_hand` is seconds from the first silicone pour to trimmed parts; `time_to_parts` the same
    with its band, and `time_basis` says in words what was counted.
    """

    project: str
    pours: tuple[Pour, ...]
    checks: tuple[CheckResult, ...]
    parts_in_hand: float
    time_to_parts: Estimate | None = None
    time_basis: str = ""
    cost: float | None = None
    currency: str = ""

    @property
    def ok(self) -> bool:
        """No check failed."""
        return not any(check.failed for check in self.checks)

    def named(self, name: str) -> Pour:
        """The pour of that name."""
        return next(pour for pour in self.pours if pour.name == name)
