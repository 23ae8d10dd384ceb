"""A solid of very many triangles, by formula: a dome with a flat foot and small waves all over it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_RADIUS_MM, _HEIGHT_MM, _WAVE_MM = 14.0, 22.0, 0.15


def bumpy(across: int = 708) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Vertices mm and triangles of the dome, its flat foot on z = 0; 2 * across^2 triangles.

    Parameters
    ----------
    across : steps around, and from the middle of the foot to the top; a multiple of four.
    """
    around = 2 * np.pi * np.arange(across) / across
    along = np.linspace(0.0, 1.0, across + 1)[1:-1]
    foot = along < 0.25
    rise = np.where(foot, 0.0, (along - 0.25) / 0.75)
    radius = np.where(foot, _RADIUS_MM * along / 0.25, _RADIUS_MM * np.sqrt(np.clip(1 - rise**2, 0, None)))
    height = _HEIGHT_MM * rise
    wave = _WAVE_MM * (np.sin(18 * around)[None, :] * np.sin(60 * rise)[:, None] - 1) * (rise * (1 - rise) * 4)[:, None]
    turned = radius[:, None] + np.where(foot[:, None], 0.0, wave)
    rings = np.stack(
        (turned * np.cos(around), turned * np.sin(around), np.broadcast_to(height[:, None], turned.shape)), axis=2
    )
    vertices = np.vstack(([[0.0, 0.0, 0.0]], rings.reshape(-1, 3), [[0.0, 0.0, _HEIGHT_MM]]))
    return vertices, _triangles(across, len(along))


def _triangles(across: int, rings: int) -> NDArray[np.int64]:
    here = np.arange(across)
    after = (here + 1) % across
    last = 1 + (rings - 1) * across
    found = [
        np.column_stack((np.zeros(across, dtype=np.int64), 1 + after, 1 + here)),
        np.column_stack((last + here, last + after, np.full(across, last + across))),
    ]
    for ring in range(rings - 1):
        low, high = 1 + ring * across, 1 + (ring + 1) * across
        found.append(np.column_stack((low + here, low + after, high + after)))
        found.append(np.column_stack((low + here, high + after, high + here)))
    return np.vstack(found).astype(np.int64)


def stl(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> bytes:
    """The solid as a binary STL."""
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    rows = np.zeros(len(triangles), dtype=record)
    rows["corners"] = vertices[triangles]
    return b"bumpy".ljust(80) + np.uint32(len(triangles)).tobytes() + rows.tobytes()
