"""Write solids as print files: STL and 3MF, the same bytes from the same solids, whenever and wherever."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from pourwright.basics.errors import CannotBuild
from pourwright.basics.need import need
from pourwright.engines.geometry.kernels.protocol import Mesh

NAMESPACE = "urn:pourwright:kit"
PREFIX = "pw"
_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_STL_HEAD = b"Pourwright binary STL, millimetres".ljust(80)
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
# Metadata names of the 3MF core; every other name is ours and carries our prefix.
_CORE_NAMES = ("Title", "Designer", "Description", "Copyright", "LicenseTerms", "Rating", "Application")
# A long model is packed in half the time for a hundredth more bytes; a short one as small as may be.
_LONG_BYTES, _LEVEL, _LONG_LEVEL = 16_000_000, 6, 4

_CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rel0" Target="/3D/3dmodel.model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>'
    "</Relationships>\n"
)
MODEL_MEMBER = "3D/3dmodel.model"


@dataclass(frozen=True, kw_only=True, eq=False)
class PrintPiece:
    """One distinct piece of a 3MF file and where its copies stand.

    Parameters
    ----------
    name : as a person calls it.
    key : key of its tree, written as its part number.
    mesh : (vertices mm, triangles), closed, outward
    places_mm : one (x, y, z) for each copy.
    """

    name: str
    key: str
    mesh: Mesh
    places_mm: tuple[tuple[float, float, float], ...] = ((0.0, 0.0, 0.0),)


def stl_bytes(mesh: Mesh) -> bytes:
    """A mesh as a binary STL file.

    Triangles that shrink to a line because float32 cannot tell two of their corners apart are left out; what is
    left still closes.

    Parameters
    ----------
    mesh : (vertices mm (n, 3), triangles (m, 3)), outward

    Examples
    --------
    >>> import numpy as np
    >>> len(stl_bytes((np.eye(3), np.array([[0, 1, 2]]))))
    134
    """
    vertices, triangles = mesh
    corners = (np.asarray(vertices, dtype=np.float64)[triangles] + 0.0).astype(np.float32) + np.float32(0.0)
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    shrunk = (a == b).all(axis=1) | (b == c).all(axis=1) | (c == a).all(axis=1)
    corners = corners[~shrunk]
    records = np.zeros(len(corners), dtype=_RECORD)
    records["corners"] = corners
    records["normal"] = _normals(corners)
    return _STL_HEAD + len(records).to_bytes(4, "little") + records.tobytes()


def _normals(corners: np.ndarray) -> np.ndarray:
    facets = need("pourwright.engines.geometry.probes.facets")
    points = corners.reshape(-1, 3).astype(np.float64)
    normal = facets.crosses(points, np.arange(len(points), dtype=np.int64).reshape(-1, 3))
    length = facets.lengths(normal)[:, None]
    return np.divide(normal, length, out=np.zeros_like(normal), where=length > 0) + 0.0


def three_mf_bytes(pieces: Sequence[PrintPiece], metadata: Mapping[str, str] | None = None) -> bytes:
    """Pieces as a 3MF file: one object a piece, one build item a copy.

    Parameters
    ----------
    pieces : at least one.
    metadata : Title, Application, LicenseTerms and other names of the 3MF core go in as they are; all others are
        put into our own namespace. Never a date: equal solids give equal bytes.

    Raises
    ------
    CannotBuild
        No piece, or a piece without triangles.

    Notes
    -----
    Compressed bytes depend on the zlib of the machine; to compare across machines compare `three_mf_model`.
    """
    members = {
        "[Content_Types].xml": _CONTENT_TYPES.encode(),
        "_rels/.rels": _RELATIONS.encode(),
        MODEL_MEMBER: three_mf_model(pieces, metadata),
    }
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3  # otherwise the file says on which system it was made
            entry.external_attr = 0o100644 << 16
            level = _LEVEL if len(data) < _LONG_BYTES else _LONG_LEVEL
            archive.writestr(entry, data, compresslevel=level)
    return stream.getvalue()


def three_mf_model(pieces: Sequence[PrintPiece], metadata: Mapping[str, str] | None = None) -> bytes:
    """The model member of a 3MF file, UTF-8."""
    if not pieces:
        raise CannotBuild("a 3MF file without a piece", advice="give at least one piece")
    return b"".join(one.encode() if isinstance(one, str) else one for one in _model_lines(pieces, metadata or {}))


def _model_lines(pieces: Sequence[PrintPiece], metadata: Mapping[str, str]) -> Iterator[str | bytes]:
    yield '<?xml version="1.0" encoding="UTF-8"?>\n'
    yield f'<model unit="millimeter" xml:lang="en-GB" xmlns="{_CORE}" xmlns:{PREFIX}="{NAMESPACE}">\n'
    for name, value in metadata.items():
        full = name if name in _CORE_NAMES else f"{PREFIX}:{name}"
        yield f"<metadata name={quoteattr(full)}>{escape(value)}</metadata>\n"
    yield "<resources>\n"
    for number, piece in enumerate(pieces, 1):
        yield from _object_lines(number, piece)
    yield "</resources>\n<build>\n"
    for number, piece in enumerate(pieces, 1):
        for x, y, z in piece.places_mm:
            move = " ".join(f"{value + 0.0:.9g}" for value in (x, y, z))
            yield f'<item objectid="{number}" transform="1 0 0 0 1 0 0 0 1 {move}"/>\n'
    yield "</build>\n</model>\n"


def _object_lines(number: int, piece: PrintPiece) -> Iterator[str | bytes]:
    vertices, triangles = piece.mesh
    if not len(triangles):
        raise CannotBuild(f"the piece {piece.name!r} has no triangles", advice="leave it out")
    name, key = quoteattr(piece.name), quoteattr(piece.key)
    yield f'<object id="{number}" type="model" name={name} partnumber={key}>\n<mesh>\n<vertices>\n'
    rows = need("pourwright.engines.geometry.files.number_text").rows_of_text
    yield rows(('<vertex x="', '" y="', '" z="', '"/>\n'), np.asarray(vertices, dtype=np.float64))
    yield "</vertices>\n<triangles>\n"
    yield rows(('<triangle v1="', '" v2="', '" v3="', '"/>\n'), np.asarray(triangles, dtype=np.int64))
    yield "</triangles>\n</mesh>\n</object>\n"
