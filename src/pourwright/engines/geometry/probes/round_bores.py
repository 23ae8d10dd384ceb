"""A bore along z of a solid from a file: where, how wide at every height, round and open at both ends or not. mm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

_STRAIGHT_SHARE, _STRAIGHT_MM = 0.01, 0.02  # by which a straight stretch may widen


@dataclass(frozen=True, kw_only=True)
class RoundBore:
    """One bore along z: a row of holes, one above the other, about one axis.

    Parameters
    ----------
    x_mm, y_mm : mm, its axis.
    radius_mm : mm, to the farthest corner of its narrowest stretch: a rod of this radius leaves nothing of that wall.
    low_mm, high_mm : mm, its ends, to within a step of the search.
    straight_mm : mm, (2,), ends of the narrowest stretch.
    through : whether a straight line along its axis meets nothing of the part at any height.
    heights_mm, inner_mm : mm, its radius at the heights looked at, from below.
    """

    x_mm: float
    y_mm: float
    radius_mm: float
    low_mm: float
    high_mm: float
    straight_mm: tuple[float, float]
    through: bool
    heights_mm: tuple[float, ...]
    inner_mm: tuple[float, ...]

    @property
    def straight_share(self) -> float:
        """How much of its length the narrowest stretch takes."""
        return (self.straight_mm[1] - self.straight_mm[0]) / (self.high_mm - self.low_mm)

    @property
    def chambered(self) -> bool:
        """Whether it is wider between two narrower places: a rod would shut in a ring there."""
        inner = np.array(self.inner_mm)
        before, behind = np.minimum.accumulate(inner), np.minimum.accumulate(inner[::-1])[::-1]
        return bool(np.any(inner > np.maximum(before, behind) + slack_mm(self.radius_mm)))

    def moved(self, *, scale: float, turned_mm: float | None, lift_mm: float) -> RoundBore:
        """The same bore in a part that is turned over about x (its height given), then scaled, then lifted."""
        over = turned_mm is not None
        flip = slice(None, None, -1) if over else slice(None)

        def height(z: float) -> float:
            return (z if turned_mm is None else turned_mm - z) * scale + lift_mm

        return RoundBore(
            x_mm=self.x_mm * scale,
            y_mm=(-self.y_mm if over else self.y_mm) * scale,
            radius_mm=self.radius_mm * scale,
            low_mm=height(self.high_mm if over else self.low_mm),
            high_mm=height(self.low_mm if over else self.high_mm),
            straight_mm=(height(self.straight_mm[over]), height(self.straight_mm[not over])),
            through=self.through,
            heights_mm=tuple(height(z) for z in self.heights_mm[flip]),
            inner_mm=tuple(r * scale for r in self.inner_mm[flip]),
        )


def slack_mm(radius: float) -> float:
    """By how much a straight stretch of that radius may widen."""
    return max(_STRAIGHT_MM, _STRAIGHT_SHARE * radius)
