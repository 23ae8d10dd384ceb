"""From readings of an existing part to a new project in the shop."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pourwright.catalogue.guides.old_parts import copying_words
from pourwright.catalogue.materials import load_material
from pourwright.domain.old_part import OldPart, Original
from pourwright.steps.trace_part import Traced, TracedSize, trace_part
from pourwright.steps.words.trace_words import project_text
from pourwright.store.old_part_file import read_old_part, write_new_project
from pourwright.store.shop_folder import open_shop

_RESIN, _SILICONE = "urethane 80A", "platinum silicone 30A"
_MM = 1e3


@dataclass(frozen=True, kw_only=True)
class NewProject:
    """What was traced, the file that was written, and what to know before copying."""

    name: str
    file: Path
    old: OldPart
    traced: Traced
    warnings: tuple[str, ...]


def trace(shop: Path | None, name: str, readings: Path, *, family: str | None = None) -> NewProject:
    """Write the project of a part that was measured by hand.

    Parameters
    ----------
    shop : the shop folder, or a folder inside one; None for where the person stands.
    name : of the new project.
    readings : the file with the readings.
    family : of the part; None lets the readings decide.

    Raises
    ------
    InputError
        A reading or a key that is wrong, or readings that make no part; nothing is written.
    CannotWrite
        There is a project of that name already.
    """
    folder = open_shop(shop)
    old = read_old_part(readings)
    traced = trace_part(old, family=family)
    text = project_text(traced, old, name=name, resin=_RESIN, silicone=_SILICONE)
    return NewProject(
        name=name,
        file=write_new_project(folder, name, text),
        old=old,
        traced=traced,
        warnings=copying_words(Original(material=old.material), load_material(_SILICONE).kind),
    )


def traced_answer(new: NewProject) -> dict[str, object]:
    """The same as the plain object of `--json`: keys carry their unit."""
    return {
        "project": new.name,
        "file": str(new.file),
        "family": new.traced.part.family,
        "sizes": [_size(size) for size in new.traced.sizes],
        "other_families": {name: why or "fits too" for name, why in new.traced.others.items()},
        "notes": list(new.traced.notes),
        "measure_again": [size.name for size in new.traced.sizes if size.again],
        "warnings": list(new.warnings),
    }


def _size(size: TracedSize) -> dict[str, object]:
    return {
        "name": size.name,
        "best_mm": round(size.best * _MM, 6),
        "low_mm": None if size.low is None else round(size.low * _MM, 6),
        "high_mm": None if size.high is None else round(size.high * _MM, 6),
        "readings": size.number,
        "worn": size.worn,
        "again": size.again,
    }
