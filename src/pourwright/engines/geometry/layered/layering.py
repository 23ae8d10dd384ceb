"""Remembers solids of upright shapes as layers, and draws them."""

from __future__ import annotations

from collections import OrderedDict
from typing import Protocol, runtime_checkable

from pourwright.basics.progress import Report
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.layered.bands import Strips
from pourwright.engines.geometry.layered.layer_faces import Patch, patches
from pourwright.engines.geometry.layered.layers import Layered, layered
from pourwright.engines.geometry.layered.upright import Points, Wall, upright
from pourwright.engines.geometry.tree import Node, Outline

_MOST_KNOWN = 4000


@runtime_checkable
class Chords(Protocol):
    """A kernel in which every circle becomes the same polygon."""

    @property
    def circle(self) -> Points | None:
        """What every circle of radius 1 becomes, (n, 2); None where that depends on its size."""

    def polygon(self, outline: Outline, turned: bool) -> Points:
        """The polygon that an outline becomes before it is drawn up, or turned about the second axis."""


class Layers:
    """Solids by their layers, as far as they have any.

    Parameters
    ----------
    evaluator : for the few booleans that are left; only in a kernel of chords are there layers.
    """

    def __init__(self, evaluator: Evaluator) -> None:
        self._evaluator = evaluator
        kernel = evaluator.kernel
        self._kernel = kernel if isinstance(kernel, Chords) else None
        self._circle = self._kernel.circle if self._kernel is not None else None
        self._known: OrderedDict[str, Layered | None] = OrderedDict()
        self._walls: dict[str, tuple[Wall, ...]] = {}
        self._strips = Strips()

    def of(self, node: Node, report: Report) -> Layered | None:
        """The layers of a node; None when it is not made of upright shapes, or they meet in too many places."""
        if self._kernel is None or self._circle is None:
            return None
        if node.key not in self._known:
            solid = upright(node, self._kernel.polygon, self._walls)
            found = None if solid is None else layered(solid, self._strips, self._evaluator, report)
            self._known[node.key] = found
            self._tidy()
        self._known.move_to_end(node.key)
        return self._known[node.key]

    def _tidy(self) -> None:
        if len(self._known) > _MOST_KNOWN:
            self._known.popitem(last=False)
        if len(self._walls) > _MOST_KNOWN or len(self._strips) > 10 * _MOST_KNOWN:
            self._walls.clear()
            self._strips.clear()

    def patches(self, solid: Layered, key: str) -> tuple[Patch, ...]:
        """The surface of a solid, in parts; `key` is the solid's."""
        return () if self._circle is None else patches(solid, self._strips, self._circle, key)
