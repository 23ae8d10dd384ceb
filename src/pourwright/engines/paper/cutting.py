"""A cut through solids: outlines where a plane meets their meshes, filled and hatched, as SVG."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import InputError
from pourwright.engines.paper.callouts import Callout, callouts, framed, title, words
from pourwright.engines.paper.drawing import INK, Drawn
from pourwright.engines.paper.smoothing import welded

Loop = NDArray[np.float64]
_Crossing = tuple[int, int]  # the mesh edge that the plane crosses, by its two points


@dataclass(frozen=True, kw_only=True)
class Plane:
    """Through `origin` (mm) across `normal`; `up` is what stands upright on paper."""

    origin: tuple[float, float, float]
    normal: tuple[float, float, float] = (0.0, 1.0, 0.0)
    up: tuple[float, float, float] = (0.0, 0.0, 1.0)


@dataclass(frozen=True, kw_only=True)
class Level:
    """A height on the section (mm along `up`) with its name: a fill line, the parting."""

    height: float
    name: str


def slice_mesh(vertices: NDArray[np.float64], triangles: NDArray[np.int64], plane: Plane) -> list[Loop]:
    """Closed outlines where the plane cuts a closed mesh: (x, y) on the plane, mm, each (N, 2).

    Walking along an outline, the solid lies on the left. A point that lies on the plane counts as above it,
    so each outline closes exactly.

    Raises
    ------
    InputError
        The mesh is not closed along the cut.
    """
    spots, faces = welded(np.asarray(vertices, dtype=np.float64), np.asarray(triangles, dtype=np.int64))
    across, up, normal = _axes(plane)
    height = (spots - np.asarray(plane.origin)) @ normal
    flat = np.stack([spots @ across, spots @ up], axis=1)
    above = height >= 0.0
    following: dict[_Crossing, list[_Crossing]] = {}
    place: dict[_Crossing, NDArray[np.float64]] = {}
    for a, b, c in faces[above[faces].any(axis=1) & ~above[faces].all(axis=1)].tolist():
        leaves = enters = (-1, -1)
        for one, other in ((a, b), (b, c), (c, a)):
            if above[one] == above[other]:
                continue
            edge = (min(one, other), max(one, other))
            share = height[edge[0]] / (height[edge[0]] - height[edge[1]])
            place[edge] = flat[edge[0]] + share * (flat[edge[1]] - flat[edge[0]])
            if above[one]:
                leaves = edge
            else:
                enters = edge
        following.setdefault(enters, []).append(leaves)
    return _joined(following, place)


def _joined(following: dict[_Crossing, list[_Crossing]], place: dict[_Crossing, NDArray[np.float64]]) -> list[Loop]:
    # Where two bodies share an edge, more than one way leads on; any pairing encloses the same area.
    loops = []
    while following:
        start = next(iter(following))
        edges, here = [], start
        while not edges or here != start:
            if here not in following:
                raise InputError("the mesh is open along the cut", advice="use a closed mesh")
            edges.append(here)
            onward = following[here]
            next_one = onward.pop()
            if not onward:
                del following[here]
            here = next_one
        loops.append(np.array([place[edge] for edge in edges]))
    return loops


def _axes(plane: Plane) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Across and up on paper, and the way the reader looks: with the default, along +y with x to the right."""
    up = np.asarray(plane.up, dtype=np.float64)
    normal = np.asarray(plane.normal, dtype=np.float64)
    across = np.cross(normal, up)
    return across / np.linalg.norm(across), up / np.linalg.norm(up), normal / np.linalg.norm(normal)


def signed_area(loop: Loop) -> float:
    """Area inside an outline, mm2; negative where it runs clockwise (a hole).

    Examples
    --------
    >>> signed_area(np.array([[0, 0], [2, 0], [2, 1], [0, 1]]))
    2.0
    """
    x, y = loop[:, 0], loop[:, 1]
    return float(0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def section(
    bodies: Sequence[Drawn],
    *,
    plane: Plane,
    levels: Sequence[Level] = (),
    width: int = 900,
    text_size: float = 26.0,
) -> bytes:
    """What the plane cuts of each body, filled and hatched, with names, heights and a scale, as SVG.

    Parameters
    ----------
    bodies : in the order of drawing; a later one lies over an earlier one.
    plane : where to cut.
    levels : heights to mark with a dashed line.
    width : pixels of the cut itself.
    text_size : pixels.

    Raises
    ------
    InputError
        The plane meets no body, or a mesh is not closed.
    """
    cuts = [slice_mesh(np.asarray(b.vertices) + np.asarray(b.offset), b.triangles, plane) for b in bodies]
    spots = [loop for cut in cuts for loop in cut]
    if not spots:
        raise InputError("the plane of the section meets nothing", advice="cut through a row of cells")
    low = np.concatenate(spots).min(axis=0)
    high = np.concatenate(spots).max(axis=0)
    edge = 0.02 * width
    scale = (width - 2.0 * edge) / float(high[0] - low[0])
    tall = float(high[1] - low[1]) * scale + 2.0 * edge + 1.9 * text_size

    def on_paper(points: Loop) -> Loop:
        return np.stack([(points[:, 0] - low[0]) * scale + edge, (high[1] - points[:, 1]) * scale + edge], axis=1)

    drawn = [[on_paper(loop) for loop in cut] for cut in cuts]
    parts = [_filled(k, body, loops, width) for k, (body, loops) in enumerate(zip(bodies, drawn, strict=True)) if loops]
    marks = []
    for level in levels:
        y = (float(high[1]) - level.height) * scale + edge
        parts.append(_dashes(y, width))
        marks.append(Callout(text=level.name, middle=float(width), from_left=(0.0, y), from_right=(float(width), y)))
    parts.append(_scale_bar(scale, edge, tall - 0.55 * text_size, text_size))
    seen = _painted(drawn, width, int(tall))
    for mark in marks:  # so that no name's line runs along a level
        row = round(mark.from_right[1])
        seen[max(0, row - int(text_size)) : row + int(text_size)] = -1
    names = [*callouts(seen, [title(body) for body in bodies]), *marks]
    return framed("".join(parts), names, width, int(tall), text_size=text_size)


def _dashes(y: float, width: int) -> str:
    return f'<path d="M0 {y:.1f}H{width}" stroke="{INK}" stroke-width="2" stroke-dasharray="14 6 3 6" fill="none"/>'


def _filled(number: int, body: Drawn, loops: Sequence[Loop], width: int) -> str:
    """One body's cut: its colour, hatching clipped to it, and a firm outline."""
    path = "".join("M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in loop) + "Z" for loop in loops)
    fill = f'<path d="{path}" fill="{body.colour}" fill-rule="evenodd"/>'
    outline = f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="2.4" stroke-linejoin="round"/>'
    if body.hatch is None:
        return fill + outline
    clip = f'<clipPath id="cut{number}"><path d="{path}" clip-rule="evenodd"/></clipPath>'
    strokes = _strokes(np.concatenate(loops), angle=body.hatch[0], distance=body.hatch[1] * width / 100.0)
    lines = f'<path d="{strokes}" clip-path="url(#cut{number})" fill="none" stroke="{INK}" stroke-width="1"/>'
    return fill + clip + lines + outline


def _strokes(spots: Loop, *, angle: float, distance: float) -> str:
    """Parallel lines over the box of some points; the same lines wherever the box lies, so that parts match."""
    along = np.array([math.cos(math.radians(angle)), -math.sin(math.radians(angle))])
    aside = np.array([-along[1], along[0]])
    low, high = spots.min(axis=0), spots.max(axis=0)
    corners = np.array([[x, y] for x in (low[0], high[0]) for y in (low[1], high[1])])
    first, last = (corners @ aside).min(), (corners @ aside).max()
    start, end = (corners @ along).min(), (corners @ along).max()
    steps = np.arange(math.ceil(first / distance), math.floor(last / distance) + 1)
    ends = [(k * distance * aside + start * along, k * distance * aside + end * along) for k in steps]
    return "".join(f"M{a[0]:.1f} {a[1]:.1f}L{b[0]:.1f} {b[1]:.1f}" for a, b in ends)


def _scale_bar(scale: float, left: float, base: float, size: float) -> str:
    length = next(step for step in (50, 20, 10, 5, 2, 1, 0) if step * scale < 420 or step == 0) or 1
    right = left + length * scale
    end = f"v{0.5 * size:.1f}m0 {-0.25 * size:.1f}"
    line = f"M{left:.1f} {base - 0.25 * size:.1f}{end}H{right:.1f}m0 {-0.25 * size:.1f}v{0.5 * size:.1f}"
    return f'<path d="{line}" stroke="{INK}" stroke-width="2" fill="none"/>' + words(
        f"{length} mm", right + 0.4 * size, base + 0.3 * size, 0.8 * size
    )


def _painted(drawn: Sequence[Sequence[Loop]], width: int, height: int) -> NDArray[np.int16]:
    """Which body lies at each pixel, -1 for none: only to find where a name may point."""
    seen = np.full((height, width), -1, dtype=np.int16)
    middles = np.arange(width) + 0.5
    for number, loops in enumerate(drawn):
        if not loops:
            continue
        starts = np.concatenate(loops)
        ends = np.concatenate([np.roll(loop, -1, axis=0) for loop in loops])
        for row in range(height):
            y = row + 0.5
            crosses = (starts[:, 1] <= y) != (ends[:, 1] <= y)
            if crosses.any():
                one, other = starts[crosses], ends[crosses]
                x = one[:, 0] + (y - one[:, 1]) / (other[:, 1] - one[:, 1]) * (other[:, 0] - one[:, 0])
                seen[row, np.searchsorted(np.sort(x), middles) % 2 == 1] = number
    return seen
