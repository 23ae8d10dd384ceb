"""The long lists of a 3MF model, read by themselves, hold what the XML reader finds in them, to the last bit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mesh_bodies import dome
from pourwright.basics.errors import CannotRead
from pourwright.basics.progress import silent
from pourwright.engines.geometry.files import read_3mf
from pourwright.engines.geometry.files.model_lists import without_lists
from pourwright.engines.geometry.files.write import PrintPiece, three_mf_bytes

MARK = "taken"
plain = st.one_of(
    st.floats(-1e6, 1e6),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from([0.0, -0.0, 1e-5, 123456789.123456789, 0.1, 5e-324, 1.7976931348623157e308]),
)
written = st.one_of(
    plain.map(repr),
    plain.map(lambda x: f"{x:.9g}"),
    st.sampled_from(["+1.5", "007", ".5", "-.5e3", "1.", "2E+04", "3e-30", "99999999999999999999.5"]),
)


def vertices_of(text: bytes) -> tuple[bytes, tuple[np.ndarray, ...]]:
    """A list of corners in a mesh, taken out."""
    return without_lists(b"<mesh><vertices>" + text + b"</vertices></mesh>", mark=MARK)


@settings(max_examples=300, deadline=None)
@given(rows=st.lists(st.tuples(written, written, written), min_size=1, max_size=5), gap=st.sampled_from(["", "\n  "]))
def test_every_plain_number_is_read_to_the_last_bit(rows: list[tuple[str, str, str]], gap: str) -> None:
    text = gap.join(f'<vertex y="{y}" x="{x}"  z="{z}" />' for x, y, z in rows)
    short, lists = vertices_of(text.encode())
    assert short == b'<mesh><vertices taken="0"/></mesh>'
    assert lists[0].tobytes() == np.array([[float(word) for word in row] for row in rows]).tobytes()


@pytest.mark.parametrize(
    "text",
    [
        '<vertex x="1" y="2"/>',
        '<vertex x="1" y="2" z="3" x="4"/>',
        '<vertex x="1" y="2" z="3" w="4"/>',
        '<vertex x="1" y="2" z="three"/>',
        '<vertex x="1" y="2" z="nan"/>',
        '<vertex x="1" y="2" z="3e"/>',
        '<vertex x="1" y="2" z="&#51;"/>',
        "<vertex x='1' y='2' z='3'/>",
        '<vertex x="1"y="2" z="3"/>',
        '<vertex x="1" y="2" z="3"></vertex>',
        '<vertexx="1" y="2" z="3"/>',
        '<vertex x="1" y="2" z="3"/>4',
        '<vertex x="1" y="2" z="3"',
        "",
    ],
)
def test_whatever_is_not_written_plainly_is_left_to_the_xml_reader(text: str) -> None:
    short, lists = vertices_of(text.encode())
    assert lists == ()
    assert short == b"<mesh><vertices>" + text.encode() + b"</vertices></mesh>"


@pytest.mark.parametrize("odd", [b"<!-- -->", b"<![CDATA[ ]]>", b'<!DOCTYPE x [<!ENTITY y "z">]>', b'<a taken="0"/>'])
def test_a_model_with_anything_unusual_in_it_is_not_read_by_halves(odd: bytes) -> None:
    text = odd + b'<vertices><vertex x="1" y="2" z="3"/></vertices>'
    assert without_lists(text, mark=MARK) == (text, ())


def test_what_properties_triangles_have_does_not_matter_but_other_numbers_do() -> None:
    good = b'<triangles><triangle v1="0" v2="1" v3="2" pid="3" p1="0" p2="1" p3="0"/></triangles>'
    assert without_lists(good, mark=MARK)[1][0].tolist() == [[0.0, 1.0, 2.0]]
    for bad in (b'v3="2.0"', b'v3="-2"', b'v3=" 2"', b'v3="2" v4="3"'):
        assert without_lists(good.replace(b'v3="2"', bad), mark=MARK)[1] == ()


def test_a_file_read_by_lists_is_the_file_read_as_xml(monkeypatch: pytest.MonkeyPatch) -> None:
    pieces = [PrintPiece(name=name, key=name, mesh=dome(across=across)) for name, across in (("a", 16), ("b", 24))]
    data = three_mf_bytes(pieces)
    slow = read_3mf.read_3mf(data, file="x.3mf", unit=None, report=silent)
    monkeypatch.setattr(read_3mf, "_LONG_BYTES", 0)
    fast = read_3mf.read_3mf(data, file="x.3mf", unit=None, report=silent)
    assert fast.vertices_mm.tobytes() == slow.vertices_mm.tobytes()
    assert fast.triangles.tobytes() == slow.triangles.tobytes()


def test_a_list_that_names_a_corner_that_is_not_there_is_refused_either_way(monkeypatch: pytest.MonkeyPatch) -> None:
    corners, faces = dome(across=16)
    faces = faces.copy()
    faces[3, 1] = len(corners)
    data = three_mf_bytes([PrintPiece(name="a", key="a", mesh=(corners, faces))])
    for least in (0, 10**9):
        monkeypatch.setattr(read_3mf, "_LONG_BYTES", least)
        with pytest.raises(CannotRead, match="names a corner that is not there"):
            read_3mf.read_3mf(data, file="x.3mf", unit=None, report=silent)
