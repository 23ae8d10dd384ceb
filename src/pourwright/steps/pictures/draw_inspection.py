"""Draw an inspected solid: what silicone it holds, where air stays, where it parts and where it is thinnest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent
from pourwright.domain.inspection import Inspection, Point
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.engines.geometry.measure import to_mm
from pourwright.engines.paper.drawing import Drawn
from pourwright.engines.paper.painted import Mark, Paint, Panel, painted_views
from pourwright.steps.inspect_solid import TOP_SHARE

VERSION = 1

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

_PART = "#e6e2d6"
_LOWER, _LID, _BAR, _AIR = 1, 2, 3, 4
_PAINTS = {
    _LOWER: Paint(
        colour="#d9822b", words="holds silicone of the lower half, which must stretch or bend out", stripes=1
    ),
    _LID: Paint(colour="#9a5fb4", words="holds silicone of the lid, which must stretch or bend out", stripes=-1),
    _BAR: Paint(
        colour="#b3261e", words="a bar of silicone would run right through here: it cannot come out", stripes=2
    ),
    _AIR: Paint(colour="#3f8fd2", words="air stays here as the part fills, level, this way up"),
}
_MOST_MARKS = 4
_THIN_COLOUR, _AIR_COLOUR, _HELD_COLOUR = "#1b6b3a", "#1d5f99", "#7a2d12"


def draw_inspection(solid: ImportedSolid, found: Inspection, *, width: int = 620, report: Report = silent) -> bytes:
    """The part from above at one side and from below at the other, as SVG; it stands as it is pulled.

    Parameters
    ----------
    solid : as it was read.
    found : what inspection says of it.
    width : pixels of each view.
    """
    report(0.0, "drawing what holds and where air stays")
    scene = _Scene(solid, found)
    panels = (
        replace(scene.panel(0.0, "above"), title="from above", arrow="pull"),
        replace(scene.panel(180.0, "below"), title="from the other side, below"),
    )
    drawn = painted_views(
        panels,
        _PAINTS,
        heading=_heading(found),
        notes=_notes(found),
        line_words=f"parting line, {to_mm(found.pull.parting_height):.2f} mm up",
        width=width,
    )
    report(1.0, "drawn")
    return drawn


class _Scene:
    """The part turned so that the pull points up, and what is known of each place on it."""

    def __init__(self, solid: ImportedSolid, found: Inspection) -> None:
        from pourwright.engines.geometry.air.dexels import scan

        self._found, self._solid = found, solid
        self._mesh = solid.vertices_mm, solid.triangles
        self._columns = scan(*self._mesh, direction=found.pull.direction, columns=256)
        self._frame = self._columns.frame
        self._parting = self._columns.span_mm[0] + to_mm(found.pull.parting_height)

    def panel(self, turn_deg: float, view: str) -> Panel:
        """One view, the part turned about the pull."""
        c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
        turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]) @ self._frame
        vertices, triangles = self._mesh

        def paint(places: Floats, towards: Floats) -> Codes:
            return self._codes(places @ turn, towards @ turn)

        body = Drawn(name="part", vertices=vertices @ turn.T, triangles=triangles, colour=_PART)
        marks = [replace(mark, place=_turned(turn, mark.place)) for mark in self._marks()]
        return Panel(body=body, view=view, title="", paint=paint, marks=marks, line_mm=self._parting)

    def _codes(self, places: Floats, towards: Floats) -> Codes:
        """The paint of each place on the surface, all in the mesh's own coordinates."""
        from pourwright.engines.geometry.air.air_paths import trapped_at
        from pourwright.engines.geometry.pulls.held import held_at

        step = 0.75 * max(self._columns.cell_mm)
        codes = np.asarray(held_at(self._columns, self._parting, places + step * towards))
        up = np.array(self._found.air.up)
        ends = up @ np.array(self._found.pull.direction) * np.array(self._columns.span_mm)
        height = float(np.ptp(ends))
        caught = trapped_at(
            *self._mesh,
            places - step * towards,
            up=self._found.air.up,
            open_level=float(ends.max()) - TOP_SHARE * height,
        )
        return np.where((codes == 0) & caught, _AIR, codes)

    def _marks(self) -> list[Mark]:
        found = self._found
        marks = [
            Mark(place=self._in_mesh(piece.place), text=letter, colour=_HELD_COLOUR)
            for piece, letter in zip(found.held[:_MOST_MARKS], "ABCD", strict=False)
        ]
        for number, trap in enumerate(found.air.traps[:_MOST_MARKS], start=1):
            marks.append(Mark(place=self._in_mesh(trap.place), text=str(number), colour=_AIR_COLOUR))
        return [*marks, Mark(place=self._in_mesh(found.thinnest_at), text="t", colour=_THIN_COLOUR)]

    def _in_mesh(self, place: Point) -> Point:
        x, y, z = (to_mm(length) + move for length, move in zip(place, self._solid.placing, strict=True))
        return (x, y, z)


def _turned(turn: Floats, place: Sequence[float]) -> Point:
    x, y, z = turn @ np.asarray(place)
    return (float(x), float(y), float(z))


# ---------------------------------------------------------------- words


def _heading(found: Inspection) -> str:
    verdict = found.verdict
    return f"{'Opens' if verdict.opens else 'Does not open; least bad'}: {verdict.scheme}"


def _notes(found: Inspection) -> list[str]:
    edge = ", a knife edge" if found.knife_edge else ""
    notes = [f"t: thinnest wall, {to_mm(found.thinnest):.2f} mm{edge}"]
    for piece, letter in zip(found.held[:_MOST_MARKS], "ABCD", strict=False):
        through = "runs through" if piece.runs_through else f"{to_mm(piece.depth):.1f} mm deep"
        notes.append(f"{letter}: {piece.volume * 1e9:.4g} mm³ of the {piece.half}, {through}")
    for number, trap in enumerate(found.air.traps[:_MOST_MARKS], start=1):
        notes.append(f"{number}: {trap.volume * 1e9:.4g} mm³ of air, {to_mm(trap.depth):.2f} mm deep")
    notes.append("a dashed mark lies behind or inside what is seen")
    if found.air.up != found.pull.direction:
        notes.append("air: the part turned over, since it traps less so")
    return notes
