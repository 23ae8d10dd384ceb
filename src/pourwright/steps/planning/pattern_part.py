"""From the part wanted to the part that its pattern is drawn as: single sizes corrected against the printer's error."""

from __future__ import annotations

from dataclasses import replace

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.families import FAMILIES
from pourwright.domain.part import Part, Project
from pourwright.engines.geometry.measure import to_m


def pattern_part(project: Project) -> Part:
    """The part with the offsets of [pattern.offsets] on its dimensions; the part itself where there are none.

    Raises
    ------
    CannotBuild
        A family without dimensions (an outline, a file): only its scale can be corrected; or a size that is left
        out of the part.
    """
    offsets, part = project.pattern.offsets, project.part
    if not offsets:
        return part
    family = FAMILIES[part.family]
    lengths = {one.key for one in family.dimensions if one.kind == "length"}
    if not lengths:
        raise CannotBuild(
            f"the sizes of a {family.name} cannot be corrected one by one",
            advice="correct them all together: scale under [pattern]",
            field="pattern.offsets",
        )
    values = family.values(part)
    for key in offsets:
        if values.get(key, 0.0) <= 0.0:
            raise CannotBuild(
                f"{key} is 0 mm in this part, and an offset cannot make it",
                advice="leave the offset out",
                field=f"pattern.offsets.{key}",
            )
    corrected = {key: to_m(values[key]) + offset for key, offset in offsets.items()}
    return replace(part, dimensions={**part.dimensions, **corrected})
