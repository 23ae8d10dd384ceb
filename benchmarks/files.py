"""The 3MF writer against the reference library's, on the same pieces."""

from __future__ import annotations

import lib3mf

from benchmarks.sample import samples
from benchmarks.timing import Topic, measured
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.files.write import PrintPiece, three_mf_bytes
from pourwright.engines.geometry.kernels.mesh import MeshKernel, segments_for_kit


def topics() -> list[Topic]:
    """One kit written twice."""
    sample = samples()[1]
    pieces = _pieces()
    ours, theirs = len(three_mf_bytes(pieces)), len(_by_lib3mf(pieces))
    triangles = sum(len(piece.mesh[1]) for piece in pieces)
    return [
        Topic(
            title=f"3MF of {sample.name}, {triangles} triangles",
            ours=measured("our own writer", lambda: three_mf_bytes(pieces), note=f"{ours} bytes"),
            others=(measured("lib3mf's writer", lambda: _by_lib3mf(pieces), note=f"{theirs} bytes"),),
        )
    ]


def _pieces() -> list[PrintPiece]:
    printed = [piece for piece in samples()[1].design().pieces if piece.printed]
    segments = segments_for_kit([piece.solid for piece in printed])
    evaluator = Evaluator(MeshKernel(segments=segments, corrected=False))
    return [PrintPiece(name=one.name, key=one.solid.key, mesh=evaluator.mesh(one.solid)) for one in printed]


def _by_lib3mf(pieces: list[PrintPiece]) -> bytes:
    model = lib3mf.get_wrapper().CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    for piece in pieces:
        vertices, triangles = piece.mesh
        mesh = model.AddMeshObject()
        mesh.SetName(piece.name)
        mesh.SetGeometry(
            [lib3mf.Position(Coordinates=tuple(spot)) for spot in vertices.tolist()],
            [lib3mf.Triangle(Indices=tuple(corners)) for corners in triangles.tolist()],
        )
        model.AddBuildItem(mesh, lib3mf.get_wrapper().GetIdentityTransform())
    return bytes(model.QueryWriter("3mf").WriteToBuffer())
