"""From a part as written (SI) to its shape (mm)."""

from __future__ import annotations

from types import MappingProxyType

from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.imported import Library

NO_FILES: Library = MappingProxyType({})


def shape_of(part: Part, library: Library = NO_FILES) -> PartShape:
    """The shape of a part, its lower face on z = 0 and its axis on z.

    Parameters
    ----------
    part : family and dimensions in SI, or the digest of an imported solid.
    library : the imported solids by digest.

    Raises
    ------
    UnknownName
        No such family.
    CannotBuild
        A dimension that is unknown, missing, out of its range, or impossible beside the others; the error
        names field and value. Several at once come as InputErrors.

    Examples
    --------
    >>> shape = shape_of(Part(family="straight bushing", dimensions={"outer_diameter": 0.03, "height": 0.02}))
    >>> shape.size_mm
    (30.0, 30.0, 20.0)
    """
    return FAMILIES[part.family].shape(part, library)
