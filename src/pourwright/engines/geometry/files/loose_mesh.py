"""Triangles as a file gave them, before anyone has looked whether they close a solid; and how corners are welded."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotRead
from pourwright.basics.need import need
from pourwright.basics.shelf import unknown_name

MOST_TRIANGLES = 2_000_000

UNIT_MM = {"micron": 1e-3, "mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4, "foot": 304.8}
_OTHER_NAMES = {
    "um": "micron",
    "µm": "micron",
    "μm": "micron",
    "micrometre": "micron",
    "millimeter": "mm",
    "millimetre": "mm",
    "centimeter": "cm",
    "centimetre": "cm",
    "meter": "m",
    "metre": "m",
    "in": "inch",
    '"': "inch",
    "ft": "foot",
}


@dataclass(frozen=True, kw_only=True, eq=False)
class LooseMesh:
    """What a reader found in a file.

    Parameters
    ----------
    vertices_mm : mm, (n, 3) float64, in the file's own frame
    triangles : indices, (m, 3) int64
    unit : the file's unit, by a name of `UNIT_MM`.
    exact : the closed B-Rep solid in mm, when the file holds one; of the exact kernel's own type.
    exact_box_mm : mm, (2, 3) lowest and highest corner of `exact`.
    exact_volume_mm3, exact_area_mm2 : of `exact`, by integration.
    mean_tolerance_mm : mean edge and vertex tolerance of `exact`.
    """

    vertices_mm: NDArray[np.float64]
    triangles: NDArray[np.int64]
    unit: str
    notes: tuple[str, ...] = ()
    exact: object = None
    exact_box_mm: NDArray[np.float64] | None = None
    exact_volume_mm3: float = 0.0
    exact_area_mm2: float = 0.0
    mean_tolerance_mm: float = 0.0


def unit_name(unit: str, *, file: str | None = None) -> str:
    """The name by which a unit of length is known here.

    Raises
    ------
    UnknownName
        Not a unit of length of drawing files.

    Examples
    --------
    >>> unit_name("millimeter"), unit_name("in")
    ('mm', 'inch')
    """
    plain = unit.strip().lower()
    name = _OTHER_NAMES.get(plain, plain)
    if name not in UNIT_MM:
        error = unknown_name(unit, UNIT_MM, noun="unit of length")
        error.file, error.field = file, "unit"
        raise error
    return name


def check_count(triangles: int, *, file: str) -> None:
    """Refuse a file with more triangles than are worth reading.

    Raises
    ------
    CannotRead
        More than 2 million triangles, or none.
    """
    if triangles == 0:
        raise CannotRead("the file holds no triangles", advice="select the body before you write the file", file=file)
    if triangles > MOST_TRIANGLES:
        raise CannotRead(
            f"the file holds {triangles:,} triangles; at most {MOST_TRIANGLES:,} are read",
            advice="write it coarser: 0.01 mm off the true surface is finer than any printer",
            file=file,
        )


def weld(corners: NDArray[np.floating]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Join corners that are equal to the last bit.

    Parameters
    ----------
    corners : (k, 3) float32 or float64, finite

    Returns
    -------
    vertices, (n, 3) float64, in the order in which they first appear; and for each corner its vertex, (k,)

    Examples
    --------
    >>> import numpy as np
    >>> weld(np.array([[0.0, 0, 1], [2, 0, 1], [-0.0, 0, 1]]))[1].tolist()
    [0, 1, 0]
    """
    plain = np.ascontiguousarray(corners + 0.0)  # -0 and 0 are one place
    first, vertex = need("pourwright.engines.geometry.files.welding").joined(plain)
    return plain[first].astype(np.float64), vertex


def mixed_bits(plain: NDArray[np.floating]) -> NDArray[np.uint64]:
    """One number for each row, from all its bits: equal rows share it, others only by rare chance.

    Parameters
    ----------
    plain : (k, n) float32 or float64, contiguous, without -0

    Returns
    -------
    (k,)
    """
    bits = plain.view(np.uint32 if plain.dtype == np.float32 else np.uint64).astype(np.uint64)
    mixed = np.zeros(len(bits), dtype=np.uint64)
    for column in range(bits.shape[1]):
        mixed ^= bits[:, column]
        mixed *= np.uint64(0x9E3779B97F4A7C15)  # odd: no bit is lost
        mixed ^= mixed >> np.uint64(29)
    return mixed
