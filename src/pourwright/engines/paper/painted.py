"""Pictures of a solid with regions painted on its surface and places marked: what blocks, where air stays."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.need import need
from pourwright.engines.paper.callouts import svg, words
from pourwright.engines.paper.drawing import INK, Drawn, Picture, Placed, draw_placed

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]
PlacePaint = Callable[[Floats, Floats], Codes]
"""Of places on the surface, mm (k, 3), and the direction to the eye (3,): a number for each, 0 for bare."""

_GUTTER = 3.0  # letters wide, left of the first view
_SPECK = 5  # pixels: paint and bare spots smaller than half of this square are faults of the grid
_STRIPES = 9  # pixels from one stripe to the next
_PALE = 0.55  # how much of a colour is left between its stripes


@dataclass(frozen=True, kw_only=True)
class Paint:
    """One colour, "#rrggbb", with its words in the legend; `stripes` 0 plain, 1 rising, -1 falling, 2 both."""

    colour: str
    words: str
    stripes: int = 0


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A place, mm, with a letter or number on it."""

    place: tuple[float, float, float]
    text: str
    colour: str = INK


@dataclass(frozen=True, kw_only=True)
class Panel:
    """One view of the solid: the body as it stands, its view, and the title below it."""

    body: Drawn
    view: str
    title: str
    paint: PlacePaint
    marks: Sequence[Mark] = ()
    line_mm: float | None = None
    arrow: str = ""


def painted_views(
    panels: Sequence[Panel],
    paints: Mapping[int, Paint],
    *,
    heading: str,
    notes: Sequence[str] = (),
    line_words: str = "",
    width: int = 620,
    tallest: float = 1.3,
) -> bytes:
    """Views side by side over one legend, as SVG.

    Parameters
    ----------
    panels : the views.
    paints : by the number that a panel's `paint` gives; only those that are seen come into the legend.
    heading : above all.
    notes : lines below the legend.
    line_words : what the dark line on the surface is.
    width : pixels of each view.
    tallest : height over width of a view at most.
    """
    size = width / 34.0
    drawn = [_view(panel, paints, width, tallest) for panel in panels]
    tall = max(picture.pixels.shape[0] for picture, _, _ in drawn)
    parts = [words(heading, 0.0, 1.3 * size, 1.25 * size)]
    top = 2.2 * size
    gutter = _GUTTER * size if any(panel.arrow for panel in panels) else 0.0  # the arrow stands beside the body
    for k, (panel, (picture, over, _)) in enumerate(zip(panels, drawn, strict=True)):
        left, down = gutter + k * (width + size), top + 0.5 * (tall - picture.pixels.shape[0])
        link = base64.b64encode(picture.png).decode()
        image = f'<image width="{width}" height="{picture.pixels.shape[0]}" href="data:image/png;base64,{link}"/>{over}'
        parts.append(f'<g transform="translate({left:.1f} {down:.1f})">{image}</g>')
        parts.append(words(panel.title, left + 0.5 * width, top + tall + 1.2 * size, size, anchor="middle"))
    seen = sorted(set().union(*(codes for _, _, codes in drawn)))
    shown = [paints[code] for code in seen]
    line = line_words if any(panel.line_mm is not None for panel in panels) else ""
    legend, bottom = _legend(shown, line, notes, top + tall + 2.6 * size, size)
    parts.append(legend)
    whole = gutter + len(panels) * (width + size) - size
    widest = max([whole, *(0.55 * size * len(text) for text in (heading, *notes))])
    paper = f'<rect x="0" y="0" width="{widest:.1f}" height="{bottom:.1f}" fill="#ffffff"/>'
    return svg(paper + "".join(parts), 0.0, 0.0, widest, bottom)


# ---------------------------------------------------------------- one view


def _view(panel: Panel, paints: Mapping[int, Paint], width: int, tallest: float) -> tuple[Picture, str, set[int]]:
    placed = draw_placed([panel.body], view=panel.view, width=width, tallest=tallest)
    there, places = placed.places()
    codes = np.zeros(there.shape, dtype=np.int64)
    codes[there] = panel.paint(places, placed.frame.towards)
    codes = _without_specks(codes, there)
    pixels = placed.picture.pixels.astype(np.float64)
    seen = set(np.unique(codes).tolist()) - {0}
    for code in seen:
        mask = codes == code
        pixels[mask] *= _tint(paints[code], mask)
    if panel.line_mm is not None:
        # Half a pixel lower, so that a flat face at that very height lies wholly above.
        level = panel.line_mm - 0.5 * placed.frame.pixel_mm
        pixels[_level_line(there, places, level)] = _rgb(INK)
    picture = Picture(pixels=np.rint(pixels).astype(np.uint8), seen=placed.picture.seen)
    return picture, _marks(placed, panel.marks, width) + _arrow(panel.arrow, width), seen


def _without_specks(codes: Codes, there: NDArray[np.bool_]) -> Codes:
    """What is painted where most of the pixels round it are, and nothing where few are."""
    near = need("scipy.ndimage")
    painted = near.uniform_filter((codes > 0).astype(np.float64), _SPECK)
    whole = near.uniform_filter(there.astype(np.float64), _SPECK)
    most = there & (painted > 0.5 * whole)
    filled = np.where(codes > 0, codes, near.maximum_filter(codes, _SPECK))
    return np.where(most, filled, 0)


def _tint(paint: Paint, mask: NDArray[np.bool_]) -> Floats:
    """The colour of each pixel of a mask, striped so that it is told apart without colours too."""
    down, across = np.nonzero(mask)
    full = np.ones(len(down), dtype=bool)
    if paint.stripes in (1, 2):
        full &= (across + down) % _STRIPES >= _STRIPES // 3
    if paint.stripes in (-1, 2):
        full &= (across - down) % _STRIPES >= _STRIPES // 3
    colour = np.array(_rgb(paint.colour)) / 255.0
    return np.where(full[:, None], colour, 1.0 - _PALE * (1.0 - colour))


def _level_line(there: NDArray[np.bool_], places: Floats, level: float) -> NDArray[np.bool_]:
    """Pixels where the surface passes a height, two wide."""
    height = np.full(there.shape, np.nan)
    height[there] = places[:, 2]
    above = np.where(there, height >= level, False)
    line = np.zeros(there.shape, dtype=bool)
    for axis in (0, 1):
        one, other = [slice(None)] * 2, [slice(None)] * 2
        one[axis], other[axis] = slice(None, -1), slice(1, None)
        first, second = tuple(one), tuple(other)
        passes = there[first] & there[second] & (above[first] != above[second])
        line[first] |= passes
        line[second] |= passes
    return line


def _rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (float(int(colour[k : k + 2], 16)) for k in (1, 3, 5))
    return red, green, blue


# ---------------------------------------------------------------- marks and legend


def _marks(placed: Placed, marks: Sequence[Mark], width: int) -> str:
    """Each mark at its place, or beside one that stands there already, with a line to its place."""
    size, taken, parts = width / 34.0, [], []
    for mark in marks:
        x, y, free = placed.spot(mark.place)
        at = x
        while any(abs(at - other) < 1.6 * size and abs(y - down) < 1.6 * size for other, down in taken):
            at += 1.7 * size
        taken.append((at, y))
        if at > x:
            parts.append(f'<path d="M{x:.1f} {y:.1f}H{at:.1f}" stroke="{mark.colour}" stroke-width="2"/>')
        parts.append(_disc(mark, at, y, size, free=free))
    return "".join(parts)


def _disc(mark: Mark, x: float, y: float, size: float, *, free: bool) -> str:
    """A disc with a letter; a hollow, dashed one where something stands before the place."""
    fill, ink, dash = (mark.colour, "#ffffff", "") if free else ("#ffffff", mark.colour, ' stroke-dasharray="4 3"')
    return (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{0.72 * size:.1f}" fill="{fill}" fill-opacity="0.9" '
        f'stroke="{mark.colour if not free else "#ffffff"}" stroke-width="2"{dash}/>'
        + words(mark.text, x, y + 0.36 * size, size, anchor="middle", colour=ink)
    )


def _arrow(text: str, width: int) -> str:
    if not text:
        return ""
    size = width / 34.0
    x, foot, tip = (1.2 - _GUTTER) * size, 6.2 * size, 1.6 * size
    head = f"M{x:.1f} {tip:.1f}l{-0.5 * size:.1f} {1.1 * size:.1f}h{size:.1f}z"
    shaft = f"M{x:.1f} {foot:.1f}V{tip + size:.1f}"
    return f'<path d="{shaft}" stroke="{INK}" stroke-width="3" fill="none"/><path d="{head}" fill="{INK}"/>' + words(
        text, x - size, foot + 1.2 * size, size
    )


def _legend(paints: Sequence[Paint], line: str, notes: Sequence[str], top: float, size: float) -> tuple[str, float]:
    parts, y = [], top
    for paint in paints:
        parts.append(_swatch(paint, y, size))
        parts.append(words(paint.words, 2.6 * size, y + 0.85 * size, size))
        y += 1.5 * size
    if line:
        path = f"M0 {y + 0.5 * size:.1f}h{2.0 * size:.1f}"
        parts.append(f'<path d="{path}" stroke="{INK}" stroke-width="3"/>')
        parts.append(words(line, 2.6 * size, y + 0.85 * size, size))
        y += 1.5 * size
    for note in notes:
        parts.append(words(note, 0.0, y + 0.85 * size, size))
        y += 1.4 * size
    return "".join(parts), y + 0.6 * size


def _swatch(paint: Paint, y: float, size: float) -> str:
    wide, tall = 2.0 * size, 1.1 * size
    box = f'x="0" y="{y:.1f}" width="{wide:.1f}" height="{tall:.1f}"'
    lines = []
    for way in (1, -1):
        if paint.stripes in (way, 2):
            for k in range(1, 5):
                x = k * wide / 5
                run = f"M{x - 0.25 * size * way:.1f} {y + tall:.1f}L{x + 0.25 * size * way:.1f} {y:.1f}"
                lines.append(f'<path d="{run}" stroke="#ffffff" stroke-opacity="0.6" stroke-width="2.5"/>')
    return f'<rect {box} fill="{paint.colour}" stroke="{INK}" stroke-width="1"/>' + "".join(lines)
