"""Bumper: a cylinder with a domed top, if wanted with a screw hole and a recess for the screw's head."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pourwright.catalogue.families.drawing import (
    BORE,
    EDGE_RADIUS,
    HEIGHT,
    OUTER_DIAMETER,
    edge_cautions,
    edge_too_large,
    edged,
    largest_that_fits,
    refuse_wide_bore,
    round_part,
)
from pourwright.catalogue.families.family import Dimension, Family, refusal
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.profiles.rounding import Corner
from pourwright.engines.geometry.tree import Arc, Edge, Line, Outline

_SAME_MM = 1e-9
_FLAT = 1 / 200  # of the radius: a lower dome is no longer one that anybody could measure or print


@dataclass(frozen=True, kw_only=True)
class Bumper:
    """The numbers of one bumper, radii in mm; `hollow_mm` is the radius of what is open at the top."""

    outer_mm: float
    height_mm: float
    dome_mm: float
    bore_mm: float
    recess_mm: float
    recess_depth_mm: float
    edge_mm: float

    @property
    def hollow_mm(self) -> float:
        """Radius of what is open at the top."""
        return max(self.bore_mm, self.recess_mm)

    @property
    def centre_mm(self) -> float:
        """Height of the dome's centre, on the axis."""
        wide, open_, dome = self.outer_mm, self.hollow_mm, self.dome_mm
        return self.height_mm - ((wide - open_) * (wide + open_) + dome * dome) / (2 * dome)

    @property
    def dome_radius_mm(self) -> float:
        """Radius of the dome's sphere."""
        return math.hypot(self.hollow_mm, self.height_mm - self.centre_mm)


def _build(values: Mapping[str, float]) -> PartShape:
    bumper = Bumper(
        outer_mm=values["outer_diameter"] / 2,
        height_mm=values["height"],
        dome_mm=values["dome_height"],
        bore_mm=values["bore"] / 2,
        recess_mm=values["recess_diameter"] / 2,
        recess_depth_mm=values["recess_depth"],
        edge_mm=values["edge_radius"],
    )
    _check_recess(bumper)
    if bumper.dome_mm == 0.0:
        outline = edged(_flat_corners(bumper), bumper.edge_mm)
    else:
        _check_dome(bumper)
        outline = _domed(bumper)
    return round_part(outline, cautions=edge_cautions(bumper.edge_mm))


def _check_recess(bumper: Bumper) -> None:
    refuse_wide_bore(2 * bumper.bore_mm, 2 * bumper.outer_mm, "the part")
    wide, deep = 2 * bumper.recess_mm, bumper.recess_depth_mm
    if (wide > 0) != (deep > 0):
        key, other = ("recess_depth", "recess_diameter") if wide > 0 else ("recess_diameter", "recess_depth")
        raise refusal(key, 0.0, f"{other} is given but {key} is 0 mm", "give both, or neither")
    if 0 < wide <= 2 * bumper.bore_mm:
        raise refusal(
            "recess_diameter",
            wide,
            f"the recess ({wide:.9g} mm) is not wider than the bore ({2 * bumper.bore_mm:.9g} mm)",
            "make it wider than the bore, or leave it out",
        )
    if wide >= 2 * bumper.outer_mm:
        raise refusal(
            "recess_diameter",
            wide,
            f"the recess ({wide:.9g} mm) is not narrower than the part ({2 * bumper.outer_mm:.9g} mm)",
            "make it smaller, so that rubber stays around the screw's head",
        )
    if deep >= bumper.height_mm:
        raise refusal(
            "recess_depth",
            deep,
            f"the recess ({deep:.9g} mm) is as deep as the part is high ({bumper.height_mm:.9g} mm) or deeper",
            "make it less deep, so that rubber stays under the screw's head",
        )


def _check_dome(bumper: Bumper) -> None:
    dome, highest = bumper.dome_mm, math.sqrt(bumper.outer_mm**2 - bumper.hollow_mm**2)
    if dome >= bumper.height_mm:
        raise refusal(
            "dome_height",
            dome,
            f"the dome ({dome:.9g} mm) is as high as the whole part ({bumper.height_mm:.9g} mm) or higher",
            f"make it lower than {bumper.height_mm:.9g} mm; height is that of the whole part",
        )
    if dome > highest:
        raise refusal(
            "dome_height",
            dome,
            f"a dome {dome:.9g} mm high would overhang its side",
            f"at most {math.floor(highest * 1e3) / 1e3:g} mm here, where it meets the side smoothly",
        )
    if dome < _FLAT * bumper.outer_mm:
        raise refusal(
            "dome_height",
            dome,
            f"a dome of {dome:.9g} mm is flat",
            f"write 0 mm for a flat top, or {_FLAT * bumper.outer_mm:.3g} mm or more",
        )


def _inside(bumper: Bumper) -> list[tuple[float, float]]:
    """From the top down to the lower face, along recess and bore."""
    floor_mm = bumper.height_mm - bumper.recess_depth_mm
    recess = [(bumper.recess_mm, floor_mm), (bumper.bore_mm, floor_mm)] if bumper.recess_mm > 0 else []
    return [(bumper.hollow_mm, bumper.height_mm), *recess, (bumper.bore_mm, 0.0)]


def _flat_corners(bumper: Bumper) -> list[Corner]:
    rounded = [Corner(bumper.outer_mm, z_mm, bumper.edge_mm) for z_mm in (0.0, bumper.height_mm)]
    return [*rounded, *(Corner(r_mm, z_mm) for r_mm, z_mm in _inside(bumper))]


def _domed(bumper: Bumper) -> Outline:
    if not _fits(bumper):
        high = max(bumper.outer_mm, bumper.height_mm)
        raise edge_too_large(
            bumper.edge_mm, largest_that_fits(lambda edge_mm: _fits(replace(bumper, edge_mm=edge_mm)), high)
        )
    edge_mm, outer_mm, inside = bumper.edge_mm, bumper.outer_mm, _inside(bumper)
    rim_mm, (side_mm, dome) = outer_mm - edge_mm, _dome_edge(bumper)
    drawn: list[tuple[Edge, float]] = [
        (Line(rim_mm, 0.0), rim_mm - bumper.bore_mm),
        (Arc(outer_mm, edge_mm, rim_mm, edge_mm), edge_mm),
        (Line(outer_mm, side_mm), side_mm - edge_mm),
        (Arc(*dome, rim_mm, side_mm), math.dist(dome, (outer_mm, side_mm))),
        (Arc(*inside[0], 0.0, bumper.centre_mm), dome[0] - inside[0][0]),
        *((Line(*point), 1.0) for point in inside[1:]),
    ]
    return Outline(inside[-1], tuple(edge for edge, length_mm in drawn if length_mm > _SAME_MM))


def _dome_edge(bumper: Bumper) -> tuple[float, tuple[float, float]]:
    """Height where the rounding between side and dome leaves the side, and the point where it meets the dome."""
    if bumper.edge_mm == 0.0:
        side_mm = bumper.height_mm - bumper.dome_mm
        return side_mm, (bumper.outer_mm, side_mm)
    rim_mm, inner_mm = bumper.outer_mm - bumper.edge_mm, bumper.dome_radius_mm - bumper.edge_mm
    up_mm = math.sqrt(max(0.0, (inner_mm - rim_mm) * (inner_mm + rim_mm)))
    stretch = bumper.dome_radius_mm / inner_mm
    return bumper.centre_mm + up_mm, (rim_mm * stretch, bumper.centre_mm + up_mm * stretch)


def _fits(bumper: Bumper) -> bool:
    if bumper.outer_mm - bumper.edge_mm < bumper.bore_mm - _SAME_MM:
        return False
    if bumper.dome_radius_mm - bumper.edge_mm <= _SAME_MM:
        return False
    side_mm, dome = _dome_edge(bumper)
    return side_mm >= bumper.edge_mm - _SAME_MM and dome[0] >= bumper.hollow_mm - _SAME_MM


FAMILY = Family(
    name="bumper",
    words="A buffer or foot: a cylinder with a domed top, if wanted with a screw hole and a recess for its head.",
    dimensions=(
        OUTER_DIAMETER,
        replace(HEIGHT, words="whole height, from the lower face to the highest place of the top"),
        Dimension(
            key="dome_height",
            default="2 mm",
            low="0 mm",
            high="100 mm",
            words="how much the top is higher at its middle (or at the rim of its hole) than at the side; 0 for flat",
        ),
        replace(BORE, words="diameter of the screw hole right through; 0 for none"),
        Dimension(
            key="recess_diameter",
            default="0 mm",
            low="0 mm",
            high="600 mm",
            words="diameter of the recess in the top for the screw's head; 0 for none",
        ),
        Dimension(
            key="recess_depth", default="0 mm", low="0 mm", high="400 mm", words="depth of the recess from the top"
        ),
        replace(EDGE_RADIUS, words="rounding of the lower outer edge and of the edge between side and top"),
    ),
    build=_build,
    example={
        "outer_diameter": "30 mm",
        "height": "16 mm",
        "bore": "5 mm",
        "recess_diameter": "10 mm",
        "recess_depth": "6 mm",
    },
)
