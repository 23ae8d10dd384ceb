"""Parts of very many triangles: reading them, and proving their moulds with a twin, against the general way."""

from __future__ import annotations

import io
from functools import cache
from itertools import islice

import lib3mf
import trimesh

from benchmarks.bumpy import bumpy, stl
from benchmarks.timing import Topic, measured
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import PrintPiece, stl_bytes, three_mf_bytes
from pourwright.engines.geometry.imported import ImportedSolid, Library
from pourwright.engines.geometry.kernels.mesh import MeshKernel
from pourwright.engines.geometry.repeats.closed_twin import twin_of, with_twins
from pourwright.engines.geometry.tree import Box, Imported, Node, Revolve, polygon, union

_RUNS = 3
_ACROSS = 708  # a million triangles
_FEWER = 220  # a hundred thousand, for what takes minutes with a million


def topics() -> list[Topic]:
    """A dome of a million triangles."""
    return [_stl(), _three_mf(), _print(), _halves()]


def _stl() -> Topic:
    data = stl(*bumpy(_ACROSS))
    return Topic(
        title="STL of a million triangles: one closed solid, or what is wrong with it",
        ours=measured("our reader, every check", lambda: read_solid(data, name="dome.stl", unit="mm"), runs=_RUNS),
        others=(
            measured(
                "trimesh, corners joined; closed or not",
                lambda: trimesh.load(io.BytesIO(data), file_type="stl").is_watertight,
                runs=_RUNS,
            ),
        ),
    )


def _three_mf() -> Topic:
    data = three_mf_bytes([PrintPiece(name="dome", key="dome", mesh=bumpy(_ACROSS))])
    return Topic(
        title="3MF of a million triangles",
        ours=measured("our reader, every check", lambda: read_solid(data, name="dome.3mf"), runs=_RUNS),
        others=(measured("lib3mf, corners and triangles as lists", lambda: _by_lib3mf(data), runs=_RUNS),),
    )


def _by_lib3mf(data: bytes) -> int:
    model = lib3mf.get_wrapper().CreateModel()
    model.QueryReader("3mf").ReadFromBuffer(data)
    meshes = model.GetMeshObjects()
    meshes.MoveNext()
    mesh = meshes.GetCurrentMeshObject()
    return len(list(islice(mesh.GetVertices(), None))) + len(mesh.GetTriangleIndices())


def _print() -> Topic:
    data = stl(*bumpy(_ACROSS))
    return Topic(
        title="From the STL of a million triangles to a print: scaled, two screw holes cut, STL",
        ours=measured("ours, with every check of the file", lambda: _printed(data), runs=_RUNS),
        others=(
            measured("trimesh with manifold3d, corners joined; closed or not", lambda: _by_trimesh(data), runs=_RUNS),
        ),
    )


def _printed(data: bytes) -> int:
    solid = read_solid(data, name="dome.stl", unit="mm").solid
    hole = Revolve(polygon([(0, -1), (1.7, -1), (1.7, 9), (0, 9)]))
    pattern = Imported("dome").scaled(1.01) - hole.at(6, 0, 0) - hole.at(-6, 0, 0)
    mesh = Evaluator(MeshKernel(library={"dome": solid}, corrected=False)).mesh(pattern)
    return len(stl_bytes(mesh))


def _by_trimesh(data: bytes) -> int:
    mesh = trimesh.load(io.BytesIO(data), file_type="stl")
    mesh.apply_scale(1.01)
    holes = [trimesh.creation.cylinder(radius=1.7, height=10.0, sections=48) for _ in range(2)]
    for hole, x in zip(holes, (6.0, -6.0), strict=True):
        hole.apply_translation((x, 0.0, 4.0))
    cut = trimesh.boolean.difference([mesh, *holes], engine="manifold")
    return len(cut.export(file_type="stl"))


def _halves() -> Topic:
    library, twins = _libraries()
    parts = union(*(Imported("dome").at(40.0 * x, 40.0 * y) for x in range(2) for y in range(2)))
    lower = Box(-20, -20, -5, 60, 60, 30) - parts
    triangles = len(library["dome"].triangles)
    return Topic(
        title=f"A block less four domes of {triangles} triangles",
        ours=measured("by the twin", lambda: _volume(lower, twins), runs=_RUNS, note="without making the twin"),
        others=(
            measured("making the twin, once", lambda: twin_of(library["dome"]), runs=_RUNS),
            measured("with every triangle", lambda: _volume(lower, library), runs=_RUNS),
        ),
    )


def _volume(node: Node, library: Library) -> float:
    return Evaluator(MeshKernel(library=library)).volume(node)


@cache
def _libraries() -> tuple[Library, Library]:
    vertices, triangles = bumpy(_FEWER)
    dome = ImportedSolid(digest="dome", vertices_mm=vertices, triangles=triangles, name="dome", unit="mm")
    library = {"dome": dome}
    return library, with_twins(library)
