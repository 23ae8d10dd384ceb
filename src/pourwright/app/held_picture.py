"""The picture of what keeps a refused mould on its part: the silicone that is held, painted on the part."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pourwright.app.project_files import Loaded
from pourwright.basics.progress import Report, silent, span
from pourwright.domain.kit import Kit
from pourwright.steps.planning.kit_wish import allowed_stretch

NAME = "pictures/held.svg"


def held_picture(loaded: Loaded, kit: Kit, *, report: Report = silent) -> dict[str, bytes]:
    """The part from its file as this kit pulls and parts it; nothing where it is let go or comes from no file.

    Parameters
    ----------
    loaded : the project.
    kit : made from it.
    """
    opening = kit.opening
    if loaded.drawn is None or opening.opens or opening.ways_out is None or not opening.places_in_file:
        return {}
    from pourwright.engines.geometry.files.closed import volume_mm3
    from pourwright.engines.geometry.files.read import Reading
    from pourwright.engines.geometry.repeats.closed_twin import with_twins
    from pourwright.steps.inspect_solid import inspect_solid
    from pourwright.steps.pictures.draw_inspection import draw_inspection

    [solid] = with_twins({loaded.drawn.digest: loaded.drawn}).values()
    a, b, c = (solid.vertices_mm[solid.triangles[:, k]] for k in range(3))
    x, y, z = np.ptp(solid.vertices_mm, axis=0).tolist()
    reading = Reading(
        solid=solid,
        triangles=len(solid.triangles),
        watertight=True,
        volume_mm3=volume_mm3(solid.vertices_mm, solid.triangles),
        area_mm2=float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2),
        size_mm=(x, y, z),
    )
    silicone = loaded.materials.silicone
    found = inspect_solid(
        reading,
        file=loaded.project.part.file or "",
        silicone=silicone.name,
        allowed_stretch=allowed_stretch(silicone),
        report=span(report, 0.0, 0.8),
    )
    held = tuple(replace(piece, place=place) for piece, place in zip(opening.held, opening.places_in_file, strict=True))
    verdict = replace(found.verdict, opens=False, scheme=f"{kit.style}, as this kit is")
    shown = replace(found, pull=opening.ways_out.own, held=held, verdict=verdict)
    return {NAME: draw_inspection(solid, shown, report=span(report, 0.8, 1.0))}
