"""The frame of a mould: its plan between its fill lines, the walls round it, the base in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.prints import ticks
from pourwright.catalogue.moulds.prints.joints import Cut
from pourwright.catalogue.moulds.prints.stiffening import WallForm, post_mm
from pourwright.catalogue.moulds.stand.plan import Plan, Point
from pourwright.engines.geometry.tree import Box, Node, Op, cylinder, union

_OUTSIDE_MM = 1.0  # a cutting tool reaches so far beyond the face it cuts
_CORNERS_DEG = (45.0, 135.0, 225.0, 315.0)  # where jack screws press on walls that have no corners
_FEET_DEG = (225.0, 315.0, 90.0)  # where the levelling screws stand


@dataclass(frozen=True, kw_only=True)
class Frame:
    """The box: its inside seen from above, the two fill lines, wall thickness, the fit between prints, mm.

    `seam_mm` is the depth of a bead on the walls along the parting, twice as high as deep; 0 without one. `form` has
    the walls' ribs, `cuts` is where plates are cut that do not fit the bed, `walls_cut` whether the walls are too,
    `ticked` whether the walls carry witness ticks.
    """

    plan: Plan
    fill_lower_mm: float
    fill_upper_mm: float
    wall_mm: float
    fit_mm: float
    seam_mm: float = 0.0
    form: WallForm | None = None
    cuts: tuple[Cut, ...] = ()
    walls_cut: bool = False
    ticked: bool = False

    @property
    def reach_mm(self) -> float:
        """How far walls with their ribs and posts, and the flange, stand out beyond the walls' inner faces."""
        rib = 0.0 if self.form is None or not self.form.ribs else self.form.rib_mm
        post = post_mm(self.wall_mm) if self.walls_cut else 0.0
        return self.wall_mm + max(sizes.FLANGE_MM, rib, post)

    @property
    def half_x_mm(self) -> float:
        """Half the inner size along x."""
        return self.plan.half_mm[0]

    @property
    def half_y_mm(self) -> float:
        """Half the inner size along y."""
        return self.plan.half_mm[1]

    @property
    def low_mm(self) -> float:
        """Lower end of the walls."""
        return self.fill_lower_mm - sizes.FREEBOARD_MM

    @property
    def high_mm(self) -> float:
        """Upper end of the walls."""
        return self.fill_upper_mm + sizes.FREEBOARD_MM

    @property
    def outer_mm(self) -> tuple[float, float]:
        """Half outer sizes of the walls."""
        return self.half_x_mm + self.wall_mm, self.half_y_mm + self.wall_mm

    @property
    def flange_mm(self) -> tuple[float, float]:
        """Half sizes of the base's flange and of the boards: the widest thing on the bed and in the pot."""
        return self.outer_mm[0] + sizes.FLANGE_MM, self.outer_mm[1] + sizes.FLANGE_MM

    def block(self, low_mm: float, high_mm: float, *, grow_mm: float = 0.0) -> Node:
        """The inner outline between two heights, bead and ticks at the parting left out; plain when grown or shrunk."""
        block = self.plan.block(low_mm, high_mm, grow_mm=grow_mm)
        if self.ticked and grow_mm == 0.0 and low_mm < ticks.HIGH_MM and high_mm > ticks.LOW_MM:
            block = self._ticked(block, low_mm, high_mm)
        s = self.seam_mm
        if grow_mm != 0.0 or s == 0.0 or low_mm >= s or high_mm <= -s:
            return block
        around = self.plan.block(-s, s, grow_mm=_OUTSIDE_MM)
        return cut(block, cut(around, self.plan.block(-2 * s, 2 * s, grow_mm=-s)))

    def _ticked(self, block: Node, low_mm: float, high_mm: float) -> Node:
        """A block without its ticks: drawn round them on straight walls, so that nothing has to be cut."""
        low, high = max(low_mm, ticks.LOW_MM), min(high_mm, ticks.HIGH_MM)
        if ticks.on_flats(self.plan, self.cuts):
            below = [self.plan.block(low_mm, low)] if low_mm < low else []
            above = [self.plan.block(high, high_mm)] if high < high_mm else []
            return union(*below, ticks.notched(self.plan, self.cuts, low, high), *above)
        ribs = ticks.ticks(self.plan, self.cuts)
        whole = self.fill_lower_mm, self.fill_upper_mm
        if (low_mm, high_mm) == whole or low_mm < whole[0] or high_mm > whole[1]:
            return cut(block, *ribs)
        # Halves are slices of the whole: a rib meets a round wall alike in all of them.
        far = sizes.FAR_MM
        return cut(self.plan.block(*whole), *ribs) & Box(-far, -far, low_mm, far, far, high_mm)

    @property
    def ticks_mm3(self) -> float:
        """What the witness ticks take from the box besides."""
        return ticks.ticks_mm3(self.plan, self.seam_mm, self.cuts) if self.ticked else 0.0

    @property
    def bead_mm3(self) -> float:
        """What the bead takes from the box."""
        return 2 * self.seam_mm * (self.plan.area_mm2 - self.plan.grown_area_mm2(-self.seam_mm))

    def edge(self, high_mm: float) -> Node:
        """What closes the box at z = 0: close to the walls next to the silicone, looser above, past their bead."""
        foot = self.seam_mm + (sizes.EDGE_GAP_MM if self.seam_mm > 0 else 0.0)
        land = min(foot + sizes.EDGE_LAND_MM, high_mm)
        tight = self.block(foot, land, grow_mm=-sizes.EDGE_GAP_MM)
        loose = self.block((foot + land) / 2, high_mm, grow_mm=-sizes.BODY_GAP_MM)
        if self.seam_mm == 0.0:
            return union(tight, loose)
        under = self.block(0.0, (foot + land) / 2, grow_mm=-self.seam_mm - sizes.EDGE_GAP_MM)
        notches = ticks.ticks(self.plan, self.cuts, grow_mm=sizes.BODY_GAP_MM) if self.ticked else []
        return cut(union(under, tight, loose), *notches)

    def jack_spots_mm(self) -> list[Point]:
        """Where jack screws press on the middle of the walls' ends."""
        if self.plan.is_rectangle:
            x, y = self.half_x_mm + self.wall_mm / 2, self.half_y_mm + self.wall_mm / 2
            return [(x, y), (-x, y), (-x, -y), (x, -y)]
        return [self.plan.ray_mm(angle, grow_mm=self.wall_mm / 2) for angle in _CORNERS_DEG]

    def foot_spots_mm(self) -> list[Point]:
        """Where the three levelling screws stand, outside the boss."""
        out = (self.wall_mm + sizes.FLANGE_MM) / 2
        if self.plan.is_rectangle:
            x, y = self.half_x_mm + out, self.half_y_mm + out
            return [(-x, -y), (x, -y), (0.0, y)]
        return [self.plan.ray_mm(angle, grow_mm=out) for angle in _FEET_DEG]


def cut(first: Node, *tools: Node) -> Node:
    """The first without the others; a union among them is cut piece by piece, which kernels do faster."""
    flat: list[Node] = []
    for tool in tools:
        flat.extend(tool.solids if isinstance(tool, Op) and tool.kind == "union" else (tool,))
    if not flat:
        return first
    return Op("cut", (first, *flat))


def repeated(solid: Node, centres_mm: Sequence[tuple[float, float]]) -> Node:
    """One solid at every cell."""
    return union(*(solid.at(x, y) for x, y in centres_mm))


# ---------------------------------------------------------------- base


def base_plate(
    frame: Frame,
    *,
    raised: Sequence[Node],
    holes: Sequence[Node],
    screws_mm: Sequence[tuple[float, float]],
    access_mm: float,
    rods_mm: Sequence[tuple[float, float, float]] = (),
) -> Node:
    """The base, face at z = 0: plate inside the walls, ribs below it, a flange on which the walls' ends stand.

    Parameters
    ----------
    raised : rims, keys and the like on its face.
    holes : what is drilled through the plate.
    screws_mm : where a driver must reach the plate from below; access_mm its radius.
    rods_mm : where core rods or spindles pass, and the radius of each one's hole, which `holes` drill.
    """
    end = frame.high_mm + sizes.FLANGE_MM
    flange = frame.block(frame.high_mm, end, grow_mm=frame.wall_mm + sizes.FLANGE_MM)
    access = [cylinder(radius_mm=access_mm, z0_mm=sizes.PLATE_MM, z1_mm=end + 1).at(x, y) for x, y in screws_mm]
    plate = cut(union(frame.edge(end), flange, *raised), *_pockets(frame, end))
    # A hole beside a rib would leave a sliver of it that does not print: a boss stands round each.
    wide = access_mm + sizes.BOSS_MM
    bosses = [cylinder(radius_mm=wide, z0_mm=sizes.PLATE_MM - 1, z1_mm=end).at(x, y) for x, y in screws_mm]
    bosses = bosses if access_mm > 0 else []
    bosses += [
        cylinder(radius_mm=hole + sizes.BOSS_MM, z0_mm=sizes.PLATE_MM - 1, z1_mm=end).at(x, y) for x, y, hole in rods_mm
    ]
    whole = union(plate, *bosses) if bosses else plate
    near = _joined_access(screws_mm, access_mm, end + 1) if access_mm > 0 else []
    return cut(whole, *(access if access_mm > 0 else ()), *near, *holes, *_jack_holes(frame, end))


def _joined_access(screws_mm: Sequence[Point], access_mm: float, high_mm: float) -> list[Node]:
    """Slots between access holes that overlap or nearly do: what is left between them ends in a feather."""
    found: list[Node] = []
    for (x0, y0), (x1, y1) in combinations(screws_mm, 2):
        apart = math.hypot(x1 - x0, y1 - y0)
        if 0.0 < apart < 2 * access_mm + sizes.BOSS_MM:
            # Narrower than the holes, so that its sides meet their round at a blunt corner.
            slot = Box(-apart / 2, -0.8 * access_mm, sizes.PLATE_MM, apart / 2, 0.8 * access_mm, high_mm)
            turn = math.degrees(math.atan2(y1 - y0, x1 - x0))
            found.append(slot.at((x0 + x1) / 2, (y0 + y1) / 2, turn_deg=turn))
    return found


def _pockets(frame: Frame, end_mm: float) -> list[Node]:
    """Hollows between the ribs under the plate, narrow enough to print without support."""
    inset = sizes.BODY_GAP_MM + sizes.RIB_MM
    low, high = sizes.PLATE_MM, end_mm + 1
    across, along = (_spans(half - inset, _bars(frame, axis)) for axis, half in enumerate(frame.plan.half_mm))
    if frame.plan.is_rectangle:
        return [Box(x0, y0, low, x1, y1, high) for x0, x1 in across for y0, y1 in along]
    hollow = frame.block(low, high, grow_mm=-inset)
    x, y = frame.half_x_mm, frame.half_y_mm
    ribs: list[Node] = [Box(a[1], -y, low - 1, b[0], y, high + 1) for a, b in pairwise(across)]
    ribs += [Box(-x, a[1], low - 1, x, b[0], high + 1) for a, b in pairwise(along)]
    return [cut(hollow, *ribs)]


def _bars(frame: Frame, axis: int) -> list[float]:
    """Where a solid bar runs under the plate, so that the base can be joined there."""
    return sorted(cut.at_mm for cut in frame.cuts if cut.axis == axis)


def _spans(half_mm: float, bars_mm: Sequence[float] = ()) -> list[tuple[float, float]]:
    """Pockets along one axis, clear of the bars."""
    ends = [-half_mm, *(at + side for at in bars_mm for side in (-sizes.JOINT_BAR_MM, sizes.JOINT_BAR_MM)), half_mm]
    found: list[tuple[float, float]] = []
    for low, high in zip(ends[::2], ends[1::2], strict=True):
        if high - low < sizes.RIB_MM:
            continue
        count = max(1, math.ceil((high - low + sizes.RIB_MM) / (sizes.LONGEST_BRIDGE_MM + sizes.RIB_MM)))
        width = (high - low - (count - 1) * sizes.RIB_MM) / count
        starts = [low + i * (width + sizes.RIB_MM) for i in range(count)]
        found += [(start, start + width) for start in starts]
    return found


def _jack_holes(frame: Frame, end_mm: float) -> list[Node]:
    """Four M4 threads in the flange: screws there press on the walls' ends and lift the base evenly."""
    hole = cylinder(radius_mm=sizes.M4_THREAD_RADIUS_MM, z0_mm=frame.high_mm - 1, z1_mm=end_mm + 1)
    return [hole.at(x, y) for x, y in frame.jack_spots_mm()]
