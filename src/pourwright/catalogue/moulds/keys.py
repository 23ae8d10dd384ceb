"""Keys that let the halves meet one way only: three corner frustums and one blank corner."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.facts import Standing
from pourwright.catalogue.moulds.layout import Layout
from pourwright.engines.geometry.tree import Node, frustum, union


@dataclass(frozen=True, kw_only=True)
class Keys:
    """Frustums under the base's face: root radius and places, mm."""

    radius_mm: float
    points_mm: tuple[tuple[float, float], ...]
    to_cavity_mm: float
    to_wall_mm: float

    @property
    def volume_mm3(self) -> float:
        """Of one key."""
        tip = sizes.KEY_TIP
        return math.pi * self.radius_mm**3 * (1 + tip + tip * tip) / 3

    @property
    def area_mm2(self) -> float:
        """Side and tip of all keys."""
        r, tip = self.radius_mm, sizes.KEY_TIP
        side = math.pi * r * (1 + tip) * r * math.hypot(1.0, 1 - tip)
        return len(self.points_mm) * (side + math.pi * (tip * r) ** 2)

    def solid(self) -> Node:
        """All keys, pointing down from z = 0."""
        r = self.radius_mm
        key = frustum(lower_mm=sizes.KEY_TIP * r, upper_mm=r, z0_mm=-r, z1_mm=0.0)
        return union(*(key.at(x, y) for x, y in self.points_mm))

    def misfit_mm3(self) -> float:
        """Least volume by which a half turned half round (or a quarter, if the box is square) fails to fit."""
        points = set(self.points_mm)
        lacking = []
        for turn in (1, 2, 3):
            turned = {_turned(point, turn) for point in points}
            reach = {(abs(x), abs(y)) for x, y in points} == {(abs(x), abs(y)) for x, y in turned}
            if turn == 2 or reach:
                lacking.append(sum(1 for point in turned if not _near(point, points)))
        return min(lacking) * self.volume_mm3


def _turned(point: tuple[float, float], quarters: int) -> tuple[float, float]:
    x, y = point
    for _ in range(quarters):
        x, y = -y, x
    return x, y


def _near(point: tuple[float, float], points: set[tuple[float, float]]) -> bool:
    return any(math.dist(point, other) < 1e-6 for other in points)


def place_keys(layout: Layout, standing: Standing) -> Keys | None:
    """The largest keys that keep clear of cavities and walls in three corners; None when none do."""
    for radius in sizes.KEY_RADII_MM:
        inset = radius + sizes.KEY_TO_WALL_MM
        x, y = layout.half_mm[0] - inset, layout.half_mm[1] - inset
        points = ((-x, -y), (x, -y), (-x, y))
        gap = min(_gap(point, centre, standing) for point in points for centre in layout.centres_mm) - radius
        if gap >= sizes.KEY_TO_CAVITY_MM:
            return Keys(radius_mm=radius, points_mm=points, to_cavity_mm=gap, to_wall_mm=sizes.KEY_TO_WALL_MM)
    return None


def _gap(point: tuple[float, float], centre: tuple[float, float], standing: Standing) -> float:
    dx, dy = abs(point[0] - centre[0]), abs(point[1] - centre[1])
    if standing.outline is not None:
        return math.hypot(dx, dy) - standing.radius_mm
    return math.hypot(max(0.0, dx - standing.half_size_mm[0]), max(0.0, dy - standing.half_size_mm[1]))
