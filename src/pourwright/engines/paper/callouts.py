"""Names beside a picture, each with a line to the thing it names, as SVG."""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.need import need
from pourwright.engines.paper.drawing import INK, Drawn, Picture, draw, moved

FONT = "DejaVu Sans"
LETTER = 0.58  # mean width of a letter over its size, so that a column is wide enough


@dataclass(frozen=True, kw_only=True)
class Callout:
    """A name, the middle of what it names (pixels across), and where a line from either side should end."""

    text: str
    middle: float
    from_left: tuple[float, float]
    from_right: tuple[float, float]


def exploded(
    bodies: Sequence[Drawn],
    offsets: Mapping[str, tuple[float, float, float]],
    *,
    view: str = "above",
    width: int = 900,
    text_size: float = 26.0,
    even: bool = True,
) -> bytes:
    """The bodies pulled apart and named, as SVG.

    Parameters
    ----------
    bodies : what to draw.
    offsets : mm, by the body's name; a body without one stays where it is.
    view : a name of `VIEWS`.
    width : pixels of the picture, without the names.
    text_size : pixels.
    even : whether both columns get as many names; else each name goes to its nearer side.
    """
    return labelled(draw(moved(bodies, offsets), view=view, width=width), bodies, text_size=text_size, even=even)


def labelled(shown: Picture, bodies: Sequence[Drawn], *, text_size: float = 26.0, even: bool = True) -> bytes:
    """A picture with the names of its bodies at both sides, as SVG; a body that is not seen is not named."""
    height, width = shown.seen.shape
    picture_link = base64.b64encode(shown.png).decode()
    image = f'<image x="0" y="0" width="{width}" height="{height}" href="data:image/png;base64,{picture_link}"/>'
    names = callouts(shown.seen, [title(body) for body in bodies])
    return framed(image, names, width, height, text_size=text_size, even=even)


def title(body: Drawn) -> str:
    """The body's name with its count: "wall ×2"."""
    return body.name if body.count == 1 else f"{body.name} ×{body.count}"


def callouts(seen: NDArray[np.int16], names: Sequence[str]) -> tuple[Callout, ...]:
    """For each thing that is seen, its name and a pixel well inside of it; an empty name is left out."""
    measure = need("scipy.ndimage")
    found = []
    for number, name in enumerate(names):
        mask = np.pad(seen == number, 1)
        if not name or int(mask.sum()) < 30:
            continue
        depth = measure.distance_transform_cdt(mask, metric="chessboard")[1:-1, 1:-1]
        rows, columns = np.nonzero(depth >= max(1.0, 0.8 * float(depth.max())))
        first, last = int(columns.argmin()), int(columns.argmax())
        found.append(
            Callout(
                text=name,
                middle=float(np.nonzero(mask)[1].mean()),
                from_left=(float(columns[first]), float(rows[first])),
                from_right=(float(columns[last]), float(rows[last])),
            )
        )
    return tuple(found)


def framed(
    content: str, names: Sequence[Callout], width: int, height: int, *, text_size: float, even: bool = True
) -> bytes:
    """An SVG with `content` (width by height) in its middle and the names in columns at its sides."""
    left, right = _sides(names, width, even)
    room = [_column_width([text for text, _ in column], text_size) for column in (left, right)]
    tall = max(float(height), text_size * 1.5 * (1 + max(len(left), len(right))))
    away = 0.3 * text_size
    parts = [content]
    for column, edge, anchor in ((left, -away, "end"), (right, width + away, "start")):
        heights = _spread([point[1] for _, point in column], tall, text_size)
        for (text, point), place in zip(column, heights, strict=True):
            parts.append(_leader(text, point, edge, place, text_size, anchor=anchor))
    return svg("".join(parts), -room[0], 0.0, width + sum(room), tall)


def svg(content: str, left: float, top: float, width: float, height: float) -> bytes:
    """The outermost element around `content`."""
    box = f"{left:.1f} {top:.1f} {width:.1f} {height:.1f}"
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" width="{width:.1f}" height="{height:.1f}">'
    return f"{head}{content}</svg>\n".encode()


def words(text: str, x: float, y: float, size: float, *, anchor: str = "start", colour: str = INK) -> str:
    """A line of text whose letters stand on y."""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="{FONT}" font-size="{size:.1f}" fill="{colour}" '
        f'text-anchor="{anchor}">{escape(text)}</text>'
    )


def _leader(text: str, point: tuple[float, float], edge: float, place: float, size: float, *, anchor: str) -> str:
    away = -0.45 * size if anchor == "end" else 0.45 * size
    line = f"M{edge:.1f} {place:.1f}L{point[0]:.1f} {point[1]:.1f}"
    # White under the dark line, so that it shows on dark bodies and in a black-and-white print.
    return (
        f'<path d="{line}" fill="none" stroke="#ffffff" stroke-width="{size * 0.16:.1f}"/>'
        f'<path d="{line}" fill="none" stroke="{INK}" stroke-width="{size * 0.06:.1f}"/>'
        f'<circle cx="{point[0]:.1f}" cy="{point[1]:.1f}" r="{size * 0.2:.1f}" fill="{INK}" stroke="#ffffff" '
        f'stroke-width="{size * 0.07:.1f}"/>' + words(text, edge + away, place + 0.36 * size, size, anchor=anchor)
    )


_Column = list[tuple[str, tuple[float, float]]]


def _sides(names: Sequence[Callout], width: int, even: bool) -> tuple[_Column, _Column]:
    """Each name to its nearer side; evened out, neither column has two more than the other."""
    order = sorted(names, key=lambda name: (name.middle, name.text))
    cut = sum(name.middle < width / 2.0 for name in order)
    if even and len(order) > 3:
        cut = min(max(cut, len(order) // 2), (len(order) + 1) // 2)
    left = [(name.text, name.from_left) for name in order[:cut]]
    right = [(name.text, name.from_right) for name in order[cut:]]
    return sorted(left, key=_height), sorted(right, key=_height)


def _height(entry: tuple[str, tuple[float, float]]) -> tuple[float, float]:
    return entry[1][1], entry[1][0]


def _column_width(texts: Sequence[str], size: float) -> float:
    return max((len(text) for text in texts), default=-1) * LETTER * size + 1.2 * size


def _spread(wanted: Sequence[float], tall: float, size: float) -> list[float]:
    """Heights as near as can be to the wanted ones (rising), with room for a line of text between them."""
    gap = 1.5 * size
    places: list[float] = []
    for height in wanted:
        places.append(max(height, places[-1] + gap if places else gap * 0.6))
    limit = tall - gap * 0.6
    for k in range(len(places) - 1, -1, -1):
        places[k] = min(places[k], limit)
        limit = places[k] - gap
    return places
