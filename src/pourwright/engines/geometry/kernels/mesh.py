"""The mesh kernel: fast booleans on triangles, with circles as polygons of exactly the circle's area.

A regular n-gon inside a circle has too little area. Multiplying every radius of a revolved body by
sqrt(a / sin a), a = 2 pi / n, gives each horizontal slice exactly the circle's area, so that volumes are
exact at any n. That makes radii a little too large, so printed files use plain circles instead.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import version

import manifold3d
import numpy as np
from manifold3d import Manifold, OpType
from numpy.typing import NDArray

from pourwright.basics.errors import CannotBuild, CannotRead, KernelFault
from pourwright.engines.geometry.imported import ImportedSolid, Library
from pourwright.engines.geometry.kernels.ingest import taken_in
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.kernels.settling import settled
from pourwright.engines.geometry.partings.relief import Relief
from pourwright.engines.geometry.profiles.outline_math import Points, crosses_itself, enclosed_area_mm2, sampled
from pourwright.engines.geometry.tree import Arc, Line, Node, Outline, Revolve, Scaled

CHORD_MM = 0.01
_AXES = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}
_ON_AXIS_MM = 1e-12


def segments_for(radius_mm: float, tolerance_mm: float = CHORD_MM) -> int:
    """Chords in a full circle that stay within a tolerance of it, a multiple of four.

    Parameters
    ----------
    radius_mm : mm
    tolerance_mm : mm

    Examples
    --------
    >>> segments_for(12.0), segments_for(1.5), segments_for(0.1)
    (80, 28, 8)
    """
    half = math.acos(max(-1.0, 1 - tolerance_mm / radius_mm))
    return max(8, 4 * math.ceil(math.pi / half / 4))


def segments_for_kit(solids: Iterable[Node], tolerance_mm: float = CHORD_MM) -> int:
    """One number of chords for every circle of a kit, by its largest revolved body.

    Coaxial bodies whose polygons differ leave slivers where their faces should meet, so that a whole
    kit takes one number.
    """
    found = 8
    stack = [(solid, 1.0) for solid in solids]
    seen: set[tuple[str, float]] = set()
    while stack:
        node, scale = stack.pop()
        if (node.key, scale) in seen:
            continue
        seen.add((node.key, scale))
        if isinstance(node, Revolve):
            radius = max(point[0] for point, _ in node.outline.pieces())
            found = max(found, segments_for(radius * scale, tolerance_mm))
        inner = scale * node.factor if isinstance(node, Scaled) else scale
        stack.extend((child, inner) for child in node.children())
    return found


def radius_correction(segments: int) -> float:
    """By how much a circle's polygon must grow to have the circle's area.

    Examples
    --------
    >>> round(radius_correction(48) - 1, 7)
    0.0014297
    """
    angle = 2 * math.pi / segments
    return math.sqrt(angle / math.sin(angle))


class MeshKernel:
    """Solids as closed triangle meshes in 64 bits.

    Parameters
    ----------
    segments : chords in a full circle; one number for a whole kit. Corrected circles have exactly this
        many, plain circles at least this many.
    library : the imported solids, by digest.
    corrected : circles of the right area (volumes, proofs, previews); False for printed files.
    tolerance_mm : mm, chord tolerance of curves, and of plain circles; 0.01 when None.

    Raises
    ------
    CannotBuild
        Fewer than eight chords, or not a multiple of four.
    """

    exact = False
    fuzzy_mm = 0.0
    looseness_mm = 0.0

    def __init__(
        self,
        segments: int = 48,
        library: Library | None = None,
        corrected: bool = True,
        tolerance_mm: float | None = None,
    ) -> None:
        if segments < 8 or segments % 4:
            raise CannotBuild(f"circles of {segments} chords", advice="take a multiple of four, at least eight")
        self._segments = segments
        self._library: Mapping[str, ImportedSolid] = library if library is not None else {}
        self._corrected = corrected
        self.tolerance_mm = CHORD_MM if tolerance_mm is None else tolerance_mm
        # A corrected polygon is a^2/24 too long around; curved outlines add about half as much again.
        self.area_tolerance = 1.5 * (2 * math.pi / segments) ** 2 / 24
        kind = "corrected" if corrected else "plain"
        self.name = f"manifold3d {version('manifold3d')}, {segments} chords {kind}, {self.tolerance_mm:g} mm"

    # ------------------------------------------------------------ simple shapes

    def box(self, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float) -> Manifold:
        """A block between two corners."""
        return self.tapered(x0, y0, z0, x1, y1, z1, 0.0)

    def tapered(self, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float, inset: float) -> Manifold:
        """A block that is `inset` smaller on each side at z1."""
        lower = [(x0, y0, z0), (x1, y0, z0), (x1, y1, z0), (x0, y1, z0)]
        a, b = inset, -inset
        upper = [(x0 + a, y0 + a, z1), (x1 + b, y0 + a, z1), (x1 + b, y1 + b, z1), (x0 + a, y1 + b, z1)]
        sides = [(i, (i + 1) % 4, (i + 1) % 4 + 4) for i in range(4)] + [(i, (i + 1) % 4 + 4, i + 4) for i in range(4)]
        faces = [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7), *sides]
        return _solid(np.array(lower + upper), np.array(faces), "a block")

    def revolve(self, outline: Outline) -> Manifold:
        """A full turn of an (r, z) outline about z."""
        polygon = self._polygon(outline, weighted=True)
        if polygon[:, 0].min() < -1e-9:
            raise CannotBuild(f"an outline that reaches {-polygon[:, 0].min():g} mm beyond its axis")
        radii = np.where(np.abs(polygon[:, 0]) < _ON_AXIS_MM, 0.0, polygon[:, 0])
        n = self._around(float(radii.max()))
        factor = radius_correction(n) if self._corrected else 1.0
        return _solid(*_turned(radii * factor, polygon[:, 1], n), "a body of revolution")

    def prism(self, outline: Outline, z0: float, z1: float) -> Manifold:
        """An (x, y) outline drawn up from z0 to z1."""
        if z1 <= z0:
            raise CannotBuild(f"a prism {z1 - z0:g} mm high")
        polygon = self._polygon(outline, weighted=False)
        count = len(polygon)
        cap = np.asarray(manifold3d.triangulate([polygon]), dtype=np.int64)
        here = np.arange(count)
        after = np.roll(here, -1)
        sides = np.vstack(
            (np.column_stack((here, after, after + count)), np.column_stack((here, after + count, here + count)))
        )
        points = np.vstack([np.column_stack((polygon, np.full(count, z))) for z in (z0, z1)])
        return _solid(points, np.vstack((cap[:, ::-1], cap + count, sides)), "a prism")

    def ball(self, radius: float) -> Manifold:
        """A ball about the origin."""
        arc = Arc(0.0, radius, 0.0, 0.0)
        return self.revolve(Outline((0.0, -radius), (arc, Line(0.0, -radius))))

    def imported(self, digest: str) -> Manifold:
        """A solid from a file."""
        if digest not in self._library:
            raise KernelFault(f"the imported solid {digest[:12]} is not in the library")
        part = self._library[digest]
        result = taken_in(part)
        status = result.status()
        if status != manifold3d.Error.NoError:
            raise CannotRead(
                f"{part.name or 'the solid'} is not one closed, consistently wound surface ({status.name})",
                advice="mend it in the program that made it, or save it again as STEP",
            )
        if result.is_empty() or result.volume() <= 0:
            raise CannotRead(f"{part.name or 'the solid'} encloses no volume", advice="its faces may look inwards")
        return result

    # ------------------------------------------------------------ moves

    def place(self, solid: Manifold, x: float, y: float, z: float, turn_deg: float) -> Manifold:
        """Turned about z, then moved."""
        return solid.transform(np.column_stack((_rotation("z", turn_deg), (x, y, z))))

    def turn(self, solid: Manifold, axis: str, angle_deg: float) -> Manifold:
        """Turned about the x, y or z axis."""
        return solid.transform(np.column_stack((_rotation(axis, angle_deg), np.zeros(3))))

    def mirror(self, solid: Manifold) -> Manifold:
        """The mirror image in z = 0."""
        return solid.mirror((0.0, 0.0, 1.0))

    def shift(self, solid: Manifold, relief: Relief, times: float) -> Manifold:
        """Every column moved up by so many times the height of a relief."""
        _checked(solid, "a solid")
        return solid if solid.is_empty() else _solid(*relief.shifted(*self.mesh(solid), times), "a shifted solid")

    def scale(self, solid: Manifold, factor: float) -> Manifold:
        """Scaled about the origin."""
        # Moves are carried out together at the end, as one product; asked for here, each is rounded by itself, and
        # a corner at the height by which the solid is moved next lands on 0 to the last digit.
        _checked(solid, "a solid")
        return _checked(solid.scale((factor, factor, factor)), "a scaling")

    # ------------------------------------------------------------ booleans

    def union(self, *solids: Manifold) -> Manifold:
        """All together."""
        return _boolean(solids, OpType.Add, "a union")

    def cut(self, first: Manifold, *rest: Manifold) -> Manifold:
        """The first without the others."""
        return _boolean((first, *rest), OpType.Subtract, "a cut")

    def common(self, first: Manifold, second: Manifold) -> Manifold:
        """What both have."""
        return _boolean((first, second), OpType.Intersect, "a common part")

    # ------------------------------------------------------------ figures

    def volume(self, solid: Manifold) -> float:
        """mm3."""
        return float(solid.volume())

    def area(self, solid: Manifold) -> float:
        """mm2."""
        return float(solid.surface_area())

    def bounds(self, solid: Manifold) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest corner, mm."""
        box = np.array(solid.bounding_box(), dtype=np.float64)
        return box[:3], box[3:]

    def bodies(self, solid: Manifold) -> int:
        """Separate bodies; a closed hollow inside a body is not one."""
        return sum(1 for part in solid.decompose() if part.volume() > 0)

    def hollows(self, solid: Manifold) -> int:
        """Closed hollows that no surface outside reaches."""
        return sum(1 for part in solid.decompose() if part.volume() < 0)

    def is_empty(self, solid: Manifold) -> bool:
        """Nothing there."""
        return bool(solid.is_empty())

    def is_closed(self, solid: Manifold) -> bool:
        """A closed, consistently wound surface."""
        return solid.status() == manifold3d.Error.NoError and not solid.is_empty()

    def shortest_edge_mm(self, solid: Manifold) -> float:
        """Length of the shortest edge of a triangle, mm."""
        vertices, triangles = self.mesh(solid)
        sides = vertices[triangles] - vertices[np.roll(triangles, 1, axis=1)]
        return float(np.linalg.norm(sides, axis=2).min())

    def weight(self, solid: Manifold) -> int:
        """Triangles, for the memo's bound."""
        return int(solid.num_tri())

    def mesh(self, solid: Manifold, tolerance_mm: float = CHORD_MM) -> Mesh:
        """Vertices mm (n, 3) and triangles (m, 3); the tolerance was settled when the solid was made."""
        mesh = solid.to_mesh64()
        vertices = np.array(mesh.vert_properties, dtype=np.float64)[:, :3]
        return vertices + 0.0, np.array(mesh.tri_verts, dtype=np.int64)

    # ------------------------------------------------------------ what outlines become

    def polygon(self, outline: Outline, turned: bool) -> Points:
        """The polygon, mm (n, 2), that an outline becomes before it is drawn up, or turned about the second axis."""
        return self._polygon(outline, weighted=turned)

    @property
    def circle(self) -> Points | None:
        """What every circle of radius 1 becomes, (n, 2); None where that depends on its size."""
        return radius_correction(self._segments) * _circle(self._segments) if self._corrected else None

    # ------------------------------------------------------------ helpers

    def _polygon(self, outline: Outline, *, weighted: bool) -> Points:
        if enclosed_area_mm2(outline) <= 0:
            raise CannotBuild("an outline that runs clockwise or encloses nothing", advice="draw it anticlockwise")
        polygon = sampled(
            outline,
            segments=self._segments,
            tolerance_mm=self.tolerance_mm,
            weighted=weighted,
            corrected=self._corrected,
        )
        if len(polygon) < 3 or crosses_itself(polygon):
            raise CannotBuild("an outline that crosses itself", advice="check its corners and radii")
        return polygon

    def _around(self, radius_mm: float) -> int:
        if self._corrected:
            return self._segments
        return max(self._segments, segments_for(radius_mm, self.tolerance_mm))


def _turned(radii: Points, heights: Points, n: int) -> tuple[Points, NDArray[np.int64]]:
    """Vertices and triangles of a polygon turned about z in n steps; points on the axis stay single."""
    circle = _circle(n)
    starts, rings, total = [], [], 0
    for radius, height in zip(radii, heights, strict=True):
        starts.append(total)
        ring = np.column_stack((radius * circle, np.full(n, height)))
        rings.append(ring if radius > 0 else np.array([[0.0, 0.0, height]]))
        total += len(rings[-1])
    step = np.arange(n)
    after = (step + 1) % n
    faces = []
    for i, start in enumerate(starts):
        j = (i + 1) % len(starts)
        begin, end, wide_begin, wide_end = start, starts[j], radii[i] > 0, radii[j] > 0
        if wide_begin:
            top = end + after if wide_end else np.full(n, end)
            faces.append(np.column_stack((begin + step, begin + after, top)))
        if wide_end:
            foot = begin + step if wide_begin else np.full(n, begin)
            faces.append(np.column_stack((foot, end + after, end + step)))
    return np.vstack(rings), np.vstack(faces).astype(np.int64)


def _circle(n: int) -> Points:
    """Points of a regular n-gon on the unit circle, with exactly equal quarters."""
    angle = 2 * math.pi * np.arange(n // 4) / n
    quarter = np.column_stack((np.cos(angle), np.sin(angle)))
    if n % 8 == 0:
        eighth = n // 8
        quarter[eighth + 1 :] = quarter[1:eighth][::-1, ::-1]
        quarter[eighth] = math.sqrt(0.5)
    turned = [quarter]
    for _ in range(3):
        last = turned[-1]
        turned.append(np.column_stack((-last[:, 1], last[:, 0])))
    return np.vstack(turned) + 0.0


def _rotation(axis: str, angle_deg: float) -> Points:
    """The matrix of a turn about an axis; exact for quarter turns."""
    quarters = angle_deg / 90.0
    if quarters == round(quarters):
        c, s = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    else:
        c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    k = np.array(_AXES[axis])
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    return c * np.eye(3) + s * cross + (1 - c) * np.outer(k, k)


def _mesh64(vertices: Points, triangles: NDArray[np.int64]) -> manifold3d.Mesh64:
    return manifold3d.Mesh64(
        np.ascontiguousarray(vertices, dtype=np.float64), np.ascontiguousarray(triangles, dtype=np.uint64)
    )


def _solid(vertices: Points, triangles: NDArray[np.int64], what: str) -> Manifold:
    solid = _checked(Manifold(_mesh64(vertices, triangles)), what)
    if solid.is_empty():
        raise CannotBuild(f"{what} has no volume")
    return solid


def _boolean(solids: Sequence[Manifold], kind: OpType, what: str) -> Manifold:
    whole = _checked(Manifold.batch_boolean(list(solids), kind), what)
    if whole.is_empty():
        return whole
    known = np.vstack(
        [np.asarray(solid.to_mesh64().vert_properties)[:, :2] for solid in solids if not solid.is_empty()]
    )
    if settled(np.array(whole.to_mesh64().vert_properties)[:, :3], known) is None:
        return whole

    def settle(vertices: Points) -> Points:
        found = settled(np.array(vertices, dtype=np.float64), known)
        return np.asarray(vertices) if found is None else found

    # Warped, not made anew from its triangles: a solid made anew no longer knows which triangles came from one
    # face, and set against another that shares a sloping face it gives volumes that are wrong by cubic millimetres.
    return _checked(whole.warp_batch(settle), what)


def _checked(solid: Manifold, what: str) -> Manifold:
    # Results are lazy: asking for the status here makes a fault surface where it arose.
    status = solid.status()
    if status != manifold3d.Error.NoError:
        raise KernelFault(f"the mesh kernel could not make {what} ({status.name})")
    return solid
