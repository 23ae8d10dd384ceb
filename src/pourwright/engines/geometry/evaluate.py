"""Make the solids of a tree in a kernel, each only once, and answer what they measure."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent
from pourwright.engines.geometry import tree
from pourwright.engines.geometry.kernels.protocol import Kernel, Mesh, Solid
from pourwright.engines.geometry.partings.relief import ByKernel, Shifted
from pourwright.engines.geometry.tree import Node

_Maker = Callable[[Kernel, Any, list[Solid]], Solid]
_MAKERS: dict[type[Node], _Maker] = {
    tree.Box: lambda k, n, c: k.box(n.x0_mm, n.y0_mm, n.z0_mm, n.x1_mm, n.y1_mm, n.z1_mm),
    tree.Revolve: lambda k, n, c: k.revolve(n.outline),
    tree.Prism: lambda k, n, c: k.prism(n.outline, n.z0_mm, n.z1_mm),
    tree.Tapered: lambda k, n, c: k.tapered(n.x0_mm, n.y0_mm, n.z0_mm, n.x1_mm, n.y1_mm, n.z1_mm, n.inset_mm),
    tree.Ball: lambda k, n, c: k.ball(n.radius_mm),
    tree.Imported: lambda k, n, c: k.imported(n.digest),
    tree.Placed: lambda k, n, c: k.place(c[0], n.x_mm, n.y_mm, n.z_mm, n.turn_deg),
    tree.Scaled: lambda k, n, c: k.scale(c[0], n.factor),
    tree.Turned: lambda k, n, c: k.turn(c[0], n.axis, n.angle_deg),
    tree.Mirrored: lambda k, n, c: k.mirror(c[0]),
    Shifted: lambda k, n, c: k.shift(c[0], n.relief, n.times),
    ByKernel: lambda k, n, c: c[0],
    tree.Op: lambda k, n, c: _BOOLEANS[n.kind](k, c),
}
_BOOLEANS: dict[str, Callable[[Kernel, list[Solid]], Solid]] = {
    "union": lambda k, c: k.union(*c),
    "cut": lambda k, c: k.cut(*c),
    "common": lambda k, c: k.common(*c),
}
_MOST_KNOWN = 100_000  # figures, and entries of the time log, that are kept
_RIGID = (tree.Placed, tree.Turned, tree.Mirrored)


@dataclass(frozen=True)
class Made:
    """One entry of the time log: which node was made, of what kind, in how many seconds."""

    key: str
    kind: str
    seconds: float


class Evaluator:
    """Solids of a tree in one kernel, remembered by (kernel name, node key).

    Parameters
    ----------
    kernel : where the solids are made.
    memory : most triangles (faces, in the exact kernel) kept; the least recently used are forgotten.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.analytic import AnalyticKernel
    >>> Evaluator(AnalyticKernel()).volume(tree.Box(0, 0, 0, 1, 2, 3))
    6.0
    """

    def __init__(self, kernel: Kernel, *, memory: int = 6_000_000) -> None:
        self.kernel = kernel
        self.log: list[Made] = []
        self._memory = memory
        self._held = 0
        self._solids: OrderedDict[tuple[str, str], tuple[Solid, int]] = OrderedDict()
        self._figures: OrderedDict[tuple[str, str, str], Any] = OrderedDict()

    def solid(self, node: Node, *, report: Report = silent) -> Solid:
        """The solid of a node; `report` is called before each node is made and may stop the work."""
        ready: dict[str, Solid] = {}
        stack = [node]
        while stack:
            top = stack[-1]
            if self._recall(top, ready):
                stack.pop()
                continue
            children = self._made_of(top)
            missing = [child for child in children if not self._recall(child, ready)]
            if missing:
                stack.extend(reversed(missing))
                continue
            stack.pop()
            report(len(ready) / (len(ready) + len(stack) + 1), "making solids")
            ready[top.key] = self._make(top, [ready[child.key] for child in children])
            for child in children:
                ready.pop(child.key, None)  # from here on only the memory holds it, as long as it has room
        return ready[node.key]

    def volume(self, node: Node, *, report: Report = silent) -> float:
        """Volume of a node, mm3."""
        base, scale = _unmoved(node)
        return scale**3 * float(self._figure("volume", base, report))

    def area(self, node: Node, *, report: Report = silent) -> float:
        """Surface of a node, mm2."""
        base, scale = _unmoved(node)
        return scale**2 * float(self._figure("area", base, report))

    def bodies(self, node: Node, *, report: Report = silent) -> int:
        """Separate bodies of a node."""
        return int(self._figure("bodies", _unmoved(node)[0], report))

    def bounds(self, node: Node, *, report: Report = silent) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest corner of a node, mm."""
        low, high = self._figure("bounds", node, report)
        return low, high

    def is_empty(self, node: Node, *, report: Report = silent) -> bool:
        """Whether there is nothing left."""
        return bool(self._figure("is_empty", node, report))

    def is_closed(self, node: Node, *, report: Report = silent) -> bool:
        """Whether the surface is closed and consistently wound."""
        return bool(self._figure("is_closed", _unmoved(node)[0], report))

    def mesh(self, node: Node, tolerance_mm: float = 0.01, *, report: Report = silent) -> Mesh:
        """Triangles of a node: vertices mm (n, 3) float64, triangles (m, 3)."""
        return self.kernel.mesh(self.solid(node, report=report), tolerance_mm)

    def forget(self) -> None:
        """Let go of all solids; figures stay known."""
        self._solids.clear()
        self._held = 0

    @property
    def seconds(self) -> float:
        """Time spent making solids so far, s."""
        return sum(entry.seconds for entry in self.log)

    def _made_of(self, node: Node) -> tuple[Node, ...]:
        """What this kernel makes a node of."""
        if isinstance(node, ByKernel):
            return (node.exact if self.kernel.exact else node.mesh,)
        return node.children()

    def _recall(self, node: Node, ready: dict[str, Solid]) -> bool:
        if node.key in ready:
            return True
        key = (self.kernel.name, node.key)
        if key not in self._solids:
            return False
        self._solids.move_to_end(key)
        ready[node.key] = self._solids[key][0]
        return True

    def _make(self, node: Node, children: list[Solid]) -> Solid:
        start = time.perf_counter()
        solid = _MAKERS[type(node)](self.kernel, node, children)
        self.log.append(Made(node.key, type(node).__name__, time.perf_counter() - start))
        if len(self.log) > _MOST_KNOWN:
            del self.log[: _MOST_KNOWN // 2]
        weight = self.kernel.weight(solid)
        self._solids[(self.kernel.name, node.key)] = (solid, weight)
        self._held += weight
        while self._held > self._memory and len(self._solids) > 1:
            _, (_, gone) = self._solids.popitem(last=False)
            self._held -= gone
        return solid

    def _figure(self, name: str, node: Node, report: Report) -> Any:
        key = (self.kernel.name, name, node.key)
        if key not in self._figures:
            self._figures[key] = getattr(self.kernel, name)(self.solid(node, report=report))
            if len(self._figures) > _MOST_KNOWN:
                self._figures.popitem(last=False)
        self._figures.move_to_end(key)
        return self._figures[key]


def _unmoved(node: Node) -> tuple[Node, float]:
    """The node below all moves and scalings, and the scale: volume, area and bodies do not depend on moves."""
    scale = 1.0
    while isinstance(node, (*_RIGID, tree.Scaled)):
        if isinstance(node, tree.Scaled):
            scale *= node.factor
        node = node.solid
    return node, scale
