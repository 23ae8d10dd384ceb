"""Hollows that open in the face at the parting and end in the part: the lid's silicone runs into them. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.engines.geometry.tree import Node, Prism, polygon, union

AGAINST = "a hollow opens in its face at the parting, and only a lid of silicone fills it"
NOTE = (
    "the base closes the hollow in the pattern's face in the first pour, and the lid fills it: seal the edge of the "
    "hollow on the base too, and see that no silicone crept in before the lid is poured"
)


@dataclass(frozen=True, kw_only=True)
class LidFilled:
    """One prism of a hollow, mm: its corners (x, y), from one height to another under the parting (both at most 0).

    It is a little wider than the hollow and reaches into the part: less the part it is the hollow.
    """

    low_mm: float
    high_mm: float
    corners_mm: tuple[tuple[float, float], ...]


def lid_filled(prisms: Sequence[LidFilled], scale: float) -> Node | None:
    """All hollows of one part as it stands, the part around them included to a little depth; None without.

    Parameters
    ----------
    prisms : of the part as drawn.
    scale : of the pattern.
    """
    if not prisms:
        return None
    return union(
        *(
            Prism(polygon([(x * scale, y * scale) for x, y in one.corners_mm]), one.low_mm * scale, one.high_mm * scale)
            for one in prisms
        )
    )
