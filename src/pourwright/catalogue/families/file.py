"""File: a solid from a STEP, STL or 3MF file, as it is."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from pourwright.catalogue.families.family import Family, refusal
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.imported import ImportedSolid, Library
from pourwright.engines.geometry.partings.attitude import size_in_file_mm, up_in_file
from pourwright.engines.geometry.probes.through_bore import bore_about_axis_mm
from pourwright.engines.geometry.tree import Imported

MESH_ONLY = "this file holds triangles, not exact faces: the kit comes without STEP files"


def _solid(part: Part, library: Library) -> tuple[ImportedSolid]:
    if part.outline:
        raise refusal("outline", None, "a part from a file takes no outline", 'write family = "profile"')
    if part.file is None:
        raise refusal("file", None, "a part of the family file needs a file", 'write file = "name.step"')
    if part.digest is None or part.digest not in library:
        raise refusal("file", None, f"{part.file} has not been read", "read the file before the part is drawn")
    return (library[part.digest],)


def _build(values: Mapping[str, float], solid: ImportedSolid) -> PartShape:
    from pourwright.engines.geometry.probes.find_bores import round_bores

    vertices = solid.vertices_mm
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    size = high - low
    return PartShape(
        node=Imported(solid.digest),
        outline=None,
        size_mm=(float(size[0]), float(size[1]), float(size[2])),
        radius_mm=float(np.hypot(vertices[:, 0], vertices[:, 1]).max()),
        bore_mm=bore_about_axis_mm(vertices, solid.triangles),
        exact=solid.step is not None,
        cautions=() if solid.step is not None else (MESH_ONLY,),
        pull=up_in_file(solid),
        bores=round_bores(vertices, solid.triangles),
        turning=solid.turning,
        placing_mm=solid.placing,
        file_size_mm=size_in_file_mm(solid),
        triangles=len(solid.triangles),
    )


FAMILY = Family(
    name="file",
    words="A solid from a STEP, STL or 3MF file, as it is.",
    dimensions=(),
    build=_build,
    more=_solid,
)
