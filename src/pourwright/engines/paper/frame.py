"""How millimetres become points of a picture, and back: the eye, and the box of what is drawn."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.shelf import unknown_name

# The eye: degrees round from the x axis, degrees above the horizon.
VIEWS: Mapping[str, tuple[float, float]] = {
    "above": (-62.0, 30.0),
    "high": (-62.0, 48.0),
    "below": (-62.0, -30.0),
    "front": (-90.0, 0.0),
    "right": (0.0, 0.0),
    "top": (-90.0, 90.0),
}

FINE = 3  # points a side of each pixel
MARGIN = 0.035  # of the width


@dataclass(frozen=True, kw_only=True)
class Frame:
    """How millimetres become points: three directions, and the box of what is drawn."""

    across: NDArray[np.float64]
    up: NDArray[np.float64]
    towards: NDArray[np.float64]
    left: float
    top: float
    points_per_mm: float
    width: int
    height: int

    @staticmethod
    def around(spots: NDArray[np.float64], *, view: str, width: int, tallest: float) -> Frame:
        if view not in VIEWS:
            raise unknown_name(view, VIEWS, noun="view")
        across, up, towards = directions(*VIEWS[view])
        x, y = spots @ across, spots @ up
        wide, tall = max(float(np.ptp(x)), 1e-6), max(float(np.ptp(y)), 1e-6)
        inside = 1.0 - 2.0 * MARGIN
        scale = min(width * inside / wide, width * tallest * inside / tall)
        height = math.ceil(tall * scale + 2.0 * MARGIN * width)
        left = float(x.min() + x.max()) / 2.0 - width / scale / 2.0
        top = float(y.min() + y.max()) / 2.0 + height / scale / 2.0
        return Frame(
            across=across,
            up=up,
            towards=towards,
            left=left,
            top=top,
            points_per_mm=scale * FINE,
            width=width,
            height=height,
        )

    @property
    def pixel_mm(self) -> float:
        """Width of a pixel."""
        return FINE / self.points_per_mm

    def points(self, vertices: NDArray[np.float64]) -> NDArray[np.float64]:
        """Across, down and towards the eye, all in points; (V, 3)."""
        return np.stack(
            [
                (vertices @ self.across - self.left) * self.points_per_mm,
                (self.top - vertices @ self.up) * self.points_per_mm,
                vertices @ self.towards * self.points_per_mm,
            ],
            axis=1,
        )

    def spots(
        self, across: NDArray[np.int64], down: NDArray[np.int64], depth: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """The places, mm (k, 3), of the middles of pixels whose depth is known, in points."""
        x = (across + 0.5) * FINE / self.points_per_mm + self.left
        y = self.top - (down + 0.5) * FINE / self.points_per_mm
        z = depth / self.points_per_mm
        return np.outer(x, self.across) + np.outer(y, self.up) + np.outer(z, self.towards)


def directions(
    round_deg: float, above_deg: float
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Across and up on the paper, and towards the eye, as unit vectors."""
    a, e = math.radians(round_deg), math.radians(above_deg)
    towards = np.array([math.cos(e) * math.cos(a), math.cos(e) * math.sin(a), math.sin(e)])
    across = np.array([-math.sin(a), math.cos(a), 0.0])
    return across, np.cross(towards, across), towards
