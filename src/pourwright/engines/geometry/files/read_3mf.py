"""Read a 3MF file: the bodies on its build plate, with their transforms, in its own unit."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.errors import CannotRead
from pourwright.basics.need import need
from pourwright.basics.progress import Report, span
from pourwright.basics.safe_zip import unzip
from pourwright.engines.geometry.files.loose_mesh import (
    MOST_TRIANGLES,
    UNIT_MM,
    LooseMesh,
    check_count,
    unit_name,
)
from pourwright.engines.geometry.kernels.protocol import Mesh

MOST_BYTES = 64 * 2**20
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
# Paths to parts of the model in other members; the one addition that may be demanded and is understood here.
_PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
# Materials add looks only: the solid is the same without them.
_UNDERSTOOD = (_PRODUCTION, "http://schemas.microsoft.com/3dmanufacturing/material/2015/02")
_MODEL_RELATION = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_SOLID_TYPES = ("model", "solidsupport")
_DEEPEST = 32
_LONG_BYTES = 1_000_000
_MARK = "pourwright-list"  # left in the place of a list that was taken out
_MOST_PIECES = 10_000
_AGAIN = "write the file again, or write STEP or binary STL instead"

Transform = NDArray[np.float64]  # (4, 3): rows x, y, z of the turned axes, then the move


@dataclass
class _Object:
    """One object of a model: its own triangles, or other objects put together."""

    kind: str
    numbers: list[str] = field(default_factory=list)
    corners: list[str] = field(default_factory=list)
    point_lists: list[NDArray[np.float64]] = field(default_factory=list)
    corner_lists: list[NDArray[np.float64]] = field(default_factory=list)
    components: list[tuple[str, str, Transform]] = field(default_factory=list)


@dataclass
class _Model:
    """One model member: unit, objects by id, and what stands on the build plate."""

    unit: str = "millimeter"
    objects: dict[str, _Object] = field(default_factory=dict)
    build: list[tuple[str, str, Transform]] = field(default_factory=list)


def read_3mf(data: bytes, *, file: str, unit: str | None, report: Report) -> LooseMesh:
    """The triangles of all solids on the build plate of a 3MF file, in millimetres.

    Raises
    ------
    CannotRead
        No zip, over the limits of `unzip`, XML that is broken or declares entities, an extension that is
        demanded and not known here, or numbers and references that do not fit.
    """
    report(0.0, "unpacking")
    members = unzip(data, file=file, suffixes=(".model", ".rels"))
    root = _root_member(members, file)
    models = _Models(members, file, span(report, 0.1, 0.7))
    model = models.model(root)
    known = unit_name(model.unit, file=file)
    notes = []
    if unit and unit_name(unit, file=file) != known:
        notes.append(f"the file says {known} itself, so the unit {unit!r} was not used")
    pieces = _Pieces(models, file)
    for path, number, transform in model.build or [(root, number, _UNMOVED) for number in model.objects]:
        pieces.add(path or root, number, transform, depth=0)
    if not model.build:
        notes.append("nothing stands on the build plate of the file; all its objects were read")
    notes += pieces.notes()
    check_count(pieces.triangles, file=file)
    report(0.8, "joining corners")
    vertices, triangles = pieces.together()
    return LooseMesh(vertices_mm=vertices * UNIT_MM[known], triangles=triangles, unit=known, notes=tuple(notes))


# ---------------------------------------------------------------- which member


def _root_member(members: Mapping[str, bytes], file: str) -> str:
    relations = members.get("_rels/.rels")
    if relations is not None:
        found: list[str] = []

        def start(tag: str, values: Mapping[str, str]) -> None:
            if tag.endswith("}Relationship") and values.get("Type") == _MODEL_RELATION:
                found.append(values.get("Target", "").lstrip("/"))

        _parse(relations, start, {}, file)
        if found and found[0] in members:
            return found[0]
    models = [name for name in members if name.lower().endswith(".model")]
    if len(models) != 1:
        raise CannotRead("the zip file holds no 3MF model", advice=_AGAIN, file=file)
    return models[0]


class _Models:
    """The model members, each parsed once when first asked for."""

    def __init__(self, members: Mapping[str, bytes], file: str, report: Report) -> None:
        self._members, self._file, self._report = members, file, report
        self._parsed: dict[str, _Model] = {}

    def model(self, path: str) -> _Model:
        path = posixpath.normpath(path.lstrip("/"))
        if path not in self._parsed:
            if path not in self._members:
                raise CannotRead(f"the model {path!r} is missing in the file", advice=_AGAIN, file=self._file)
            self._report(min(len(self._parsed) / 4, 1.0), "reading triangles")
            text, lists = _without_lists(self._members[path])
            handler = _ModelHandler(self._file, self._report, lists)
            _parse(text, handler.start, handler.namespaces, self._file)
            self._parsed[path] = handler.model
        return self._parsed[path]


def _without_lists(text: bytes) -> tuple[bytes, tuple[NDArray[np.float64], ...]]:
    """Long plain lists are read by themselves, which takes a tenth of the time."""
    if len(text) < _LONG_BYTES:
        return text, ()
    return need("pourwright.engines.geometry.files.model_lists").without_lists(text, mark=_MARK)  # type: ignore[no-any-return]


# ---------------------------------------------------------------- XML


def _parse(text: bytes, start: Callable[[str, Mapping[str, str]], None], namespaces: dict[str, str], file: str) -> None:
    tree, defused = need("defusedxml.ElementTree"), need("defusedxml")

    class Target:
        """Told of every element as it begins; nothing is kept but what the prefixes stand for."""

        def start_ns(self, prefix: str, uri: str) -> None:
            namespaces[prefix] = uri

        def start(self, tag: str, values: Mapping[str, str]) -> None:
            start(tag, values)

        def end(self, tag: str) -> None:
            pass

        def data(self, words: str) -> None:
            pass

        def close(self) -> None:
            pass

    parser = tree.XMLParser(target=Target(), forbid_dtd=True)
    try:
        parser.feed(text)
        parser.close()
    except defused.DefusedXmlException as error:
        raise CannotRead(
            "the model declares entities or a document type, which no 3MF needs",
            advice="do not trust this file; ask for a fresh one",
            file=file,
        ) from error
    except (tree.ParseError, ValueError, LookupError) as error:
        raise CannotRead(f"the model is broken or cut off ({error})", advice=_AGAIN, file=file) from error


class _ModelHandler:
    """Collects one model from the elements as they come."""

    def __init__(self, file: str, report: Report, lists: Sequence[NDArray[np.float64]] = ()) -> None:
        self.model = _Model()
        self._lists = lists
        self.namespaces: dict[str, str] = {}
        self._file, self._report = file, report
        self._object = _Object("other")
        self._triangles = 0
        self._does = {
            CORE + "model": self._model,
            CORE + "object": self._start_object,
            CORE + "vertices": self._vertices,
            CORE + "triangles": self._triangle_list,
            CORE + "vertex": self._vertex,
            CORE + "triangle": self._triangle,
            CORE + "component": self._component,
            CORE + "item": self._item,
        }

    def start(self, tag: str, values: Mapping[str, str]) -> None:
        act = self._does.get(tag)
        if act is None:
            return
        try:
            act(values)
        except KeyError as error:
            raise CannotRead(
                f"a {tag.rpartition('}')[2]} in the model has no {error.args[0]}", advice=_AGAIN, file=self._file
            ) from error

    def _model(self, values: Mapping[str, str]) -> None:
        self.model.unit = values.get("unit", "millimeter")
        if values.get("requiredextensions", "").strip():
            self._check_extensions(values["requiredextensions"].split())

    def _check_extensions(self, prefixes: list[str]) -> None:
        unknown = [prefix for prefix in prefixes if self.namespaces.get(prefix) not in _UNDERSTOOD]
        if unknown:
            raise CannotRead(
                f"the file demands 3MF extensions that are not read here: {', '.join(unknown)}",
                advice="write a plain 3MF, or STEP or binary STL",
                file=self._file,
                value=unknown[0],
            )

    def _start_object(self, values: Mapping[str, str]) -> None:
        self._object = _Object(values.get("type", "model"))
        self.model.objects[values["id"]] = self._object

    def _vertices(self, values: Mapping[str, str]) -> None:
        self._object.point_lists += self._taken_out(values)

    def _triangle_list(self, values: Mapping[str, str]) -> None:
        self._object.corner_lists += self._taken_out(values)

    def _taken_out(self, values: Mapping[str, str]) -> list[NDArray[np.float64]]:
        """The list that was read before: in its place it has left a mark, which no such file has of itself."""
        return [self._lists[int(values[_MARK])]] if self._lists and _MARK in values else []

    def _vertex(self, values: Mapping[str, str]) -> None:
        self._object.numbers += (values["x"], values["y"], values["z"])

    def _triangle(self, values: Mapping[str, str]) -> None:
        self._object.corners += (values["v1"], values["v2"], values["v3"])
        self._triangles += 1
        if self._triangles % 65536 == 0:
            self._report(min(self._triangles / MOST_TRIANGLES, 1.0), "reading triangles")
        if self._triangles > MOST_TRIANGLES:
            check_count(self._triangles, file=self._file)

    def _component(self, values: Mapping[str, str]) -> None:
        self._object.components.append((_path(values), values["objectid"], self._transform(values)))

    def _item(self, values: Mapping[str, str]) -> None:
        self.model.build.append((_path(values), values["objectid"], self._transform(values)))

    def _transform(self, values: Mapping[str, str]) -> Transform:
        words = values.get("transform")
        if words is None:
            return _UNMOVED
        try:
            numbers = np.array([float(word) for word in words.split()]).reshape(4, 3)
        except ValueError as error:
            raise CannotRead(
                f"a transform in the model is not twelve numbers: {words[:60]!r}", advice=_AGAIN, file=self._file
            ) from error
        if not np.isfinite(numbers).all():
            raise CannotRead("a transform in the model is not finite", advice=_AGAIN, file=self._file)
        return numbers


_UNMOVED = np.vstack((np.eye(3), np.zeros(3)))


def _path(values: Mapping[str, str]) -> str:
    return values.get(f"{{{_PRODUCTION}}}path", "")


# ---------------------------------------------------------------- putting together


class _Pieces:
    """Meshes of all solids on the plate, each moved into its place."""

    def __init__(self, models: _Models, file: str) -> None:
        self._models, self._file = models, file
        self._meshes: dict[tuple[str, str], Mesh] = {}
        self._placed: list[tuple[Mesh, Transform]] = []
        self._skipped: list[str] = []
        self._visits = 0
        self.triangles = 0

    def add(self, path: str, number: str, transform: Transform, *, depth: int) -> None:
        found = self._models.model(path).objects.get(number)
        if found is None:
            raise CannotRead(f"object {number} is missing in the model", advice=_AGAIN, file=self._file)
        self._visits += 1
        if depth > _DEEPEST or self._visits > _MOST_PIECES:
            raise CannotRead(
                "objects of the model are put into one another without end", advice=_AGAIN, file=self._file
            )
        if found.kind not in _SOLID_TYPES:
            self._skipped.append(found.kind)
            return
        if found.corners or found.corner_lists:
            self._place(path, number, found, transform)
        for inner_path, inner_number, inner in found.components:
            self.add(inner_path or path, inner_number, _after(inner, transform), depth=depth + 1)

    def _place(self, path: str, number: str, found: _Object, transform: Transform) -> None:
        mesh = self._meshes.setdefault((path, number), _mesh(found, number, self._file))
        self.triangles += len(mesh[1])
        check_count(self.triangles, file=self._file)
        self._placed.append((mesh, transform))

    def notes(self) -> list[str]:
        kinds = sorted(set(self._skipped))
        return [f"{len(self._skipped)} objects that are no solids ({', '.join(kinds)}) were not read"] if kinds else []

    def together(self) -> Mesh:
        vertices, triangles, start = [], [], 0
        for (points, corners), transform in self._placed:
            vertices.append(points @ transform[:3] + transform[3])
            turned = corners if np.linalg.det(transform[:3]) > 0 else corners[:, ::-1]
            triangles.append(turned + start)
            start += len(points)
        return np.concatenate(vertices), np.concatenate(triangles)


def _after(inner: Transform, outer: Transform) -> Transform:
    return np.vstack((inner[:3] @ outer[:3], inner[3] @ outer[:3] + outer[3]))


def _mesh(found: _Object, number: str, file: str) -> Mesh:
    try:
        vertices = np.vstack((*found.point_lists, np.array(found.numbers, dtype=np.float64).reshape(-1, 3)))
        written = np.array(found.corners, dtype=np.int64).reshape(-1, 3)
        triangles = np.vstack((*(one.astype(np.int64) for one in found.corner_lists), written))
    except (ValueError, OverflowError) as error:
        raise CannotRead(
            f"object {number} of the model has a number that is none ({error})", advice=_AGAIN, file=file
        ) from error
    if not np.isfinite(vertices).all():
        raise CannotRead(
            f"object {number} of the model has a coordinate that is not a number", advice=_AGAIN, file=file
        )
    if triangles.size and (triangles.min() < 0 or triangles.max() >= len(vertices)):
        raise CannotRead(f"a triangle of object {number} names a corner that is not there", advice=_AGAIN, file=file)
    return vertices, triangles
