"""Where a mould needs vents: the fewest that let the air out, level and leaning a little."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pourwright.basics.errors import CannotBuild
from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.hollows.vents import Lean, Vent, Venting, seat_at
from pourwright.catalogue.moulds.stand.facts import Widths
from pourwright.engines.geometry.air.air_map import AirMap, Left
from pourwright.engines.geometry.air.air_paths import TILTS_DEG, Point, Trap, trapped
from pourwright.engines.geometry.air.vent_search import fewest_on_rings, fewest_vents, outlets
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.kernels.protocol import Mesh
from pourwright.engines.geometry.probes.seats import Room, fine_columns
from pourwright.engines.geometry.tree import Node

_COLUMNS = 128
_RING_STEP_MM = 0.25
_NEAR_MM = 10.0  # a vent from the peak that it is for
_SOLID_APART_MM = 8.5  # vents of a part that is not round: each has a well of its own
_LEAST_SEAT_MM = 1.5
_UNDER_PARTING_MM = 0.2  # a vent leaves the part at the parting or above it: below it lies the lower half
_MOST_POCKETS = 8  # told of
_LEVEL = (0.0,)
_FACE_MM = 0.1  # a vent in a cover stands on so much of the flat face


@dataclass(frozen=True, kw_only=True)
class AirStudy:
    """Air that stays in one cavity, mm3: level, at the worst small tilt, and with the tilt that is meant.

    `beyond_mm3` is what, at the worst tilt, no vent can reach: air under ceilings below the parting.
    `per_tilt` holds (tilt deg, azimuth deg, mm3); `pockets` are those of the worst tilt, largest first.
    `lean` is how the mould is meant to lean; the tilts are then that lean and those close to it.
    """

    level_mm3: float
    worst_mm3: float
    worst_tilt: tuple[float, float]
    per_tilt: tuple[tuple[float, float, float], ...]
    pockets: tuple[Trap, ...]
    limit_mm3: float
    beyond_mm3: float
    lean: Lean | None = None

    @property
    def ok(self) -> bool:
        """No tilt leaves more than the limit."""
        return self.worst_mm3 <= self.limit_mm3

    @property
    def level_within_deg(self) -> float:
        """How far it may lean, whichever way, before more than the limit stays; between tilts looked at, in a line."""
        before = (0.0, self.level_mm3)
        for tilt in sorted({at for at, _, _ in self.per_tilt if at > 0}):
            most = max(volume for at, _, volume in self.per_tilt if at == tilt)
            if most > self.limit_mm3:
                share = (self.limit_mm3 - before[1]) / (most - before[1]) if most > before[1] else 0.0
                return before[0] + max(0.0, share) * (tilt - before[0])
            before = (tilt, most)
        return before[0]


@dataclass(frozen=True, kw_only=True)
class FoundVents:
    """The vents of one cell and the air that they leave."""

    vents: tuple[Vent, ...]
    air: AirStudy


def place_vents(
    design: MouldDesign, evaluator: Evaluator, *, share: float, lean: Lean | None = None, report: Report = silent
) -> FoundVents:
    """The fewest vents of one cell that leave no more than a share of the part at any small tilt.

    Parameters
    ----------
    design : a mould with the vents of its style's rule; it says where others could stand.
    evaluator : a mesh kernel.
    share : of the part, air that may stay.
    lean : how the mould leans while its air leaves; None: it stands level, and tilts by a few degrees unmeant.

    Raises
    ------
    CannotBuild
        A style without vents.

    Notes
    -----
    Where the share cannot be reached, vents are added only while each saves a twentieth of what is over it.
    """
    return _answered(_Question(design, evaluator, share, report, lean))


def study_air(
    design: MouldDesign,
    evaluator: Evaluator,
    *,
    share: float,
    tilts_deg: Sequence[float] = TILTS_DEG,
    lean: Lean | None = None,
    report: Report = silent,
) -> AirStudy:
    """Air that stays in one cavity with the vents that the mould has.

    Parameters
    ----------
    design, evaluator, share, lean : as for `place_vents`.
    tilts_deg : deg, tilts to look at; (0,) answers at once.
    """
    if design.venting is None:
        return _as_drawn(design, evaluator, share=share, tilts_deg=tilts_deg, report=report)
    question = _Question(design, evaluator, share, report, lean)
    return question.study(question.air(tilts_deg), question.first)


def _as_drawn(
    design: MouldDesign, evaluator: Evaluator, *, share: float, tilts_deg: Sequence[float], report: Report
) -> AirStudy:
    """A mould whose outlets are where its style needs them: an open mouth, or channels in the parting."""
    found = trapped(
        *evaluator.mesh(_filled(design)),
        up=design.up,
        vents=_outlets_of_one(design),
        columns=_COLUMNS,
        open_level=0.0 if design.mouth_is_open else None,
        tilts_deg=tilts_deg,
        report=report,
    )
    worst = max(found.per_tilt, key=lambda tilt: tilt.volume_mm3)
    return AirStudy(
        level_mm3=found.level_mm3,
        worst_mm3=found.worst_mm3,
        worst_tilt=(worst.tilt_deg, worst.azimuth_deg),
        per_tilt=tuple((tilt.tilt_deg, tilt.azimuth_deg, tilt.volume_mm3) for tilt in found.per_tilt),
        pockets=found.traps[:_MOST_POCKETS],
        limit_mm3=share * design.figures["part_volume_mm3"],
        beyond_mm3=found.worst_mm3,
    )


def _outlets_of_one(design: MouldDesign) -> list[Point]:
    """The outlets of the first cell, seen from its own middle."""
    centres = np.array(design.centres_mm)
    found = []
    for x, y, z in design.vent_points_mm:
        nearest = int(np.argmin(np.hypot(centres[:, 0] - x, centres[:, 1] - y)))
        if nearest == 0:
            found.append((x - float(centres[0, 0]), y - float(centres[0, 1]), z))
    return found


def _filled(design: MouldDesign) -> Node:
    """What resin fills of one cell."""
    if design.cored is not None:
        return design.cored.one_rubber
    return design.cell if design.cell is not None else design.part


class _Question:
    """One cell and what its vents must keep to; equal questions have equal answers, so that they are asked once."""

    def __init__(
        self, design: MouldDesign, evaluator: Evaluator, share: float, report: Report, lean: Lean | None = None
    ) -> None:
        if design.venting is None:
            raise CannotBuild(f"a mould of the style {design.style} has no vents", advice="take another style")
        self.venting = design.venting
        self.cell = _filled(design)
        self.outline = design.venting.outline
        self.first = self.venting.vents.places
        self.limit_mm3 = share * design.figures["part_volume_mm3"]
        self.evaluator, self.report, self.lean = evaluator, report, lean
        self.ground = design.ground
        self._key = (evaluator.kernel.name, self.cell.key, self.venting, self.limit_mm3, lean, self.ground)

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Question) and self._key == other._key

    def mesh(self) -> Mesh:
        return self.evaluator.mesh(self.cell)

    def air(self, tilts_deg: Sequence[float] = TILTS_DEG) -> AirMap:
        """The cavity at every tilt that counts; (0,) is the level mould, however it is meant to lean."""
        leaned = self.lean is not None and tuple(tilts_deg) != _LEVEL
        return AirMap(
            *self.mesh(),
            columns=_COLUMNS,
            tilts_deg=tilts_deg,
            poses=self.lean.poses() if self.lean is not None and leaned else None,
            vents_above_mm=-_UNDER_PARTING_MM,
            parting=None if self.ground.level else self.ground.relief().heights,
            round_about_z=self.outline is not None,
            report=self.report,
        )

    def study(self, air: AirMap, vents: tuple[Vent, ...]) -> AirStudy:
        left = air.left(outlets(vents))
        worst = int(np.argmax(left.volumes_mm3))
        level = left.level_mm3 if self.lean is None else self.air(_LEVEL).left(outlets(vents)).level_mm3
        return AirStudy(
            level_mm3=level,
            worst_mm3=left.worst_mm3,
            worst_tilt=air.poses[worst],
            per_tilt=tuple((t, a, float(v)) for (t, a), v in zip(air.poses, left.volumes_mm3, strict=True)),
            pockets=tuple(air.pockets_at(worst, outlets(vents))[:_MOST_POCKETS]),
            limit_mm3=self.limit_mm3,
            beyond_mm3=float(left.beyond_mm3.max()),
            lean=self.lean,
        )


@lru_cache(maxsize=64)
def _answered(question: _Question) -> FoundVents:
    air = question.air()
    outline = question.outline
    if question.lean is not None:
        seats = _seats(question) if outline is None else _seats_on_rings(question, Widths(outline))
        vents = tuple(_fewest(question, air, seats)) or question.first
        return FoundVents(vents=vents, air=question.study(air, vents))
    found = tuple(_solid(question, air) if outline is None else _round(question, air, Widths(outline)))
    vents = _better(air, question, found)
    return FoundVents(vents=vents, air=question.study(air, vents))


def _better(air: AirMap, question: _Question, found: tuple[Vent, ...]) -> tuple[Vent, ...]:
    """What was found, unless the rule does as well with as few."""
    if not found:
        return question.first
    by_rule, sought = (_over(air.left(outlets(vents)), question) for vents in (question.first, found))
    as_few = len(question.first) <= len(found)
    return question.first if as_few and by_rule <= sought else found


def _over(left: Left, question: _Question) -> float:
    return left.over(question.limit_mm3)


def _round(question: _Question, air: AirMap, widths: Widths) -> list[Vent]:
    """Rings of vents: the first as the rule has it, more of them where the part has other high places."""
    venting, low = question.venting, widths.low_mm

    def ring_of(radius_mm: float, count: int) -> tuple[Vent, ...]:
        return venting.on_ring(widths, low, radius_mm, count)

    first = math.hypot(*venting.vents.points_mm[0])
    return fewest_on_rings(
        air,
        ring_of,
        first_mm=first if first > 1e-6 else 0.0,
        radii_mm=_roomy_radii(venting, widths),
        counts=venting.counts,
        limit_mm3=question.limit_mm3,
        apart_mm=venting.apart_mm,
        gain=sizes.VENT_GAIN,
        most=sizes.MOST_VENTS,
    )


def _roomy_radii(venting: Venting, widths: Widths) -> list[float]:
    widest = float(widths.points[:, 0].max())
    radii = np.arange(1, int(widest / _RING_STEP_MM)) * _RING_STEP_MM
    radius, seat, foot = venting.vents.radius_mm, venting.seat_mm, venting.foot_mm
    return [
        float(r)
        for r in radii
        if seat_at(widths, widths.low_mm, float(r), radius=radius, seat=seat, foot=foot) is not None
    ]


def _solid(question: _Question, air: AirMap) -> list[Vent]:
    """Vents near the peaks, wherever the part has room for one."""
    return _fewest(question, air, _seats(question))


def _fewest(question: _Question, air: AirMap, seats: Callable[[Point], Vent | None]) -> list[Vent]:
    return fewest_vents(
        air,
        seats,
        limit_mm3=question.limit_mm3,
        apart_mm=max(_SOLID_APART_MM, question.venting.apart_mm),
        gain=sizes.VENT_GAIN,
        most=sizes.MOST_VENTS,
        report=question.report,
    )


def _turn_between(one_deg: float, other_deg: float) -> float:
    return abs((one_deg - other_deg + 180.0) % 360.0 - 180.0)


def _seats_on_rings(question: _Question, widths: Widths) -> Callable[[Point], Vent | None]:
    """Single vents of a body of revolution: at the angle of the peak, on the nearest ring that has room."""
    venting, radii = question.venting, _roomy_radii(question.venting, widths)

    def near(peak: Point) -> Vent | None:
        if not radii:
            return None
        away, angle = math.hypot(peak[0], peak[1]), math.degrees(math.atan2(peak[1], peak[0]))
        if question.lean is not None and _turn_between(angle, question.lean.towards_deg) < 2 * sizes.LEAN_ASIDE_DEG:
            angle = question.lean.towards_deg  # the peaks of a lean that is a little off are vented from there too
        radius = min(radii, key=lambda r: (abs(r - away), r))
        return venting.alone_at(widths, widths.low_mm, radius, angle)

    return near


def _seats(question: _Question) -> Callable[[Point], Vent | None]:
    venting = question.venting
    mesh = question.mesh()
    room = Room(*mesh, columns=fine_columns(mesh[0])) if venting.seat_mm == 0.0 else Room(*mesh)

    def near(peak: Point) -> Vent | None:
        foot = venting.foot_mm
        if venting.seat_mm == 0.0:
            foot = -_FACE_MM
        elif foot is None:
            foot = round(peak[2], 6) - venting.seat_mm  # peaks of one face at many tilts: rods of one length
        seat = room.highest(
            foot_mm=foot,
            around_mm=venting.around_mm,
            near=(peak[0], peak[1]),
            within_mm=_NEAR_MM,
            least_mm=_FACE_MM / 2 if venting.seat_mm == 0.0 else _LEAST_SEAT_MM,
            clear_of=venting.clear_of_mm,
            clear_mm=venting.clear_mm,
        )
        if seat is None:
            return None
        if seat.inside_mm < question.ground.height_mm(seat.x_mm, seat.y_mm) - _UNDER_PARTING_MM:
            return None
        start = seat.inside_mm if venting.seat_mm == 0.0 else foot
        return Vent(x_mm=seat.x_mm, y_mm=seat.y_mm, start_mm=start, inside_mm=seat.inside_mm, top_mm=seat.top_mm)

    return near
