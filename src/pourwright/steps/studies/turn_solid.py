"""Turn a solid from a file into the attitude in which it is moulded: along its best pull, or as the person asks."""

from __future__ import annotations

from pourwright.basics.progress import Report, silent
from pourwright.domain.part import AS_DRAWN, Pull
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.partings.attitude import turned_to


def turn_solid(solid: ImportedSolid, pull: Pull, *, allowed_stretch: float, report: Report = silent) -> ImportedSolid:
    """The solid standing along its pull, under a digest of its own; the same solid when it is left as drawn.

    Parameters
    ----------
    solid : as read.
    pull : "as drawn", a direction of the file, or None for the direction in which the part leaves most easily.
    allowed_stretch : what the silicone stands, at least 1.

    Raises
    ------
    CannotBuild
        The direction is zero.
    """
    if pull == AS_DRAWN:
        return solid
    if pull is not None:
        return turned_to(solid, pull)
    from pourwright.engines.geometry.pulls.best_pull import best_pull

    found = best_pull(solid.vertices_mm, solid.triangles, allowed_stretch=allowed_stretch, report=report)
    return turned_to(solid, _not_upside_down(found.direction))


def _not_upside_down(way: tuple[float, float, float]) -> tuple[float, float, float]:
    """Of a direction and its opposite the one that looks up: which end is up is settled when the mould is planned."""
    x, y, z = way
    return (-x, -y, -z) if (round(z, 9), round(y, 9), round(x, 9)) < (0.0, 0.0, 0.0) else way
