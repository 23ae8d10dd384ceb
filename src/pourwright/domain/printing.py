"""How to print a kit: which face down, what overhangs, where the seam goes, how much filament and time. SI units."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.domain.estimate import Estimate


@dataclass(frozen=True, kw_only=True)
class PrintAdvice:
    """One printed piece as its file lies; `filament` kg, `filament_length` m and `time` s are those of one copy.

    `face_down` says which face lies on the bed, `better` which would want less support (empty: none would).
    `clean` are the faces that silicone copies; `marked` m2 of them would carry marks of support. `seam` is where
    the slicer's seam should stand, (x, y) m in the file, with `seam_words`.
    """

    name: str
    count: int
    face_down: str
    better: str
    contact: float
    overhang: float
    bridged: float
    marked: float
    support: float
    height: float
    clean: str
    thinnest: float | None
    seam: tuple[float, float]
    seam_words: str
    filament: Estimate
    filament_length: Estimate
    time: Estimate


@dataclass(frozen=True, kw_only=True)
class Printing:
    """All prints of a kit: the pieces, their sums with every copy, and what the figures rest on.

    `play` is the least clearance in m, across, that is left between two prints that meet when the printer's holes
    and sizes come out at their worst; below zero some will bind. `cost` is money in `currency`, None without prices.
    """

    pieces: tuple[PrintAdvice, ...]
    line: float
    layer: float
    fit: float
    play: float
    filament: Estimate
    filament_length: Estimate
    time: Estimate
    cost: Estimate | None
    currency: str
    basis: tuple[str, ...]
