"""What fills the part's bore while it is cast: a core of the mould's own silicone, or a metal rod right through."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.engines.process.bores import (
    TIP_CONE_FACTOR,
    buckling_force,
    neck_stretch,
    one_sided_bend,
    sideways_sag,
)
from pourwright.engines.process.mould_physics import press_force


@dataclass(frozen=True, kw_only=True)
class BoreCore:
    """The choice: "none", "silicone" or "rod"; whether a cone holds the tip; why; what would move or hurt a soft core.

    `sag_mm` under resin on one side of it, `sideways_mm` under its own weight in a mould that lies on its side,
    `buckling_n` the force on its tip at which it gives way, `pressed_n` the force of a closing piece that sits
    `CLOSING_SQUEEZE_MM` too deep, `neck` how far it must stretch lengthwise to pass the narrowest place of the part.
    `x_mm`, `y_mm` are where it stands about the cell's axis.
    """

    kind: str
    cone: bool
    length_mm: float
    diameter_mm: float
    sag_mm: float
    reason: str
    sideways_mm: float = 0.0
    buckling_n: float = 0.0
    pressed_n: float = 0.0
    neck: float = 1.0
    x_mm: float = 0.0
    y_mm: float = 0.0

    @property
    def slenderness(self) -> float:
        """Length over diameter; 0 without a bore."""
        return self.length_mm / self.diameter_mm if self.diameter_mm > 0 else 0.0

    @property
    def rod(self) -> bool:
        """Whether a metal rod goes right through."""
        return self.kind == "rod"


NO_BORE = BoreCore(kind="none", cone=False, length_mm=0.0, diameter_mm=0.0, sag_mm=0.0, reason="no bore")


def choose_bore_core(wish: StyleWish, *, bore_mm: float, length_mm: float, lidded: bool, neck: float = 1.0) -> BoreCore:
    """Soft core up to three diameters long, with a tip cone up to five (lidded), else a metal rod.

    Parameters
    ----------
    bore_mm : mm, scaled radius; 0 for none.
    length_mm : mm of free silicone core.
    lidded : whether a lid can grow into a hollow tip.
    neck : stretch of a soft core past the narrowest place; a rod passes no neck, and is never chosen there by rule.
    """
    if bore_mm <= 0:
        return NO_BORE
    if wish.bore_core not in (None, "silicone", "rod"):
        raise CannotBuild(f"a bore core of {wish.bore_core!r}", advice='write "silicone" or "rod"', field="bore_core")
    slender = length_mm / (2 * bore_mm)
    sag = sag_mm(length_mm=length_mm, diameter_mm=2 * bore_mm, modulus_mpa=wish.silicone_modulus_mpa)
    limit = sizes.CONE_CORE_RATIO if lidded and bore_mm > 2 else sizes.SOFT_CORE_RATIO
    kind = wish.bore_core or ("silicone" if slender <= limit else "rod")
    words = f"the bore is {slender:.1f} times as long as wide"
    reason = f"asked for; {words}" if wish.bore_core else words
    cone = kind == "silicone" and lidded and slender > sizes.SOFT_CORE_RATIO and bore_mm > 2
    return BoreCore(
        kind=kind,
        cone=cone,
        length_mm=length_mm,
        diameter_mm=2 * bore_mm,
        sag_mm=sag,
        reason=reason,
        neck=1.0 if kind == "rod" else neck,
        **({} if kind == "rod" else _soft_core(wish, length_mm, 2 * bore_mm, cone=cone)),
    )


def _soft_core(wish: StyleWish, length_mm: float, diameter_mm: float, *, cone: bool) -> dict[str, float]:
    core = {"length": length_mm * 1e-3, "diameter": diameter_mm * 1e-3, "modulus": wish.silicone_modulus_mpa * 1e6}
    area = math.pi / 4 * core["diameter"] ** 2
    squeeze = sizes.CLOSING_SQUEEZE_MM * 1e-3
    return {
        "sideways_mm": 1e3 * sideways_sag(density=sizes.SILICONE_KG_M3, **core),
        "buckling_n": buckling_force(**core) * (TIP_CONE_FACTOR if cone else 1.0),
        "pressed_n": press_force(squeeze=squeeze, modulus=core["modulus"], area=area, thickness=core["length"]),
    }


def neck_of(inner_mm: Sequence[float]) -> float:
    """How far a soft core must stretch lengthwise to be drawn: radii of the bore from its root to its tip.

    Every place nearer the tip must pass every place nearer the root.

    Examples
    --------
    >>> round(neck_of([3.0, 3.0, 4.0, 4.0]), 4), neck_of([4.0, 3.0])
    (1.7778, 1.0)
    """
    most, narrowest = 1.0, math.inf
    for radius in inner_mm:
        if radius <= 0:
            continue
        narrowest = min(narrowest, radius)
        most = max(most, neck_stretch(wide_area=radius**2, neck_area=narrowest**2))
    return most


def sag_mm(*, length_mm: float, diameter_mm: float, modulus_mpa: float) -> float:
    """How far a silicone core bends when resin rises on one side of it only.

    Examples
    --------
    >>> round(sag_mm(length_mm=15, diameter_mm=6, modulus_mpa=0.73), 3)
    0.035
    """
    return 1e3 * one_sided_bend(
        density=sizes.RESIN_KG_M3, length=length_mm * 1e-3, diameter=diameter_mm * 1e-3, modulus=modulus_mpa * 1e6
    )
