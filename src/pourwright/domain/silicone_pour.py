"""What a pour of silicone has to mind round the patterns: ledges that hold air, bores that it bridges. SI units."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Pocket:
    """Air that stays under a ledge of one pattern: m3, greatest depth m, its highest point m from the cell's middle."""

    volume: float
    depth: float
    at: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class PourAir:
    """Air that stays round one pattern in one pour, m3: level, and at the worst small tilt (rad), with its pockets.

    `lean` (rad, and rad from x towards y for the raised side) is a lean that lets most of it out; None: no lean does.
    `round_about`: the pattern is a body of revolution, so that a pocket may run all round.
    """

    pour: int
    level: float
    worst: float
    worst_tilt: float
    pockets: tuple[Pocket, ...] = ()
    lean: tuple[float, float] | None = None
    round_about: bool = False


@dataclass(frozen=True, kw_only=True)
class BoreToFill:
    """A bore of every pattern that a pour has to fill, m and s.

    `at` is its place from the cell's middle, `diameter` that of its narrowest place, `volume` m3 of silicone in one,
    `count` how many there are in the mould. `time` in which silicone poured over it fills it by itself (infinite:
    never), `limit` the time it may take.
    """

    pour: int
    at: tuple[float, float]
    diameter: float
    depth: float
    volume: float
    count: int
    time: float
    limit: float

    @property
    def fills_itself(self) -> bool:
        """Whether it fills in time without help."""
        return self.time <= self.limit
