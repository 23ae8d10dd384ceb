"""What a solid from a file is, and how it could be moulded. SI units."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class Inspection:
    """The facts of one solid.

    Parameters
    ----------
    file : name as given.
    unit : of the file, by name.
    exact : whether the file holds exact surfaces (STEP); a mesh otherwise.
    triangles : count; for an exact solid, of the mesh laid over it.
    watertight : closed, every edge between two triangles.
    volume : m3
    area : m2
    bounds : m, lowest and highest corner, in the file's own coordinates.
    best_pull : unit vector, in the file's own axes; the part leaves the lower half along it.
    parting_height : m, above the lowest point of the part along `best_pull`.
    height : m, of the part along `best_pull`.
    undercut : m3 of silicone that blocks the pull at that parting; it must give way.
    unavoidable_undercut : m3, what no parting along this pull can avoid.
    stretch : 1 or more, how far a ring of silicone must stretch at that parting.
    trapped : m3 of air left in pockets when the part's room fills level and only its highest places are vented.
    thinnest : m, thinnest wall found; `thinnest_at` its place (m) in the file's own coordinates.
    warnings : plain words.
    """

    file: str
    unit: str
    exact: bool
    triangles: int
    watertight: bool
    volume: float
    area: float
    bounds: tuple[Point, Point]
    best_pull: Point
    parting_height: float
    height: float
    undercut: float
    unavoidable_undercut: float
    stretch: float
    trapped: float
    thinnest: float
    thinnest_at: Point
    warnings: tuple[str, ...] = ()

    @property
    def size(self) -> Point:
        """Box of the solid, m."""
        low, high = self.bounds
        return (high[0] - low[0], high[1] - low[1], high[2] - low[2])
