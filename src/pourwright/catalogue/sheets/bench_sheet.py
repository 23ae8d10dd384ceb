"""The bench sheet: everything for one mould and its first cast on paper, with boxes to tick and lines to fill in."""

from __future__ import annotations

from dataclasses import asdict, fields
from importlib.resources import files

from pourwright.basics.errors import PourwrightError
from pourwright.basics.shelf import unknown_name
from pourwright.catalogue.sheets.bench_data import BenchSheetData, SheetPhase, SheetPicture
from pourwright.engines.paper.typesetting import typeset

NAME = "bench sheet"
PAPERS = ("a4", "us-letter")

_PICTURES = ("overview", "section", "release_picture")


def bench_sheet(data: BenchSheetData, *, paper: str = "a4") -> bytes:
    """The bench sheet as a tagged PDF; the same data give the same bytes.

    Parameters
    ----------
    data : what it says.
    paper : "a4" or "us-letter".

    Raises
    ------
    UnknownName
        No such paper.
    PourwrightError
        A step names a caution that `data` does not hold, or the fonts are missing.
    """
    if paper not in PAPERS:
        raise unknown_name(paper, PAPERS, noun="paper")
    template = files("pourwright.catalogue.sheets").joinpath("bench_sheet.typ").read_text(encoding="utf-8")
    return typeset(template, data=_as_words(data, paper), files=_pictures(data), name=NAME)


SHEET = bench_sheet


def _as_words(data: BenchSheetData, paper: str) -> dict[str, object]:
    plain = {f.name: getattr(data, f.name) for f in fields(data) if f.name not in (*_PICTURES, "phases", "cautions")}
    for name in ("pieces", "pours", "checks", "sizes"):
        plain[name] = [asdict(item) for item in plain[name]]
    plain["paper"] = paper
    plain["phases"] = _numbered(data)
    for name in _PICTURES:
        shown: SheetPicture | None = getattr(data, name)
        plain[name] = shown and {"file": f"{name}.svg", "alt": shown.alt, "caption": shown.caption}
    return plain


def _pictures(data: BenchSheetData) -> dict[str, bytes]:
    shown: dict[str, SheetPicture | None] = {name: getattr(data, name) for name in _PICTURES}
    return {f"{name}.svg": item.svg for name, item in shown.items() if item is not None}


def _numbered(data: BenchSheetData) -> list[dict[str, object]]:
    """Phases with running step numbers; a caution is in full where it first matters, brief afterwards."""
    first_at: dict[str, int] = {}
    number = 0
    out: list[dict[str, object]] = []
    for phase in data.phases:
        steps = []
        for step in phase.steps:
            number += 1
            cautions = [_caution(data, name, number, first_at, phase) for name in step.cautions]
            steps.append({**asdict(step), "number": number, "cautions": cautions})
        out.append({"title": phase.title, "steps": steps})
    return out


def _caution(
    data: BenchSheetData, name: str, number: int, first_at: dict[str, int], phase: SheetPhase
) -> dict[str, object]:
    if name not in data.cautions:
        raise PourwrightError(
            f"step {number} ({phase.title}) needs the caution {name!r}, which the sheet was not given",
            advice=f"known: {', '.join(data.cautions)}",
        )
    caution = data.cautions[name]
    earlier = first_at.setdefault(name, number)
    if earlier == number:
        return {"title": caution.title, "words": caution.words}
    return {"title": caution.title, "words": f"{caution.brief} In full at step {earlier}."}
