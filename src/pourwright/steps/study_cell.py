"""Look closely at one cavity as it stands in the mould: lips, stretch, undercut, air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.lips import LID, LOWER, Lip, outline_lips
from pourwright.engines.geometry.tree import Node

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_COLUMNS = 256
_SLICES = 200


@dataclass(frozen=True, kw_only=True)
class CellStudy:
    """What was found, mm, for one cavity; `worst_trapped_mm3` is over small tilts in every direction."""

    lips: tuple[Lip, ...] = ()
    stretch: Mapping[str, float | None] = field(default_factory=dict)
    undercut_mm3: float | None = None
    trapped_mm3: float | None = None
    worst_trapped_mm3: float | None = None


def study_cell(design: MouldDesign, evaluator: Evaluator, *, report: Report = silent) -> CellStudy:
    """Lips, stretch, undercut and trapped air of one cavity.

    Parameters
    ----------
    design : the mould.
    evaluator : a mesh kernel.
    """
    vertices, triangles = evaluator.mesh(_poured_around(design), report=span(report, 0.0, 0.2))
    whole = (vertices, triangles) if design.pulled is None else evaluator.mesh(design.pulled)
    lips = _lips(design, *whole)
    report(0.3, "measuring undercuts")
    pulled = _pull(design, *whole)
    report(0.5, "looking for air")
    filled = (vertices, triangles) if design.cored is None else evaluator.mesh(design.cored.one_rubber)
    air = _air(design, *filled, span(report, 0.5, 1.0))
    return replace(pulled, lips=lips, trapped_mm3=air[0], worst_trapped_mm3=air[1])


def outline_study(design: MouldDesign) -> CellStudy:
    """What the outline of a body of revolution tells without a mesh: its lips."""
    nothing = np.empty((0, 3))
    return CellStudy(lips=_lips(design, nothing, nothing.astype(np.int64)))


def _poured_around(design: MouldDesign) -> Node:
    """One cell as the silicone sees it; under a rigid cover only what lies below the parting."""
    if design.cored is not None:
        return design.cored.silicone_cell
    return design.cell if design.cell is not None else design.part


def _lips(design: MouldDesign, vertices: Floats, triangles: Ints) -> tuple[Lip, ...]:
    depths: dict[str, Any] = {"depth_below_mm": -design.fill_lower_mm, "depth_above_mm": design.fill_upper_mm}
    if design.cell_outline is not None:
        found = outline_lips(design.cell_outline, 0.0, **depths)
    else:
        from pourwright.engines.geometry.mesh_lips import mesh_lips

        found = mesh_lips(vertices, triangles, 0.0, **depths)
    # A rigid cover has no lip that could tear.
    wanted = (LOWER, LID) if design.closing_is_silicone else (LOWER,)
    return tuple(lip for lip in found if lip.half in wanted)


def _pull(design: MouldDesign, vertices: Floats, triangles: Ints) -> CellStudy:
    from pourwright.engines.geometry.pull import pull_report

    report = pull_report(vertices, triangles, columns=_COLUMNS, slices=_SLICES)
    if not design.closing_is_silicone:
        lower, undercut = float(report.stretch_low[-2]), float(report.u_low_mm3[-1])
        return CellStudy(stretch={"lower": lower, "lid": None}, undercut_mm3=undercut)
    here = report.at(0.0)
    lower, lid = float(report.stretch_low[here]), float(report.stretch_up[here])
    return CellStudy(stretch={"lower": lower, "lid": lid}, undercut_mm3=float(report.u_mm3[here]))


def _air(design: MouldDesign, vertices: Floats, triangles: Ints, report: Report) -> tuple[float, float]:
    """Air left in one cavity with its vents, level and at the worst tilt."""
    from pourwright.engines.geometry.air_paths import trapped

    found = trapped(
        vertices,
        triangles,
        up=design.up,
        vents=_vents_of_one(design),
        columns=_COLUMNS // 2,
        open_level=0.0 if design.mouth_is_open else None,
        report=report,
    )
    return found.level_mm3, found.worst_mm3


def _vents_of_one(design: MouldDesign) -> list[tuple[float, float, float]]:
    """The vent points of the first cell, seen from its own middle."""
    centres = np.array(design.centres_mm)
    found = []
    for x, y, z in design.vent_points_mm:
        nearest = int(np.argmin(np.hypot(centres[:, 0] - x, centres[:, 1] - y)))
        if nearest == 0:
            found.append((x - float(centres[0, 0]), y - float(centres[0, 1]), z))
    return found
