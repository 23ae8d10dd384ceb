"""Where the cells stand and what box goes round them: every sound combination, and the one to take."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import pairwise

import numpy as np

from pourwright.basics.errors import DoesNotFit
from pourwright.catalogue.moulds.prints.joints import PLATE_TAIL, Grid, fits, grid
from pourwright.catalogue.moulds.stand.plan import Plan, Point, circle, hull, rectangle, smallest_circle
from pourwright.engines.geometry.layouts.packing import convex_hull, pack_circle, pack_square
from pourwright.engines.geometry.layouts.packing_rows import rows_of

RECTANGLE, SQUARE, ROUND, FORM = "rectangle", "square", "round", "form-fitting"
BOXES = (RECTANGLE, SQUARE, ROUND, FORM)  # simplest first
_SIMPLER_WITHIN = 1.05  # a simpler box is taken when it needs no more silicone than this, of the least (judgement)
_SAME_MM = 1e-6
_FINE_CORNERS = 12  # a shadow with more corners is drawn round by tangents
_TANGENTS = 24
_TURNED_CELLS = 20
_SMALL_TURN = 0.1  # rad


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Cells in rows along x, and the box round them.

    Parameters
    ----------
    name : how the cells stand: "2 × 2", "2-1-2 staggered", "tightest in a circle".
    box : "rectangle", "square", "round" or "form-fitting".
    centres_mm : mm, (N, 2)
    plan : the inside of the box.
    side_mm : mm, silicone beside the cells that was asked for.
    """

    name: str
    box: str
    centres_mm: tuple[Point, ...]
    plan: Plan
    side_mm: float = 0.0

    @cached_property
    def rows_mm(self) -> tuple[float, ...]:
        """The y of each row, lowest first."""
        return tuple(sorted({y for _, y in self.centres_mm}))

    @property
    def plain(self) -> bool:
        """Equal rows, one straight over the other."""
        return "×" in self.name

    @property
    def half_mm(self) -> Point:
        """Half the inner size of the box along x and y."""
        return self.plan.half_mm

    @property
    def area_mm2(self) -> float:
        """Area of the box inside the walls."""
        return self.plan.area_mm2

    def pot_bore_mm(self, around_mm: float) -> float:
        """Diameter of the circle round the box and what stands out `around_mm` beyond its inner faces."""
        return 2 * self.plan.circle_mm(around_mm)


@dataclass(frozen=True, kw_only=True)
class Room:
    """What a layout must keep within: the bed, and the diameter of the free circle in the pot (inf: none).

    Parameters
    ----------
    around_mm : how far walls and flange stand out beyond the box's inner faces; flange_mm the flange alone.
    bed_mm : what one printed piece must lie on.
    shell_mm : beyond the middle of the box, what half a shell takes along x; 0 for L walls.
    """

    around_mm: float
    bed_mm: tuple[float, float]
    circle_mm: float = math.inf
    flange_mm: float = 0.0
    shell_mm: float = 0.0

    def grid(self, layout: Layout) -> Grid | None:
        """Into how many parts base and boards are cut so that each fits the bed; None when even many do not."""
        x, y = (2 * (half + self.flange_mm) for half in layout.half_mm)
        found = grid((x, y), self.bed_mm)
        if found is None or self.shell_mm == 0.0:
            return found
        # Half a shell is cut once at the most, across its middle.
        half = layout.half_mm[0] + self.shell_mm, layout.half_mm[1] + self.around_mm + PLATE_TAIL.deep_mm
        return found if fits(half, self.bed_mm) else None

    def parts(self, layout: Layout) -> int:
        """Parts of the base; 1 where it fits the bed whole, 0 where it cannot be made."""
        found = self.grid(layout)
        return 0 if found is None else found.count

    def beyond_bed_mm(self, layout: Layout) -> float:
        """By how much a whole base is too large for the bed; not above 0 when it can be made, if in parts."""
        if self.grid(layout) is not None:
            return 0.0
        outer = sorted(2 * (half + self.flange_mm) for half in layout.half_mm)
        bed = sorted(self.bed_mm)
        return max(outer[0] - bed[0], outer[1] - bed[1])

    def beyond_pot_mm(self, layout: Layout) -> float:
        """By how much it is too wide for the pot; not above 0 when it fits."""
        return layout.pot_bore_mm(self.around_mm) - self.circle_mm

    def missing_mm(self, layout: Layout) -> float:
        """How much is missing, mm; 0 when it fits."""
        return max(0.0, self.beyond_bed_mm(layout), self.beyond_pot_mm(layout))

    def words(self, layout: Layout) -> str:
        """What is missing, for a person; empty when it fits."""
        if self.missing_mm(layout) == 0.0:
            return ""
        where = "pot" if self.beyond_pot_mm(layout) > max(0.0, self.beyond_bed_mm(layout)) else "printer's bed"
        return f"{self.missing_mm(layout):.1f} mm too large for the {where}"


# ---------------------------------------------------------------- every combination


def candidates(
    *,
    cells: int,
    half_cell_mm: tuple[float, float],
    wall_mm: float,
    between_mm: float,
    round_cells: bool,
    shadow_mm: Sequence[Point] = (),
) -> list[Layout]:
    """Every layout in every box, least silicone first.

    Parameters
    ----------
    half_cell_mm : mm, half the size of a cell along x and y (its radius, twice, when round).
    shadow_mm : mm, (n, 2), what a cell that is not round covers, about its axis; its whole box when empty.
    """
    if round_cells:
        found = _round_cells(cells, half_cell_mm[0], wall_mm, between_mm)
    else:
        found = _any_cells(cells, half_cell_mm, wall_mm, between_mm, tuple(shadow_mm))
    # Equal areas: the simplest box first, and the fewest rows.
    return sorted(found, key=lambda one: (round(one.area_mm2, 6), BOXES.index(one.box), len(one.rows_mm), one.name))


@dataclass(frozen=True)
class _Places:
    """Round cells one pitch apart, with what every box round them follows from."""

    name: str
    centres: tuple[Point, ...]
    corners: tuple[Point, ...]
    circle: tuple[Point, float]
    reach: Point


def _round_cells(cells: int, radius: float, wall: float, between: float) -> Iterator[Layout]:
    """Boxes round round cells; all of them follow from places that are worked out once for each number."""
    pitch, rho = 2 * radius + between, radius + wall
    for places in _places(cells):
        centres = tuple((x * pitch, y * pitch) for x, y in places.centres)
        half = places.reach[0] * pitch + rho, places.reach[1] * pitch + rho
        corners = tuple((x * pitch, y * pitch) for x, y in places.corners)
        yield Layout(name=places.name, box=RECTANGLE, centres_mm=centres, plan=rectangle(*half), side_mm=wall)
        yield Layout(
            name=places.name, box=SQUARE, centres_mm=centres, plan=rectangle(max(half), max(half)), side_mm=wall
        )
        plan = Plan(corners_mm=corners, round_mm=rho)
        yield Layout(name=places.name, box=FORM, centres_mm=centres, plan=plan, side_mm=wall)
        (x, y), reach = places.circle
        moved = tuple((px - x * pitch, py - y * pitch) for px, py in centres)
        yield Layout(name=places.name, box=ROUND, centres_mm=moved, plan=circle(reach * pitch + rho), side_mm=wall)


@cache
def _places(cells: int) -> tuple[_Places, ...]:
    found: list[_Places] = []
    for rows in rows_of(cells):
        found.append(_measured(_row_name(rows.counts, staggered=rows.staggered, shifted=rows.shifted), rows.centres))
    nest, square = (pack(cells, tighten=False).centres for pack in (pack_circle, pack_square))
    # Rows that are as tight have a plainer name, and their cells in line.
    tight = _measured("tightest in a circle", _in_rows([(x / 2, y / 2) for x, y in nest]))
    if not any(abs(one.circle[1] - tight.circle[1]) < _SAME_MM for one in found):
        found.append(tight)
    tight = _measured("tightest in a square", _level(np.array(square) / 2, 0.0))
    if not any(abs(max(one.reach) - max(tight.reach)) < _SAME_MM for one in found):
        found.append(tight)
    return tuple({(one.name, one.reach): one for one in found}.values())


def _row_name(counts: tuple[int, ...], *, staggered: bool, shifted: bool) -> str:
    if not staggered and len(set(counts)) == 1:
        return f"{counts[0]} × {len(counts)}"
    return "-".join(map(str, counts)) + (" shifted" if shifted else " staggered" if staggered else " in rows")


def _measured(name: str, centres: tuple[Point, ...]) -> _Places:
    points = np.array(centres)
    corners = tuple((float(x), float(y)) for x, y in convex_hull(points))
    reach = np.abs(points).max(axis=0)
    return _Places(name, centres, corners, smallest_circle(corners), (float(reach[0]), float(reach[1])))


def _in_rows(points: Sequence[Point]) -> tuple[Point, ...]:
    """Turned so that as many cells as can be stand in line, about the middle of their box."""
    best: tuple[tuple[int, float], tuple[Point, ...]] | None = None
    if len(points) > _TURNED_CELLS:  # these are a lattice already
        return _level(np.array(points), 0.0)
    for i, (x, y) in enumerate(points):
        for u, v in points[:i]:
            if math.dist((x, y), (u, v)) > 1 + _SAME_MM:
                continue
            turned = _level(np.array(points), math.atan2(v - y, u - x))
            rows = sorted({y for _, y in turned})
            rank = (len(rows), -min((b - a for a, b in pairwise(rows)), default=0.0))
            if best is None or rank < best[0]:
                best = rank, turned
    return best[1] if best is not None else _level(np.array(points), 0.0)


def _level(points: np.ndarray[tuple[int, int], np.dtype[np.float64]], angle: float) -> tuple[Point, ...]:
    c, s = math.cos(angle), math.sin(angle)
    turned = points @ np.array([[c, -s], [s, c]])
    turned -= (turned.max(axis=0) + turned.min(axis=0)) / 2
    ordered = np.argsort(turned[:, 1], kind="stable")
    row = 0.0
    for here, before in zip(ordered, [None, *ordered[:-1]], strict=True):
        row = float(turned[here, 1]) if before is None or turned[here, 1] - row > _SAME_MM else row
        turned[here, 1] = row
    return tuple((float(x) + 0.0, float(y) + 0.0) for x, y in turned)


def _any_cells(
    cells: int, half: tuple[float, float], wall: float, between: float, shadow: tuple[Point, ...]
) -> Iterator[Layout]:
    """Boxes round cells of any outline, which stand in straight rows."""
    pitch = 2 * half[0] + between, 2 * half[1] + between
    cell = _few_corners(shadow) if shadow else ((-half[0], -half[1]), (half[0], -half[1]), half, (-half[0], half[1]))
    for rows in rows_of(cells):
        if rows.staggered or rows.shifted:
            continue
        name = _row_name(rows.counts, staggered=False, shifted=False)
        centres = tuple((x * pitch[0], y * pitch[1]) for x, y in rows.centres)
        reach = [max(abs(centre[axis]) for centre in centres) + half[axis] + wall for axis in (0, 1)]
        yield Layout(name=name, box=RECTANGLE, centres_mm=centres, plan=rectangle(*reach), side_mm=wall)
        yield Layout(name=name, box=SQUARE, centres_mm=centres, plan=rectangle(max(reach), max(reach)), side_mm=wall)
        points = [(cx + x, cy + y) for cx, cy in centres for x, y in cell]
        corners = convex_hull(np.array(points))
        low, high = corners.min(axis=0), corners.max(axis=0)
        off = (low + high) / 2
        here = tuple((x - float(off[0]), y - float(off[1])) for x, y in centres)
        plan = hull([(float(x), float(y)) for x, y in corners - off], wall)
        yield Layout(name=name, box=FORM, centres_mm=here, plan=plan, side_mm=wall)
        (x, y), radius = smallest_circle([(float(px), float(py)) for px, py in corners])
        moved = tuple((cx - x, cy - y) for cx, cy in centres)
        yield Layout(name=name, box=ROUND, centres_mm=moved, plan=circle(radius + wall), side_mm=wall)


def _few_corners(shadow: tuple[Point, ...]) -> tuple[Point, ...]:
    """The hull of a shadow; where it has many corners, or blunt ones, a polygon of tangents round it."""
    points = convex_hull(np.array(shadow))
    along = np.roll(points, -1, axis=0) - points
    headings = np.unwrap(np.arctan2(along[:, 1], along[:, 0]))
    turns = np.diff(np.append(headings, headings[0] + 2 * math.pi))
    if len(points) <= _FINE_CORNERS and turns.min() > _SMALL_TURN:
        return tuple((float(x), float(y)) for x, y in points)
    angles = 2 * math.pi * np.arange(_TANGENTS) / _TANGENTS
    ways = np.column_stack((np.cos(angles), np.sin(angles)))
    reach = (ways @ points.T).max(axis=1)
    after, ahead = np.roll(ways, -1, axis=0), np.roll(reach, -1)
    cross = ways[:, 0] * after[:, 1] - ways[:, 1] * after[:, 0]
    x = (reach * after[:, 1] - ahead * ways[:, 1]) / cross
    y = (ahead * ways[:, 0] - reach * after[:, 0]) / cross
    found = convex_hull(np.column_stack((x, y)))
    return tuple((float(px), float(py)) for px, py in found)


# ---------------------------------------------------------------- choosing


def choose(
    layouts: Sequence[Layout],
    rooms: Mapping[Layout, Room],
    *,
    silicone_mm3: Callable[[Layout], float],
    box: str | None = None,
    name: str | None = None,
) -> Layout:
    """The layout with the least silicone that fits; a simpler box within 5 % of it goes first.

    Where none fits the bed whole, those whose base is in the fewest parts are looked at.

    Parameters
    ----------
    layouts : least area first.
    rooms : what each must keep within.
    silicone_mm3 : mm3 that each takes.
    box, name : as asked for; None leaves them free.

    Raises
    ------
    DoesNotFit
        None fits; the message says by how many mm the best one misses.
    """
    asked = [layout for layout in layouts if name in (None, layout.name) and box in (None, layout.box)]
    if not asked:
        shown = [layout for layout in layouts if box in (None, layout.box)] or list(layouts)
        names = dict.fromkeys(layout.name for layout in shown)
        raise DoesNotFit(f"there is no layout {name!r}", advice=", ".join(names), field="layout", value=name)
    fitting = [layout for layout in asked if rooms[layout].missing_mm(layout) == 0.0]
    if fitting:
        fewest = min(rooms[layout].parts(layout) for layout in fitting)
        fitting = [layout for layout in fitting if rooms[layout].parts(layout) == fewest]
        most = _SIMPLER_WITHIN * min(silicone_mm3(layout) for layout in fitting)
        near = [layout for layout in fitting if silicone_mm3(layout) <= most]
        return min(near, key=lambda layout: (BOXES.index(layout.box), not layout.plain))
    best = min(asked, key=lambda layout: rooms[layout].missing_mm(layout))
    raise DoesNotFit(
        f"the mould is {rooms[best].words(best)}, in its best layout ({best.name}, {best.box} box)",
        advice="ask for fewer cavities, or less silicone beside and between them",
        field="cavities",
        value=len(best.centres_mm),
    )
