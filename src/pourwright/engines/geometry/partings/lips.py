"""The thinnest silicone lip: how thick the silicone is just behind the edge of the mouth. Millimetres.

Where a rounded edge of the part runs tangent into the parting face, the silicone ends in a feather that tears
or folds in the first cast, though every volume is right.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pourwright.engines.geometry.profiles.monotone import Piece, monotone_pieces
from pourwright.engines.geometry.tree import Outline

Half = Literal["lower half", "lid"]
LOWER: Half = "lower half"
LID: Half = "lid"

# The pass rule, in one place: (distance behind the edge, least thickness there, allowance). Judgement.
# A mouth edge of 0.5 mm radius just passes at 0.3 mm, one of 1 mm radius must not; a 45° mouth just passes.
LIP_LIMITS_MM = ((0.3, 0.1, 1e-3), (1.0, 1.0, 0.02))
BACK_MM = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.2, 1.4, 1.7, 2.0, 2.5, 3.0)

REMEDIES = (
    "part the mould where the rounded edge ends, so that the other half forms the radius",
    "give the mouth a sharp or a 45° edge, or a radius of at most 0.5 mm",
    "take the other mould style",
)
_SAME_MM = 1e-7


@dataclass(frozen=True)
class Lip:
    """Thickness of the silicone of one half behind one edge of the mouth.

    Parameters
    ----------
    half : "lower half" or "lid".
    edge : "outer edge", "bore mouth", or "mouth" where a mesh does not tell them apart.
    back_mm : mm, distances behind the edge.
    thickness_mm : mm, the least thickness of silicone at each of them; the depth of silicone where the part
        does not run under it.
    feather : at each of them, whether the part runs under the silicone at all.
    thinnest_point_mm : mm, (3,), point of the edge behind which the silicone is thinnest.
    ok : passes the limits of `LIP_LIMITS_MM`.
    remedies : what to try when it does not.
    """

    half: Half
    edge: str
    back_mm: tuple[float, ...]
    thickness_mm: tuple[float, ...]
    feather: tuple[bool, ...]
    thinnest_point_mm: tuple[float, float, float]
    ok: bool
    remedies: tuple[str, ...] = ()

    def at(self, back_mm: float) -> float:
        """Thickness at the sampled distance nearest to `back_mm`, mm."""
        nearest = min(range(len(self.back_mm)), key=lambda k: abs(self.back_mm[k] - back_mm))
        return self.thickness_mm[nearest]


def lip_passes(back_mm: Sequence[float], thickness_mm: Sequence[float]) -> bool:
    """Does a lip hold? Judged wherever a distance of `LIP_LIMITS_MM` was sampled.

    Examples
    --------
    >>> lip_passes((0.3, 1.0), (0.1, math.inf)), lip_passes((0.3, 1.0), (0.046, 1.0))
    (True, False)
    """
    for back, thickness in zip(back_mm, thickness_mm, strict=True):
        for at, least, allowance in LIP_LIMITS_MM:
            if abs(back - at) < _SAME_MM and thickness < least - allowance:
                return False
    return True


def worst_lip(lips: Sequence[Lip]) -> Lip | None:
    """The lip that fails, or else the thinnest at 1 mm behind the edge; None when there is no mouth."""
    return min(lips, key=lambda lip: (lip.ok, lip.at(1.0), lip.at(0.3)), default=None)


def round_edge_lip(*, radius_mm: float, back_mm: float) -> float:
    """Thickness behind an edge of a given radius that runs tangent into the parting face, mm.

    Parameters
    ----------
    radius_mm : mm, of the part's edge.
    back_mm : mm, behind the mouth's edge, at least 0.

    Returns
    -------
    mm; infinite beyond the radius.

    Examples
    --------
    >>> round(round_edge_lip(radius_mm=1.5, back_mm=1.0), 6)
    0.381966
    """
    if back_mm > radius_mm:
        return math.inf
    return radius_mm - math.sqrt((radius_mm - back_mm) * (radius_mm + back_mm))


# ---------------------------------------------------------------- bodies of revolution, exactly


def outline_lips(
    outline: Outline,
    parting_mm: float,
    *,
    depth_below_mm: float = math.inf,
    depth_above_mm: float = math.inf,
    back_mm: Sequence[float] = BACK_MM,
) -> tuple[Lip, ...]:
    """All lips of a body of revolution that is parted at one height, from its outline, exactly.

    Parameters
    ----------
    outline : (r, z), anticlockwise, of the part.
    parting_mm : mm, height of the parting face in the outline's own z.
    depth_below_mm, depth_above_mm : mm, silicone from the parting down to the floor, up to the lid's top.
    back_mm : mm, distances behind the edge.

    Returns
    -------
    One Lip for each edge of each mouth, the lower half's first. A part that ends at the parting has a mouth
    in one half only.
    """
    pieces = monotone_pieces(outline)
    heights = [z for piece in pieces for z in (piece.z0_mm, piece.z1_mm)]
    nearest = min(heights, key=lambda z: abs(z - parting_mm))
    parting = nearest if abs(nearest - parting_mm) < _SAME_MM else parting_mm
    turned = [piece.upside_down() for piece in pieces]
    below = _half_lips(pieces, parting, LOWER, depth_below_mm, tuple(back_mm), parting)
    return below + _half_lips(turned, -parting, LID, depth_above_mm, tuple(back_mm), parting)


def _half_lips(
    pieces: Sequence[Piece], parting: float, half: Half, depth: float, back: tuple[float, ...], shown: float
) -> tuple[Lip, ...]:
    """Lips of the half that lies below `parting`."""
    ends = sorted(piece.r_at(parting) for piece in pieces if piece.z_low < parting <= piece.z_high)
    spans = list(zip(ends[::2], ends[1::2], strict=True))
    lips = []
    for inner, outer in spans:
        for edge, outwards in ((inner, -1.0), (outer, 1.0)):
            # The axis is no edge.
            if outwards < 0 and edge < _SAME_MM:
                continue
            found = [_thickness(pieces, spans, parting, abs(edge + outwards * s)) for s in back]
            thickness = tuple(depth if math.isinf(t) else t for t in found)
            ok = lip_passes(back, thickness)
            lips.append(
                Lip(
                    half,
                    "outer edge" if outwards > 0 else "bore mouth",
                    back,
                    thickness,
                    tuple(not math.isinf(t) for t in found),
                    (edge, 0.0, shown),
                    ok,
                    () if ok else REMEDIES,
                )
            )
    return tuple(lips)


def _thickness(pieces: Sequence[Piece], spans: Sequence[tuple[float, float]], parting: float, radius: float) -> float:
    """Silicone straight below the parting at one radius, down to the part; infinite where it never comes."""
    if any(inner < radius < outer for inner, outer in spans):
        return math.inf  # inside the next mouth: the wall between two mouths is judged as a gap
    under = [piece.z_at(radius) for piece in pieces if piece.r_low < radius <= piece.r_high]
    return parting - max((z for z in under if z < parting - _SAME_MM), default=-math.inf)
