"""Read a STEP file: exactly one closed solid, exact, with triangles for everything that wants a mesh."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotRead, KernelFault
from pourwright.basics.need import need
from pourwright.basics.progress import Report
from pourwright.engines.geometry.files.closed import counted, place_words, volume_mm3
from pourwright.engines.geometry.files.loose_mesh import LooseMesh, check_count, unit_name

MOST_BYTES = 64 * 2**20
_KERNELS = "pourwright.engines.geometry.kernels"
_FINEST_MM, _COARSEST_MM, _DIAGONAL_PARTS = 0.005, 0.05, 5000.0
_LARGE_MM = 1000.0
_ANGLE_RAD = 0.2
_INTEGRATION = 1e-7  # imported faces are looser than this themselves
_AGAIN = "write the file again as STEP (AP214 or AP242)"
_ONE = "a mould is made for one part: select one body and write only that (several copies: set `cavities`)"


def read_step(data: bytes, *, file: str, unit: str | None, report: Report) -> LooseMesh:
    """The one closed solid of a STEP file, in millimetres, with its triangles.

    Raises
    ------
    CannotRead
        Empty, cut off or no STEP file; no solid, several solids, or one that does not close.
    """
    _check_ends(data, file)
    report(0.0, "reading the exact shape")
    try:
        shape, written_in = need(f"{_KERNELS}.brep_step").shape_and_unit(data, file)
    except need("OCP.Standard").Standard_Failure as error:
        raise CannotRead(f"the exact kernel cannot read the file ({error})", advice=_AGAIN, file=file) from error
    known = unit_name(written_in, file=file)
    notes = []
    if unit and unit_name(unit, file=file) != known:
        notes.append(f"the file says {known} itself, so the unit {unit!r} was not used")
    kernel = need(f"{_KERNELS}.brep").BrepKernel()
    solid, more = _one_solid(shape, kernel, file)
    notes += more
    report(0.2, "measuring the exact shape")
    volume, area = _volume_and_area(solid, file)
    box = np.array(kernel.bounds(solid))
    report(0.6, "laying triangles over the exact shape")
    vertices, triangles = _triangles(solid, box, file, volume=volume, area=area)
    return LooseMesh(
        vertices_mm=vertices,
        triangles=triangles,
        unit=known,
        notes=tuple(notes),
        exact=solid,
        exact_box_mm=box,
        exact_volume_mm3=volume,
        exact_area_mm2=area,
        mean_tolerance_mm=need(f"{_KERNELS}.brep_step").mean_tolerance_mm(solid),
    )


def tolerance_mm(diagonal_mm: float) -> float:
    """How far the triangles may lie off the exact shape: a part of the diagonal, within limits.

    A fixed figure takes minutes on a part of many metres; beyond a metre only the share of the diagonal counts.

    Examples
    --------
    >>> tolerance_mm(10.0), tolerance_mm(100.0), tolerance_mm(900.0)
    (0.005, 0.02, 0.05)
    """
    share = diagonal_mm / _DIAGONAL_PARTS
    return share if diagonal_mm > _LARGE_MM else float(np.clip(share, _FINEST_MM, _COARSEST_MM))


def _check_ends(data: bytes, file: str) -> None:
    if not data.strip():
        raise CannotRead("the file is empty", advice=_AGAIN, file=file)
    if b"ISO-10303-21" not in data[:4096]:
        raise CannotRead("the file does not begin as a STEP file does", advice=_AGAIN, file=file)
    if b"END-ISO-10303-21" not in data[-4096:]:
        raise CannotRead("the end of the STEP file is missing: it is cut off", advice=_AGAIN, file=file)


def _one_solid(shape: Any, kernel: Any, file: str) -> tuple[Any, list[str]]:
    count, faces = kernel.bodies(shape), kernel.weight(shape)
    if count > 1:
        raise CannotRead(f"the file holds {count} solids", advice=_ONE, file=file, value=str(count))
    if not count:
        raise CannotRead(
            f"the file holds {faces} faces but no closed solid" if faces else "the file holds no solid",
            advice="join the faces to a solid in the drawing program (sew, make solid) and write it again"
            if faces
            else "an assembly may only point to other files: write the part itself",
            file=file,
        )
    solid = need("OCP.TopExp").TopExp_Explorer(shape, need("OCP.TopAbs").TopAbs_ShapeEnum.TopAbs_SOLID).Current()
    if not kernel.is_closed(solid):
        raise CannotRead("the solid in the file is not closed", advice=_AGAIN, file=file)
    if kernel.hollows(solid):
        low, high = kernel.bounds(solid)
        raise CannotRead(
            f"the solid has {counted(kernel.hollows(solid), 'sealed hollow')}, "
            f"within {place_words(low)} to {place_words(high)}",
            advice="fill them in the drawing: silicone cannot get into a closed hollow, nor out of one",
            file=file,
        )
    loose = faces - kernel.weight(solid)
    return solid, [f"{loose} faces that belong to no solid were not read"] if loose else []


def _volume_and_area(solid: Any, file: str) -> tuple[float, float]:
    properties, figures = need("OCP.BRepGProp").BRepGProp, need("OCP.GProp").GProp_GProps
    inside, around = figures(), figures()
    if properties.VolumePropertiesGK_s(solid, inside, _INTEGRATION) < 0:
        raise CannotRead("the volume of the solid cannot be found", advice=_AGAIN, file=file)
    properties.SurfaceProperties_s(solid, around, _INTEGRATION)
    if inside.Mass() <= 0:
        raise CannotRead("the solid in the file is inside out, or holds no volume", advice=_AGAIN, file=file)
    return float(inside.Mass()), float(around.Mass())


def _triangles(
    solid: Any, box: NDArray[np.float64], file: str, *, volume: float, area: float
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    near_mm = tolerance_mm(float(np.linalg.norm(box[1] - box[0])))
    try:
        vertices, triangles = need(f"{_KERNELS}.brep_mesh").triangles_of(solid, near_mm, _ANGLE_RAD)
    except KernelFault as error:
        raise CannotRead(str(error), advice=_AGAIN, file=file) from error
    check_count(len(triangles), file=file)
    found = volume_mm3(vertices, triangles)
    if abs(found - volume) > 1.5 * near_mm * area:
        raise CannotRead(
            f"the triangles laid over the exact shape hold {found:.6g} mm3 where the shape holds {volume:.6g}",
            advice=_AGAIN,
            file=file,
        )
    return vertices, triangles
