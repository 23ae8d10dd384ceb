"""Volumes and drawn surfaces of solids that repeat themselves, made from one of each and remembered.

The figures are those of the whole solid; what is saved is the making of what is alike.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.layered.layer_faces import Patch
from pourwright.engines.geometry.layered.layering import Layers
from pourwright.engines.geometry.repeats.apart import Share, apart
from pourwright.engines.geometry.repeats.enclosing import Corners, enclosing
from pourwright.engines.geometry.repeats.windows import AXES, Window
from pourwright.engines.geometry.tree import Imported, Node, Op, Placed

Drawn = tuple[NDArray[np.float64], NDArray[np.int64]]
_ON_SEAM_MM = 1e-7
_AXES = np.array(AXES)
_SWELL = 1.003  # at least what 48 chords and more add to a radius
_MOST_KNOWN = 4000  # divisions remembered


@dataclass(frozen=True)
class Surface:
    """Triangles to draw, in each of several places: vertices mm (n, 3) float32, triangles (m, 3) uint32."""

    key: str
    vertices_mm: NDArray[np.float32]
    triangles: NDArray[np.uint32]
    places_mm: tuple[tuple[float, float], ...]


class Surfaces:
    """What solids measure and how they look, found from pieces that are alike.

    Parameters
    ----------
    evaluator : a mesh kernel with its memory.
    memory : most triangles kept to draw; the least recently used are forgotten.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.analytic import AnalyticKernel
    >>> from pourwright.engines.geometry.tree import Box
    >>> Surfaces(Evaluator(AnalyticKernel())).volume(Box(0, 0, 0, 1, 2, 3))
    6.0
    """

    def __init__(self, evaluator: Evaluator, *, memory: int = 2_000_000) -> None:
        self.evaluator = evaluator
        self._memory = memory
        self._held = 0
        self._drawn: OrderedDict[str, tuple[NDArray[np.float32], NDArray[np.uint32]]] = OrderedDict()
        self._divided: OrderedDict[str, tuple[Share, ...]] = OrderedDict()
        self._layers = Layers(evaluator)

    def volume(self, node: Node, *, report: Report = silent) -> float:
        """Volume of a node, mm3."""
        solid = self._layers.of(node, report)
        if solid is not None:
            return solid.volume_mm3
        return sum(
            len(share.places_mm) * self.evaluator.volume(share.node, report=report) for share in self._shares(node)
        )

    def surfaces(self, node: Node, *, report: Report = silent) -> tuple[Surface, ...]:
        """The surface of a node, without the faces where its pieces meet."""
        solid = self._layers.of(node, report)
        if solid is not None:
            drawn = (self._patch(patch) for patch in self._layers.patches(solid, node.key))
            return tuple(one for one in drawn if len(one.triangles))
        return tuple(self._surface(share, report) for share in self._shares(node))

    def members(self, node: Node, *, report: Report = silent) -> tuple[Surface, ...]:
        """The surfaces of what a union is made of, each whole, so that some of them lies inside another."""
        placed: dict[str, list[tuple[float, float]]] = {}
        solids: dict[str, Node] = {}
        for member in _members(node):
            solid, place = _unplaced(member)
            placed.setdefault(solid.key, []).append(place)
            solids[solid.key] = solid
        return tuple(
            replace(one, places_mm=tuple((x + u, y + v) for x, y in where for u, v in one.places_mm))
            for key, where in placed.items()
            for one in self.surfaces(solids[key], report=report)
        )

    def enclosing(self, node: Node, *, swell: float = _SWELL) -> Corners:
        """A box that surely holds a node as it is drawn, mm; with a swell of 1 the node itself."""
        return enclosing(node, swell=swell, imported=self._imported)

    @property
    def kept(self) -> tuple[str, ...]:
        """Keys of the surfaces in memory, the least recently used first."""
        return tuple(self._drawn)

    def _shares(self, node: Node) -> tuple[Share, ...]:
        if node.key in self._divided:
            self._divided.move_to_end(node.key)
            return self._divided[node.key]
        found = apart(node, self.enclosing) or (Share(node, ((0.0, 0.0),), ()),)
        self._divided[node.key] = found
        if len(self._divided) > _MOST_KNOWN:
            self._divided.popitem(last=False)
        return found

    def _imported(self, digest: str) -> Corners:
        low, high = self.evaluator.bounds(Imported(digest))
        return tuple(low.tolist()), tuple(high.tolist())  # type: ignore[return-value]

    def _surface(self, share: Share, report: Report) -> Surface:
        def make() -> Drawn:
            vertices, triangles = self.evaluator.mesh(share.node, report=report)
            return vertices, _without_seams(vertices, triangles, share.seams)

        key = ".".join((share.node.key, *(seam.key for seam in share.seams)))
        return Surface(key, *self._remembered(key, make), share.places_mm)

    def _patch(self, patch: Patch) -> Surface:
        return Surface(patch.key, *self._remembered(patch.key, patch.make), patch.places_mm)

    def _remembered(self, key: str, make: Callable[[], Drawn]) -> tuple[NDArray[np.float32], NDArray[np.uint32]]:
        if key not in self._drawn:
            vertices, triangles = make()
            self._drawn[key] = vertices.astype(np.float32), triangles.astype(np.uint32)
            self._held += len(triangles)
            while self._held > self._memory and len(self._drawn) > 1:
                _, (_, gone) = self._drawn.popitem(last=False)
                self._held -= len(gone)
        self._drawn.move_to_end(key)
        return self._drawn[key]


def _members(node: Node) -> list[Node]:
    if isinstance(node, Op) and node.kind == "union":
        return [member for solid in node.solids for member in _members(solid)]
    return [node]


def _unplaced(node: Node) -> tuple[Node, tuple[float, float]]:
    if isinstance(node, Placed) and node.turn_deg == node.z_mm == 0.0:
        return node.solid, (node.x_mm, node.y_mm)
    return node, (0.0, 0.0)


def _without_seams(
    vertices: NDArray[np.float64], triangles: NDArray[np.int64], seams: Sequence[Window]
) -> NDArray[np.int64]:
    """The triangles that do not lie on a side of one of the windows."""
    for seam in seams:
        offs = [(vertices[:, :2] @ axis, low, high) for axis, (low, high) in zip(_AXES, seam.spans, strict=True)]
        offs.append((vertices[:, 2], seam.z0_mm, seam.z1_mm))
        within = np.all([(low - _ON_SEAM_MM <= at) & (at <= high + _ON_SEAM_MM) for at, low, high in offs], axis=0)
        for at, low, high in offs:
            for side in (low, high):
                on_it = within & (np.abs(at - side) <= _ON_SEAM_MM)
                if on_it.any():
                    triangles = triangles[~np.all(on_it[triangles], axis=1)]
    return triangles
