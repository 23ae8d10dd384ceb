"""An existing part without a drawing: what calipers read on it, and what it is made of."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from pourwright.domain.size_forecast import CALIPER_ERROR, CALIPER_STEP

OldMaterial = Literal["urethane", "natural rubber", "other rubber", "silicone", "plastic", "metal", "unknown"]
OLD_MATERIALS: tuple[OldMaterial, ...] = (
    "urethane",
    "natural rubber",
    "other rubber",
    "silicone",
    "plastic",
    "metal",
    "unknown",
)


@dataclass(frozen=True, kw_only=True)
class Original:
    """That a project copies an existing part: what that is made of, and whether it serves as the pattern itself."""

    material: OldMaterial = "unknown"
    as_pattern: bool = False


@dataclass(frozen=True, kw_only=True)
class OldSize:
    """Repeated readings of one size, m; `worn` when a face it is measured between is worn."""

    name: str
    readings: tuple[float, ...]
    worn: bool = False


@dataclass(frozen=True, kw_only=True)
class Station:
    """Readings at one height of a turned part, m: its outside and, where it has one, its inside (diameters)."""

    height: float
    outside: tuple[float, ...]
    inside: tuple[float, ...] = ()
    worn: bool = False


@dataclass(frozen=True, kw_only=True)
class OldPart:
    """All readings of one part; `hardness` (Shore A) of a soft one, which calipers squeeze; None when it is hard."""

    title: str = ""
    material: OldMaterial = "unknown"
    resolution: float = CALIPER_STEP
    instrument: float = CALIPER_ERROR
    hardness: float | None = None
    sizes: tuple[OldSize, ...] = ()
    stations: tuple[Station, ...] = field(default_factory=tuple)
