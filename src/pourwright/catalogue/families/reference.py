"""The reference page of the part families, made from the families themselves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.family import Dimension, Family

_HEAD = """# Part families

What to write under `[part]` in a project file. Every size is typed with its unit. The lower face of a part
stands on height 0 and its axis is upright. This page is made from the families themselves.
"""

_OUTLINE = """
The corners are written in order, once around one half of the section, either way round; the last is joined to
the first. The part is moved so that its lowest place is at height 0. Each corner may stand in one array, as
below, or under its own heading `[[part.outline]]`.
"""

_FILE = """
Leave the family out and write `file = "clip.step"` (STEP, STL or 3MF), with `unit = "mm"` where the file names no
unit. The solid is taken as it is.
"""


def reference_page() -> str:
    """The whole page, in Markdown."""
    return _HEAD + "".join(_section(family) for family in FAMILIES.values())


def _section(family: Family) -> str:
    text = f"\n## {family.name[0].upper()}{family.name[1:]}\n\n{family.words}\n"
    if family.corner:
        return f"{text}{_OUTLINE}\n{_table(family.corner)}\n{_example(family)}"
    return (
        f"{text}\n{_table(family.dimensions)}\n{_texts(family)}{_example(family)}"
        if family.dimensions
        else text + _FILE
    )


def _table(dimensions: Iterable[Dimension]) -> str:
    rows = (f"| `{d.key}` | {d.words} | {d.default or 'must be given'} | {d.low} to {d.high} |" for d in dimensions)
    return "\n".join(("| key | what it is | default | range |", "| --- | --- | --- | --- |", *rows, ""))


def _texts(family: Family) -> str:
    """Keys that hold words, where the family has any."""
    if not family.texts:
        return ""
    rows = (
        f"| `{one.key}` | {one.words} | {' or '.join(f'`{name}`' for name in one.options) or f'like `{one.example}`'} |"
        for one in family.texts
    )
    return "\n".join(("| key | what it is | written |", "| --- | --- | --- |", *rows, "", ""))


def _example(family: Family) -> str:
    lines = ["```toml", "[part]", f'family = "{family.name}"', *_pairs(family.example)]
    if family.example_outline:
        corners = (f"    {{ {', '.join(_pairs(corner))} }}," for corner in family.example_outline)
        lines += ["outline = [", *corners, "]"]
    return "\n".join((*lines, "```", ""))


def _pairs(typed: Mapping[str, str]) -> list[str]:
    return [f'{key} = "{text}"' for key, text in typed.items()]
