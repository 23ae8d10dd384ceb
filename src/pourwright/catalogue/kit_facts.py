"""What the checks of a kit look at: plain figures of the mould, the pieces, the silicone and the shop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pourwright.domain.floating import Floating
from pourwright.domain.silicone_pour import BoreToFill, PourAir
from pourwright.domain.size_forecast import SizeForecast
from pourwright.engines.geometry.partings.lips import Lip
from pourwright.engines.geometry.pulls.held import Held


@dataclass(frozen=True, kw_only=True)
class PieceFacts:
    """One printed piece: its size as it stands (mm) and how it is kept down, vented and filled."""

    name: str
    role: str
    count: int
    size_mm: tuple[float, float, float]
    held_by: str
    breather: bool
    touches_silicone: tuple[int, ...]
    solid_print: bool = False


@dataclass(frozen=True, kw_only=True)
class SiliconeFacts:
    """The mould silicone, SI: density kg/m3, viscosity Pa.s, pot life s, elongation as a share."""

    name: str
    density: float
    viscosity: float
    pot_life: float
    elongation: float


@dataclass(frozen=True, kw_only=True)
class KitFacts:
    """All that a check may look at. Lengths mm, volumes mm3, areas mm2; pressure Pa gauge.

    Parameters
    ----------
    figures : the plain figures of the mould style, by its documented keys.
    lips : every silicone lip, both halves.
    stretch : largest stretch of "lower" and "lid", None where there is none.
    undercut_mm3, held : silicone of one cavity that stands behind the part, in all and piece by piece.
    trapped_mm3, worst_trapped_mm3 : air left in all cavities, level and at the worst small tilt.
    pour_air, bores : what each pour of silicone has to mind; `pours_looked_at` False leaves its air unsaid.
    release_mm2 : silicone on silicone in the second pour.
    sizes : the forecast of every size of the cast.
    floats : what each pour could lift.
    """

    style: str
    cavities: int
    closing_is_silicone: bool
    pieces: tuple[PieceFacts, ...]
    silicone: SiliconeFacts
    pressure: float
    infill: float
    figures: Mapping[str, float] = field(default_factory=dict)
    lips: tuple[Lip, ...] = ()
    stretch: Mapping[str, float | None] = field(default_factory=dict)
    stretch_allowed: float = 2.0
    undercut_mm3: float | None = None
    held: tuple[Held, ...] = ()
    trapped_mm3: float | None = None
    worst_trapped_mm3: float | None = None
    pour_air: tuple[PourAir, ...] = ()
    pours_looked_at: bool = False
    bores: tuple[BoreToFill, ...] = ()
    release_mm2: float = 0.0
    sizes: tuple[SizeForecast, ...] = ()
    floats: tuple[Floating, ...] = ()

    def figure(self, key: str) -> float:
        """One figure of the style, 0 where the style has none."""
        return self.figures.get(key, 0.0)
