"""Where the cells stand: the layout with the least silicone that fits the printer's bed and the pot."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pourwright.basics.errors import DoesNotFit


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Cells in rows along x.

    Parameters
    ----------
    name : "2 × 2", or "2-1-2 staggered".
    centres_mm : mm, (N, 2)
    rows_mm : mm, the y of each row.
    half_mm : mm, half the inner size of the box along x and y.
    """

    name: str
    centres_mm: tuple[tuple[float, float], ...]
    rows_mm: tuple[float, ...]
    half_mm: tuple[float, float]

    @property
    def area_mm2(self) -> float:
        """Area of the box inside the walls."""
        return 4 * self.half_mm[0] * self.half_mm[1]

    def pot_bore_mm(self, around_mm: float) -> float:
        """Diameter of the circle round the box and what stands out `around_mm` beyond its inner faces."""
        return 2 * math.hypot(self.half_mm[0] + around_mm, self.half_mm[1] + around_mm)


@dataclass(frozen=True, kw_only=True)
class Room:
    """What a layout must keep within: outer size on the bed, diameter of the free circle in the pot (inf: none)."""

    around_mm: float
    bed_mm: tuple[float, float]
    circle_mm: float = math.inf

    def missing_mm(self, layout: Layout) -> float:
        """How much is missing, mm; 0 when it fits."""
        outer = sorted(2 * (half + self.around_mm) for half in layout.half_mm)
        bed = sorted(self.bed_mm)
        lacking = max(outer[0] - bed[0], outer[1] - bed[1], layout.pot_bore_mm(self.around_mm) - self.circle_mm)
        return max(0.0, lacking)


def candidates(
    *, cells: int, half_cell_mm: tuple[float, float], wall_mm: float, between_mm: float, round_cells: bool
) -> list[Layout]:
    """Every layout tried, least silicone first.

    Parameters
    ----------
    half_cell_mm : mm, half the size of a cell along x and y (its radius, twice, when round).
    """
    found = list(_grids(cells, half_cell_mm, wall_mm, between_mm))
    if round_cells:
        found += _staggered(cells, half_cell_mm[0], wall_mm, between_mm)
    return sorted(found, key=lambda layout: (round(layout.area_mm2, 6), len(layout.rows_mm)))


def choose(layouts: list[Layout], room: Room, wanted: str | None = None) -> Layout:
    """The first layout that fits, or the one asked for by name.

    Raises
    ------
    DoesNotFit
        None fits; the message says by how many mm the best one misses.
    """
    asked = [layout for layout in layouts if wanted is None or layout.name == wanted]
    if not asked:
        raise DoesNotFit(f"there is no layout {wanted!r}", advice=", ".join(layout.name for layout in layouts))
    fitting = [layout for layout in asked if room.missing_mm(layout) == 0.0]
    if fitting:
        return fitting[0]
    best = min(asked, key=room.missing_mm)
    where = "pot" if best.pot_bore_mm(room.around_mm) > room.circle_mm else "printer's bed"
    raise DoesNotFit(
        f"the mould is {room.missing_mm(best):.1f} mm too large for the {where}, in its best layout ({best.name})",
        advice="ask for fewer cavities, or less silicone beside and between them",
        field="cavities",
        value=len(best.centres_mm),
    )


def _grids(cells: int, half: tuple[float, float], wall: float, between: float) -> Iterator[Layout]:
    for rows in range(1, cells + 1):
        if cells % rows == 0:
            yield _in_rows(
                [cells // rows] * rows,
                half,
                (2 * half[0] + between, 2 * half[1] + between),
                wall,
                f"{cells // rows} × {rows}",
            )


def _staggered(cells: int, radius: float, wall: float, between: float) -> Iterator[Layout]:
    """Rows of m, m - 1, m, ... cells (or m - 1 first), each set half a pitch aside."""
    pitch = 2 * radius + between
    for rows in range(2, 6):
        for long_first in (True, False):
            for most in range(2, cells + 1):
                counts = [most - (row % 2 == (1 if long_first else 0)) for row in range(rows)]
                if sum(counts) == cells and min(counts) >= 1:
                    name = "-".join(map(str, counts)) + " staggered"
                    yield _in_rows(counts, (radius, radius), (pitch, pitch * math.sqrt(0.75)), wall, name)


def _in_rows(
    counts: list[int], half: tuple[float, float], pitch: tuple[float, float], wall: float, name: str
) -> Layout:
    rows = tuple((row - (len(counts) - 1) / 2) * pitch[1] for row in range(len(counts)))
    centres = tuple(
        ((column - (count - 1) / 2) * pitch[0], y)
        for count, y in zip(counts, rows, strict=True)
        for column in range(count)
    )
    reach = (max(counts) - 1) / 2 * pitch[0], rows[-1]
    return Layout(
        name=name,
        centres_mm=centres,
        rows_mm=rows,
        half_mm=(reach[0] + half[0] + wall, reach[1] + half[1] + wall),
    )
