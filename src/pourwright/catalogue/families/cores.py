"""What parts cast around a hard core share: the core's dimensions, and what cannot be."""

from __future__ import annotations

from collections.abc import Mapping

from pourwright.catalogue.families.family import Dimension, refusal

CORE_DIAMETER = Dimension(
    key="core_diameter",
    default=None,
    low="0.5 mm",
    high="600 mm",
    words="outside diameter of the hard core that the rubber is cast around",
)
CORE_BORE = Dimension(
    key="core_bore",
    default="0 mm",
    low="0 mm",
    high="300 mm",
    words="diameter of the hole through the core; 0 for none",
)
CORE_OVERHANG = Dimension(
    key="core_overhang",
    default="0 mm",
    low="0 mm",
    high="100 mm",
    words="how far the core stands out of the rubber at each end",
)

BOND = "the rubber must hold on to the core: roughen, clean and prime the core before it goes into the mould"


def check_core(values: Mapping[str, float], *, least_rubber_mm: float) -> None:
    """A core must have a wall, and rubber around it at the narrowest place of the outside (diameters)."""
    core, bore = values["core_diameter"], values["core_bore"]
    if core >= least_rubber_mm:
        raise refusal(
            "core_diameter",
            core,
            f"the core ({core:.9g} mm) is not narrower than the rubber around it ({least_rubber_mm:.9g} mm)",
            f"make the core smaller than {least_rubber_mm:.9g} mm, or the part wider",
        )
    if bore >= core:
        raise refusal(
            "core_bore",
            bore,
            f"the bore of the core ({bore:.9g} mm) is not narrower than the core ({core:.9g} mm)",
            f"make it smaller than {core:.9g} mm",
        )
