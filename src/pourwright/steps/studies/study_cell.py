"""Look closely at one cavity as it stands in the mould: lips, stretch, undercut, air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.partings.lips import LID, LOWER, Lip, outline_lips
from pourwright.engines.geometry.pulls.held import Held
from pourwright.engines.geometry.tree import Node
from pourwright.steps.planning.place_vents import AirStudy, study_air
from pourwright.steps.studies.study_pours import PourStudy, study_pours

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_COLUMNS = 256
_SLICES = 200


@dataclass(frozen=True, kw_only=True)
class CellStudy:
    """What was found, mm, for one cavity: stretch and undercut of each half, "lower" and "lid".

    `held` is every piece of silicone behind the part; `air` over small tilts in every direction, `pours` of silicone.
    """

    lips: tuple[Lip, ...] = ()
    stretch: Mapping[str, float | None] = field(default_factory=dict)
    undercuts_mm3: Mapping[str, float | None] = field(default_factory=dict)
    held: tuple[Held, ...] = ()
    air: AirStudy | None = None
    pours: PourStudy | None = None

    @property
    def undercut_mm3(self) -> float | None:
        """Of both halves together."""
        known = [mm3 for mm3 in self.undercuts_mm3.values() if mm3 is not None]
        return sum(known) if known else None

    @property
    def trapped_mm3(self) -> float | None:
        """Air left standing level."""
        return None if self.air is None else self.air.level_mm3

    @property
    def worst_trapped_mm3(self) -> float | None:
        """Air left at the worst small tilt; None where only the level mould was looked at."""
        return None if self.air is None or len(self.air.per_tilt) < 2 else self.air.worst_mm3


def study_cell(
    design: MouldDesign, evaluator: Evaluator, *, air: AirStudy | None = None, report: Report = silent
) -> CellStudy:
    """Lips, stretch, undercut and trapped air of one cavity.

    Parameters
    ----------
    design : the mould.
    evaluator : a mesh kernel.
    air : what is known of its air; looked at here when it is not given.
    """
    vertices, triangles = evaluator.mesh(_poured_around(design), report=span(report, 0.0, 0.2))
    whole = (vertices, triangles) if design.pulled is None else evaluator.mesh(design.pulled)
    if design.hollow is not None:
        whole = evaluator.mesh(design.cell_below)
    lips = _lips(design, *whole)
    report(0.3, "measuring undercuts")
    pulled = _hung(design, evaluator, _pull(design, *whole))
    pours = study_pours(design, evaluator, undercut_mm3=pulled.undercut_mm3)
    if air is None:
        air = study_air(design, evaluator, share=sizes.TRAPPED_SHARE, report=span(report, 0.5, 1.0))
    return replace(pulled, lips=lips, air=air, pours=pours)


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
        from pourwright.engines.geometry.partings.mesh_lips import mesh_lips

        ground = design.ground
        leaning = None if ground.level else ground.square_share
        found = mesh_lips(*ground.levelled_mesh(vertices, triangles), 0.0, leaning=leaning, **depths)
    # A rigid cover has no lip that could tear.
    wanted = (LOWER, LID) if design.closing_is_silicone else (LOWER,)
    return tuple(lip for lip in found if lip.half in wanted)


def pulled_study(design: MouldDesign, evaluator: Evaluator) -> CellStudy:
    """Stretch, undercut and held silicone of one cavity, and nothing else.

    Parameters
    ----------
    design : the mould.
    evaluator : a mesh kernel.
    """
    if design.hollow is not None:
        return _hung(design, evaluator, _pull(design, *evaluator.mesh(design.cell_below)))
    return _pull(design, *evaluator.mesh(design.pulled or _poured_around(design)))


def _hung(design: MouldDesign, evaluator: Evaluator, study: CellStudy) -> CellStudy:
    """With what the hollows that the lid fills hold of it."""
    if design.hollow is None:
        return study
    from pourwright.engines.geometry.pulls.recesses import hold_of

    hold = hold_of(*evaluator.mesh(design.hollow - (design.cell or design.part)))
    lid, stretch = study.undercuts_mm3["lid"] or 0.0, study.stretch["lid"] or 1.0
    return replace(
        study,
        undercuts_mm3={**study.undercuts_mm3, "lid": lid + hold.undercut_mm3},
        stretch={**study.stretch, "lid": max(stretch, hold.stretch)},
        held=tuple(sorted((*study.held, *hold.held), key=lambda piece: -piece.volume_mm3)),
    )


def _as_it_stands(design: MouldDesign, piece: Held) -> Held:
    """A place that was found in the levelled part, where it is in the part."""
    x, y, z = piece.point_mm
    return piece if design.ground.level else replace(piece, point_mm=(x, y, z + design.ground.height_mm(x, y)))


def _pull(design: MouldDesign, vertices: Floats, triangles: Ints) -> CellStudy:
    from pourwright.engines.geometry.air.dexels import scan
    from pourwright.engines.geometry.pulls.held import held_silicone
    from pourwright.engines.geometry.pulls.pull import report_of

    vertices, triangles = design.ground.levelled_mesh(vertices, triangles)
    columns = scan(vertices, triangles, columns=_COLUMNS)
    report = report_of(vertices, triangles, columns, slices=_SLICES)
    held = tuple(_as_it_stands(design, piece) for piece in held_silicone(columns, 0.0))
    if not design.closing_is_silicone:
        return CellStudy(
            stretch={"lower": float(report.stretch_low[-2]), "lid": None},
            undercuts_mm3={"lower": float(report.u_low_mm3[-1]), "lid": None},
            held=tuple(piece for piece in held if piece.half == LOWER),
        )
    here = report.at(0.0)
    return CellStudy(
        stretch={"lower": float(report.stretch_low[here]), "lid": float(report.stretch_up[here])},
        undercuts_mm3={"lower": float(report.u_low_mm3[here]), "lid": float(report.u_up_mm3[here])},
        held=held,
    )
