"""What a mould must know of a part that stands in it: widths at every height, flat ends, lips, stretch.

The part is already scaled and stands as it will in the mould: parting face at z = 0. Millimetres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.lid_filled import LidFilled
from pourwright.catalogue.moulds.stand.ground import FLAT
from pourwright.catalogue.moulds.stand.parted import parted
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.partings.lips import outline_lips
from pourwright.engines.geometry.profiles.outline_math import curves, moment_mm3, sampled
from pourwright.engines.geometry.profiles.outlines import (
    bounds_mm,
    end_faces,
    largest_section_heights_mm,
    scaled_outline,
    shifted,
    turned_over,
)
from pourwright.engines.geometry.tree import Edge, Line, Node, Outline, Revolve, Turned

_SAME_MM = 1e-7
_FINE_MM = 1e-3
_WORTH_SHAPING = 0.02  # of the volume that a flat parting blocks: more is worth a face that follows (judgement)


@dataclass(frozen=True, kw_only=True)
class SideFacts:
    """How a solid without an outline is laid on its side, as drawn: parted by an upright plane.

    Parameters
    ----------
    turn_deg : about the z axis, after which the halves pull along x.
    parting_mm, middle_mm : mm, x of the parting plane and y of the middle of the section, after that turn.
    below_mm, above_mm, half_y_mm : mm, how far it reaches from there: towards +x (down, when laid), -x and y.
    feed_mm, vent_mm : mm, (y, radius, height) where feed and vent leave the section's upper end.
    screw, screw_depth_mm, screws_mm : its name, its depth, and (height, y) where it fits into the section.
    pin_mm, pins_mm : mm, radius of the pins that centre the halves, and where they fit.
    trapped_mm3 : mm3 of air left with that vent, level.
    """

    turn_deg: float
    parting_mm: float
    middle_mm: float
    below_mm: float
    above_mm: float
    half_y_mm: float
    feed_mm: tuple[float, float, float]
    vent_mm: tuple[float, float, float]
    stretch: float = 1.0
    lips_pass: bool = True
    trapped_mm3: float = 0.0
    screw: str = ""
    screw_depth_mm: float = 0.0
    screws_mm: tuple[tuple[float, float], ...] = ()
    pin_mm: float = 0.0
    pins_mm: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, kw_only=True)
class ShapedFacts:
    """A parting that follows a solid along x (axis 0) or y (1), in the attitude chosen for the flat one, as drawn.

    Parameters
    ----------
    kind : "ruled" or "stepped".
    line_mm : mm, corners (u, z) about the middle of the part, the highest at 0.
    level_mm : mm, height of that highest place over the lowest point of the part.
    undercut_mm3 : mm3, silicone that still blocks the pull.
    vent_points_mm, rod_start_mm, rod_inside_mm : as for a flat parting.
    screws_mm, screw_depth_mm : mm, (x, y) where a screw of that depth fits into the part from the face down.
    pins_mm, pin_half_mm : mm, (x, y) where a pin fits that reaches so far up and down from the face.
    """

    kind: str
    line_mm: tuple[tuple[float, float], ...]
    axis: int
    level_mm: float
    undercut_mm3: float
    vent_points_mm: tuple[tuple[float, float, float], ...] = ()
    rod_start_mm: float | None = None
    rod_inside_mm: tuple[float, ...] = ()
    screws_mm: tuple[tuple[float, float], ...] = ()
    screw_depth_mm: float = 0.0
    pins_mm: tuple[tuple[float, float], ...] = ()
    pin_half_mm: float = 0.0


@dataclass(frozen=True, kw_only=True)
class SolidFacts:
    """What was found out about a solid without an outline, as drawn, its lower face on z = 0.

    Parameters
    ----------
    volume_mm3 : mm3
    turned : whether it should stand on its upper face.
    parting_mm : mm, height of the parting in the attitude chosen by `turned`.
    flat_share, flat_mm2 : share of the shadow that the flat face at the mouth covers, and its area.
    lips_pass : whether the lips hold when it is parted at that flat face.
    stretch, parting_stretch : the most that silicone must stretch, parted at that face, and at the parting.
    vent_points_mm : mm, (x, y, z) where vent rods leave the part: its highest points above the parting.
    rod_start_mm, rod_inside_mm : mm, heights from which, and for each vent up to which, its rod with some part
        around it lies inside the part; None and empty: from the usual depth up to the lowest vent.
    screw_points_mm, screw_depth_mm : mm, (x, y) where a screw of that depth fits into the face at the parting,
        containment proven.
    cover_vent_points_mm, cover_screw_points_mm, cover_screw_depth_mm : the same for a cover plate on the flat
        face; where none are given those for the parting.
    narrow_vent_points_mm : mm, (x, y) of narrow vents of a cover plate, for a face with a narrow rim.
    shadow_mm : mm, (x, y) corners of the hull of its shadow in the attitude chosen by `turned`; empty: its box.
    breather_points_mm : mm, (x, y) where a breather's hole fits into the flat face under a cover.
    side : how it is parted when it is laid on its side; None: no way was found.
    undercut_mm3 : mm3, silicone that blocks the pull when it is parted flat at `parting_mm`.
    undercut_upper_mm3 : mm3, what of it is in the lid.
    sunk_screws_mm, sunk_depth_mm : mm, (x, y, z) where a screw of that depth fits into the part from above, from z
        down; pads_mm : (x, y) of places where it can rest, its head down.
    shaped : how it parts along faces that follow it, the best first; empty where none does better than a flat one.
    hollows : of the face at the parting, which the lid fills: neither stretch nor undercut of the lower half.
    hollows_mm3 : mm3, what they hold.
    rod_radius_mm : mm, of the vent rods; thinner ones stand in the rim round a hollow where it is narrow.
    """

    volume_mm3: float
    turned: bool = False
    parting_mm: float = 0.0
    flat_share: float = 0.0
    flat_mm2: float = 0.0
    lips_pass: bool = True
    stretch: float = 1.0
    parting_stretch: float = 1.0
    vent_points_mm: tuple[tuple[float, float, float], ...] = ()
    rod_start_mm: float | None = None
    rod_inside_mm: tuple[float, ...] = ()
    screw_points_mm: tuple[tuple[float, float], ...] = ()
    screw_depth_mm: float = 8.0
    cover_vent_points_mm: tuple[tuple[float, float], ...] = ()
    narrow_vent_points_mm: tuple[tuple[float, float], ...] = ()
    cover_screw_points_mm: tuple[tuple[float, float], ...] = ()
    cover_screw_depth_mm: float = 8.0
    shadow_mm: tuple[tuple[float, float], ...] = ()
    breather_points_mm: tuple[tuple[float, float], ...] = ()
    side: SideFacts | None = None
    undercut_mm3: float = 0.0
    undercut_upper_mm3: float = 0.0
    sunk_screws_mm: tuple[tuple[float, float, float], ...] = ()
    sunk_depth_mm: float = 0.0
    pads_mm: tuple[tuple[float, float], ...] = ()
    shaped: tuple[ShapedFacts, ...] = ()
    hollows: tuple[LidFilled, ...] = ()
    hollows_mm3: float = 0.0
    rod_radius_mm: float = sizes.ROD_RADII_MM[0]

    def parting(self, asked: str | None) -> ShapedFacts | None:
        """The parting that follows the part, where it is asked for or worth it; None: a flat one.

        Parameters
        ----------
        asked : "flat", "ruled", "stepped", or None for whichever lets go more easily.

        Raises
        ------
        CannotBuild
            No parting of the kind that is asked for was found.
        """
        if asked is None:
            return self.shaped[0] if self.shaped and self.worth_shaping else None
        if asked == FLAT:
            return None
        of_kind = [one for one in self.shaped if one.kind == asked]
        if not of_kind:
            found = " and a ".join(("a flat", *(one.kind for one in self.shaped)))
            raise CannotBuild(
                f"along this pull no {asked} parting lets this part go better than a flat one; there is {found} one",
                advice="leave parting out, or write another direction as pull",
                field="parting",
                value=asked,
            )
        return of_kind[0]

    @property
    def worth_shaping(self) -> bool:
        """Whether a flat parting blocks so much that one which follows the part is worth its work."""
        return self.undercut_mm3 > _WORTH_SHAPING * self.volume_mm3

    def breathers(self, scale: float) -> tuple[tuple[float, float], ...]:
        """Places for breathers in the scaled part's flat face."""
        return tuple((x * scale, y * scale) for x, y in self.breather_points_mm)

    def screws(self, scale: float, *, cover: bool) -> tuple[tuple[tuple[float, float], ...], float]:
        """Places for screws in the scaled part, and how deep they may go."""
        points, depth = self.screw_points_mm, self.screw_depth_mm
        if cover and self.cover_screw_points_mm:
            points, depth = self.cover_screw_points_mm, self.cover_screw_depth_mm
        return tuple((x * scale, y * scale) for x, y in points), depth


@dataclass(frozen=True)
class Standing:
    """One part standing in the mould, scaled, parting at z = 0: its solid and its outline in place.

    `body` is what the pattern copies, where a hard core belongs to it, from one to the other of `body_ends_mm`;
    `body_outline` its outline between the rubber's end faces.
    """

    cell: Node
    outline: Outline | None
    low_mm: float
    high_mm: float
    radius_mm: float
    half_size_mm: tuple[float, float]
    bore_mm: float
    volume_mm3: float
    turned: bool
    body: Node | None = None
    body_outline: Outline | None = None
    body_ends_mm: tuple[float, float] | None = None
    shadow_mm: tuple[tuple[float, float], ...] = ()

    @cached_property
    def body_widths(self) -> Widths:
        """Radii of what the pattern copies: with a hard core that and the rubber, room for the spindle left out."""
        return self.widths if self.body_outline is None else Widths(self.body_outline)

    @cached_property
    def widths(self) -> Widths:
        """Radii at heights; only for a body of revolution."""
        if self.outline is None:
            raise CannotBuild("a solid without an outline has no radius at a height")
        return Widths(self.outline)


def stand(shape: PartShape, *, scale: float, turned: bool, parting_mm: float, volume_mm3: float = 0.0) -> Standing:
    """The part scaled and moved so that the parting, `parting_mm` high in its (turned) attitude, is z = 0."""
    height = shape.size_mm[2]

    def in_place(outline: Outline) -> Outline:
        upright = turned_over(outline, about_mm=height / 2) if turned else outline
        return shifted(scaled_outline(upright, scale), -parting_mm * scale)

    def moved(node: Node) -> Node:
        # A body of revolution is drawn again where it stands: corners at the parting then lie in it to the last
        # digit, while moving a made solid leaves them a rounding error beside it, and sheets of no thickness.
        if isinstance(node, Revolve):
            return Revolve(parted(in_place(node.outline)))
        upright = Turned(node, "x", 180.0).at(z_mm=height) if turned else node
        return upright.scaled(scale).at(z_mm=-parting_mm * scale)

    outline = None if shape.outline is None else in_place(shape.outline)
    if shape.outline is not None:
        volume_mm3 = 2 * math.pi * math.fsum(moment_mm3(curve) for curve in curves(shape.outline))

    return Standing(
        cell=moved(shape.node),
        outline=outline,
        low_mm=-parting_mm * scale,
        high_mm=(height - parting_mm) * scale,
        radius_mm=shape.radius_mm * scale,
        half_size_mm=(shape.size_mm[0] * scale / 2, shape.size_mm[1] * scale / 2),
        bore_mm=shape.bore_mm * scale,
        volume_mm3=volume_mm3 * scale**3,
        turned=turned,
    )


class Widths:
    """Radii of a body of revolution at heights, for placing screws and rods (to a thousandth of a millimetre)."""

    def __init__(self, outline: Outline) -> None:
        self.points = sampled(outline, segments=96, tolerance_mm=2e-4, weighted=False, corrected=False)
        self.low_mm, self.high_mm = float(self.points[:, 1].min()), float(self.points[:, 1].max())
        self._next = np.roll(self.points, -1, axis=0)

    def between(self, low_mm: float, high_mm: float) -> tuple[float, float]:
        """Radii that lie in the material at every height of a range: largest inner, smallest outer."""
        rows = self.points[(self.points[:, 1] > low_mm) & (self.points[:, 1] < high_mm), 1]
        heights = np.unique(np.concatenate(([low_mm, high_mm], rows - _SAME_MM, rows + _SAME_MM)))
        inner, outer = self._spans(np.clip(heights, self.low_mm + _SAME_MM, self.high_mm - _SAME_MM))
        return float(inner.max()), float(outer.min())

    def inner(self, z_mm: float) -> float:
        """Radius of the bore at a height, 0 where there is none."""
        return float(self._spans(np.array([z_mm]))[0][0])

    def at(self, heights_mm: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Radii of bore and outside at many heights; beyond an end those at the end."""
        return self._spans(np.clip(heights_mm, self.low_mm + _SAME_MM, self.high_mm - _SAME_MM))

    def top(self, inner_mm: float, outer_mm: float) -> float:
        """Lowest point of the upper surface between two radii."""
        return float(self._tops(np.linspace(max(inner_mm, _FINE_MM), outer_mm, 9)).min())

    def crest(self, inner_mm: float, outer_mm: float) -> float:
        """Highest point of the upper surface between two radii."""
        return float(self._tops(np.linspace(max(inner_mm, _FINE_MM), outer_mm, 9)).max())

    def stretch_below(self, z_mm: float) -> float:
        """Largest stretch of the silicone rings below a height: each must pass every wider section under it."""
        # Within half a millimetre of the lowest point a rounded edge closes on the floor, where no ring is.
        heights = np.linspace(self.low_mm + min(0.5, 0.1 * (z_mm - self.low_mm)), z_mm - _FINE_MM, 200)
        _, outer = self._spans(heights)
        return float((np.maximum.accumulate(outer) / np.maximum(outer, _FINE_MM)).max())

    def _spans(self, heights: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Inner and outer radius at each height; 0 where there is no bore, or nothing."""
        radii, met = self._crossings(0, 1, heights)
        count = met.sum(axis=1)
        lowest = np.where(met, radii, np.inf).min(axis=1)
        inner = np.where((count > 0) & (count % 2 == 0) & (lowest >= _FINE_MM), lowest, 0.0)
        return inner, np.where(count > 0, np.where(met, radii, -np.inf).max(axis=1), 0.0)

    def _tops(self, radii: NDArray[np.float64]) -> NDArray[np.float64]:
        heights, met = self._crossings(1, 0, radii)
        return np.where(met.any(axis=1), np.where(met, heights, -np.inf).max(axis=1), self.low_mm)

    def _crossings(
        self, want: int, along: int, levels: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
        """Where each edge crosses each level of one coordinate: the other coordinate there, and whether it does."""
        a, b, level = self.points, self._next, levels[:, None]
        met = (a[:, along] <= level) != (b[:, along] <= level)
        rise = np.where(a[:, along] == b[:, along], 1.0, b[:, along] - a[:, along])
        return a[:, want] + (level - a[:, along]) / rise * (b[:, want] - a[:, want]), met


# ---------------------------------------------------------------- how it should stand


@dataclass(frozen=True)
class Attitude:
    """A way for a part to stand: turned over or not, and the height of the parting in that attitude, unscaled."""

    turned: bool
    parting_mm: float


def flat_mouth(outline: Outline) -> tuple[Attitude, float]:
    """The attitude with the wider flat end at the mouth, and the share of the shadow it covers with its rounding.

    A rounding within the width of the part counts as covered: whether the silicone can end there is judged
    by the lip.
    """
    _, _, widest, height = bounds_mm(outline)
    shares = []
    for face in end_faces(outline):
        reach = face.rim_mm + face.edge_radius_mm if face.edge_radius_mm > 0 else face.rim_mm
        whole = widest**2 - bounds_mm(outline)[0] ** 2
        shares.append((min(reach, widest) ** 2 - face.inner_mm**2) / whole if face.flat else 0.0)
    lower_is_wider = shares[0] > shares[1]
    return Attitude(lower_is_wider, height), max(shares)


def widest_parting(outline: Outline) -> Attitude:
    """The attitude in which the greatest width lies highest, parted there: the lower half then opens freely."""
    height = bounds_mm(outline)[3]
    stretches = largest_section_heights_mm(outline)
    upright, over = stretches[-1][1], height - stretches[0][0]
    return Attitude(True, over) if over > upright + _SAME_MM else Attitude(False, upright)


def lips_pass(outline: Outline, parting_mm: float) -> bool:
    """Whether the silicone of both halves is thick enough behind every edge of the mouth."""
    return all(lip.ok for lip in outline_lips(outline, parting_mm))


def sharpened(shape_outline: Outline, *, upper: bool) -> Outline:
    """The outline with the rounding of one end's outer edge drawn as a sharp corner."""
    if upper:
        height = bounds_mm(shape_outline)[3]
        over = sharpened(turned_over(shape_outline, about_mm=height / 2), upper=False)
        return turned_over(over, about_mm=height / 2)
    face = end_faces(shape_outline)[0]
    edges: list[Edge] = []
    for begin, edge in shape_outline.pieces():
        rounding = face.edge_radius_mm > 0 and math.dist(begin, (face.rim_mm, face.height_mm)) < _SAME_MM
        if rounding and not isinstance(edge, Line):
            edges += [Line(edge.a_mm, face.height_mm), Line(edge.a_mm, edge.b_mm)]
        else:
            edges.append(edge)
    return Outline(shape_outline.start_mm, tuple(edges))
