"""What stands on the outside of straight walls: ribs against bulging, and posts that hold the joints of long walls."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.prints.joints import SMALL_TAIL
from pourwright.catalogue.moulds.stand.plan import Plan
from pourwright.engines.geometry.tree import Box, Mirrored, Node, Tapered
from pourwright.engines.process.mould_physics import ribbed_thickness, wall_bulge

_INTO_WALL_MM = 1.0  # a rib or post reaches so deep into its wall, so that they are one
_BESIDE_STRAP_MM = 2.0


@dataclass(frozen=True, kw_only=True)
class WallForm:
    """How thick walls are, and how many ribs, how deep, run along each straight one; 0 ribs for plain walls."""

    wall_mm: float
    ribs: int = 0
    rib_mm: float = 0.0


def wall_form(plan: Plan, depth_mm: float) -> WallForm:
    """The thinnest plain wall that bulges no more than allowed; with ribs where none does and the walls are straight.

    Parameters
    ----------
    depth_mm : of the liquid silicone.
    """
    length = plan.free_length_mm
    plain = [WallForm(wall_mm=wall) for wall in sizes.WALL_THICKNESSES_MM]
    ribbed: list[WallForm] = []
    if plan.is_rectangle:
        for wall in sizes.RIBBED_WALLS_MM:
            ribbed += [WallForm(wall_mm=wall, ribs=_count(depth_mm, rib), rib_mm=rib) for rib in sizes.RIB_DEPTHS_MM]
    tried = [*plain, *(form for form in ribbed if form.ribs)]
    for form in tried:
        if bulge_mm(length, form, depth_mm) <= sizes.LARGEST_BULGE_MM:
            return form
    return min(tried, key=lambda form: bulge_mm(length, form, depth_mm))


def bulge_mm(free_length_mm: float, form: WallForm, depth_mm: float) -> float:
    """Most that a wall bows out under liquid silicone: a beam held at its ends under the full head.

    Examples
    --------
    >>> round(bulge_mm(93.0, WallForm(wall_mm=3.0), 36.0), 2)
    0.07
    """
    thickness = form.wall_mm * 1e-3
    if form.ribs:
        thickness = ribbed_thickness(
            thickness=thickness,
            rib_depth=form.rib_mm * 1e-3,
            rib_height=sizes.RIB_HIGH_MM * 1e-3,
            spacing=(depth_mm + 2 * sizes.FREEBOARD_MM) / form.ribs * 1e-3,
        )
    return 1e3 * wall_bulge(
        liquid_density=sizes.SILICONE_KG_M3,
        depth=depth_mm * 1e-3,
        free_length=free_length_mm * 1e-3,
        thickness=thickness,
        modulus=sizes.PLASTIC_STIFFNESS_MPA * 1e6,
    )


def strap_width_mm(height_mm: float) -> float:
    """Width of the band grooves of walls so high."""
    return min(sizes.STRAP_MM, height_mm / 6)


def _between_straps(low_mm: float, high_mm: float) -> tuple[float, float]:
    beside = sizes.FREEBOARD_MM + strap_width_mm(high_mm - low_mm) + _BESIDE_STRAP_MM
    return low_mm + beside, high_mm - beside


def _count(depth_mm: float, rib_mm: float) -> int:
    """Ribs that find room between the straps, each with its slope under it."""
    low, high = _between_straps(0.0, depth_mm + 2 * sizes.FREEBOARD_MM)
    return int((high - low) // max(sizes.RIB_EVERY_MM, rib_mm + 2 * sizes.RIB_HIGH_MM))


# ---------------------------------------------------------------- solids


def ribs(form: WallForm, half_mm: tuple[float, float], low_mm: float, high_mm: float) -> list[Node]:
    """Ribs along the west and the south wall, from end to end of the box; undersides slope, so that they print."""
    if not form.ribs:
        return []
    x, y = half_mm[0] + form.wall_mm, half_mm[1] + form.wall_mm
    deep, (low, high) = form.rib_mm, _between_straps(low_mm, high_mm)
    step = (high - low) / form.ribs
    found: list[Node] = []
    for k in range(form.ribs):
        top = low + (k + 0.5) * step + (deep + sizes.RIB_HIGH_MM) / 2
        found.append(_rib((-x - deep, -half_mm[1], -x + _INTO_WALL_MM, half_mm[1]), deep, top))
        found.append(_rib((-half_mm[0], -y - deep, half_mm[0], -y + _INTO_WALL_MM), deep, top))
    return found


def _rib(plan: tuple[float, float, float, float], deep: float, top: float) -> Node:
    """A shelf, and under it a wedge: a tapered block whose far side, and ends, lie inside the wall or fade out."""
    x0, y0, x1, y1 = plan
    shelf = Box(x0, y0, top - sizes.RIB_HIGH_MM, x1, y1, top)
    # Wide enough towards the inside that its own slope there stays within the wall's thickness.
    wedge_x1 = x1 if x1 - x0 > y1 - y0 else x0 + 2 * deep + 2 * _INTO_WALL_MM
    wedge_y1 = y1 if y1 - y0 > x1 - x0 else y0 + 2 * deep + 2 * _INTO_WALL_MM
    under = Mirrored(Tapered(x0, y0, 0.0, wedge_x1, wedge_y1, deep, deep)).at(0.0, 0.0, top - sizes.RIB_HIGH_MM)
    keep = Box(x0 - 1, y0 - 1, top - sizes.RIB_HIGH_MM - deep - 1, x1, y1 + 1, top)
    return shelf | (under & keep)


def post_mm(wall_mm: float) -> float:
    """How far a post stands out of its wall: enough for a dovetail with plastic round it."""
    return max(sizes.POST_LEAST_MM, sizes.JOINT_DEEP_MM - wall_mm)


def tail_mm(wall_mm: float) -> float:
    """How far outside the wall's inner face the middle of a joint's dovetail lies."""
    return wall_mm + post_mm(wall_mm) - SMALL_TAIL.head_mm / 2 - sizes.ROUND_TAIL_MM


def post(at: tuple[float, float], out: tuple[int, int], wall_mm: float, low_mm: float, high_mm: float) -> Node:
    """A post on a wall's outer face, with the straps' grooves in it.

    Parameters
    ----------
    at : where the joint meets the wall's outer face.
    out : away from the wall: (-1, 0), (1, 0), (0, -1) or (0, 1).
    """
    deep, half = post_mm(wall_mm), SMALL_TAIL.deep_mm + sizes.ROUND_TAIL_MM + 1.0
    block = _beside(at, out, -_INTO_WALL_MM, deep, half, low_mm, high_mm)
    width = strap_width_mm(high_mm - low_mm)
    for z in (low_mm + sizes.FREEBOARD_MM, high_mm - sizes.FREEBOARD_MM - width):
        block = block - _beside(at, out, deep - sizes.STRAP_DEPTH_MM, deep + 1.0, half + 1.0, z, z + width)
    return block


def _beside(
    at: tuple[float, float], out: tuple[int, int], near: float, far: float, half: float, low: float, high: float
) -> Node:
    xs = sorted((at[0] + out[0] * near, at[0] + out[0] * far)) if out[0] else [at[0] - half, at[0] + half]
    ys = sorted((at[1] + out[1] * near, at[1] + out[1] * far)) if out[1] else [at[1] - half, at[1] + half]
    return Box(xs[0], ys[0], low, xs[1], ys[1], high)
