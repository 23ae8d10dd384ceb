"""What fills the part's bore while it is cast: a core of the mould's own silicone, or a metal rod right through."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.engines.process.bores import one_sided_bend


@dataclass(frozen=True, kw_only=True)
class BoreCore:
    """The choice: "none", "silicone" or "rod"; whether a cone holds the tip; its sag; why."""

    kind: str
    cone: bool
    length_mm: float
    diameter_mm: float
    sag_mm: float
    reason: str

    @property
    def rod(self) -> bool:
        """Whether a metal rod goes right through."""
        return self.kind == "rod"


def choose_bore_core(wish: StyleWish, *, bore_mm: float, length_mm: float, lidded: bool) -> BoreCore:
    """Soft core up to three diameters long, with a tip cone up to five (lidded), else a metal rod.

    Parameters
    ----------
    bore_mm : mm, scaled radius; 0 for none.
    length_mm : mm of free silicone core.
    lidded : whether a lid can grow into a hollow tip.
    """
    if bore_mm <= 0:
        return BoreCore(kind="none", cone=False, length_mm=0.0, diameter_mm=0.0, sag_mm=0.0, reason="no bore")
    if wish.bore_core not in (None, "silicone", "rod"):
        raise CannotBuild(f"a bore core of {wish.bore_core!r}", advice='write "silicone" or "rod"', field="bore_core")
    slender = length_mm / (2 * bore_mm)
    sag = sag_mm(length_mm=length_mm, diameter_mm=2 * bore_mm, modulus_mpa=wish.silicone_modulus_mpa)
    limit = sizes.CONE_CORE_RATIO if lidded and bore_mm > 2 else sizes.SOFT_CORE_RATIO
    kind = wish.bore_core or ("silicone" if slender <= limit else "rod")
    words = f"the bore is {slender:.1f} times as long as wide"
    reason = f"asked for; {words}" if wish.bore_core else words
    cone = kind == "silicone" and lidded and slender > sizes.SOFT_CORE_RATIO and bore_mm > 2
    return BoreCore(kind=kind, cone=cone, length_mm=length_mm, diameter_mm=2 * bore_mm, sag_mm=sag, reason=reason)


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
