"""A plane face of the exact kernel from an outline of lines, arcs and bows."""

from __future__ import annotations

import math

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.collections import Array1_gp_Pnt
from OCP.Geom import Geom_BezierCurve
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pln, gp_Pnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face

from pourwright.basics.errors import CannotBuild
from pourwright.engines.geometry.profiles.outline_math import Curve, curves, enclosed_area_mm2, stretches
from pourwright.engines.geometry.tree import Outline


def plane_face(outline: Outline, *, upright: bool) -> TopoDS_Face:
    """The face inside an outline: in the (x, z) plane when upright, else in the (x, y) plane.

    Raises
    ------
    CannotBuild
        The outline runs clockwise, encloses nothing, or has an edge of no length.
    """
    if enclosed_area_mm2(outline) <= 0:
        raise CannotBuild("an outline that runs clockwise or encloses nothing", advice="draw it anticlockwise")
    wire = BRepBuilderAPI_MakeWire()
    for curve in curves(outline):
        # A parabola split at its widest point is parted there along an edge, which is quicker and exact.
        for piece in stretches(curve) if curve.control_mm is not None else (curve,):
            if math.dist(piece.begin_mm, piece.end_mm) > 1e-9:
                wire.Add(_edge(piece, upright))
    if not wire.IsDone():
        raise CannotBuild("an outline whose edges do not meet", advice="check its corners and radii")
    normal = gp_Dir(0, -1, 0) if upright else gp_Dir(0, 0, 1)
    face = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(0, 0, 0), normal), wire.Wire(), True)
    if not face.IsDone():
        raise CannotBuild("an outline that crosses itself", advice="check its corners and radii")
    return face.Face()


def _point(at_mm: tuple[float, float], upright: bool) -> gp_Pnt:
    return gp_Pnt(at_mm[0], 0.0, at_mm[1]) if upright else gp_Pnt(at_mm[0], at_mm[1], 0.0)


def _edge(curve: Curve, upright: bool) -> TopoDS_Edge:
    begin, end = _point(curve.begin_mm, upright), _point(curve.end_mm, upright)
    if curve.straight:
        made = BRepBuilderAPI_MakeEdge(begin, end)
    elif curve.control_mm is not None:
        poles = Array1_gp_Pnt(1, 3)
        for index, pole in enumerate((begin, _point(curve.control_mm, upright), end), start=1):
            poles.SetValue(index, pole)
        made = BRepBuilderAPI_MakeEdge(Geom_BezierCurve(poles))
    else:
        made = BRepBuilderAPI_MakeEdge(_circle(curve, upright), begin, end)
    if not made.IsDone():
        raise CannotBuild(f"an edge from {curve.begin_mm} to {curve.end_mm} mm that no curve joins")
    return made.Edge()


def _circle(curve: Curve, upright: bool) -> gp_Circ:
    # In the (x, z) plane the normal that turns x into z is -y.
    normal = gp_Dir(0, -1, 0) if upright else gp_Dir(0, 0, 1)
    if curve.sweep_rad < 0:
        normal.Reverse()
    return gp_Circ(gp_Ax2(_point(curve.centre_mm, upright), normal, gp_Dir(1, 0, 0)), curve.radius_mm)
