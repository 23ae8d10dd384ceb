"""Pictures of solids without a screen: shaded, with crisp edges and no hidden lines, as PNG."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import InputError
from pourwright.basics.need import need
from pourwright.engines.paper.frame import FINE, MARGIN, VIEWS, Frame, directions
from pourwright.engines.paper.png import png_bytes
from pourwright.engines.paper.smoothing import corner_normals, face_normals, smooth_patches, welded

# Calm, and far enough apart in lightness that they differ in a black-and-white print.
PALETTE: Mapping[str, str] = {
    "pattern": "#d08a3c",
    "base": "#7f8d91",
    "wall": "#c5d3d3",
    "bridge": "#4f8f8f",
    "well former": "#2f7077",
    "vent rod": "#3d4a4c",
    "cover plate": "#a9c3b0",
    "press board": "#8aa08c",
    "levelling board": "#a8aaa2",
    "core rod": "#4c5559",
    "hard core": "#8f7f72",
    "lower half": "#dcd3ea",
    "lid": "#bfb3d6",
    "cavity": "#c9695c",
    "release": "#b5473a",
}
# Hatching of a cut: degrees and distance (in hundredths of the width); None is left plain.
HATCHING: Mapping[str, tuple[float, float] | None] = {
    "lower half": (45.0, 1.6),
    "lid": (-45.0, 1.6),
    "cavity": None,
    "wall": (-45.0, 0.8),
    "cover plate": (45.0, 0.8),
    "press board": (-45.0, 1.1),
    "levelling board": (45.0, 1.1),
    "core rod": None,
    "hard core": (60.0, 0.7),
}
INK = "#1c211f"
PAPER = "#ffffff"

_EDGE_LINE, _OUTLINE = 1.0, 2.0  # radius in points, at a width of 900
_SHADE = 0.75  # how dark a corner gets
_VEIL = 0.16  # share of colour that a see-through body puts over what is behind it
_VEIL_INK = "#55605b"


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """One body to draw. `vertices` mm (V, 3), `triangles` (T, 3) outward, `colour` as "#rrggbb".

    `offset` moves it (mm) without touching the mesh; a `ghost` is drawn see-through, with its edges.
    `hatch` is for cuts: degrees and distance in hundredths of the width, None for plain.
    """

    name: str
    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]
    colour: str = "#c5d3d3"
    count: int = 1
    offset: tuple[float, float, float] = (0.0, 0.0, 0.0)
    ghost: bool = False
    hatch: tuple[float, float] | None = (45.0, 1.2)


@dataclass(frozen=True, kw_only=True)
class Picture:
    """Pixels (height, width, 3), and for each pixel which body is seen there (height, width), -1 for none."""

    pixels: NDArray[np.uint8]
    seen: NDArray[np.int16]

    @property
    def png(self) -> bytes:
        """The picture as a PNG file."""
        return png_bytes(self.pixels)


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A picture, the frame it was drawn in, and how near to the eye each pixel's middle is; -inf where nothing is."""

    picture: Picture
    frame: Frame
    depth: NDArray[np.float64]

    def places(self) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
        """Where something solid is seen (height, width), and the place of each such pixel, mm (k, 3)."""
        there = np.isfinite(self.depth)
        down, across = np.nonzero(there)
        return there, self.frame.spots(across, down, self.depth[there])

    def spot(self, place: tuple[float, float, float]) -> tuple[float, float, bool]:
        """Pixels across and down of a place in mm, and whether nothing stands before it."""
        x, y, depth = self.frame.points(np.array([place], dtype=np.float64))[0] / FINE
        down, across = (min(max(int(v), 0), n - 1) for v, n in zip((y, x), self.depth.shape, strict=True))
        return float(x), float(y), bool(self.depth[down, across] / FINE <= depth + 2.0)


def picture(bodies: Sequence[Drawn], *, view: str = "above", width: int = 900) -> bytes:
    """Bodies seen from one side, without perspective, as PNG.

    Parameters
    ----------
    bodies : what to draw.
    view : a name of `VIEWS`.
    width : pixels; the height follows.

    Raises
    ------
    UnknownName
        No such view.
    InputError
        Nothing to draw.
    """
    return draw(bodies, view=view, width=width).png


def moved(bodies: Sequence[Drawn], offsets: Mapping[str, tuple[float, float, float]]) -> tuple[Drawn, ...]:
    """The bodies shifted by name, mm: the first half of an exploded view."""
    return tuple(replace(body, offset=offsets.get(body.name, body.offset)) for body in bodies)


def draw(bodies: Sequence[Drawn], *, view: str = "above", width: int = 900, tallest: float = 1.6) -> Picture:
    """As `picture`, with the pixels and what is seen where; `tallest` limits height over width."""
    return draw_placed(bodies, view=view, width=width, tallest=tallest).picture


def draw_placed(bodies: Sequence[Drawn], *, view: str = "above", width: int = 900, tallest: float = 1.6) -> Placed:
    """As `draw`, with what is needed to find places on the picture again."""
    shown = [body for body in bodies if len(body.triangles)]
    if not shown:
        raise InputError("there is nothing to draw", advice="give at least one body with triangles")
    frame = Frame.around(np.concatenate([_placed(body) for body in shown]), view=view, width=width, tallest=tallest)
    numbered = [(number, body) for number, body in enumerate(bodies) if len(body.triangles)]
    solid = _layer([pair for pair in numbered if not pair[1].ghost], frame)
    ghost = _layer([pair for pair in numbered if pair[1].ghost], frame)
    pixels = _mixed(solid, ghost, np.array([_rgb(body.colour) for body in bodies]), frame)
    middle = slice(FINE // 2, None, FINE)
    seen, veiled = (layer.body_of[layer.owner[middle, middle]] for layer in (solid, ghost))
    drawn = Picture(
        pixels=np.rint(np.clip(pixels, 0.0, 1.0) * 255.0).astype(np.uint8),
        seen=np.where(seen >= 0, seen, veiled).astype(np.int16),
    )
    return Placed(picture=drawn, frame=frame, depth=solid.depth[middle, middle].astype(np.float64))


@dataclass(frozen=True, kw_only=True)
class Sprite:
    """One body on a clear ground: its PNG, and where its left upper corner and its size lie on the paper, mm."""

    png: bytes
    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float


def sprite(bodies: Sequence[Drawn], *, view: str = "above", pixels_per_mm: float = 4.0) -> Sprite:
    """Bodies on a clear ground at a given scale, so that several such pictures can be laid over each other.

    Parameters
    ----------
    bodies : what to draw.
    view : a name of `VIEWS`.
    pixels_per_mm : scale.

    Returns
    -------
    Sprite
        Paper runs right and down from the projected origin.
    """
    across, _, _ = directions(*VIEWS[view])
    wide = float(np.ptp(np.concatenate([_placed(body) for body in bodies]) @ across))
    width = max(16, math.ceil(wide * pixels_per_mm / (1.0 - 2.0 * MARGIN)))
    frame = Frame.around(np.concatenate([_placed(body) for body in bodies]), view=view, width=width, tallest=math.inf)
    shown = draw(bodies, view=view, width=width, tallest=math.inf)
    ground = np.where(shown.seen >= 0, 255, 0).astype(np.uint8)
    scale = frame.points_per_mm / FINE
    return Sprite(
        png=png_bytes(np.dstack([shown.pixels, ground])),
        left_mm=frame.left,
        top_mm=-frame.top,
        width_mm=frame.width / scale,
        height_mm=frame.height / scale,
    )


def on_paper(vector_mm: Sequence[float], *, view: str = "above") -> tuple[float, float]:
    """Where a vector points on the paper, right and down, mm.

    Examples
    --------
    >>> on_paper((0.0, 0.0, 2.0), view="front")
    (0.0, -2.0)
    """
    across, up, _ = directions(*VIEWS[view])
    spot = np.asarray(vector_mm, dtype=np.float64)
    return float(spot @ across) + 0.0, -float(spot @ up) + 0.0


# ---------------------------------------------------------------- bodies


def _placed(body: Drawn) -> NDArray[np.float64]:
    return np.asarray(body.vertices, dtype=np.float64) + np.asarray(body.offset, dtype=np.float64)


def _rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5))
    return red, green, blue


# ---------------------------------------------------------------- what is seen, and how it looks


@dataclass(frozen=True, kw_only=True)
class _Layer:
    """At each point: depth, triangle (-1 none), light, lines; at each pixel: slope; and each triangle's body.

    `body_of` has one more entry at its end, -1, so that the triangle "none" finds it.
    """

    depth: NDArray[np.float32]
    owner: NDArray[np.int32]
    body_of: NDArray[np.int64]
    light: NDArray[np.float32]
    slope: NDArray[np.float32]
    lines: NDArray[np.bool_]


def _layer(bodies: Sequence[tuple[int, Drawn]], frame: Frame) -> _Layer:
    if not bodies:
        return _nothing((frame.height * FINE, frame.width * FINE))
    raster = need("pourwright.engines.paper.raster")
    corners, triangles, normals, patch_of, body_of = _gathered(bodies, frame)
    depth, owner = raster.nearest_triangle(corners, triangles, frame.height * FINE, frame.width * FINE)
    lamps, ground = _lamps(frame)
    light, slope = raster.light_seen(corners, triangles, normals, owner, lamps, ground, FINE)
    strength = raster.line_strength(depth, owner, patch_of, body_of, 6.0 * FINE)
    size = max(1.0, frame.width / 900.0)  # never thinner than a pixel
    lines = raster.thickened(strength, _EDGE_LINE * size, _OUTLINE * size)
    return _Layer(depth=depth, owner=owner, body_of=body_of, light=light, slope=slope, lines=lines)


def _nothing(shape: tuple[int, int]) -> _Layer:
    return _Layer(
        depth=np.full(shape, -np.inf, dtype=np.float32),
        owner=np.full(shape, -1, dtype=np.int32),
        body_of=np.array([-1], dtype=np.int64),
        light=np.zeros(shape, dtype=np.float32),
        slope=np.zeros((shape[0] // FINE, shape[1] // FINE, 2), dtype=np.float32),
        lines=np.zeros(shape, dtype=np.bool_),
    )


def _gathered(bodies: Sequence[tuple[int, Drawn]], frame: Frame) -> tuple[NDArray[np.generic], ...]:
    """All bodies as one mesh in the frame's points: corners, triangles, corner normals, patch and body of each."""
    turn = np.stack([frame.across, -frame.up, frame.towards], axis=1)
    corners, triangles, normals, patch_of, body_of = [], [], [], [], []
    vertex_count = patch_count = 0
    for number, body in bodies:
        spots, faces = welded(_placed(body), np.asarray(body.triangles, dtype=np.int64))
        flat = face_normals(spots, faces)
        patch = smooth_patches(faces, flat)
        corners.append(frame.points(spots))
        triangles.append(faces + vertex_count)
        normals.append(corner_normals(spots, faces, flat, patch) @ turn)
        patch_of.append(patch + patch_count)
        body_of.append(np.full(len(faces), number, dtype=np.int64))
        vertex_count += len(spots)
        patch_count += int(patch.max()) + 1
    none = np.array([-1], dtype=np.int64)
    return (
        np.concatenate(corners),
        np.concatenate(triangles),
        np.concatenate(normals),
        np.concatenate([*patch_of, none]),
        np.concatenate([*body_of, none]),
    )


def _lamps(frame: Frame) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Light over the eye's left shoulder, a weak fill from the right, and a soft one from above."""
    turn = np.stack([frame.across, -frame.up, frame.towards], axis=1)
    key = _unit(frame.towards * 0.75 - frame.across * 0.65 + np.array([0.0, 0.0, 0.9]))
    fill = _unit(frame.towards * 0.6 + frame.across * 0.9)
    above = np.array([0.0, 0.0, 1.0]) * 0.10 @ turn
    return np.stack([key * 0.50, fill * 0.12]) @ turn, np.append(above, 0.62)


def _mixed(solid: _Layer, ghost: _Layer, colours: NDArray[np.float64], frame: Frame) -> NDArray[np.float32]:
    raster = need("pourwright.engines.paper.raster")
    middle = slice(FINE // 2, None, FINE)
    sky = raster.openness(
        np.ascontiguousarray(solid.depth[middle, middle]) / FINE,
        solid.slope,
        0.055 * frame.width,
        0.06 * frame.width,
    )
    sky = 1.0 - _SHADE * (1.0 - _blurred(sky, 2))
    layers = [
        item for layer in (solid, ghost) for item in (layer.owner, layer.body_of, layer.light, layer.lines, layer.depth)
    ]
    ink, veil_ink = np.array(_rgb(INK)), np.array(_rgb(_VEIL_INK))
    return np.asarray(raster.mixed(FINE, sky, colours, ink, veil_ink, _VEIL, *layers))


def _blurred(values: NDArray[np.float32], reach: int) -> NDArray[np.float32]:
    out = values
    for axis in (0, 1):
        padded = np.pad(out, [(reach, reach) if a == axis else (0, 0) for a in (0, 1)], mode="edge")
        count = out.shape[axis]
        pieces = (padded[k : k + count] if axis == 0 else padded[:, k : k + count] for k in range(2 * reach + 1))
        out = np.asarray(sum(pieces) / np.float32(2 * reach + 1), dtype=np.float32)
    return out


def _unit(vector: NDArray[np.float64]) -> NDArray[np.float64]:
    return vector / np.linalg.norm(vector)
