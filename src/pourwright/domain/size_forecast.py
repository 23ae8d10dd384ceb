"""How large the cast will be, dimension by dimension, against what is wanted; and what was measured on a pattern."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from pourwright.domain.estimate import Estimate

Verdict = Literal["go", "not sure", "no-go"]

# Names of the sizes of a part that has no dimensions of its own: a turned outline, a solid from a file.
ROUND_SIZES = ("outer_diameter", "height", "bore")
BOX_SIZES = ("size_x", "size_y", "size_z")

# A slide caliper of the workshop shows 0.01 mm and errs by up to 0.03 mm (from memory). Metres.
CALIPER_STEP = 0.01e-3
CALIPER_ERROR = 0.03e-3


@dataclass(frozen=True, kw_only=True)
class ToleranceWish:
    """How far each size of the cast may be off, to either side.

    `grade` is a class of general tolerances ("M1" to "M4") for all that `own` (m, by dimension) does not name.
    """

    grade: str = "M3"
    own: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class PatternWish:
    """What is done to the printed patterns. SI.

    `coat` is the thickness that sanding and coats together add to each face, m; `scale` a correction of all
    sizes over the shrink; `offsets` (m, by dimension) are added to the sizes that the pattern is drawn with;
    `mould_temperature` K, of the mould when the resin sets in it, None for the room's.
    """

    coat: float = 0.0
    scale: float = 1.0
    offsets: Mapping[str, float] = field(default_factory=dict)
    mould_temperature: float | None = None


@dataclass(frozen=True, kw_only=True)
class Measured:
    """Readings of one size on a finished pattern, m, with the step of the instrument and its largest error, m.

    `drawn` is the size that this pattern was drawn with; 0 where it is that of the pattern as it is drawn now.
    """

    name: str
    readings: tuple[float, ...]
    resolution: float
    instrument: float
    drawn: float = 0.0
    on: str = ""


@dataclass(frozen=True, kw_only=True)
class SizeForecast:
    """One size of the cast, m.

    `estimate` covers 19 in 20. `tolerance` is half of what is allowed, `tolerance_from` says whose it is.
    `closure` tells a size across the parting. `shifts` (m) and `shares` (of the variance) are those of each link
    of the chain. `pattern` is the size to find on the finished pattern, which may be off by `pattern_room` (0 when
    not even a right one is a clear go); `measured` is what was found there.
    `drawn` is what the pattern is drawn with.
    `offset` is what to add to the pattern so that the best size is the wanted one.
    """

    name: str
    wanted: float
    estimate: Estimate
    tolerance: float
    tolerance_from: str
    closure: bool
    verdict: Verdict
    shifts: Mapping[str, float]
    shares: Mapping[str, float]
    pattern: float
    pattern_room: float = 0.0
    measured: float | None = None
    drawn: float = 0.0
    offset: float = 0.0

    @property
    def miss(self) -> float:
        """How far the best size is from the wanted one, m."""
        return self.estimate.best - self.wanted

    @property
    def driver(self) -> str:
        """The link that causes most of the band; empty where nothing is unsure."""
        sure = not any(self.shares.values())
        return "" if sure else max(self.shares, key=lambda name: self.shares[name])
