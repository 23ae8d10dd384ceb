"""How large a solid really is, where the mesh kernel draws its circles a little too wide. Millimetres."""

from __future__ import annotations

from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.repeats.enclosing import Corners, enclosing
from pourwright.engines.geometry.tree import Imported, Node


def size_mm(evaluator: Evaluator, node: Node) -> tuple[float, float, float]:
    """Length, depth and height of a solid.

    Circles of the right area reach a thousandth beyond the circle: what the description of the solid bounds more
    closely than its mesh is taken from there.

    Parameters
    ----------
    evaluator : of any kernel.
    node : the solid.

    Examples
    --------
    >>> from pourwright.engines.geometry.kernels.mesh import MeshKernel
    >>> from pourwright.engines.geometry.tree import cylinder
    >>> evaluator, disc = Evaluator(MeshKernel()), cylinder(radius_mm=10, z0_mm=0, z1_mm=2)
    >>> low, high = evaluator.bounds(disc)
    >>> [round(float(length), 4) for length in high - low], size_mm(evaluator, disc)
    ([20.0286, 20.0286, 2.0], (20.0, 20.0, 2.0))
    """

    def of_file(digest: str) -> Corners:
        low, high = (corner.tolist() for corner in evaluator.bounds(Imported(digest)))
        return (low[0], low[1], low[2]), (high[0], high[1], high[2])

    low, high = (corner.tolist() for corner in evaluator.bounds(node))
    least, most = enclosing(node, imported=of_file)
    x, y, z = (min(high[k], most[k]) - max(low[k], least[k]) for k in range(3))
    return x, y, z
