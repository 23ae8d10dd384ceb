"""What many families share: common dimensions, and a round part from its outline."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from pourwright.catalogue.families.family import Dimension, refusal
from pourwright.catalogue.part_shape import Hub, PartShape, rubber_on
from pourwright.engines.geometry.profiles.outlines import bounds_mm, narrowest_bore_mm
from pourwright.engines.geometry.profiles.rounding import Corner, room_for_rounding, rounded
from pourwright.engines.geometry.tree import Node, Outline

OUTER_DIAMETER = Dimension(
    key="outer_diameter", default=None, low="1 mm", high="1000 mm", words="diameter of the outside"
)
HEIGHT = Dimension(key="height", default=None, low="0.5 mm", high="1000 mm", words="whole height, along the axis")
BORE = Dimension(
    key="bore", default="0 mm", low="0 mm", high="400 mm", words="diameter of the hole right through; 0 for none"
)
EDGE_RADIUS = Dimension(
    key="edge_radius",
    default="0.5 mm",
    low="0 mm",
    high="50 mm",
    words="rounding of the outer edges of both end faces (not of the bore)",
)

SHARP = "the outer edges are sharp (edge_radius 0 mm): they chip first; an edge_radius of 0.5 mm or more lasts longer"


def round_part(
    outline: Outline, *, core: Node | None = None, hub: Hub | None = None, cautions: Sequence[str] = ()
) -> PartShape:
    """The shape of a full turn of an outline that stands on z = 0."""
    _, low, radius, high = bounds_mm(outline)
    return PartShape(
        node=rubber_on(outline, hub),
        outline=outline,
        size_mm=(2 * radius, 2 * radius, high - low),
        radius_mm=radius,
        bore_mm=narrowest_bore_mm(outline),
        core=core,
        hub=hub,
        cautions=tuple(cautions),
    )


def edge_cautions(edge_mm: float) -> tuple[str, ...]:
    """What to say of the edges: nothing when they are rounded."""
    return () if edge_mm > 0.0 else (SHARP,)


def edged(corners: Sequence[Corner], edge_mm: float) -> Outline:
    """The outline through corners whose roundings all are `edge_mm`; says the largest that fits if it does not."""
    room = room_for_rounding(corners)
    if room < 1.0 - 1e-9:
        raise edge_too_large(edge_mm, edge_mm * room)
    return rounded(corners)


def edge_too_large(edge_mm: float, largest_mm: float) -> Exception:
    """The error for an edge radius that does not fit."""
    shown = _rounded_down(largest_mm)
    return refusal(
        "edge_radius",
        edge_mm,
        f"an edge_radius of {edge_mm:.9g} mm does not fit; the largest here is {shown:g} mm",
        f"write {shown:g} mm or less, or make the part larger" if shown > 0 else "make the end face wider",
    )


def _rounded_down(length_mm: float) -> float:
    """To a thousandth of a millimetre, leaving either nothing over or enough for a face."""
    shown = math.floor(length_mm * 1e3 + 1e-9) / 1e3
    return shown - 1e-3 if 1e-9 < length_mm - shown < 1e-5 else shown


def largest_that_fits(fits: Callable[[float], bool], high_mm: float) -> float:
    """The largest length up to high_mm that fits, when every smaller one does too."""
    low = 0.0
    for _ in range(60):
        middle = (low + high_mm) / 2
        low, high_mm = (middle, high_mm) if fits(middle) else (low, middle)
    return low


def refuse_wide_bore(bore_mm: float, least_diameter_mm: float, where: str) -> None:
    """A bore must leave rubber around it at the narrowest place of the outside (diameters)."""
    if bore_mm >= least_diameter_mm:
        raise refusal(
            "bore",
            bore_mm,
            f"the bore ({bore_mm:.9g} mm) is not narrower than {where} ({least_diameter_mm:.9g} mm)",
            f"make the bore smaller than {least_diameter_mm:.9g} mm, or the part wider",
        )
