"""How the halves of a mould let the part go: what silicone stands in the way, and what would do better. SI units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pourwright.domain.inspection import HeldSilicone, Point, PullChoice


@dataclass(frozen=True, kw_only=True)
class Opening:
    """What the parting of a kit leaves in the way, for one cavity.

    Parameters
    ----------
    undercut : m3, silicone of "lower" and "lid" that stands behind the part; None where that half is not silicone.
    stretch : 1 or more, the most that a ring of each half must stretch, of rings round the part and round one place.
    allowed : what the silicone stands.
    runs_through : m3, of it what runs through the part as a bar.
    held : each piece of it, largest first; its place from the middle of the cavity at the parting, as the mould stands.
    places_in_file : m, the same places in the file's own coordinates; empty for a part that comes from no file.
    opens : no silicone runs through the part, and none must stretch more than it may.
    words : what gives way, or why the part is not let go.
    lid_fills : m3, in one cavity, blind hollows that the base closes in the first pour and the lid's silicone fills.
    pattern : "split", "pocket" or "whole", and why; "" for a style that leaves no choice.
    """

    undercut: Mapping[str, float | None] = field(default_factory=dict)
    stretch: Mapping[str, float | None] = field(default_factory=dict)
    allowed: float = 1.0
    runs_through: float = 0.0
    held: tuple[HeldSilicone, ...] = ()
    places_in_file: tuple[Point, ...] = ()
    opens: bool = True
    words: str = ""
    lid_fills: float = 0.0
    pattern: str = ""
    pattern_reason: str = ""
    ways_out: WaysOut | None = None


@dataclass(frozen=True, kw_only=True)
class WaysOut:
    """What would help where a mould does not let its part go.

    Parameters
    ----------
    own : the kit's own pull and parting, with its figures.
    pull : another way to pull, with its figures, that lets it go; None where none was found.
    style : another mould style that does; "" for none.
    silicones : classes of silicone that stand the stretch; empty where bars are in the way, or none does.
    least_bad : where nothing of that helps: of all ways to pull that were tried the one that is least in the way.
    words : all of it for a person.
    """

    own: PullChoice
    pull: PullChoice | None = None
    style: str = ""
    silicones: tuple[str, ...] = ()
    least_bad: PullChoice | None = None
    words: str = ""
