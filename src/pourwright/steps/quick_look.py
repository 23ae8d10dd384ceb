"""A mould as a person may watch it while a dimension changes: surfaces, volumes, quick checks; nothing is proven here.

Volumes and surfaces are those of the whole mould, found from pieces that are alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.checks.check import judge_all
from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.domain.check_result import CheckResult
from pourwright.engines.geometry.kernels.analytic import revolved_volume_mm3
from pourwright.engines.geometry.repeats.enclosing import Corners
from pourwright.engines.geometry.repeats.surfaces import Surface, Surfaces
from pourwright.engines.geometry.tree import Box, Node, Revolve
from pourwright.steps.make_kit import kit_facts
from pourwright.steps.planning.plan_mould import MouldPlan
from pourwright.steps.studies.study_cell import CellStudy, outline_study

# What a quick look cannot know: the area of contact takes a boolean of both halves.
_ONLY_PROVEN = ("silicone on silicone",)
_UPRIGHT = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class Seen:
    """A thing to draw: its surfaces, each in its own places, and all of that at `places_mm` (x, y, z, turn in degrees).

    `whole` is false where the surfaces are those of what it is made of, some inside others.
    """

    name: str
    role: str
    surfaces: tuple[Surface, ...]
    places_mm: tuple[tuple[float, float, float, float], ...] = (_UPRIGHT,)
    whole: bool = True


@dataclass(frozen=True, kw_only=True)
class QuickLook:
    """What is drawn, and what it measures: `figures` by key with unit, as in the answer of a kit."""

    seen: tuple[Seen, ...]
    figures: dict[str, Any] = field(default_factory=dict)
    checks: tuple[CheckResult, ...] = ()


def look_at_mould(plan: MouldPlan, surfaces: Surfaces, *, report: Report = silent) -> QuickLook:
    """Patterns, halves and cavity with their volumes: what a changing dimension changes.

    Parameters
    ----------
    plan : the mould.
    surfaces : over a mesh kernel with corrected radii; what it remembers is not made again.
    """
    design = plan.design
    volumes = _volumes_mm3(design, surfaces, span(report, 0.0, 0.6))
    seen = [_seen(piece, surfaces, report) for piece in design.pieces if piece.role == "pattern"]
    seen.append(Seen(name="lower half", role="lower half", surfaces=surfaces.surfaces(design.lower, report=report)))
    if design.closing_is_silicone:
        seen.append(Seen(name="lid", role="lid", surfaces=surfaces.surfaces(design.closing, report=report)))
    seen.append(_cavity(design, surfaces, span(report, 0.8, 1.0)))
    report(1.0, "drawn")
    return QuickLook(seen=tuple(seen), figures={**_plain_figures(plan), **volumes})


def look_at_pieces(plan: MouldPlan, surfaces: Surfaces, *, report: Report = silent) -> QuickLook:
    """Every other piece, and the checks that need no proof."""
    design, pieces = plan.design, plan.design.pieces
    seen = []
    for index, piece in enumerate(pieces):
        report(index / len(pieces), f"drawing the {piece.name}")
        seen.append(_seen(piece, surfaces, report))
    sizes = {
        one.name: _size_mm(one.surfaces, surfaces.enclosing(piece.solid, swell=1.0))
        for one, piece in zip(seen, pieces, strict=True)
    }
    study = outline_study(design) if design.cell_outline is not None else CellStudy()
    displaced = _displaced_mm3(design, surfaces, report)
    facts = kit_facts(plan, study, sizes, release_mm2=0.0, measured={"pattern_displaced_mm3": displaced})
    unknown = _ONLY_PROVEN if design.closing_is_silicone else ()
    checks = tuple(check for check in judge_all(facts) if check.name not in unknown)
    report(1.0, "pieces drawn")
    others = tuple(one for one in seen if one.role != "pattern")
    return QuickLook(seen=others, figures={"pieces": _piece_figures(design, surfaces, sizes)}, checks=checks)


def _seen(piece: Piece, surfaces: Surfaces, report: Report) -> Seen:
    drawn = surfaces.surfaces(piece.solid, report=report)
    return Seen(name=piece.name, role=piece.role, surfaces=drawn, places_mm=piece.places_mm)


def _cavity(design: MouldDesign, surfaces: Surfaces, report: Report) -> Seen:
    """What the closed mould leaves empty: parts, vents and wells, which reach into each other.

    The cavity itself is made only where something of them might lie outside the box.
    """
    parts = design.parts if design.cored is None else design.cored.rubber
    wanted = parts if design.formers_second is None else parts | design.formers_second
    within = _holds(surfaces.enclosing(design.interior), surfaces.enclosing(wanted))
    drawn = surfaces.members(wanted, report=report) if within else surfaces.surfaces(design.resin, report=report)
    return Seen(name="cavity", role="cavity", surfaces=drawn, whole=not within)


def _holds(outer: tuple[Sequence[float], Sequence[float]], inner: tuple[Sequence[float], Sequence[float]]) -> bool:
    low_fits = all(a <= b for a, b in zip(outer[0], inner[0], strict=True))
    return low_fits and all(a >= b for a, b in zip(outer[1], inner[1], strict=True))


def _volumes_mm3(design: MouldDesign, surfaces: Surfaces, report: Report) -> dict[str, float]:
    """By I1 the cavity is what the halves leave of the interior, so that it needs no boolean of its own."""
    interior = _volume_mm3(design.interior, surfaces, report)
    lower = surfaces.volume(design.lower, report=report)
    report(0.5, "closing the mould")
    closing = surfaces.volume(design.closing, report=report)
    found = {name: 0.0 if node is None else surfaces.volume(node, report=report) for name, node in _voids(design)}
    cavity = interior - lower - closing
    if design.cored is not None:  # by K3 what resin fills is the rubber, with vents and wells
        cavity = surfaces.volume(design.cored.rubber, report=report) + math.fsum(found.values())
    return {
        "part_mm3": _volume_mm3(design.part, surfaces, report),
        "cavity_mm3": cavity,
        "silicone_lower_mm3": lower,
        "silicone_lid_mm3": closing if design.closing_is_silicone else 0.0,
        **found,
    }


def _voids(design: MouldDesign) -> tuple[tuple[str, Node | None], ...]:
    return ("vents_mm3", design.vents), ("wells_mm3", design.wells)


def _volume_mm3(node: Node, surfaces: Surfaces, report: Report) -> float:
    """By formula where there is one."""
    if isinstance(node, Box):
        return (node.x1_mm - node.x0_mm) * (node.y1_mm - node.y0_mm) * (node.z1_mm - node.z0_mm)
    return revolved_volume_mm3(node.outline) if isinstance(node, Revolve) else surfaces.volume(node, report=report)


def _displaced_mm3(design: MouldDesign, surfaces: Surfaces, report: Report) -> float:
    """Silicone that one pattern pushes away in the first pour: what the lower half lacks, less its formers."""
    formers = 0.0 if design.formers_first is None else surfaces.volume(design.formers_first, report=report)
    if design.hollow is not None:  # the base closes it: no silicone is in it either
        formers -= design.cavities * surfaces.volume(design.hollow, report=report)
    below = _volume_mm3(design.interior_below, surfaces, report)
    return (below - surfaces.volume(design.lower, report=report) - formers) / design.cavities


def _plain_figures(plan: MouldPlan) -> dict[str, Any]:
    design = plan.design
    return {
        "style": design.style,
        "style_reason": plan.choice.reason,
        "cavities": design.cavities,
        "scale": design.scale,
        "box_inside_mm": list(design.box_inside_mm),
        "box_outside_mm": list(design.box_outside_mm),
    }


def _piece_figures(
    design: MouldDesign, surfaces: Surfaces, sizes: dict[str, tuple[float, float, float]]
) -> list[dict[str, Any]]:
    return [
        {
            "name": piece.name,
            "role": piece.role,
            "count": len(piece.places_mm),
            "volume_mm3": surfaces.volume(piece.solid),
            "size_mm": [round(length, 3) for length in sizes[piece.name]],
        }
        for piece in design.pieces
    ]


def _size_mm(surfaces: Sequence[Surface], within: Corners) -> tuple[float, float, float]:
    """Of what is drawn, but never beyond the true solid: circles are drawn a little too wide."""
    corners = []
    for one in surfaces:
        used = one.vertices_mm[np.unique(one.triangles)].astype(np.float64)
        places = np.array([(x, y, 0.0) for x, y in one.places_mm])
        corners += [used.min(axis=0) + places, used.max(axis=0) + places]
    every = np.vstack(corners)
    low = np.maximum(every.min(axis=0), within[0])
    x, y, z = (np.minimum(every.max(axis=0), within[1]) - low).tolist()
    return x, y, z
