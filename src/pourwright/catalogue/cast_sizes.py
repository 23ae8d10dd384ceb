"""Which sizes of a part are sizes of the cast, how each meets print, coat and parting, and what is assumed. Metres.

Marks: (common practice), (judgement), (from memory) say how sure a figure is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

# ---- how far off things are when nobody says better
COAT_MISS = 0.5  # share of the coat's thickness that it may be off (judgement)
HOLE_MISS = 0.5  # share of the printer's hole offset that it may be off: 0.1 to 0.3 mm about 0.2 (general article)
WARMTH_MISS = 3.0  # K that mould and setting part may be off the temperature taken (judgement)
ROD_MISS = 0.03e-3  # diameter of a ground rod with its release (judgement)
PRESS_SQUEEZE = 0.1e-3  # what the stops of the press board leave to squeeze (judgement)
FLASH = (0.0, 0.1e-3)  # thickness of the film between lid and lower half of a well closed mould (judgement)
FREE_FACE_MISS = 0.3e-3  # a face that sets in the air, struck off by a bar (judgement)
REFERENCE_TEMPERATURE = 296.15  # K, at which sizes of rubber are measured
# A sheet's shrink is that of a long bar in steel and is not carried over to a small part in silicone: the least
# band of a linear shrink, to either side, by what it rests on (judgement).
LEAST_SHRINK_MISS = {"data sheet": 0.0015, "own measurement": 0.0005}
LEAST_MOULD_SHRINK_MISS = {"data sheet": 0.0005, "own measurement": 0.0002}
HAND_SPREAD = 0.02e-3  # from one reading by hand to the next, on a print with layers (judgement)

REPRINT_MISS = 0.05e-3  # how far a printer is from itself, from one print to the next (judgement)

Run = Literal["across", "along"]


@dataclass(frozen=True, kw_only=True)
class Feature:
    """How one size meets the chain.

    `faces` is how many coated faces it gains (a bore loses two; a step between faces that look the same way has
    none); `hole` an inside that prints small; `run` across or along the layers and the pull; `step` the size of
    an inner step along the axis, not of the whole height.
    """

    faces: float
    hole: bool = False
    run: Run = "across"
    step: bool = False


_OUTSIDE = Feature(faces=2.0)
_INSIDE = Feature(faces=-2.0, hole=True)
_HEIGHT = Feature(faces=1.0, run="along")  # the face at the parting stays as printed
_STEP = Feature(faces=0.0, run="along", step=True)
_LEVEL = Feature(faces=0.0)
_ASKEW = Feature(faces=2.0, run="along")  # across the layers and along them, from a face of one half to the other
_SQUARE, _ALONG = 0.02, 0.9998  # cosines: nearer to square on the pull than 1 degree, and nearer to it

_FEATURES = {
    "bore": _INSIDE,
    "inner_diameter": _INSIDE,
    "recess_diameter": _INSIDE,
    "height": _HEIGHT,
    "shoulder_height": _STEP,
    "shoulder_width": _STEP,
    "dome_height": _STEP,
    "recess_depth": _STEP,
    "shoulder_drop": _LEVEL,
    "crown": _LEVEL,
    "edge_radius": Feature(faces=1.0),
    "size_x": _OUTSIDE,
    "size_y": _OUTSIDE,
    "size_z": _HEIGHT,
}
# Of the hard core or of its seat, which the core's own maker gives: no size of the rubber.
_NOT_CAST = ("core_", "groove_", "run_out")


def is_cast_size(key: str) -> bool:
    """Whether a dimension of a family is one that the rubber has after the cast.

    Examples
    --------
    >>> is_cast_size("belly_diameter"), is_cast_size("core_bore")
    (True, False)
    """
    return not key.startswith(_NOT_CAST)


def box_feature(along: float) -> Feature:
    """How a size of a solid from a file meets print, coat and parting.

    Parameters
    ----------
    along : cosine between the size and the pull, -1 to 1.

    Examples
    --------
    >>> box_feature(0.0).run, box_feature(-1.0).faces, box_feature(0.7).faces
    ('across', 1.0, 2.0)
    """
    if abs(along) < _SQUARE:
        return _OUTSIDE
    return _HEIGHT if abs(along) > _ALONG else _ASKEW


def feature_of(key: str) -> Feature:
    """How the dimension of that name meets print, coat and parting; one without an entry goes by its ending.

    Examples
    --------
    >>> feature_of("belly_diameter").faces, feature_of("bore").faces
    (2.0, -2.0)
    """
    if key in _FEATURES:
        return _FEATURES[key]
    if key.endswith("bore"):
        return _INSIDE
    return _OUTSIDE if key.endswith("diameter") else _LEVEL
