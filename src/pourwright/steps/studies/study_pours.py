"""Look at each pour of silicone as it rises round one pattern: where air stays, which bores it has to fill."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pourwright.basics.errors import InputError
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.stand.facts import Widths
from pourwright.domain.material import Material
from pourwright.domain.silicone_pour import BoreToFill, Pocket, PourAir
from pourwright.engines.geometry.air.air_map import DEEP_MM, LEAST_POCKET_MM3
from pourwright.engines.geometry.air.air_paths import TILTS_DEG, TrapReport, trapped
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.measure import to_m, to_m3
from pourwright.engines.geometry.probes.holes import Hole, round_hole, upright_holes
from pourwright.engines.geometry.tree import Box, Node
from pourwright.engines.process.bores import SLUG_SHARE, blind_slug_time, open_slug_time

_COLUMNS = 192
_ROUND_MM = 4.0  # of silicone looked at beside a pattern: air that has come out so far rises freely
_LEANS_DEG = (10.0, 20.0)
_SIDES = 4
_MOST_POCKETS = 6
_LET_OUT = 0.2  # of the air that may stay for a lean to be worth the trouble (judgement)
_WIDEST_MM = 40.0  # a wider bore fills as the pour rises


@dataclass(frozen=True, kw_only=True)
class PourStudy:
    """What was found: air in each pour of silicone, and (pour, hole) of every bore."""

    air: tuple[PourAir, ...] = ()
    holes: tuple[tuple[int, Hole], ...] = ()


@dataclass(frozen=True, kw_only=True)
class _Pour:
    """One pour in the mould's frame: what is filled, which way is up, the fill line along that."""

    number: int
    part: Node
    up: tuple[float, float, float]
    fill_mm: float


def study_pours(design: MouldDesign, evaluator: Evaluator, *, undercut_mm3: float | None) -> PourStudy:
    """Air that stays and bores that must fill, in every pour of silicone round one pattern.

    Parameters
    ----------
    design : the mould.
    evaluator : a mesh kernel.
    undercut_mm3 : of one cell: air can only stay where silicone lies over the part along the pull.
    """
    may_hold = undercut_mm3 is None or undercut_mm3 > LEAST_POCKET_MM3
    air: list[PourAir] = []
    holes = list(outline_holes(design))
    bored = design.cell_outline is None and design.cored is None
    for pour in _pours(design) if may_hold or bored else ():
        space = evaluator.mesh(_space(design, pour, evaluator))
        if may_hold:
            air.append(_air(design, pour, space))
        if bored:
            holes += [(pour.number, hole) for hole in upright_holes(*space, up=pour.up)]
    return PourStudy(air=tuple(one for one in air if one.pockets), holes=tuple(holes))


def outline_holes(design: MouldDesign) -> Iterator[tuple[int, Hole]]:
    """The bore of a body of revolution, in each pour that meets it; none where a rod or a print fills it."""
    if design.cell_outline is None or design.cored is not None or not design.figures.get("slug_diameter_mm"):
        return
    widths = Widths(design.cell_outline)
    for pour in _pours(design):
        low, high = (-widths.low_mm, 0.0) if pour.number == 1 else (0.0, widths.high_mm)
        hole = round_hole(
            lambda h, up=pour.up: widths.inner(up[2] * h),  # type: ignore[misc]
            floor_mm=min(low, high),
            mouth_mm=max(low, high),
        )
        if hole is not None:
            yield pour.number, hole


def _pours(design: MouldDesign) -> Iterator[_Pour]:
    yield _Pour(number=1, part=design.interior_below, up=(0.0, 0.0, -1.0), fill_mm=-design.fill_lower_mm)
    if design.closing_is_silicone:
        above = design.interior_above
        if design.hollow is not None:
            above = above | design.hollow.at(*design.centres_mm[0])
        yield _Pour(number=2, part=above, up=(0.0, 0.0, 1.0), fill_mm=design.fill_upper_mm)


def _space(design: MouldDesign, pour: _Pour, evaluator: Evaluator) -> Node:
    """What silicone fills round one pattern, seen from its own middle; nothing else in the box has a ceiling there."""
    cell = _pattern(design, pour)
    low, high = evaluator.bounds(cell)
    x, y = design.centres_mm[0]
    near = Box(
        float(low[0]) - _ROUND_MM,
        float(low[1]) - _ROUND_MM,
        design.fill_lower_mm - 1.0,
        float(high[0]) + _ROUND_MM,
        float(high[1]) + _ROUND_MM,
        design.fill_upper_mm + 1.0,
    )
    return (near & pour.part.at(-x, -y)) - cell


def _pattern(design: MouldDesign, pour: _Pour) -> Node:
    if design.cored is not None:
        return design.cored.silicone_cell
    if pour.number == 1 and design.hollow is not None:
        return design.cell_below
    return design.cell if design.cell is not None else design.part


# ---------------------------------------------------------------- air under ledges


def _air(design: MouldDesign, pour: _Pour, space: Mesh) -> PourAir:
    round_about = design.cell_outline is not None and design.up == (0.0, 0.0, 1.0)
    found = _looked(pour, space, TILTS_DEG, 1 if round_about else _SIDES)
    worst = max(found.per_tilt, key=lambda pose: pose.volume_mm3)
    pockets = [trap for trap in found.traps if trap.volume_mm3 > LEAST_POCKET_MM3 and trap.depth_mm > DEEP_MM]
    return PourAir(
        pour=pour.number,
        level=to_m3(found.level_mm3),
        worst=to_m3(found.worst_mm3),
        worst_tilt=math.radians(worst.tilt_deg),
        pockets=tuple(
            Pocket(
                volume=to_m3(trap.volume_mm3),
                depth=to_m(trap.depth_mm),
                at=(to_m(trap.peak_mm[0]), to_m(trap.peak_mm[1]), to_m(trap.peak_mm[2])),
            )
            for trap in pockets[:_MOST_POCKETS]
        ),
        lean=_lean(pour, space, found.worst_mm3) if pockets else None,
        round_about=round_about,
    )


def _looked(pour: _Pour, space: Mesh, tilts_deg: tuple[float, ...], azimuths: int) -> TrapReport:
    return trapped(
        *space, up=pour.up, open_level=pour.fill_mm, columns=_COLUMNS, tilts_deg=tilts_deg, azimuths=azimuths
    )


def _lean(pour: _Pour, space: Mesh, worst_mm3: float) -> tuple[float, float] | None:
    """The least lean at which most of the air finds a way out."""
    for tilt in _LEANS_DEG:
        best = _looked(pour, space, (tilt,), _SIDES).best_tilt
        if best.volume_mm3 <= _LET_OUT * worst_mm3:
            # Azimuths are counted in the frame of the scan, which is turned over in the first pour.
            x, y = _towards(pour, best.tilt_deg, best.azimuth_deg)
            return math.radians(tilt), math.atan2(y, x) % (2 * math.pi)
    return None


def _towards(pour: _Pour, tilt_deg: float, azimuth_deg: float) -> tuple[float, float]:
    """The side that is raised, in the mould's axes: that which the upward direction leans to."""
    from pourwright.engines.geometry.air.air_paths import tilted

    x, y, _ = tilted(pour.up, tilt_deg, azimuth_deg)
    return round(x, 9) + 0.0, round(y, 9) + 0.0


# ---------------------------------------------------------------- bores


def bores_to_fill(study: PourStudy, silicone: Material, cavities: int) -> tuple[BoreToFill, ...]:
    """Every bore with the time in which this silicone fills it by itself.

    Parameters
    ----------
    study : of one cell.
    silicone : with viscosity, density and pot life.
    cavities : of the mould.
    """
    limit = SLUG_SHARE * silicone.best("pot_life")
    return tuple(
        BoreToFill(
            pour=pour,
            at=(to_m(hole.x_mm), to_m(hole.y_mm)),
            diameter=to_m(hole.narrow_mm),
            depth=to_m(hole.depth_mm),
            volume=to_m3(hole.volume_mm3),
            count=cavities,
            time=fill_time(hole, silicone),
            limit=limit,
        )
        for pour, hole in study.holes
        if hole.narrow_mm < _WIDEST_MM
    )


def fill_time(hole: Hole, silicone: Material) -> float:
    """Seconds in which silicone poured over a hole fills it by itself; infinite where the air never comes up."""
    viscosity, density = silicone.best("mixed_viscosity"), silicone.best("density")
    shape = {"length": to_m(hole.even_mm), "diameter": to_m(hole.narrow_mm)}
    if hole.open_below:
        return open_slug_time(viscosity=viscosity, density=density, **shape)
    try:
        return blind_slug_time(viscosity=viscosity, density=density, **shape)
    except InputError:  # wide and thin: it runs in at once
        return 0.0
