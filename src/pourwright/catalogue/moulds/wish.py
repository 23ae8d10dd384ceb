"""What the person, the printer and the pot ask of a mould style, in millimetres and plain shares."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.vents import Lean, Vent

_LEAST_PIECE_MM = 60.0  # shorter parts are mostly joint


@dataclass(frozen=True, kw_only=True)
class StyleWish:
    """Everything a mould style is asked for; the defaults make a sound mould for one small part.

    Parameters
    ----------
    cavities : number of cells, 1 or more.
    wall_mm, between_mm, floor_mm : mm of silicone beside, between and under the cavities.
    scale : how much larger than the part the pattern is, for shrinkage (1.006 for 0.6 %).
    bore_core : "silicone", "rod", or None for the slenderness rule.
    mouth : "as drawn", "tangent" (part where the edge radius begins), "sharp" (no radius at the mouth), or None.
    flat_face : whether a flat face may carry the trim line.
    free_face : whether that flat face may stay as the resin sets, open to the air.
    fit_mm : mm between printed faces that meet.
    infill, breathers : share of plastic inside the prints, and whether prints get a hole to the air.
    pressure_ratio : absolute mould pressure over ambient, 1 without a pot.
    overfill : resin beyond the part, as a share of it.
    entrained : gas carried in by the resin, as a share of it (judgement: 3 % unless measured).
    trapped_mm3 : mm3, largest air pocket of one cell, if known.
    stretch_allowed : largest stretch that the silicone stands, 1 + elongation / 3.
    silicone_modulus_mpa : for the bore core's sag.
    bed_mm : mm (x, y, z) of the printer; pot_mm : mm (inside diameter, inside height) or None.
    squeeze_mm : mm that silicone lands stand into the room of a hard core's ends.
    box : "round", "square", "rectangle", "form-fitting", or None for the least silicone.
    layout : name of a wanted layout ("2 × 2"), or None for the least silicone.
    vents : where vents were found to be needed, in the mould; None: by the rule of the style.
    trapped_share : air that may stay, as a share of the part (judgement).
    most_rod_mm : mm, largest radius of a vent rod.
    lean : how the closed mould leans while its air leaves; None: it stands level, within a few degrees.
    longest_piece_mm : mm, longest printed piece of the box; longer ones are made in parts.
    parting : "flat", "ruled", "stepped", or None for whichever lets a solid go more easily.
    pattern : "split" or "pocket", for a part that rises above the parting; None for what suits it.
    """

    cavities: int = 1
    wall_mm: float = sizes.SIDE_MM
    between_mm: float = sizes.BETWEEN_MM
    floor_mm: float = sizes.FLOOR_MM
    scale: float = 1.0
    bore_core: str | None = None
    mouth: str | None = None
    flat_face: bool = True
    free_face: bool = False
    fit_mm: float = 0.15
    infill: float = 1.0
    breathers: bool = False
    pressure_ratio: float = 1.0
    overfill: float = 0.05
    entrained: float = 0.03
    trapped_mm3: float = 0.0
    stretch_allowed: float = 2.0
    silicone_modulus_mpa: float = 0.73
    bed_mm: tuple[float, float, float] = (220.0, 220.0, 250.0)
    pot_mm: tuple[float, float] | None = None
    box: str | None = None
    layout: str | None = None
    squeeze_mm: float = sizes.LAND_SQUEEZE_MM
    vents: tuple[Vent, ...] | None = None
    trapped_share: float = sizes.TRAPPED_SHARE
    most_rod_mm: float = sizes.ROD_RADII_MM[0]
    lean: Lean | None = None

    @property
    def rod_radii_mm(self) -> tuple[float, ...]:
        """Radii of stock for vent rods, largest first."""
        return tuple(radius for radius in sizes.ROD_RADII_MM if radius <= self.most_rod_mm)

    parting: str | None = None
    pattern: str | None = None
    longest_piece_mm: float = math.inf

    @property
    def piece_bed_mm(self) -> tuple[float, float]:
        """What a printed piece must lie on: the bed, or less of it when shorter pieces are asked for."""
        return min(self.bed_mm[0], self.longest_piece_mm), min(self.bed_mm[1], self.longest_piece_mm)

    def __post_init__(self) -> None:
        if self.cavities < 1:
            raise CannotBuild(f"a mould with {self.cavities} cavities", advice="ask for one or more", field="cavities")
        for name, least in (("wall_mm", 3.0), ("between_mm", 3.0), ("floor_mm", 3.0)):
            value = getattr(self, name)
            if value < least:
                raise CannotBuild(
                    f"{value:g} mm of silicone is too thin to hold its shape",
                    advice=f"take {least:g} mm or more",
                    field=name.removesuffix("_mm"),
                    value=value,
                )
        if self.longest_piece_mm < _LEAST_PIECE_MM:
            raise CannotBuild(
                f"pieces no longer than {self.longest_piece_mm:g} mm have no room for their joints",
                advice=f"take {_LEAST_PIECE_MM:g} mm or more, or leave longest_piece out",
                field="longest_piece",
                value=self.longest_piece_mm,
            )
        if not 0.9 < self.scale < 1.1:
            raise CannotBuild(f"a pattern scale of {self.scale:g}", advice="a shrink of a few per cent is 1.00 to 1.05")
        if self.pressure_ratio < 1 or not 0 <= self.overfill <= 0.5 or not 0 < self.fit_mm <= 1:
            raise CannotBuild("pressure ratio, overfill or fit clearance out of range")
