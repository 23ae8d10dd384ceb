"""Print files say what the solid says, to others as to us, and are the same bytes every time."""

from __future__ import annotations

import hashlib
import io
import os
import subprocess
import sys
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import lib3mf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loose_meshes import block, ring
from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.files.closed import volume_mm3
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import MODEL_MEMBER, PrintPiece, stl_bytes, three_mf_bytes, three_mf_model

METADATA = {"Title": 'A "mount" & more', "Application": "Pourwright", "LicenseTerms": "yours", "key": "0" * 64}


def some_pieces() -> list[PrintPiece]:
    return [
        PrintPiece(name="pattern <1>", key="a" * 64, mesh=ring(), places_mm=((0, 0, 4), (40, 0, 4), (80.5, -0.0, 4))),
        PrintPiece(name="base", key="b" * 64, mesh=block((30, 20, 3)), places_mm=((0, 60, 0),)),
    ]


def some_three_mf() -> bytes:
    return three_mf_bytes(some_pieces(), METADATA)


def some_stl() -> bytes:
    return stl_bytes(ring())


def some_step(*, parallel: bool = False) -> bytes:
    from pourwright.engines.geometry.files.write_step import step_bytes
    from pourwright.engines.geometry.kernels.brep import BrepKernel

    kernel = BrepKernel(parallel=parallel)
    holed = kernel.cut(kernel.box(0, 0, 0, 30, 20, 10), kernel.place(kernel.ball(4), 10, 10, 10, 0))
    two = kernel.union(kernel.box(0, 0, 0, 1, 1, 1), kernel.box(5, 0, 0, 6, 1, 1))
    turned = kernel.place(kernel.turn(kernel.box(0, 0, 0, 1, 2, 3), "x", 30), 50, 0, 0, 20)
    return step_bytes([("base", holed), ("prøve", kernel.ball(5)), ("two pins", two), ("turned", turned)])


@pytest.fixture(scope="module", params=["1", "2"])
def fresh_hashes(request) -> list[str]:
    """Hashes of an STL, a 3MF and a STEP file from a process of its own; nothing else may be printed there."""
    here = Path(__file__)
    code = (
        f"import sys; sys.path[:0] = [{str(here.parent)!r}, {str(here.parent.parent)!r}]\n"
        "import test_print_files as t\n"
        "print(t.sha256(t.some_stl()), t.sha256(t.some_three_mf()), t.sha256(t.some_step()))"
    )
    seeded = {**os.environ, "PYTHONHASHSEED": request.param}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=seeded)
    return done.stdout.split()


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


# ---------------------------------------------------------------- the same bytes


@pytest.mark.parametrize("write", [some_stl, some_three_mf, some_step])
def test_a_second_writing_gives_the_same_bytes(write):
    assert write() == write()


def test_a_fresh_process_gives_the_same_bytes(fresh_hashes):
    assert fresh_hashes == [sha256(some_stl()), sha256(some_three_mf()), sha256(some_step())]


def test_a_step_file_is_the_same_with_booleans_on_one_core_and_on_all():
    assert some_step(parallel=True) == some_step()


def test_a_step_file_carries_a_fixed_time_and_no_person():
    text = some_step().decode()
    assert "FILE_NAME('mould kit','1980-01-01T00:00:00',(''),('')," in text
    assert "NEXT_ASSEMBLY_USAGE_OCCURRENCE" not in text


def test_a_3mf_has_its_members_in_order_with_a_fixed_date_and_mode():
    with zipfile.ZipFile(io.BytesIO(some_three_mf())) as archive:
        entries = archive.infolist()
    assert [entry.filename for entry in entries] == ["[Content_Types].xml", "_rels/.rels", MODEL_MEMBER]
    assert {entry.date_time for entry in entries} == {(1980, 1, 1, 0, 0, 0)}
    assert {entry.create_system for entry in entries} == {3}
    assert {entry.external_attr >> 16 for entry in entries} == {0o100644}


# ---------------------------------------------------------------- STL


def test_an_stl_has_its_fixed_heading_and_fifty_bytes_a_triangle():
    data = stl_bytes(block())
    assert len(data) == 84 + 50 * 12
    assert not data.startswith(b"solid")
    assert data[:80] == stl_bytes(ring())[:80]


def test_the_normals_of_an_stl_are_of_length_one_and_point_outward():
    records = np.frombuffer(stl_bytes(block()), dtype=[("n", "<f4", 3), ("p", "<f4", (3, 3)), ("a", "<u2")], offset=84)
    outward = records["p"].mean(axis=1) - 5.0
    assert np.allclose(np.linalg.norm(records["n"], axis=1), 1.0)
    assert (np.einsum("ij,ij->i", records["n"], outward) > 0).all()


def test_an_stl_holds_no_minus_zero():
    vertices, triangles = block()
    assert stl_bytes((np.where(vertices == 0, -0.0, vertices), triangles)) == stl_bytes((vertices, triangles))


def test_a_triangle_too_thin_for_float32_is_left_out_and_the_rest_still_closes():
    vertices, triangles = block()
    # A corner in the middle of an edge, a hair from the corner of the cube: float32 cannot tell them apart.
    hair = np.array([[10.0, 10.0, 10.0 - 1e-9]])
    top, below = 7, 6
    split = []
    for triangle in triangles.tolist():
        for k in range(3):
            a, b, c = triangle[k], triangle[(k + 1) % 3], triangle[(k + 2) % 3]
            if {a, b} == {top, below}:
                split += [[a, 8, c], [8, b, c]]
                break
        else:
            split.append(triangle)
    mesh = (np.vstack((vertices, hair)), np.array(split))
    data = stl_bytes(mesh)
    assert len(data) == 84 + 50 * 12
    assert read_solid(data, name="part.stl").volume_mm3 == pytest.approx(1000.0)


@given(
    size=st.tuples(*[st.floats(0.5, 200)] * 3),
    at=st.tuples(*[st.floats(-500, 500)] * 3),
)
@settings(max_examples=30, deadline=None)
def test_a_block_comes_back_from_stl_to_single_and_from_3mf_to_nine_digits(size, at):
    mesh = block(size, at)
    volume = volume_mm3(*mesh)
    reach = max(abs(value) for value in (*size, *at))
    single = reach * 2**-23 * sum(volume / side for side in size)
    assert read_solid(stl_bytes(mesh), name="a.stl").volume_mm3 == pytest.approx(volume, abs=2 * single)
    data = three_mf_bytes([PrintPiece(name="a", key="k", mesh=mesh)])
    nine = reach * 1e-8 * sum(volume / side for side in size)
    assert read_solid(data, name="a.3mf").volume_mm3 == pytest.approx(volume, abs=nine)


# ---------------------------------------------------------------- 3MF, read by others


def strict_model(data: bytes):
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    assert reader.GetWarningCount() == 0
    return model


def test_a_3mf_passes_strict_reading_with_its_names_counts_and_volumes():
    model = strict_model(some_three_mf())
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    found = model.GetMeshObjects()
    for piece in some_pieces():
        assert found.MoveNext()
        mesh = found.GetCurrentMeshObject()
        assert (mesh.GetName(), mesh.GetPartNumber()) == (piece.name, piece.key)
        assert mesh.IsManifoldAndOriented()
        vertices = np.array([vertex.Coordinates for vertex in mesh.GetVertices()])
        triangles = np.array([triangle.Indices for triangle in mesh.GetTriangleIndices()])
        assert np.array_equal(triangles, piece.mesh[1])
        assert volume_mm3(vertices, triangles) == pytest.approx(volume_mm3(*piece.mesh), rel=1e-6)
    assert not found.MoveNext()


def test_each_copy_of_a_piece_is_a_build_item_in_its_place():
    model = strict_model(some_three_mf())
    items = model.GetBuildItems()
    places = []
    while items.MoveNext():
        item = items.GetCurrent()
        places.append(tuple(item.GetObjectTransform().Fields[3]))
    assert places == [(0, 0, 4), (40, 0, 4), (80.5, 0, 4), (0, 60, 0)]


def test_metadata_of_the_core_and_of_our_own_name_are_read_back():
    model = strict_model(some_three_mf())
    group = model.GetMetaDataGroup()
    read = {}
    for number in range(group.GetMetaDataCount()):
        entry = group.GetMetaData(number)
        read[entry.GetNameSpace(), entry.GetName()] = entry.GetValue()
    assert read == {
        ("", "Title"): METADATA["Title"],
        ("", "Application"): "Pourwright",
        ("", "LicenseTerms"): "yours",
        ("urn:pourwright:kit", "key"): "0" * 64,
    }


def test_a_3mf_names_no_date_and_holds_no_minus_zero():
    text = three_mf_model(some_pieces(), METADATA).decode()
    assert "Date" not in text
    numbers = [value for element in ElementTree.fromstring(text).iter() for value in element.attrib.values()]
    assert "-0" not in " ".join(numbers).split()


def test_a_3mf_without_a_piece_and_a_piece_without_triangles_cannot_be_written():
    with pytest.raises(CannotBuild):
        three_mf_bytes([])
    empty = PrintPiece(name="base", key="k", mesh=(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)))
    with pytest.raises(CannotBuild, match="'base' has no triangles"):
        three_mf_bytes([empty])


# ---------------------------------------------------------------- STEP, read again


def test_a_step_file_read_again_has_the_pieces_names_and_volumes():
    from OCP.collections import Sequence_TDF_Label
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

    from pourwright.engines.geometry.kernels.brep import BrepKernel

    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.ReadStream("kit", io.BytesIO(some_step()))
    document = TDocStd_Document(TCollection_ExtendedString("XmlXCAF"))
    assert reader.Transfer(document)
    labels = Sequence_TDF_Label()
    XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).GetFreeShapes(labels)
    kernel = BrepKernel()
    found = []
    for number in range(1, labels.Length() + 1):
        name = TDataStd_Name()
        labels.Value(number).FindAttribute(TDataStd_Name.GetID_s(), name)
        shape = XCAFDoc_ShapeTool.GetShape_s(labels.Value(number))
        found.append((name.Get().ToExtString(), kernel.bodies(shape), kernel.volume(shape)))
    ball = 4 / 3 * np.pi
    wanted = [("base", 1, 6000 - ball * 64 / 2), ("prøve", 1, ball * 125), ("two pins", 2, 2.0), ("turned", 1, 6.0)]
    assert [row[:2] for row in found] == [row[:2] for row in wanted]
    assert [row[2] for row in found] == pytest.approx([row[2] for row in wanted], rel=1e-6)


def test_a_moved_solid_lies_in_the_step_file_where_it_was_moved():
    from pourwright.engines.geometry.files.write_step import step_bytes
    from pourwright.engines.geometry.kernels.brep import BrepKernel

    kernel = BrepKernel()
    data = step_bytes([("far", kernel.place(kernel.box(0, 0, 0, 2, 4, 6), 100, 200, 300, 0))])
    assert read_solid(data, name="far.step").solid.placing == pytest.approx((-101.0, -202.0, -300.0), abs=1e-6)


def test_a_step_file_without_a_piece_cannot_be_written():
    from pourwright.engines.geometry.files.write_step import step_bytes

    with pytest.raises(CannotBuild):
        step_bytes([])
