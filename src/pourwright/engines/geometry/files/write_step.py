"""Write exact solids as one STEP file: one named free shape a piece, the same bytes whenever it is written."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from pourwright.basics.errors import CannotBuild, KernelFault
from pourwright.basics.need import need

_TIME = "1980-01-01T00:00:00"  # fixed, so that equal solids give equal bytes


def step_bytes(named_shapes: Sequence[tuple[str, Any]], *, title: str = "mould kit", provenance: str = "") -> bytes:
    """Solids of the exact kernel as a STEP file, in millimetres.

    Parameters
    ----------
    named_shapes : (name, shape of the exact kernel) of each piece; names become the products' names.
    title : name of the file inside its header.
    provenance : key of the tree from which the solids were made.

    Raises
    ------
    CannotBuild
        No piece.
    KernelFault
        The exact kernel could not write.
    """
    if not named_shapes:
        raise CannotBuild("a STEP file without a piece", advice="give at least one piece")
    need("pourwright.engines.geometry.kernels.brep_quiet").be_quiet()
    document = _document(named_shapes)
    writer = need("OCP.STEPCAFControl").STEPCAFControl_Writer()
    writer.SetNameMode(True)
    if not writer.Transfer(document, need("OCP.STEPControl").STEPControl_StepModelType.STEPControl_AsIs):
        raise KernelFault("the exact kernel could not turn the solids into STEP")
    _set_header(writer.Writer().Model(), title, provenance)
    stream = io.BytesIO()
    if writer.WriteStream(stream) != need("OCP.IFSelect").IFSelect_ReturnStatus.IFSelect_RetDone:
        raise KernelFault("the exact kernel could not write STEP")
    return stream.getvalue()


def _document(named_shapes: Sequence[tuple[str, Any]]) -> Any:
    text = need("OCP.TCollection").TCollection_ExtendedString
    document = need("OCP.TDocStd").TDocStd_Document(text("XmlXCAF"))
    shapes = need("OCP.XCAFDoc").XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    name_of = need("OCP.TDataStd").TDataStd_Name
    for name, shape in named_shapes:
        # A shape that carries a place would become an assembly, whose numbers go on counting in a second file.
        label = shapes.AddShape(_without_place(shape), False, False)
        name_of.Set_s(label, text(name, True))
    return document


def _without_place(shape: Any) -> Any:
    if shape.Location().IsIdentity():
        return shape
    move = shape.Location().Transformation()
    bare = shape.Located(need("OCP.TopLoc").TopLoc_Location())
    return need("OCP.BRepBuilderAPI").BRepBuilderAPI_Transform(bare, move, True).Shape()


def _set_header(model: Any, title: str, provenance: str) -> None:
    text = need("OCP.TCollection").TCollection_HAsciiString
    make_header = need("OCP.APIHeaderSection").APIHeaderSection_MakeHeader
    header = make_header(model)
    if not header.IsDone():
        header = make_header()
        header.Apply(model)
    header.SetName(text(title))
    header.SetTimeStamp(text(_TIME))
    header.SetAuthorValue(1, text(""))
    header.SetOrganizationValue(1, text(""))
    header.SetOriginatingSystem(text("Pourwright"))
    header.SetAuthorisation(text(""))
    header.SetDescriptionValue(1, text(provenance or title))
