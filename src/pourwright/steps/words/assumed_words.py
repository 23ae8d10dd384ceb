"""What nobody wrote down and a usual value stood in for, said with that value."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from pourwright.basics.quantities import show
from pourwright.domain.part import Project
from pourwright.domain.shop import Printer, Shop

_SPACE = "\u00a0"


def assumed_words(project: Project, shop: Shop) -> tuple[str, ...]:
    """Each assumed key of shop and project as words with its value; a key without words stays a key.

    Examples
    --------
    >>> from pourwright.domain.part import Part
    >>> part = Part(family="ring")
    >>> project = Project(name="a", title="A", part=part, resin="r", silicone="s", assumed=("mould.infill",))
    >>> assumed_words(project, Shop(assumed=("room.altitude",)))
    ('altitude 0\\xa0m', 'infill 100\\xa0%')
    """
    return (
        *(_shop_words(key, shop) for key in shop.assumed),
        *(_project_words(key, project) for key in project.assumed),
    )


def _shop_words(key: str, shop: Shop) -> str:
    numbered = re.fullmatch(r"printer\[(\d+)\]\.(\w+)", key)
    if numbered:
        place, field = int(numbered[1]), numbered[2]
        if field in _PRINTER and place < len(shop.printers):
            return _PRINTER[field](shop.printers[place])
        return key
    return _SHOP[key](shop) if key in _SHOP else key


def _project_words(key: str, project: Project) -> str:
    return _PROJECT[key](project) if key in _PROJECT else key


def _length(value: float) -> str:
    return show(value, "length", "mm", digits=3, space=_SPACE)


def _mass(value: float) -> str:
    return show(value, "mass", "kg" if value >= 1 else "g", digits=3, space=_SPACE)


def _share(value: float) -> str:
    return f"{100 * value:.0f}{_SPACE}%"


_SHOP: Mapping[str, Callable[[Shop], str]] = {
    "room.temperature": lambda s: "room " + show(s.room.temperature, "temperature", "°C", digits=3, space=_SPACE),
    "room.humidity": lambda s: f"humidity {_share(s.room.humidity)}",
    "room.altitude": lambda s: "altitude " + show(s.room.altitude, "length", "m", digits=4, space=_SPACE),
    "scale.readability": lambda s: f"scale that reads {_mass(s.scale.readability)}",
    "scale.repeatability": lambda s: f"and repeats within {_mass(s.scale.repeatability)}",
    "scale.capacity": lambda s: f"and carries {_mass(s.scale.capacity)}",
}
_PRINTER: Mapping[str, Callable[[Printer], str]] = {
    "name": lambda p: f"printer called {p.name}",
    "bed": lambda p: "bed " + " × ".join(f"{1e3 * side:.0f}" for side in p.bed) + f"{_SPACE}mm",
    "nozzle": lambda p: f"nozzle {_length(p.nozzle)}",
    "layer": lambda p: f"layer {_length(p.layer)}",
    "hole_offset": lambda p: f"holes print {_length(p.hole_offset)} small",
    "size_error": lambda p: f"sizes print within {_length(p.size_error)}",
}
_PROJECT: Mapping[str, Callable[[Project], str]] = {
    "mould.cavities": lambda p: f"cavities {p.mould.cavities}",
    "mould.infill": lambda p: f"infill {_share(p.mould.infill)}",
    "mould.breathers": lambda p: "breathers" if p.mould.breathers else "no breathers",
    "tolerance.class": lambda p: f"tolerances of ISO 3302-1, class {p.tolerance.grade}",
    "mould.flat_face": lambda p: "a flat face may carry the trim line",
    "mould.free_face": lambda p: "every face is moulded",
}
