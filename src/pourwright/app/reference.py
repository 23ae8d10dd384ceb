"""The reference pages in docs/reference, made from the shelves, so that they never say what the program does not."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from pourwright.catalogue.checks.check import CHECKS
from pourwright.catalogue.families.reference import reference_page
from pourwright.catalogue.materials import load_material, material_names
from pourwright.catalogue.materials.fields import NUMBERS, RATIOS, TABLES, WORDS
from pourwright.catalogue.materials.own_sheet import show_value
from pourwright.catalogue.moulds.style import STYLES

_MADE = "*This page is made by the program: `python -m pourwright.app.reference`.*\n"


def pages() -> dict[str, str]:
    """Every reference page: Markdown by file name."""
    return {name: make() for name, make in _PAGES.items()}


def _index() -> str:
    lines = [f"* [{title}]({name})" for name, title in _TITLES.items()]
    return "\n".join(["# Reference", "", *lines, "", _MADE])


def _materials() -> str:
    parts = ["# Material classes", "", "Wide defaults, most of them recalled: a data sheet or an own test goes before "
             "them. Best is the middle of the range, for viscosity and times the geometric mean. Ratios are "
             "placeholders: read your sheet before mixing.", ""]  # fmt: skip
    for name in material_names():
        parts += [f"## {name}", "", "| what | low | best | high | source | status |", "|---|---|---|---|---|---|"]
        for key, fact in load_material(name).facts.items():
            field, value = NUMBERS[key], fact.estimate
            shown = " | ".join(show_value(number, field) for number in (value.low, value.best, value.high))
            parts.append(f"| {field.words} | {shown} | {fact.source} | {fact.status} |")
        parts.append("")
    return "\n".join([*parts, "Sources by key: `src/pourwright/sources.toml`.", "", _MADE])


def _own_sheets() -> str:
    rows = [f"| `{name}` | {field.words} | {field.unit} |" for name, field in NUMBERS.items()]
    words = [f"| `{name}` | {text} | |" for name, text in {**WORDS, **RATIOS, **TABLES}.items()]
    head = ["# Your own material sheets", "", "One TOML file a material in `materials/` of the shop folder. Every line "
            "goes over the class that `class` names; what you leave out stays the class default.", "",
            "| key | what it is | shown in |", "|---|---|---|"]  # fmt: skip
    return "\n".join([*head, *words, *rows, "", _MADE])


def _checks() -> str:
    rows = [f"* **{name}**: {_first_line(check)}" for name, check in CHECKS.items()]
    return "\n".join(["# Checks of every kit", "", *rows, "", _MADE])


def _first_line(check: Callable[..., object]) -> str:
    return (sys.modules[check.__module__].__doc__ or "").splitlines()[0] + " " + (check.__doc__ or "").splitlines()[0]


def _styles() -> str:
    rows = [f"* `{name}`: {style.words}" for name, style in STYLES.items()]
    return "\n".join(["# Mould styles", "", *rows, "", _MADE])


def _answers() -> str:
    return "\n".join(["# Volumes in the answer of `kit`", "", "All of the whole mould with its cavities, in mm³, from "
            "the kernel that the answer names.", "", *(f"* `{key}`: {words}" for key, words in _VOLUMES.items()), "",
            _MADE])  # fmt: skip


_VOLUMES: Mapping[str, str] = {
    "part_mm3": "one part as drawn, unscaled; of a part around a hard core its rubber alone",
    "cavity_mm3": "what the resin fills: cavities · scale³ · `part_mm3`, and what it fills of vents and wells. For a "
    "part around a hard core it is the rubber, only the outside of which is scaled, with vents and wells, and not the "
    "room of the core. With metal rods in the bores of a part from a file it is less by the hair that each rod is "
    "wider than its bore",
    "vents_mm3": "what of the vents lies outside the parts",
    "wells_mm3": "overflow wells with their channels",
    "silicone_lower_mm3": "silicone of the first pour",
    "silicone_lid_mm3": "silicone of the second pour; 0 without a lid",
}

_TITLES: Mapping[str, str] = {
    "part-families.md": "Part families",
    "mould-styles.md": "Mould styles",
    "checks.md": "Checks of every kit",
    "materials.md": "Material classes",
    "own-sheets.md": "Your own material sheets",
    "answers.md": "Volumes in the answer of kit",
}
_PAGES: Mapping[str, Callable[[], str]] = {
    "index.md": _index,
    "part-families.md": reference_page,
    "mould-styles.md": _styles,
    "checks.md": _checks,
    "materials.md": _materials,
    "own-sheets.md": _own_sheets,
    "answers.md": _answers,
}


def stale(folder: Path) -> list[str]:
    """The pages in a folder that are not what the program would write."""
    return [
        name
        for name, text in pages().items()
        if not (folder / name).is_file() or (folder / name).read_text(encoding="utf-8") != text
    ]


def main(words: list[str]) -> int:
    """Write the pages, or with --check say which are stale."""
    folder = Path(__file__).resolve().parents[3] / "docs" / "reference"
    if "--check" in words:
        old = stale(folder)
        print(
            f"stale: {', '.join(old)}; run python -m pourwright.app.reference" if old else "reference pages are fresh"
        )
        return 1 if old else 0
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in pages().items():
        (folder / name).write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
