"""What a mould style must know of an imported solid: which way up, where it parts, where air ends, where screws fit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from pourwright.basics.progress import Report, silent
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.hollows.lid_filled import LidFilled
from pourwright.catalogue.moulds.stand.facts import ShapedFacts, SolidFacts
from pourwright.catalogue.part_shape import PartShape
from pourwright.engines.geometry.air.dexels import scan
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.layouts.packing import convex_hull
from pourwright.engines.geometry.probes.seats import Room, Seat, fine_columns
from pourwright.engines.geometry.probes.sinks import Tops
from pourwright.steps.studies.choose_parting import LEAST_PIECE_MM
from pourwright.steps.studies.hold_shaped import hold_shaped
from pourwright.steps.studies.study_side import study_side

if TYPE_CHECKING:
    from pourwright.engines.geometry.pulls.recesses import Recess

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_COLUMNS = 192
_SLICES = 200
_FLAT_MM = 1e-3
_SAME_FLAT = 1e-3  # flat ends that differ less are alike: the parting then decides which way up
_SAME_UNDERCUT, _ROUNDING = 4e-3, 1e-3  # of the part's volume: what the grid cannot tell from nothing
_ROD_ROOM_MM = sizes.ROD_RADII_MM[0] + sizes.COVER_MM  # a 3 mm rod, and 1 mm of part around it
_THROUGH_MM = 4.1  # how deep a rod that goes through the upper piece sits in the lower one, and a tenth
_SEATS_MM = (5.0, 4.0, 3.0, 2.0)  # how deep a rod sits that ends in the upper piece
_SCREW_ROOM_MM, _SCREW_DEPTHS_MM = 2.25, (8.6, 6.6, 5.6, 4.6)
_THIN_SEAT_MM = 1.6  # in a flange of 2 mm
_RIM_MM = 0.1  # a rod so far under the face stands on no floor of a hollow
_SPARE_MM = 0.5  # of depth left under a screw
_SCREW_TO_ROD_MM = 4.0
_BREATHER_DEPTH_MM, _BREATHER_ROOM_MM, _BREATHER_TO_SCREW_MM = 5.0, 2.0, 5.0
_PAD_ROOM_MM, _PAD_OVER_MM = 1.5, 1.0
_COVER_ROOM_MM = 1.75  # a vent of 1.5 mm in a cover, and 1 mm of face around it
_MOST_VENTS, _MOST_SCREWS = 4, 2
_APART_MM, _NEAR_MM = 8.5, 10.0  # vents from each other; a vent from the pocket that it is for
_TRAP_SHARE, _TRAP_DEPTH_MM = 1e-3, 0.2  # air worth a vent of its own (judgement)


def study_solid(
    shape: PartShape, evaluator: Evaluator, *, allowed_stretch: float, report: Report = silent
) -> SolidFacts | None:
    """The facts of a solid without an outline, in the attitude that moulds best; None for a body of revolution.

    Parameters
    ----------
    shape : the part as drawn.
    evaluator : a mesh kernel.
    allowed_stretch : what the silicone stands.
    """
    if shape.outline is not None:
        return None
    report(0.0, "looking which way up")
    vertices, triangles = evaluator.mesh(shape.node)
    height = float(vertices[:, 2].max())
    flat = [_flat_area(vertices, triangles, level) for level in (0.0, height)]
    report(0.2, "looking for the parting")
    turned = flat[0] > flat[1] * (1 + _SAME_FLAT)
    study = _Study(_over(vertices, height) if turned else vertices, triangles, height, report, allowed_stretch)
    alike = not turned and flat[1] <= flat[0] * (1 + _SAME_FLAT)
    if (alike and study.parting_mm < 0.5 * height - _FLAT_MM) or study.parting_mm < LEAST_PIECE_MM:
        turned = not turned
        study = _Study(_over(vertices, height) if turned else vertices, triangles, height, report, allowed_stretch)
    found = _with_hollows(study, vertices, triangles, report)
    if found is not None:
        turned, study = found
    facts = study.facts(turned=turned, flat=flat[0] if turned else flat[1])
    report(0.9, "looking at it on its side")
    side = study_side(vertices, triangles, volume_mm3=facts.volume_mm3, allowed_stretch=allowed_stretch)
    return replace(facts, side=side)


def _with_hollows(plain: _Study, vertices: Floats, triangles: Ints, report: Report) -> tuple[bool, _Study] | None:
    """Turned over or not, parted at a face whose hollows the lid fills; None where that is no easier."""
    from pourwright.engines.geometry.pulls.recesses import find_recess

    if plain.cost[1] <= _SAME_UNDERCUT * plain.volume_mm3:
        return None
    height, best = plain.height_mm, None
    for turned in (False, True):
        corners = _over(vertices, height) if turned else vertices
        recess = find_recess(corners, triangles)
        if recess is None:
            continue
        study = _Study(corners, triangles, height, report, plain.allowed, recess)
        if best is None or study.cost < best[1].cost:
            best = turned, study
    if best is None:
        return None
    saved = plain.cost[1] - best[1].cost[1] > _SAME_UNDERCUT * plain.volume_mm3
    return best if (best[1].cost[0], not saved) < (plain.cost[0], True) else None


def _over(vertices: Floats, height: float) -> Floats:
    """Turned over about x, standing on z = 0 again."""
    turned: Floats = vertices * np.array([1.0, -1.0, -1.0]) + np.array([0.0, 0.0, height])
    return turned


class _Study:
    """One solid in one attitude."""

    def __init__(
        self,
        vertices: Floats,
        triangles: Ints,
        height: float,
        report: Report,
        allowed: float,
        recess: Recess | None = None,
    ) -> None:
        from pourwright.engines.geometry.pulls.pull import pull_report
        from pourwright.engines.geometry.pulls.recesses import filled, lid_hold, with_lid
        from pourwright.steps.studies.choose_parting import choose_parting

        self._mesh = vertices, triangles
        self.height_mm, self.allowed, self._recess = height, allowed, recess
        self.volume_mm3 = _volume(vertices, triangles)
        self._room = Room(vertices, triangles, columns=_COLUMNS)
        self._around_mm = _ROD_ROOM_MM
        self._report = report
        own = pull_report(*self._mesh, columns=_COLUMNS, slices=_SLICES)
        if recess is None:
            self._pull = own
            self.parting_mm = choose_parting(*self._mesh, self._pull, allowed_stretch=allowed)
        else:
            plugged = pull_report(*filled(*self._mesh, recess), columns=_COLUMNS, slices=_SLICES)
            self._pull = with_lid(plugged, own, lid_hold(*self._mesh, recess))
            self.parting_mm = height

    @property
    def cost(self) -> tuple[bool, float]:
        """Whether the silicone cannot bear it, and the undercut, mm3."""
        return bool(self._pull.stretch[self._pull.at(self.parting_mm)] > self.allowed + _ROUNDING), self._undercut()

    def facts(self, *, turned: bool, flat: float) -> SolidFacts:
        """Everything a mould style asks."""
        from pourwright.steps.studies.choose_parting import lips_hold

        parting, pull = self.parting_mm, self._pull
        self._report(0.6, "looking for places where air ends")
        start, seats = self._rods(parting)
        screws, depth = self._screws(parting, [(seat.x_mm, seat.y_mm) for seat in seats])
        cover_screws, cover_depth = self._screws(self.height_mm, [])
        return SolidFacts(
            volume_mm3=self.volume_mm3,
            turned=turned,
            parting_mm=parting,
            flat_share=flat / min(pull.shadow_mm2, _looking_up(*self._mesh)),
            flat_mm2=flat,
            lips_pass=lips_hold(*self._mesh, self.height_mm),
            stretch=float(pull.stretch_low[-2]),
            parting_stretch=self._parting_stretch(),
            vent_points_mm=tuple((seat.x_mm, seat.y_mm, seat.top_mm) for seat in seats),
            rod_start_mm=start if seats else None,
            rod_inside_mm=tuple(seat.inside_mm for seat in seats),
            rod_radius_mm=self._around_mm - sizes.COVER_MM,
            screw_points_mm=screws,
            screw_depth_mm=depth,
            cover_vent_points_mm=tuple((seat.x_mm, seat.y_mm) for seat in self._cover_vents()),
            narrow_vent_points_mm=tuple((seat.x_mm, seat.y_mm) for seat in self._narrow_vents()),
            cover_screw_points_mm=cover_screws,
            cover_screw_depth_mm=cover_depth,
            shadow_mm=self._shadow(),
            undercut_mm3=self._undercut(),
            **self._sunk(seats),
            shaped=self._shaped(),
            breather_points_mm=self._breathers(cover_screws),
            **self._hollows(),
        )

    def _parting_stretch(self) -> float:
        """The most that silicone must stretch, parted there; at the top what is just under it tells."""
        pull = self._pull
        at_top = pull.stretch_up[-1] if self._recess is not None else 1.0
        return float(max(pull.stretch[min(pull.at(self.parting_mm), len(pull.z_mm) - 2)], at_top))

    def _hollows(self) -> dict[str, Any]:
        """What the lid fills."""
        if self._recess is None:
            return {}
        prisms = tuple(
            LidFilled(low_mm=band.low_mm, high_mm=band.high_mm, corners_mm=band.corners_mm)
            for band in self._recess.bands
        )
        return {"hollows": prisms, "hollows_mm3": self._recess.volume_mm3}

    def _sunk(self, seats: list[Seat]) -> dict[str, Any]:
        """Where a pattern that stands on its head in the base is held, and rests, clear of its vents."""
        parting, pull = self.parting_mm, self._pull
        if parting >= self.height_mm - _FLAT_MM:
            return {}
        tops = Tops(scan(*self._mesh, columns=_COLUMNS))
        rods = [(seat.x_mm, seat.y_mm) for seat in seats]
        over = parting + min(_PAD_OVER_MM, 0.5 * (self.height_mm - parting))
        pads = tops.pads(around_mm=_PAD_ROOM_MM, over_mm=over, count=3)
        found: dict[str, Any] = {
            "pads_mm": pads,
            "undercut_upper_mm3": float(np.interp(parting, pull.z_mm, pull.u_up_mm3)),
        }
        for depth in _SCREW_DEPTHS_MM:
            screws = tops.screws(
                depth_mm=depth, around_mm=_SCREW_ROOM_MM, most=_MOST_SCREWS, clear_of=rods, clear_mm=_SCREW_TO_ROD_MM
            )
            if screws:
                return {**found, "sunk_screws_mm": screws, "sunk_depth_mm": depth - _SPARE_MM}
        return found

    def _undercut(self) -> float:
        """Silicone in the way of a flat parting."""
        return float(np.interp(self.parting_mm, self._pull.z_mm, self._pull.u_mm3))

    def _shaped(self) -> tuple[ShapedFacts, ...]:
        """Partings that follow it."""
        from pourwright.steps.studies.shape_parting import shape_parting

        if self._recess is not None:
            return ()
        found = shape_parting(*self._mesh, self._pull, flat_undercut_mm3=self._undercut())
        if not found:
            return ()
        start, seats = self._rods(self.height_mm)
        rods = [(seat.x_mm, seat.y_mm) for seat in seats]
        return tuple(
            ShapedFacts(
                kind=one.kind,
                line_mm=one.line_mm,
                axis=one.axis,
                level_mm=one.level_mm,
                undercut_mm3=one.undercut_mm3,
                vent_points_mm=tuple((seat.x_mm, seat.y_mm, seat.top_mm) for seat in seats),
                rod_start_mm=start if seats else None,
                rod_inside_mm=tuple(seat.inside_mm for seat in seats),
                **hold_shaped(one, clear_of=rods),
            )
            for one in found
        )

    def _breathers(self, screws: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        """Where a breather fits into the upper face, beside the screws."""
        return self._room.spread(
            face_mm=self.height_mm,
            depth_mm=_BREATHER_DEPTH_MM,
            around_mm=_BREATHER_ROOM_MM,
            most=1,
            clear_of=list(screws),
            clear_mm=_BREATHER_TO_SCREW_MM,
        )

    def _shadow(self) -> tuple[tuple[float, float], ...]:
        """Corners of the hull of its shadow."""
        return tuple((float(x), float(y)) for x, y in convex_hull(self._mesh[0][:, :2]))

    def _rods(self, parting: float) -> tuple[float, list[Seat]]:
        """Where vent rods start and stand: through the upper piece if they can, else in it, else in the whole part."""
        starts = [parting - _THROUGH_MM] if parting < self.height_mm - _FLAT_MM else []
        for start in (*starts, *(self.height_mm - deep for deep in _SEATS_MM)):
            seats = self._vents(partial(self._rod_seat, start))
            if seats and (self._recess is None or self._on_the_rim(seats)):
                return start, seats
        return self._lower_start() if self._recess is None else self._thin_rods()

    def _thin_rods(self) -> tuple[float, list[Seat]]:
        """Thinner or shallower rods in the rim round a hollow: one on the hollow's floor would let no air out."""
        for radius in sizes.ROD_RADII_MM:
            self._around_mm = radius + sizes.COVER_MM
            for start in (self.height_mm - deep for deep in (*_SEATS_MM, _THIN_SEAT_MM)):
                seats = self._vents(partial(self._rod_seat, start))
                if seats and self._on_the_rim(seats):
                    return start, seats
        return 0.0, []

    def _on_the_rim(self, seats: list[Seat]) -> bool:
        return seats[0].inside_mm > self.height_mm - _RIM_MM

    def _lower_start(self) -> tuple[float, list[Seat]]:
        """A rod on the highest place that has room at all, for solids whose top is a point or an edge."""
        for start in np.linspace(self.height_mm - _SEATS_MM[0], 0.0, 25)[1:-1]:
            seat = self._rod_seat(float(start), None)
            if seat is not None:
                return float(start), [seat]
        return 0.0, []

    def _rod_seat(self, start: float, near: tuple[float, float] | None) -> Seat | None:
        return self._room.highest(foot_mm=start, around_mm=self._around_mm, near=near, within_mm=_NEAR_MM, least_mm=1.5)

    def _cover_vents(self) -> list[Seat]:
        """Vents of a cover plate: holes over the flat face at the top."""
        return self._holes(self._room, _COVER_ROOM_MM)

    def _narrow_vents(self) -> list[Seat]:
        """The same, narrow, with just the face that they need: a rim of 2 mm has room for them."""
        room = Room(*self._mesh, columns=fine_columns(self._mesh[0]))
        return self._holes(room, sizes.NARROW_VENT_RADIUS_MM + sizes.NARROW_VENT_MARGIN_MM)

    def _holes(self, room: Room, around_mm: float) -> list[Seat]:
        return self._vents(
            lambda near: room.highest(
                foot_mm=self.height_mm - 0.1,
                around_mm=around_mm,
                near=near,
                within_mm=_NEAR_MM,
                least_mm=0.09,
            )
        )

    def _vents(self, seat_near: Callable[[tuple[float, float] | None], Seat | None]) -> list[Seat]:
        """The highest seat, and one more for each pocket that would hold air."""
        from pourwright.engines.geometry.air.air_paths import trapped

        first = seat_near(None)
        seats = [first] if first is not None else []
        while seats and len(seats) < _MOST_VENTS:
            outlets = [(seat.x_mm, seat.y_mm, seat.top_mm) for seat in seats]
            found = trapped(*self._mesh, vents=outlets, columns=_COLUMNS // 2, tilts_deg=(0.0,)).traps
            worth = [t for t in found if t.volume_mm3 > _TRAP_SHARE * self.volume_mm3 and t.depth_mm > _TRAP_DEPTH_MM]
            new = (seat_near((trap.peak_mm[0], trap.peak_mm[1])) for trap in worth)
            good = next((s for s in new if s is not None and _stands_alone(s, seats)), None)
            if good is None:
                break
            seats.append(good)
        return seats

    def _screws(self, face: float, rods: list[tuple[float, float]]) -> tuple[tuple[tuple[float, float], ...], float]:
        """Where screws fit into a face, and how deep."""
        for depth in _SCREW_DEPTHS_MM:
            found = self._room.spread(
                face_mm=face,
                depth_mm=depth,
                around_mm=_SCREW_ROOM_MM,
                most=_MOST_SCREWS,
                clear_of=rods,
                clear_mm=_SCREW_TO_ROD_MM,
            )
            if found:
                return found, depth - _SPARE_MM
        return (), 0.0


def _stands_alone(seat: Seat, others: list[Seat]) -> bool:
    return all(seat.away_mm((other.x_mm, other.y_mm)) >= _APART_MM for other in others)


def _flat_area(vertices: Floats, triangles: Ints, level: float) -> float:
    """Area of the triangles that lie in a level plane."""
    corners = vertices[triangles]
    inside = np.abs(corners[:, :, 2] - level).max(axis=1) < _FLAT_MM
    a, b, c = (corners[inside, k, :2] for k in range(3))
    cross = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return float(np.abs(cross).sum() / 2)


def _looking_up(vertices: Floats, triangles: Ints) -> float:
    """Shadow of all that looks up, mm2: never less than that of the solid, and that itself where nothing overhangs.

    The columns of the grid tell the shadow of a narrow rim too large.
    """
    a, b, c = (vertices[triangles[:, k], :2] for k in range(3))
    twice = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return float(np.maximum(twice, 0.0).sum() / 2)


def _volume(vertices: Floats, triangles: Ints) -> float:
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)
