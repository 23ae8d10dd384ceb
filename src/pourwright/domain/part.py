"""What is wanted: the part, its materials, its mould, how it should feel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pourwright.domain.old_part import Original
from pourwright.domain.size_forecast import Measured, PatternWish, ToleranceWish

AS_DRAWN = "as drawn"
Pull = str | tuple[float, float, float] | None  # AS_DRAWN, a direction, or left to the program


@dataclass(frozen=True, kw_only=True)
class Part:
    """A family with dimensions (m, or plain numbers where the family says so), or a solid from a file.

    `outline` is the free (r, z) outline of the family "profile": each corner a mapping as the family
    documents it. `file` is the path as written; `digest` the hash of its content once read. `texts` are the
    family's keys that hold words (locks, core_file); `core_digest` the hash of a core's file once read.
    """

    family: str
    dimensions: Mapping[str, float] = field(default_factory=dict)
    outline: tuple[Mapping[str, float], ...] = ()
    file: str | None = None
    unit: str | None = None
    digest: str | None = None
    job: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)
    core_digest: str | None = None


@dataclass(frozen=True, kw_only=True)
class MouldWish:
    """What the person asked of the mould; None leaves the choice to the program. pressure is Pa gauge.

    `bore_core` is "silicone" or "rod"; `mouth` is "as drawn", "tangent" (part where the edge radius
    begins) or "sharp"; `flat_face` False says that no flat face may carry the trim line;
    `free_face` True says that the flat face may stay as it sets in an open mould;
    `box` is "round", "square", "rectangle" or "form-fitting"; `layout` is a name like "2 × 2";
    `trapped_limit` is the share of the part that air may take at a small tilt;
    `lean` (rad) is how far the closed mould leans while its air leaves, `lean_towards` (rad, from x towards y) which
    side is raised; `longest_piece` is m, of base, walls and boards, which are printed in parts if longer; `pull` is
    "as drawn" or the direction, in a file's axes, along which the halves leave a solid from a file;
    `parting` is "flat", "ruled" or "stepped", for a solid from a file;
    `pattern` is "split" or "pocket", for a part that rises above the parting.
    """

    style: str | None = None
    cavities: int = 1
    pressure: float | None = None
    wall: float | None = None
    between: float | None = None
    bore_core: str | None = None
    mouth: str | None = None
    infill: float = 1.0
    breathers: bool = False
    overflow: float | None = None
    cup_loss: float | None = None
    flat_face: bool = True
    free_face: bool = False
    box: str | None = None
    layout: str | None = None
    trapped_limit: float | None = None
    lean: float | None = None
    lean_towards: float | None = None
    longest_piece: float | None = None
    pull: Pull = None
    parting: str | None = None
    pattern: str | None = None


@dataclass(frozen=True, kw_only=True)
class Feel:
    """How the part sits and what force is wanted where: (deflection m, force N)."""

    ends: str | None = None
    friction: float | None = None
    wanted: tuple[tuple[float, float], ...] = ()
    preload: float | None = None


@dataclass(frozen=True, kw_only=True)
class Project:
    """One part with its mould and materials, as project.toml says it, and what was measured on its pattern."""

    name: str
    title: str
    part: Part
    resin: str
    silicone: str
    mould: MouldWish = MouldWish()
    feel: Feel = Feel()
    tolerance: ToleranceWish = field(default_factory=ToleranceWish)
    pattern: PatternWish = field(default_factory=PatternWish)
    measured: tuple[Measured, ...] = ()
    original: Original | None = None
    assumed: tuple[str, ...] = ()
