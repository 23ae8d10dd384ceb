"""Small meshes with known faces, and a reader of PNG, for the tests of pictures. Millimetres."""

from __future__ import annotations

import math
import struct
import zlib

import numpy as np
from numpy.typing import NDArray

from pourwright.engines.paper.drawing import Drawn

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]


def box_mesh(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    """A box with twelve outward triangles."""
    corners = np.array([[(low, high)[(k >> axis) & 1][axis] for axis in range(3)] for k in range(8)], dtype=float)
    quads = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5)]
    return corners, np.array([t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))], dtype=np.int64)


def prism_mesh(sides: int, radius: float, height: float) -> Mesh:
    """An upright prism over a regular polygon."""
    turn = 2 * math.pi * np.arange(sides) / sides
    ring = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    low = np.column_stack([ring, np.zeros(sides)])
    vertices = np.concatenate([low, low + np.array([0, 0, height]), [[0, 0, 0], [0, 0, height]]])
    faces = []
    for k in range(sides):
        n = (k + 1) % sides
        faces += [(k, n, sides + n), (k, sides + n, sides + k), (2 * sides, n, k)]
        faces.append((2 * sides + 1, sides + k, sides + n))
    return vertices, np.array(faces, dtype=np.int64)


def ball_mesh(radius: float, rings: int = 48) -> Mesh:
    """A ball of latitude rings."""
    turns = 2 * rings
    points = [(0.0, 0.0, -radius)]
    for i in range(1, rings):
        a = math.pi * i / rings - math.pi / 2
        for k in range(turns):
            b = 2 * math.pi * k / turns
            points.append(
                (radius * math.cos(a) * math.cos(b), radius * math.cos(a) * math.sin(b), radius * math.sin(a))
            )
    points.append((0.0, 0.0, radius))
    faces = []
    for k in range(turns):
        n = (k + 1) % turns
        faces.append((0, 1 + n, 1 + k))
        for i in range(rings - 2):
            a, b = 1 + i * turns, 1 + (i + 1) * turns
            faces += [(a + k, a + n, b + n), (a + k, b + n, b + k)]
        last = 1 + (rings - 2) * turns
        faces.append((last + k, last + n, len(points) - 1))
    return np.array(points), np.array(faces, dtype=np.int64)


def drawn(name: str, mesh: Mesh, **more: object) -> Drawn:
    """A body to draw."""
    return Drawn(name=name, vertices=mesh[0], triangles=mesh[1], **more)  # type: ignore[arg-type]


def read_png(content: bytes) -> NDArray[np.uint8]:
    """Pixels of a PNG that uses the filters none, left and above; every checksum is verified."""
    if content[:8] != b"\x89PNG\r\n\x1a\n":
        raise ValueError("no PNG")
    place, data, head = 8, b"", b""
    kinds = []
    while place < len(content):
        (length,) = struct.unpack(">I", content[place : place + 4])
        kind, body = content[place + 4 : place + 8], content[place + 8 : place + 8 + length]
        (check,) = struct.unpack(">I", content[place + 8 + length : place + 12 + length])
        if zlib.crc32(kind + body) != check:
            raise ValueError(f"bad checksum in {kind!r}")
        kinds.append(kind)
        head = body if kind == b"IHDR" else head
        data += body if kind == b"IDAT" else b""
        place += 12 + length
    if kinds[0] != b"IHDR" or kinds[-1] != b"IEND":
        raise ValueError("chunks out of order")
    width, height, depth, colour, *rest = struct.unpack(">IIBBBBB", head)
    if depth != 8 or rest != [0, 0, 0]:
        raise ValueError("not the plain kind of PNG")
    channels = {2: 3, 6: 4}[colour]
    raw = np.frombuffer(zlib.decompress(data), dtype=np.uint8).reshape(height, 1 + width * channels)
    out = np.zeros((height, width, channels), dtype=np.uint8)
    for y in range(height):
        row = raw[y, 1:].reshape(width, channels)
        kind = int(raw[y, 0])
        if kind == 1:
            row = np.cumsum(row, axis=0, dtype=np.uint8)
        elif kind == 2:
            row = row + (out[y - 1] if y else 0)
        elif kind != 0:
            raise ValueError(f"filter {kind}")
        out[y] = row
    return out
