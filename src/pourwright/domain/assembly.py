"""Whether the printed pieces go together and come apart again, in the order that the bench sheet tells. SI units."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Removal:
    """One piece taken away along a straight line past all that still stands.

    `blocked_by` names what stands in its way, `blocked_area` how much of it is seen along the way, and `blocked_at`
    one place of it; all empty when it comes free. `yields` names silicone that must stretch to let it go.
    """

    stage: str
    piece: str
    along: tuple[float, float, float]
    blocked_by: tuple[str, ...] = ()
    blocked_area: float = 0.0
    blocked_at: tuple[float, float, float] | None = None
    yields: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether nothing stands in its way."""
        return not self.blocked_by


@dataclass(frozen=True, kw_only=True)
class Meeting:
    """Two printed pieces that stand together: what they share (m3), and the play between them across their way (m).

    `play` is None where they never face each other across the way that one of them leaves.
    """

    stage: str
    one: str
    other: str
    overlap: float
    play: float | None
    least_play: float

    @property
    def ok(self) -> bool:
        """Whether they share nothing and are loose enough to slide."""
        return self.overlap == 0.0 and (self.play is None or self.play >= self.least_play)


@dataclass(frozen=True, kw_only=True)
class AssemblyProof:
    """All removals in order, all meetings of printed pieces, and what stands at each stage."""

    stages: tuple[tuple[str, tuple[str, ...]], ...]
    removals: tuple[Removal, ...]
    meetings: tuple[Meeting, ...]

    @property
    def ok(self) -> bool:
        """Whether everything comes apart and nothing overlaps or binds."""
        return all(one.ok for one in self.removals) and all(one.ok for one in self.meetings)
