"""A part as a solid with the few facts that a mould style asks of it. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourwright.engines.geometry.probes.round_bores import RoundBore
from pourwright.engines.geometry.profiles.cored_outlines import drawn_through, outer_side, outside_on
from pourwright.engines.geometry.profiles.outlines import bounds_mm
from pourwright.engines.geometry.tree import Node, Op, Outline, Revolve

Point = tuple[float, float, float]

_DEEPER_MM = 0.5  # how far a cut reaches inside the core, so that no two faces lie on each other


@dataclass(frozen=True, kw_only=True)
class Hub:
    """The hard core that rubber is cast around, as drawn about z: it is used as it is, never scaled.

    Parameters
    ----------
    filled : the core with its bore filled: where neither resin nor silicone goes while its ends are closed.
    plug : the same with its ends drawn on beyond the rubber, for cutting the rubber.
    seat_mm : mm, the (r, z) line where rubber meets core, from the upper end of the rubber down.
    low_mm, high_mm : mm, heights of its ends.
    end_mm : mm, radius of its ends; it is round there.
    bore_mm : mm, radius of its bore, 0 for none.
    least_mm : mm, smallest radius that rubber reaches inside it; equal to that of the seat when it is a body of
        revolution.
    holds_mm3, turns_mm3 : mm3 of the core that the rubber would have to cut through to slide off along the axis, and
        of rubber that stands against turning; 0 when nothing but the bond does.
    upper_mm : mm, (height, radius) of each step of what stands out of the rubber above, from the wide one up; the
        heights are above the middle of the core. None: it is a plain cylinder of the radius end_mm.
    faces_mm : mm, radii of the lower and the upper end face, where these are not end_mm.
    shaped : whether its ends are as a file has them, and not plain cylinders of the radius end_mm; raw_top_mm is then
        the height of its upper end in the file's solid before that was moved.
    mass_g : g, 0 when it was not weighed.
    run_out_mm : mm, what the person accepts.
    printed : whether its print file is part of the kit.
    """

    filled: Node
    plug: Node
    seat_mm: tuple[tuple[float, float], ...]
    low_mm: float
    high_mm: float
    end_mm: float
    bore_mm: float
    least_mm: float
    holds_mm3: float = 0.0
    turns_mm3: float = 0.0
    upper_mm: tuple[tuple[float, float], ...] | None = None
    faces_mm: tuple[float, float] | None = None
    shaped: bool = False
    raw_top_mm: float = 0.0
    mass_g: float = 0.0
    run_out_mm: float = 0.4
    printed: bool = False

    @property
    def revolved(self) -> bool:
        """Whether the rubber on it is a body of revolution."""
        return not self.shaped and self.least_mm >= min(r for r, _ in self.seat_mm) - 1e-9


def rubber_on(outline: Outline, hub: Hub | None, plug: Node | None = None) -> Node:
    """The rubber of a round part, as drawn or where it stands; it fills the holes and flats of its core.

    Parameters
    ----------
    outline : (r, z) of the rubber, its inner side on the hub's seat.
    plug : the hub's plug where it stands, when that is not as drawn.
    """
    if hub is None or hub.revolved:
        return Revolve(outline)
    low, high = bounds_mm(outline)[1::2]
    outside = outer_side(outline, (hub.end_mm, low), (hub.end_mm, high))
    # A core from a file is filled from its axis, so that nothing is left inside it.
    deep = 0.0 if hub.shaped else hub.least_mm - _DEEPER_MM
    edges = outside_on(outside, (deep, low), (deep, high))
    return Op("cut", (Revolve(drawn_through((deep, low), edges)), plug or hub.plug))


@dataclass(frozen=True, kw_only=True)
class PartShape:
    """The part as drawn (unscaled): its lower face on z = 0, its axis (or middle of its box) on z.

    Parameters
    ----------
    node : the solid of rubber.
    outline : its closed (r, z) outline when it is a body of revolution about z, bore included; else None.
    size_mm : mm, (3,) box of the solid.
    radius_mm : mm, largest distance of the solid from the z axis.
    bore_mm : mm, radius of the narrowest through bore about z, 0 when there is none.
    core, hub : a hard core (hub, tube) around which the part is cast, as drawn, and what is to be known of it; None.
    exact : whether the exact kernel can build it (False for imported meshes).
    cautions : plain words that belong to this shape.
    pull : which direction of the file points up, for a solid from a file that was turned into its pull.
    bores : the bores along z of a solid from a file, as drawn.
    turning : rows of the turn from the file's axes to these, (9,); None as drawn.
    placing_mm : mm, the move from the file's coordinates, turned, to these; None for a part that comes from no file.
    file_size_mm : mm, (3,) box of the solid along the axes of its file; None for a part that comes from no file.
    triangles : how many its file has, or were laid over its faces; 0 for a part that comes from no file.
    """

    node: Node
    outline: Outline | None
    size_mm: tuple[float, float, float]
    radius_mm: float
    bore_mm: float = 0.0
    core: Node | None = None
    hub: Hub | None = None
    exact: bool = True
    cautions: tuple[str, ...] = ()
    pull: tuple[float, float, float] = (0.0, 0.0, 1.0)
    bores: tuple[RoundBore, ...] = ()
    turning: tuple[float, ...] | None = None
    placing_mm: Point | None = None
    file_size_mm: Point | None = None
    triangles: int = 0

    def in_file_mm(self, point_mm: Sequence[float]) -> Point:
        """A place of the part as drawn here, in the coordinates of its file."""
        moved = [here - move for here, move in zip(point_mm, self.placing_mm or (0.0, 0.0, 0.0), strict=True)]
        return self.way_in_file(moved)

    def way_in_file(self, way: Sequence[float]) -> Point:
        """A direction as drawn here, in the axes of its file."""
        if self.turning is None:
            x, y, z = way
            return x, y, z
        rows = self.turning
        x, y, z = (math.fsum(rows[3 * k + axis] * way[k] for k in range(3)) for axis in range(3))
        return x, y, z
