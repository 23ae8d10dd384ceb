"""Read a solid from an STL, 3MF or STEP file, check that it is one closed solid, and stand it on z = 0."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.content_key import content_key
from pourwright.basics.errors import CannotRead
from pourwright.basics.need import need
from pourwright.basics.progress import Report, silent, span
from pourwright.basics.shelf import nearest
from pourwright.engines.geometry.files.closed import area_mm2, closed_solid, volume_mm3
from pourwright.engines.geometry.files.loose_mesh import LooseMesh
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.probes.facets import box_of_used

_SMALL_MM, _LARGE_MM = 1.0, 1000.0
_INCHES_MM = 5.0  # a file that names no unit and is smaller may well be drawn in inches: 5 in are 127 mm (judgement)
_ROUNDING_MM = 1e-11
_FORMATS = {".stl": "read_stl", ".3mf": "read_3mf", ".step": "read_step", ".stp": "read_step"}


@dataclass(frozen=True, kw_only=True, eq=False)
class Reading:
    """What a file held: the solid, and what a person should know about it.

    Parameters
    ----------
    triangles : count in the solid's mesh (for STEP: of the tessellation).
    watertight : always True: what is not closed is refused.
    volume_mm3, area_mm2 : of the mesh; for STEP of the exact solid.
    size_mm : mm, (3,) box.
    warnings : plain words.
    """

    solid: ImportedSolid
    triangles: int
    watertight: bool
    volume_mm3: float
    area_mm2: float
    size_mm: tuple[float, float, float]
    warnings: tuple[str, ...] = ()


def read_solid(
    path_or_bytes: Path | str | bytes, *, name: str | None = None, unit: str | None = None, report: Report = silent
) -> Reading:
    """The one closed solid of an STL, 3MF or STEP file, standing on z = 0 with the middle of its box on the z axis.

    Parameters
    ----------
    path_or_bytes : where the file is, or all of its bytes.
    name : what to call it in errors; its ending says the format. Needed with bytes.
    unit : micron, mm, cm, m, inch or foot, for files that do not say (STL); mm if left out.

    Raises
    ------
    CannotRead
        Missing, too large (64 MB; STL 128 MB; 2 million triangles), broken, or not one closed solid; the message
        says the fault, how often it occurs and where first, in the file's own coordinates.
    UnknownName
        `unit` is no unit of length.

    Examples
    --------
    >>> from pourwright.engines.geometry.files.write import stl_bytes
    >>> corners = np.array([[0.0, 0, 5], [6, 0, 5], [0, 6, 5], [0, 0, 8]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
    >>> reading = read_solid(stl_bytes((corners, faces)), name="tetrahedron.stl")
    >>> reading.volume_mm3, reading.solid.placing
    (18.0, (-3.0, -3.0, -5.0))
    """
    name = name or (str(path_or_bytes) if not isinstance(path_or_bytes, bytes) else "the file")
    reader, most = _reader(name)
    data = path_or_bytes if isinstance(path_or_bytes, bytes) else _bytes_of(Path(path_or_bytes), name, most)
    if len(data) > most:
        raise _too_large(len(data), name, most)
    loose = reader(data, file=name, unit=unit, report=span(report, 0.0, 0.4))
    closed = closed_solid(loose.vertices_mm, loose.triangles, file=name, report=span(report, 0.4, 1.0))
    solid = _placed(closed.vertices_mm, closed.triangles, loose, data, name)
    low, high = _box(loose, closed.vertices_mm, closed.triangles)
    size = high - low
    assumed = unit is None and name.lower().endswith(".stl")
    mesh, exact = (solid.vertices_mm, solid.triangles), loose.exact is not None
    return Reading(
        solid=solid,
        triangles=len(solid.triangles),
        watertight=True,
        volume_mm3=loose.exact_volume_mm3 if exact else volume_mm3(*mesh),
        area_mm2=loose.exact_area_mm2 if exact else area_mm2(*mesh),
        size_mm=(float(size[0]), float(size[1]), float(size[2])),
        warnings=(
            *loose.notes,
            *closed.notes,
            *_size_warnings(size, loose.unit, assumed=assumed),
        ),
    )


def is_readable(name: str) -> bool:
    """Whether the ending of a file's name is one that can be read.

    Examples
    --------
    >>> is_readable("clip.STEP"), is_readable("clip.obj")
    (True, False)
    """
    return Path(name).suffix.lower() in _FORMATS


# ---------------------------------------------------------------- the file


def _reader(name: str) -> tuple[Callable[..., LooseMesh], int]:
    ending = Path(name).suffix.lower()
    if ending not in _FORMATS:
        guess = nearest(ending, _FORMATS)
        advice = f"did you mean {guess!r}?" if guess else "write the part as STEP, 3MF or STL"
        what = f"files that end in {ending!r} are not read" if ending else "a file without an ending is not read"
        raise CannotRead(what, advice=advice, file=name, value=ending)
    module = need(f"pourwright.engines.geometry.files.{_FORMATS[ending]}")
    return getattr(module, _FORMATS[ending]), module.MOST_BYTES


def _bytes_of(path: Path, name: str, most: int) -> bytes:
    try:
        with path.open("rb") as stream:
            data = stream.read(most + 1)  # never more, whatever a pipe or device may go on giving
    except FileNotFoundError as error:
        raise CannotRead("there is no such file", advice=_near(path), file=name) from error
    except OSError as error:
        raise CannotRead(
            f"the file cannot be read ({error.strerror})", advice="look at its rights", file=name
        ) from error
    if len(data) > most:
        raise _too_large(path.stat().st_size, name, most)
    return data


def _near(path: Path) -> str:
    try:
        there = [item.name for item in path.parent.iterdir() if is_readable(item.name)]
    except OSError:
        return f"there is no folder {path.parent}"
    guess = nearest(path.name, there)
    return f"did you mean {guess!r}?" if guess else f"look in {path.parent}"


def _too_large(size: int, name: str, most: int) -> CannotRead:
    return CannotRead(
        f"the file has {size / 2**20:.0f} MB; at most {most // 2**20} MB are read",
        advice="write it coarser, or as binary STL or 3MF",
        file=name,
    )


# ---------------------------------------------------------------- the place


def _placed(
    vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64], loose: LooseMesh, data: bytes, name: str
) -> ImportedSolid:
    used = np.zeros(len(vertices_mm), dtype=bool)
    used[triangles.reshape(-1)] = True
    index = np.cumsum(used) - 1
    low, high = _box(loose, vertices_mm, triangles)
    move = -np.array([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, low[2]]) + 0.0
    placing = (float(move[0]), float(move[1]), float(move[2]))
    return ImportedSolid(
        digest=content_key(hashlib.sha256(data).hexdigest(), loose.unit, placing),
        vertices_mm=levelled(vertices_mm[used] + move),
        triangles=index[triangles].astype(np.int64),
        name=Path(name).stem,
        unit=loose.unit,
        step=data if loose.exact is not None else None,
        mean_tolerance_mm=loose.mean_tolerance_mm,
        placing=placing,
    )


def levelled(vertices_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Corners whose heights differ by rounding only, put on one height, so that a cut there leaves no sheets.

    Parameters
    ----------
    vertices_mm : mm, (n, 3)

    Examples
    --------
    >>> levelled(np.array([[0.0, 0.0, 44.0], [1.0, 0.0, 44.00000000000001], [0.0, 1.0, 44.1]]))[:, 2].tolist()
    [44.0, 44.0, 44.1]
    """
    order = np.argsort(vertices_mm[:, 2], kind="stable")
    heights = vertices_mm[order, 2]
    first = np.concatenate(([True], np.diff(heights) > _ROUNDING_MM))
    level = vertices_mm.copy()
    level[order, 2] = heights[first][np.cumsum(first) - 1]
    return level


def _box(loose: LooseMesh, vertices_mm: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.float64]:
    box: NDArray[np.float64] = box_of_used(vertices_mm, triangles)
    if loose.exact_box_mm is None:
        return box
    # Where they agree the mesh's own figure puts a flat lower face on z = 0 to the last bit.
    return np.where(np.abs(box - loose.exact_box_mm) < 1e-5, box, loose.exact_box_mm)


def _size_warnings(size: NDArray[np.float64], unit: str, *, assumed: bool) -> list[str]:
    shown = _across(size)
    if assumed and size.max() < _INCHES_MM:
        return [
            f"the part measures only {shown} mm: is its unit really mm? An STL names none; drawn in inches it would "
            f'measure {_across(25.4 * size)} mm: then say unit "in"'
        ]
    if size.max() < _SMALL_MM:
        return [f"the part measures only {shown} mm: is its unit really {unit}?"]
    if size.max() > _LARGE_MM:
        return [f"the part measures {shown} mm, more than a metre: is its unit really {unit}?"]
    return []


def _across(size: NDArray[np.float64]) -> str:
    return " × ".join(f"{value:.4g}" for value in size)
