"""Sheets to PDF: a template and plain data in, the same bytes out every time."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from pourwright.basics.errors import PourwrightError
from pourwright.basics.need import need

FONT = "DejaVu Sans"
_FONT_FILES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSans-Oblique.ttf", "DejaVuSansCondensed.ttf")
_MAIN = "main.typ"
_DATA = "data.json"


def project_root() -> Path:
    """The folder that holds `src/` and, once set up, `node_modules/`."""
    return Path(__file__).resolve().parents[4]


def fonts_folder(root: Path | None = None) -> Path:
    """The folder with the fonts of the sheets, as installed under the project's root.

    Parameters
    ----------
    root : folder that holds `node_modules`; None for the project's own.

    Raises
    ------
    PourwrightError
        The fonts are not installed.
    """
    folder = (root or project_root()) / "node_modules" / "dejavu-fonts-ttf" / "ttf"
    missing = [name for name in _FONT_FILES if not (folder / name).is_file()]
    if missing:
        raise PourwrightError(
            f"the fonts for paper are not there ({missing[0]} in {folder})",
            advice="run ./start once; it installs everything",
        )
    return folder


def typeset(
    template: str,
    *,
    data: Mapping[str, Any],
    files: Mapping[str, bytes] | None = None,
    name: str = "sheet",
    root: Path | None = None,
) -> bytes:
    """A tagged PDF (PDF/UA-1) of a typst template.

    The template reads its words by `json("data.json")` and nothing else, so that a `#` or `*` which a
    person typed stays what it is. It can open only the files handed over here.

    Parameters
    ----------
    template : the text of the typst file.
    data : plain values: strings, numbers, lists, mappings.
    files : name to content, for pictures that the template shows: SVG, for only text can be handed over.
    name : what the sheet is called in an error.
    root : folder that holds `node_modules`; None for the project's own.

    Raises
    ------
    PourwrightError
        The template does not compile, warns, or the fonts are missing.

    Examples
    --------
    >>> pdf = typeset('#set document(title: "x", date: none)\\n#json("data.json").said', data={"said": "#b *c*"})
    >>> pdf[:5]
    b'%PDF-'
    """
    typst = need("typst")
    sources = {
        _MAIN: template.encode(),
        _DATA: json.dumps(data, ensure_ascii=False, sort_keys=True, allow_nan=False).encode(),
        **(files or {}),
    }
    # An empty root: typst would otherwise read whatever lies in the folder it was started from.
    with tempfile.TemporaryDirectory() as empty:
        try:
            pdf, warnings = typst.compile_with_warnings(
                sources,
                root=empty,
                font_paths=_fonts(fonts_folder(root)),
                format="pdf",
                pdf_standards=["ua-1"],
            )
        except RuntimeError as error:  # TypstError is one, and a file that is no text raises a plain one
            raise _fault(name, error) from error
    if warnings:
        raise _fault(name, warnings[0])
    return bytes(pdf)


@lru_cache(maxsize=4)
def _fonts(folder: Path) -> Any:
    return need("typst").Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(folder)])


def _fault(name: str, problem: Any) -> PourwrightError:
    said = str(getattr(problem, "message", "") or problem)
    trail = " ".join(str(part) for part in getattr(problem, "trace", None) or ())
    hints = "; ".join(str(hint) for hint in getattr(problem, "hints", None) or ())
    place = str(getattr(problem, "diagnostic", "") or trail)
    return PourwrightError(
        f"the {name} cannot be set: {said}",
        advice=hints or "this is a fault of Pourwright; please report it with your project file",
        file=name,
        field=_field(place),
    )


def _field(diagnostic: str) -> str | None:
    """The source line that typst quotes, the nearest it knows to a field."""
    quoted = [line.split("│", 1)[1].strip() for line in diagnostic.splitlines() if "│" in line]
    return next((line for line in quoted if line), None)
