"""The exact kernel: true circles, arcs and parabolas, for volumes to nine digits and for STEP files."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from importlib.metadata import version

import numpy as np
from numpy.typing import NDArray
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation, BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeWedge,
)
from OCP.collections import List_TopoDS_Shape
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Shape

from pourwright.basics.errors import CannotBuild, KernelFault
from pourwright.engines.geometry.imported import Library
from pourwright.engines.geometry.kernels.brep_faces import plane_face
from pourwright.engines.geometry.kernels.brep_mesh import triangles_of
from pourwright.engines.geometry.kernels.brep_step import read_step
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.partings.relief import Relief
from pourwright.engines.geometry.tree import Outline

_OWN, _IMPORTED = 1e-9, 1e-7  # relative tolerance of integration, per face
_TOUCH_MM = 1e-3  # boxes nearer than this may touch
_ORIGIN = gp_Pnt(0, 0, 0)
_AXES = {"x": gp_Dir(1, 0, 0), "y": gp_Dir(0, 1, 0), "z": gp_Dir(0, 0, 1)}
_SOLID, _SHELL = TopAbs_ShapeEnum.TopAbs_SOLID, TopAbs_ShapeEnum.TopAbs_SHELL
_FACE, _EDGE = TopAbs_ShapeEnum.TopAbs_FACE, TopAbs_ShapeEnum.TopAbs_EDGE


class BrepKernel:
    """Solids bounded by exact surfaces.

    Parameters
    ----------
    library : the imported solids, by digest; only those that hold STEP bytes can be made.
    fuzzy_mm : mm, how far apart two faces may lie and still count as one in a boolean; at most 1e-3.
    parallel : let the kernel use all cores.
    """

    exact = True
    tolerance_mm = 0.0
    area_tolerance = 0.0

    def __init__(self, library: Library | None = None, fuzzy_mm: float = 0.0, parallel: bool = False) -> None:
        if not 0 <= fuzzy_mm <= 1e-3:
            raise CannotBuild(f"a fuzzy value of {fuzzy_mm:g} mm", advice="more than 0.001 mm moves faces")
        self._library = library if library is not None else {}
        self.fuzzy_mm = fuzzy_mm
        self._parallel = parallel
        loosest = max((part.mean_tolerance_mm for part in self._library.values()), default=0.0)
        self.looseness_mm = fuzzy_mm + loosest
        # Looser for imports: their own looseness is larger than this, and they have many more faces.
        self._tolerance = _IMPORTED if any(part.step for part in self._library.values()) else _OWN
        self.name = f"OCCT {version('cadquery-ocp-novtk')}, fuzzy {fuzzy_mm:g} mm"

    # ------------------------------------------------------------ simple shapes

    def box(self, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float) -> TopoDS_Shape:
        """A block between two corners."""
        return BRepPrimAPI_MakeBox(gp_Pnt(x0, y0, z0), gp_Pnt(x1, y1, z1)).Solid()

    def tapered(self, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float, inset: float) -> TopoDS_Shape:
        """A block that is `inset` smaller on each side at z1."""
        # The wedge grows along its own y; turned so that its y is our z and its z is our -y.
        axes = gp_Ax2(gp_Pnt(x0, y1, z0), gp_Dir(0, -1, 0), gp_Dir(1, 0, 0))
        wide, deep = x1 - x0, y1 - y0
        return BRepPrimAPI_MakeWedge(axes, wide, z1 - z0, deep, inset, inset, wide - inset, deep - inset).Solid()

    def revolve(self, outline: Outline) -> TopoDS_Shape:
        """A full turn of an (r, z) outline about z."""
        if min(point[0] for point, _ in outline.pieces()) < -1e-9:
            raise CannotBuild("an outline that reaches beyond its axis")
        face = plane_face(outline, upright=True)
        return _sole(BRepPrimAPI_MakeRevol(face, gp_Ax1(_ORIGIN, _AXES["z"])).Shape(), "a body of revolution")

    def prism(self, outline: Outline, z0: float, z1: float) -> TopoDS_Shape:
        """An (x, y) outline drawn up from z0 to z1."""
        if z1 <= z0:
            raise CannotBuild(f"a prism {z1 - z0:g} mm high")
        face = plane_face(outline, upright=False)
        return self.place(BRepPrimAPI_MakePrism(face, gp_Vec(0, 0, z1 - z0)).Shape(), 0.0, 0.0, z0, 0.0)

    def ball(self, radius: float) -> TopoDS_Shape:
        """A ball about the origin."""
        return BRepPrimAPI_MakeSphere(radius).Solid()

    def imported(self, digest: str) -> TopoDS_Shape:
        """A solid from a STEP file."""
        if digest not in self._library:
            raise KernelFault(f"the imported solid {digest[:12]} is not in the library")
        part = self._library[digest]
        if part.step is None:
            raise CannotBuild(f"{part.name} is a mesh", advice="exact files need the part as STEP")
        drawn = _compound(_solids(read_step(part.step, part.name)))
        if part.turning is not None:
            drawn = drawn.Moved(TopLoc_Location(_turning(part.turning)))
        return self.place(drawn, *part.placing, 0.0)

    # ------------------------------------------------------------ moves

    def place(self, solid: TopoDS_Shape, x: float, y: float, z: float, turn_deg: float) -> TopoDS_Shape:
        """Turned about z, then moved; the geometry itself is shared."""
        move = gp_Trsf()
        move.SetTranslation(gp_Vec(x, y, z))
        return solid.Moved(TopLoc_Location(move.Multiplied(_rotation("z", turn_deg)) if turn_deg else move))

    def turn(self, solid: TopoDS_Shape, axis: str, angle_deg: float) -> TopoDS_Shape:
        """Turned about the x, y or z axis."""
        return solid.Moved(TopLoc_Location(_rotation(axis, angle_deg)))

    def mirror(self, solid: TopoDS_Shape) -> TopoDS_Shape:
        """The mirror image in z = 0."""
        move = gp_Trsf()
        move.SetMirror(gp_Ax2(_ORIGIN, _AXES["z"]))
        return BRepBuilderAPI_Transform(solid, move, True).Shape()

    def shift(self, solid: TopoDS_Shape, relief: Relief, times: float) -> TopoDS_Shape:
        """No exact surface stays one when its columns are shifted: such a solid is described another way."""
        raise KernelFault("the exact kernel shifts no columns", advice="the mesh kit stays available")

    def scale(self, solid: TopoDS_Shape, factor: float) -> TopoDS_Shape:
        """Scaled about the origin."""
        move = gp_Trsf()
        move.SetScale(_ORIGIN, factor)
        return BRepBuilderAPI_Transform(solid, move, True).Shape()

    # ------------------------------------------------------------ booleans

    def union(self, *solids: TopoDS_Shape) -> TopoDS_Shape:
        """All together. Bodies whose boxes lie apart need no boolean: they are only gathered."""
        found: list[TopoDS_Shape] = []
        for group in _touching([body for solid in solids for body in _solids(solid)]):
            found.extend(group if len(group) == 1 else self._boolean(BRepAlgoAPI_Fuse, group[:1], group[1:]))
        return _compound(found)

    def cut(self, first: TopoDS_Shape, *rest: TopoDS_Shape) -> TopoDS_Shape:
        """The first without the others, in one boolean for each body of the first."""
        tools = [(body, _box(body)) for solid in rest for body in _solids(solid)]
        found: list[TopoDS_Shape] = []
        for body in _solids(first):
            around = _box(body)
            near = [tool for tool, box in tools if not around.IsOut(box)]
            found.extend(self._boolean(BRepAlgoAPI_Cut, [body], near) if near else [body])
        return _compound(found)

    def common(self, first: TopoDS_Shape, second: TopoDS_Shape) -> TopoDS_Shape:
        """What both have."""
        tools = [(body, _box(body)) for body in _solids(second)]
        found: list[TopoDS_Shape] = []
        for body in _solids(first):
            around = _box(body)
            near = [tool for tool, box in tools if not around.IsOut(box)]
            found.extend(self._boolean(BRepAlgoAPI_Common, [body], near) if near else [])
        return _compound(found)

    def _boolean(
        self, kind: type[BRepAlgoAPI_BooleanOperation], first: Sequence[TopoDS_Shape], rest: Sequence[TopoDS_Shape]
    ) -> list[TopoDS_Shape]:
        work = kind()
        work.SetArguments(_list(first))
        work.SetTools(_list(rest))
        work.SetRunParallel(self._parallel)
        work.SetToFillHistory(False)
        # The arguments are shared by the whole tree: a boolean may not loosen them in place.
        work.SetNonDestructive(True)
        if self.fuzzy_mm > 0:
            work.SetFuzzyValue(self.fuzzy_mm)
        work.Build()
        if not work.IsDone():
            raise KernelFault("the exact kernel could not finish a boolean", advice="the mesh kit stays available")
        return _solids(work.Shape())

    # ------------------------------------------------------------ figures

    def volume(self, solid: TopoDS_Shape) -> float:
        """mm3, by adaptive Gauss-Kronrod integration: the plain one can be wrong by 2e-4."""
        if self.is_empty(solid):
            return 0.0
        figures = GProp_GProps()
        if BRepGProp.VolumePropertiesGK_s(solid, figures, self._tolerance) < 0:
            raise KernelFault("the exact kernel could not integrate a volume")
        return float(figures.Mass())

    def area(self, solid: TopoDS_Shape) -> float:
        """mm2; to 1e-9 on faces of lines and arcs, to 1e-6 on faces of parabolas that turn less than a right angle."""
        if self.is_empty(solid):
            return 0.0
        figures = GProp_GProps()
        # The plain integration: the adaptive one can stop too early, 3e-4 wrong on an upright parabola.
        BRepGProp.SurfaceProperties_s(solid, figures)
        return float(figures.Mass())

    def bounds(self, solid: TopoDS_Shape) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest corner, mm."""
        box = Bnd_Box()
        BRepBndLib.AddOptimal_s(solid, box, False, False)
        if box.IsVoid():
            return np.zeros(3), np.zeros(3)
        low, high = box.CornerMin(), box.CornerMax()
        return np.array([low.X(), low.Y(), low.Z()]), np.array([high.X(), high.Y(), high.Z()])

    def bodies(self, solid: TopoDS_Shape) -> int:
        """Separate bodies."""
        return len(_solids(solid))

    def hollows(self, solid: TopoDS_Shape) -> int:
        """Closed hollows that no surface outside reaches."""
        return sum(1 for _ in _explored(solid, _SHELL)) - self.bodies(solid)

    def shortest_edge_mm(self, solid: TopoDS_Shape) -> float:
        """Length of the shortest real edge, mm; infinite when there is none."""
        shortest = math.inf
        for edge in _explored(solid, _EDGE):
            if not BRep_Tool.Degenerated_s(TopoDS.Edge(edge)):
                figures = GProp_GProps()
                BRepGProp.LinearProperties_s(edge, figures)
                shortest = min(shortest, float(figures.Mass()))
        return shortest

    def is_empty(self, solid: TopoDS_Shape) -> bool:
        """Nothing there."""
        return not TopExp_Explorer(solid, _SOLID).More()

    def is_closed(self, solid: TopoDS_Shape) -> bool:
        """Every shell is closed."""
        shells = list(_explored(solid, _SHELL))
        return bool(shells) and all(BRep_Tool.IsClosed_s(shell) for shell in shells)

    def weight(self, solid: TopoDS_Shape) -> int:
        """Faces, for the memo's bound."""
        return sum(1 for _ in _explored(solid, _FACE))

    def mesh(self, solid: TopoDS_Shape, tolerance_mm: float = 0.01) -> Mesh:
        """Vertices mm (n, 3) and triangles (m, 3) within a chord tolerance of the solid."""
        return triangles_of(solid, tolerance_mm)


# ---------------------------------------------------------------- helpers


def _rotation(axis: str, angle_deg: float) -> gp_Trsf:
    move = gp_Trsf()
    move.SetRotation(gp_Ax1(_ORIGIN, _AXES[axis]), math.radians(angle_deg))
    return move


def _turning(rows: Sequence[float]) -> gp_Trsf:
    a, b, c = (rows[k : k + 3] for k in (0, 3, 6))
    move = gp_Trsf()
    move.SetValues(*a, 0.0, *b, 0.0, *c, 0.0)
    return move


def _explored(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> Iterator[TopoDS_Shape]:
    walk = TopExp_Explorer(shape, kind)
    while walk.More():
        yield walk.Current()
        walk.Next()


def _solids(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    return [TopoDS.Solid(body) for body in _explored(shape, _SOLID)]


def _sole(shape: TopoDS_Shape, what: str) -> TopoDS_Shape:
    bodies = _solids(shape)
    if len(bodies) != 1:
        raise CannotBuild(f"{what} that is {len(bodies)} bodies", advice="check the outline")
    return bodies[0]


def _compound(bodies: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    if len(bodies) == 1:
        return bodies[0]
    whole, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(whole)
    for body in bodies:
        builder.Add(whole, body)
    return whole


def _list(shapes: Sequence[TopoDS_Shape]) -> List_TopoDS_Shape:
    found = List_TopoDS_Shape()
    for shape in shapes:
        found.Append(shape)
    return found


def _box(shape: TopoDS_Shape) -> Bnd_Box:
    box = Bnd_Box()
    BRepBndLib.Add_s(shape, box, False)
    box.Enlarge(_TOUCH_MM)
    return box


def _touching(bodies: Sequence[TopoDS_Shape]) -> list[list[TopoDS_Shape]]:
    """Groups of bodies whose boxes meet, directly or through others, in the order given."""
    boxes = [_box(body) for body in bodies]
    group = list(range(len(bodies)))
    for i, box in enumerate(boxes):
        for j in range(i):
            if group[i] != group[j] and not box.IsOut(boxes[j]):
                low, high = sorted((group[i], group[j]))
                group = [low if g == high else g for g in group]
    return [[body for body, g in zip(bodies, group, strict=True) if g == name] for name in sorted(set(group))]
