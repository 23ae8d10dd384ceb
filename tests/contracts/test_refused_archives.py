"""3MF and STEP files from outside: what is read, and what is refused before it can do harm."""

from __future__ import annotations

import io
import zipfile

import pytest

from loose_meshes import block, ring, turned_in
from pourwright.basics import safe_zip
from pourwright.basics.errors import CannotRead
from pourwright.engines.geometry.files.read import read_solid
from pourwright.engines.geometry.files.write import MODEL_MEMBER, PrintPiece, three_mf_bytes, three_mf_model

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
RELATIONS = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="r" Target="/3D/3dmodel.model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
)


def piece(mesh=None, **how) -> PrintPiece:
    return PrintPiece(name="piece", key="key", mesh=mesh or block(), **how)


def packed(members: dict[str, bytes | str]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return stream.getvalue()


def with_model(model: bytes | str, **others: bytes | str) -> bytes:
    return packed({"_rels/.rels": RELATIONS, MODEL_MEMBER: model, **others})


def mesh_words(mesh=None) -> str:
    """The <mesh> element of a block."""
    text = three_mf_model([piece(mesh)]).decode()
    return text[text.index("<mesh>") : text.index("</mesh>") + 7]


def model(resources: str, build: str, head: str = 'unit="millimeter"', before: str = "") -> str:
    return (
        f'<?xml version="1.0"?>{before}<model {head} xmlns="{CORE}" xmlns:p="{PRODUCTION}">'
        f"<resources>{resources}</resources><build>{build}</build></model>"
    )


def refusal(data: bytes, name: str = "part.3mf") -> CannotRead:
    with pytest.raises(CannotRead) as caught:
        read_solid(data, name=name)
    assert caught.value.file == name
    assert caught.value.advice
    return caught.value


# ---------------------------------------------------------------- what a 3MF says


@pytest.mark.parametrize(
    ("unit", "factor"),
    [("micron", 1e-3), ("millimeter", 1), ("centimeter", 10), ("inch", 25.4), ("foot", 304.8), ("meter", 1000)],
)
def test_a_3mf_is_read_in_its_own_unit(unit, factor):
    text = model(f'<object id="1">{mesh_words()}</object>', '<item objectid="1"/>', head=f'unit="{unit}"')
    assert read_solid(with_model(text), name="part.3mf").volume_mm3 == pytest.approx(1000 * factor**3, rel=1e-12)


def test_a_3mf_without_a_unit_is_in_millimetres_and_another_unit_asked_for_is_not_used():
    text = model(f'<object id="1">{mesh_words()}</object>', '<item objectid="1"/>', head="")
    reading = read_solid(with_model(text), name="part.3mf", unit="inch")
    assert reading.volume_mm3 == 1000.0
    assert any("was not used" in warning for warning in reading.warnings)


def test_the_transforms_of_components_and_build_items_follow_one_another():
    # The component doubles x and moves by (1, 2, 3); the item turns x to y and moves by (0, 0, 5).
    resources = (
        f'<object id="1">{mesh_words(block((1, 2, 3)))}</object>'
        '<object id="2"><components><component objectid="1" transform="2 0 0 0 1 0 0 0 1 1 2 3"/></components></object>'
    )
    text = model(resources, '<item objectid="2" transform="0 1 0 -1 0 0 0 0 1 0 0 5"/>')
    reading = read_solid(with_model(text), name="part.3mf")
    assert reading.size_mm == (2.0, 2.0, 3.0)
    assert reading.volume_mm3 == pytest.approx(12.0)
    # x from -4 to -2, y from 1 to 3, z from 8.
    assert reading.solid.placing == (3.0, -2.0, -8.0)


def test_a_mirroring_transform_does_not_turn_the_solid_inside_out():
    text = model(f'<object id="1">{mesh_words()}</object>', '<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>')
    reading = read_solid(with_model(text), name="part.3mf")
    assert (reading.volume_mm3, reading.warnings) == (1000.0, ())


def test_a_mesh_in_another_member_is_found_by_its_path():
    inner = model(f'<object id="7">{mesh_words()}</object>', "")
    outer = model(
        '<object id="1"><components><component p:path="/3D/Objects/a.model" objectid="7"/></components></object>',
        '<item objectid="1"/>',
        head='requiredextensions="p"',
    )
    reading = read_solid(with_model(outer, **{"3D/Objects/a.model": inner}), name="part.3mf")
    assert reading.volume_mm3 == 1000.0


def test_an_extension_that_is_demanded_and_not_known_is_named():
    text = model(
        f'<object id="1">{mesh_words()}</object>',
        '<item objectid="1"/>',
        head='requiredextensions="b" xmlns:b="urn:example:lattice"',
    )
    assert "not read here: b" in refusal(with_model(text)).message


def test_objects_for_support_are_not_read_and_this_is_noted():
    resources = f'<object id="1">{mesh_words()}</object><object id="2" type="support">{mesh_words(ring())}</object>'
    reading = read_solid(with_model(model(resources, '<item objectid="1"/><item objectid="2"/>')), name="part.3mf")
    assert reading.volume_mm3 == 1000.0
    assert any("support" in warning for warning in reading.warnings)


def test_two_copies_on_the_plate_are_two_bodies():
    data = three_mf_bytes([piece(places_mm=((0, 0, 0), (20, 0, 0)))])
    assert "2 separate bodies" in refusal(data).message


def test_a_3mf_of_an_inside_out_cube_is_turned():
    reading = read_solid(three_mf_bytes([piece(turned_in(block()))]), name="part.3mf")
    assert reading.volume_mm3 == 1000.0
    assert "inside out" in reading.warnings[0]


# ---------------------------------------------------------------- broken models


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (model("", ""), "no triangles"),
        (model("", '<item objectid="9"/>'), "object 9 is missing"),
        (model('<object id="1"><mesh/></object>', '<item objectid="1" transform="1 0 0"/>'), "not twelve numbers"),
        (
            model(f'<object id="1">{mesh_words().replace("10", "ten", 1)}</object>', '<item objectid="1"/>'),
            "a number that is none",
        ),
        (
            model(f'<object id="1">{mesh_words().replace("10", "nan", 1)}</object>', '<item objectid="1"/>'),
            "a coordinate that is not a number",
        ),
        (
            model(f'<object id="1">{mesh_words().replace(" v1=", " v9=", 1)}</object>', '<item objectid="1"/>'),
            "a triangle in the model has no v1",
        ),
        (
            model(
                '<object id="1"><mesh><triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh></object>',
                '<item objectid="1"/>',
            ),
            "names a corner that is not there",
        ),
        (
            model('<object id="1"><components><component objectid="1"/></components></object>', '<item objectid="1"/>'),
            "without end",
        ),
        (model("", "")[:-9], "broken or cut off"),
        ("", "broken or cut off"),
    ],
)
def test_a_model_that_is_broken_is_refused_with_the_fault(text, words):
    assert words in refusal(with_model(text)).message


@pytest.mark.parametrize("innermost", [mesh_words(), "<components/>"], ids=["blocks", "nothing"])
def test_components_that_multiply_without_bound_are_stopped(innermost):
    # Each object holds the one before it ten times: 12 levels would be a million million pieces.
    levels = [f'<object id="1">{innermost}</object>']
    for number in range(2, 14):
        parts = f'<component objectid="{number - 1}"/>' * 10
        levels.append(f'<object id="{number}"><components>{parts}</components></object>')
    assert "without end" in refusal(with_model(model("".join(levels), '<item objectid="13"/>'))).message


def test_entities_that_multiply_are_refused_unread():
    bomb = (
        '<!DOCTYPE m [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
        '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>'
    )
    text = model('<object id="1" name="&c;"><mesh/></object>', '<item objectid="1"/>', before=bomb)
    assert "declares entities" in refusal(with_model(text)).message


def test_an_entity_that_names_a_file_is_refused_unread(tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("not to be told")
    doctype = f'<!DOCTYPE m [<!ENTITY x SYSTEM "{secret.as_uri()}">]>'
    error = refusal(with_model(model('<object id="1">&x;</object>', "", before=doctype)))
    assert "declares entities" in error.message
    assert "not to be told" not in error.sentence()


# ---------------------------------------------------------------- archives


def test_a_3mf_that_is_no_zip_is_refused():
    assert "no zip file" in refusal(b"solid part\n").message
    assert "no zip file" in refusal(b"").message


def test_a_3mf_that_is_cut_off_is_refused():
    whole = three_mf_bytes([piece()])
    assert "no zip file, or it is cut off" in refusal(whole[: len(whole) // 2]).message


def test_a_zip_without_a_model_is_refused():
    assert "no 3MF model" in refusal(packed({"notes.txt": "x"})).message


def test_a_damaged_member_is_refused_by_its_checksum():
    whole = bytearray(three_mf_bytes([piece()]))
    start = whole.index(MODEL_MEMBER.encode()) + len(MODEL_MEMBER) + 40
    whole[start] ^= 0xFF
    assert "damaged" in refusal(bytes(whole)).message


def test_a_member_that_packs_far_too_well_is_refused():
    text = model(f'<object id="1">{mesh_words()}</object>' + " " * 20_000_000, '<item objectid="1"/>')
    assert "more than 200 times its size" in refusal(with_model(text)).message


def test_unpacking_stops_at_the_limit_whatever_the_file_claims(monkeypatch):
    monkeypatch.setattr(safe_zip, "MOST_BYTES", 2**20)
    monkeypatch.setattr(safe_zip, "MOST_RATIO", 10**6)
    read: list[int] = []
    plain_read = zipfile.ZipExtFile.read
    monkeypatch.setattr(zipfile.ZipExtFile, "read", lambda self, n=-1: (read.append(n), plain_read(self, n))[1])
    data = with_model(model(" " * 50_000_000, ""))
    assert "unpacks to more than 1 MB" in refusal(data).message
    assert sum(read) < 2**21


def test_members_are_counted_together(monkeypatch):
    monkeypatch.setattr(safe_zip, "MOST_BYTES", 3000)
    text = model("x" * 800, "")
    with pytest.raises(CannotRead, match="unpacks to more than"):
        safe_zip.unzip(packed({f"{n}.model": text for n in range(4)}), file="part.3mf")


def test_501_members_are_refused_and_500_are_read():
    assert len(safe_zip.unzip(packed({f"{n}.txt": "" for n in range(500)}), file="part.3mf")) == 500
    assert "501 packed files" in refusal(packed({f"{n}.txt": "" for n in range(501)})).message


@pytest.mark.parametrize(
    "name", ["../evil.model", "3D/../../evil.model", "/etc/evil.model", "..\\evil.model", "C:\\evil.model", "C:evil"]
)
def test_a_name_that_leads_out_of_the_folder_is_refused(name):
    assert "leads out of its folder" in refusal(packed({name: "x"})).message


def test_a_member_that_is_a_link_is_refused():
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        entry = zipfile.ZipInfo(MODEL_MEMBER)
        entry.external_attr = 0o120777 << 16
        archive.writestr(entry, "/etc/passwd")
    assert "is a link" in refusal(stream.getvalue()).message


def test_a_member_behind_a_password_is_refused():
    whole = bytearray(with_model(model("", "")))
    for at in (whole.index(b"PK\x03\x04") + 6, whole.index(b"PK\x01\x02") + 8):
        whole[at] |= 1
    assert "password" in refusal(bytes(whole)).message


# ---------------------------------------------------------------- STEP


@pytest.fixture(scope="module")
def step_block() -> bytes:
    kernel = pytest.importorskip("pourwright.engines.geometry.kernels.brep").BrepKernel()
    from pourwright.engines.geometry.files.write_step import step_bytes

    return step_bytes([("block", kernel.box(1, 2, 3, 11, 22, 33))])


def test_an_empty_step_file_is_refused():
    assert refusal(b" \n", name="part.step").message == "the file is empty"


def test_a_step_file_that_is_none_is_refused():
    assert "does not begin as a STEP file" in refusal(b"solid part\n", name="part.step").message


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.99])
def test_a_step_file_that_is_cut_off_is_refused(step_block, share):
    assert "cut off" in refusal(step_block[: int(share * len(step_block))], name="part.stp").message


def test_a_step_file_with_its_middle_missing_is_refused_as_damaged(step_block):
    half = len(step_block) // 2
    data = step_block[: half - 300] + step_block[half + 300 :]
    assert "damaged" in refusal(data, name="part.stp").message


def test_a_step_file_without_a_solid_is_refused(step_block):
    text = step_block.replace(b"MANIFOLD_SOLID_BREP('',", b"SHELL_BASED_SURFACE_MODEL('',(").replace(
        b"SHELL_BASED_SURFACE_MODEL('',(#16)", b"SHELL_BASED_SURFACE_MODEL('',(#16))"
    )
    assert "no closed solid" in refusal(text, name="part.stp").message


def test_a_step_file_of_two_solids_is_refused_with_their_number():
    from pourwright.engines.geometry.files.write_step import step_bytes
    from pourwright.engines.geometry.kernels.brep import BrepKernel

    kernel = BrepKernel()
    pieces = [("one", kernel.box(0, 0, 0, 1, 1, 1)), ("two", kernel.box(5, 0, 0, 6, 1, 1))]
    assert refusal(step_bytes(pieces), name="part.stp").message == "the file holds 2 solids"


def test_a_step_solid_with_a_sealed_hollow_is_refused():
    from pourwright.engines.geometry.files.write_step import step_bytes
    from pourwright.engines.geometry.kernels.brep import BrepKernel

    kernel = BrepKernel()
    hollow = kernel.cut(kernel.box(0, 0, 0, 10, 10, 10), kernel.box(3, 3, 3, 7, 7, 7))
    assert "1 sealed hollow" in refusal(step_bytes([("hollow", hollow)]), name="part.stp").message


def test_a_step_solid_is_read_exactly_and_stands_on_z_0(step_block):
    reading = read_solid(step_block, name="part.step")
    assert reading.volume_mm3 == pytest.approx(6000.0, rel=1e-12)
    assert reading.area_mm2 == pytest.approx(2200.0, rel=1e-12)
    assert reading.solid.placing == (-6.0, -12.0, -3.0)
    assert reading.solid.step == step_block
    assert reading.solid.vertices_mm.min(axis=0).tolist() == [-5.0, -10.0, 0.0]
