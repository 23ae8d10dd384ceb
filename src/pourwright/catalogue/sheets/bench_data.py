"""What a bench sheet says, as plain words: every number is already written with its unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pourwright.engines.paper.png import PNG_MARK, svg_around


@dataclass(frozen=True, kw_only=True)
class SheetPicture:
    """A picture (PNG or SVG) with what it shows in words, for those who cannot see it."""

    content: bytes
    alt: str
    caption: str = ""

    @property
    def svg(self) -> bytes:
        """The picture as SVG: the typesetter takes text only, so that a PNG is wrapped."""
        return svg_around(self.content) if self.content.startswith(PNG_MARK) else self.content


@dataclass(frozen=True, kw_only=True)
class SheetPiece:
    """One line of the print card; `note` says which face lies down and what to mind."""

    name: str
    role: str
    count: int
    size: str
    note: str = ""
    files: str = ""


@dataclass(frozen=True, kw_only=True)
class SheetPour:
    """One mix: what to weigh, when to stop, how long there is."""

    name: str
    material: str
    volume: str
    total: str
    a: str
    b: str
    stop_a: str
    stop_ab: str
    ratio: str
    b_per_a: str
    ratio_error: str
    smallest_batch: str
    pot_life: str
    allowed: str
    cup_loss: str
    cost: str = ""
    placeholder: bool = False
    too_fast: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SheetStep:
    """One thing to do. `cautions` are names of cautions printed right under it, `readings` what to write down."""

    words: str
    cautions: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SheetPhase:
    """Steps that belong together."""

    title: str
    steps: tuple[SheetStep, ...]


@dataclass(frozen=True, kw_only=True)
class SheetCheck:
    """A check that is not all well; `mark` is "failed" or "caution"."""

    name: str
    mark: str
    figure: str = ""
    advice: str = ""


@dataclass(frozen=True, kw_only=True)
class SheetCaution:
    """One caution: `words` at the first step that names it, `brief` at later ones."""

    title: str
    words: str
    brief: str


@dataclass(frozen=True, kw_only=True)
class SheetSize:
    """One size of the cast in mm: wanted, allowed, forecast with its band, go or not, what the pattern should be."""

    name: str
    wanted: str
    allowed: str
    forecast: str
    mark: str
    driver: str
    pattern: str
    measured: str = ""


@dataclass(frozen=True, kw_only=True)
class BenchSheetData:
    """Everything on one bench sheet.

    `mark` is empty for a sound plan; else it stands large on every page, and `failures` say why.
    `asked_first` are (question, answer); `facts` the same for the small table; `release` (face, area).
    `parts` is how many one cast gives.
    """

    title: str
    project: str
    version: str
    key: str
    style: str
    style_reason: str
    asked_first: tuple[tuple[str, str], ...]
    facts: tuple[tuple[str, str], ...]
    pieces: tuple[SheetPiece, ...]
    print_rules: tuple[str, ...]
    pours: tuple[SheetPour, ...]
    phases: tuple[SheetPhase, ...]
    cautions: Mapping[str, SheetCaution]
    defer: str
    promises_not: tuple[str, ...]
    pressure: str
    release: tuple[tuple[str, str], ...] = ()
    release_words: str = ""
    checks: tuple[SheetCheck, ...] = ()
    mark: str = ""
    failures: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    parts: int = 1
    sizes: tuple[SheetSize, ...] = ()
    size_rules: tuple[str, ...] = ()
    overview: SheetPicture | None = None
    section: SheetPicture | None = None
    release_picture: SheetPicture | None = None
