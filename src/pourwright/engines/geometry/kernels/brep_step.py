"""Read the solids of a STEP file into the exact kernel."""

from __future__ import annotations

import io

from OCP.collections import Sequence_TCollection_AsciiString as Names
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.ShapeAnalysis import ShapeAnalysis_ShapeTolerance
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS_Shape

from pourwright.basics.errors import CannotRead
from pourwright.engines.geometry.kernels.brep_quiet import be_quiet


def read_step(content: bytes, name: str = "the file") -> TopoDS_Shape:
    """The shape in a STEP file, in millimetres.

    Raises
    ------
    CannotRead
        Not a STEP file, or one without a shape.
    """
    return shape_and_unit(content, name)[0]


def shape_and_unit(content: bytes, name: str = "the file") -> tuple[TopoDS_Shape, str]:
    """The shape in a STEP file, in millimetres, and the unit of length in which the file was written.

    Raises
    ------
    CannotRead
        Not a STEP file, a damaged one, or one without a shape.
    """
    be_quiet()
    reader = STEPControl_Reader()
    status = reader.ReadStream(name, io.BytesIO(content))
    if status != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise CannotRead("this is not a STEP file that can be read", advice="save it again as STEP AP214", file=name)
    found = reader.StepModel().GlobalCheck(True)
    if found.HasFailed():
        faults = found.NbFails()
        raise CannotRead(
            f"the STEP file is damaged in {faults} place{'s' if faults > 1 else ''}; the first: {found.CFail(1)}",
            advice="save it again as STEP AP214",
            file=name,
        )
    reader.TransferRoots()
    if reader.NbShapes() == 0:
        raise CannotRead("the file holds no shape", advice="save the solid itself, not an empty assembly", file=name)
    lengths = Names()
    reader.FileUnits(lengths, Names(), Names())
    return reader.OneShape(), lengths.First().ToCString() if lengths.Length() else "millimetre"


def mean_tolerance_mm(shape: TopoDS_Shape) -> float:
    """Mean tolerance stored on the edges and vertices of a shape, mm."""
    measure = ShapeAnalysis_ShapeTolerance()
    kinds = (TopAbs_ShapeEnum.TopAbs_EDGE, TopAbs_ShapeEnum.TopAbs_VERTEX)
    return max(float(measure.Tolerance(shape, 0, kind)) for kind in kinds)
