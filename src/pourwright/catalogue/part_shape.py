"""A part as a solid with the few facts that a mould style asks of it. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.engines.geometry.tree import Node, Outline


@dataclass(frozen=True, kw_only=True)
class PartShape:
    """The part as drawn (unscaled): its lower face on z = 0, its axis (or middle of its box) on z.

    Parameters
    ----------
    node : the solid of rubber.
    outline : its closed (r, z) outline when it is a body of revolution about z, bore included; else None.
    size_mm : mm, (3,) box of the solid.
    radius_mm : mm, largest distance of the solid from the z axis.
    bore_mm : mm, radius of the narrowest through bore about z, 0 when there is none.
    core : a hard core (hub, tube) around which the part is cast, in place; else None.
    exact : whether the exact kernel can build it (False for imported meshes).
    cautions : plain words that belong to this shape.
    """

    node: Node
    outline: Outline | None
    size_mm: tuple[float, float, float]
    radius_mm: float
    bore_mm: float = 0.0
    core: Node | None = None
    exact: bool = True
    cautions: tuple[str, ...] = ()
