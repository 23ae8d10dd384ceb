"""Moulds for the tests: one of every family in every style, each drawn and made only once."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, reduce
from operator import or_

from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.catalogue.moulds.style import STYLES
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.tree import Node, Revolve, polygon

MM = 1e-3
ROUND_MM: dict[str, tuple[str, dict[str, float]]] = {
    "straight bushing": ("straight bushing", {"outer_diameter": 28, "height": 24, "bore": 9}),
    "bushing with a 1 mm edge": (
        "straight bushing",
        {"outer_diameter": 28, "height": 24, "bore": 9, "edge_radius": 1},
    ),
    "sharp bushing": ("straight bushing", {"outer_diameter": 28, "height": 20, "bore": 9, "edge_radius": 0}),
    "long bushing": ("straight bushing", {"outer_diameter": 28, "height": 50, "bore": 9}),
    "disc": ("straight bushing", {"outer_diameter": 28, "height": 6, "bore": 0}),
    "taper bushing": ("taper bushing", {"lower_diameter": 28, "upper_diameter": 22, "height": 20, "bore": 9}),
    "barrel bushing": (
        "barrel bushing",
        {"outer_diameter": 28, "belly_diameter": 34, "height": 26, "bore": 10, "edge_radius": 1.5},
    ),
    "waisted bushing": ("waisted bushing", {"outer_diameter": 28, "waist_diameter": 24, "height": 26, "bore": 10}),
    "stepped bushing": (
        "stepped bushing",
        {"outer_diameter": 30, "shoulder_diameter": 20, "shoulder_height": 8, "height": 24, "bore": 8},
    ),
    "bumper": ("bumper", {"outer_diameter": 24, "height": 15}),
    "bumper with a screw hole": (
        "bumper",
        {"outer_diameter": 24, "height": 15, "bore": 4, "recess_diameter": 8, "recess_depth": 3},
    ),
    "ring": ("ring", {"outer_diameter": 40, "inner_diameter": 28, "height": 6, "edge_radius": 1}),
    "round cord": ("ring", {"outer_diameter": 40, "inner_diameter": 28, "height": 6, "edge_radius": 3}),
    "roller": ("roller", {"outer_diameter": 30, "height": 20, "core_diameter": 12, "core_bore": 6}),
    "roller with an overhang": (
        "roller",
        {"outer_diameter": 30, "height": 20, "core_diameter": 12, "core_bore": 6, "core_overhang": 3, "crown": 2},
    ),
    "wheel": (
        "wheel",
        {
            "outer_diameter": 50,
            "height": 20,
            "core_diameter": 34,
            "core_bore": 8,
            "groove_width": 6,
            "groove_depth": 1.5,
            "shoulder_drop": 2,
            "shoulder_width": 3,
        },
    ),
}
# A round cord has no flat face to close or strike off; nothing holds a hard core in an open mouth.
REFUSED = (
    ("open with cover plate", "round cord"),
    ("one-part open", "round cord"),
    *(("one-part open", part) for part in ("roller", "roller with an overhang", "wheel")),
    *(("two-part side-parted", part) for part in ("roller", "roller with an overhang", "wheel")),
    # Silicone in a bore that is not one straight hole would be locked.
    *(("two-part side-parted", part) for part in ("bumper with a screw hole", "ring", "round cord")),
)
WISH = StyleWish(cavities=2, scale=1.006, pressure_ratio=4.062068)


@cache
def shape(name: str) -> PartShape:
    """One of the parts above; "profile" is a free outline."""
    if name == "profile":
        outline = polygon([(4, 0), (9, 0), (12, 6), (12, 10), (10, 16), (4, 16)])
        return PartShape(node=Revolve(outline), outline=outline, size_mm=(24, 24, 16), radius_mm=12, bore_mm=4)
    family, dimensions = ROUND_MM[name]
    values = {d.key: d.typed(d.default) for d in FAMILIES[family].dimensions if d.default is not None}
    return FAMILIES[family].build({**values, **dimensions})


PARTS = (*ROUND_MM, "profile")
MOULDS = tuple((style, part) for part in PARTS for style in STYLES if (style, part) not in REFUSED)


@cache
def mould(style: str, part: str, cavities: int = 2) -> MouldDesign:
    """A mould for one of the parts."""
    return STYLES[style].build(shape(part), replace(WISH, cavities=cavities), None)


@cache
def evaluator(segments: int = 24) -> Evaluator:
    """One mesh kernel for all tests; circles of the right area at any number of chords."""
    return Evaluator(MeshKernel(segments))


def standing(piece: Piece) -> Node:
    """All copies of a piece where they stand."""
    return reduce(or_, (piece.solid.at(x, y, z, turn_deg=turn) for x, y, z, turn in piece.places_mm))
