"""Hollows that open in a flat face at the top of a part and end in it: the lid of its mould can fill them. mm.

Such a hollow is described by prisms a little wider than it, whose sides and floor lie within the part: the prisms less
the part are the hollow, to the last digit, and no two faces of both coincide.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pourwright.engines.geometry.air.dexels import Floats, Ints, frame_along, scan
from pourwright.engines.geometry.probes.slices import section_at
from pourwright.engines.geometry.pulls.held import LID, Held, burden, held_silicone
from pourwright.engines.geometry.pulls.pull import PullReport, report_of

Mesh = tuple[Floats, Ints]

_JUST_UNDER_MM = 5e-3  # how far under the face its openings are looked for
_BESIDE_MM = 1e-3  # how far beside the height of a corner a section is taken
_SPREADS_MM = (0.5, 0.3, 0.15)  # how far the prisms reach into the part, the most that it has room for
_LEVELS = 40
_MOST_CORNERS = 60  # heights of corners at which sections are taken besides
_LEAST_MM2, _LEAST_DEPTH_MM = 1.0, 0.5  # smaller openings and dents are left alone (judgement)
_SAME_MM2 = 1e-3
_HALVINGS = 12  # between two heights, to find a floor
_MOST_TRIANGLES = 200_000  # of a part that is looked at
_MITRE = 2.0
_ROOM_MM = 2.0
_HOLED = 1.02  # how much longer the edges of a section with an opening are than its hull


@dataclass(frozen=True, kw_only=True)
class Band:
    """One prism: from a height to a higher one over the face (both at most 0), and its corners (x, y)."""

    low_mm: float
    high_mm: float
    corners_mm: tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True)
class Recess:
    """All blind hollows of one face: the prisms, how deep the deepest is, their volume and the area of their mouths."""

    bands: tuple[Band, ...]
    depth_mm: float
    volume_mm3: float
    mouth_mm2: float
    count: int


@dataclass(frozen=True, kw_only=True)
class LidHold:
    """How the hollows hold the silicone that the lid sends into them: undercut, stretch, bars, pieces, and moments."""

    undercut_mm3: float
    stretch: float
    through_mm3: float
    moved_mm4: float
    held: tuple[Held, ...]


def find_recess(vertices: Floats, triangles: Ints) -> Recess | None:
    """The blind hollows that open in the flat face at the top of a part; None where it has none.

    Parameters
    ----------
    vertices : mm, (n, 3)
    triangles : (m, 3), outward

    Returns
    -------
    Recess
        Hollows that run through the part, or out of its side, are not among them, nor those with a part that rises
        behind their own mouth.
    """
    if len(triangles) > _MOST_TRIANGLES:
        return None
    top = float(vertices[:, 2].max())
    _, around, hull = section_at(vertices, triangles, height_mm=top - _JUST_UNDER_MM)
    if around < _HOLED * hull or not _flat_at(vertices, triangles, top):
        return None
    part = _Sections(vertices, triangles, top)
    found = [_followed(part, mouth) for mouth in part.openings(-_JUST_UNDER_MM)]
    hollows = [one for one in found if one is not None]
    if not hollows:
        return None
    return Recess(
        bands=tuple(band for hollow in hollows for band in hollow.bands),
        depth_mm=max(hollow.depth_mm for hollow in hollows),
        volume_mm3=sum(hollow.volume_mm3 for hollow in hollows),
        mouth_mm2=sum(hollow.mouth_mm2 for hollow in hollows),
        count=len(hollows),
    )


def filled(vertices: Floats, triangles: Ints, recess: Recess) -> Mesh:
    """The part with its hollows filled flush with the face."""
    top = float(vertices[:, 2].max())
    return _mesh_of(_manifold(vertices, triangles) + _prisms(recess, top))


def filled_along(vertices: Floats, triangles: Ints, recess: Recess, direction: object) -> Mesh:
    """The part with the hollows of the face at its top along a direction filled, in its own axes."""
    corners, faces = filled(*upright(vertices, triangles, direction), recess)
    return np.ascontiguousarray(corners @ frame_along(direction)), faces


def lid_hold(
    vertices: Floats, triangles: Ints, recess: Recess, *, direction: object = (0.0, 0.0, 1.0), columns: int = 192
) -> LidHold:
    """How the hollows hold the silicone in them: looked at in a block that has nothing but the hollows.

    Parameters
    ----------
    vertices, triangles : mm, of the part, its face up; `recess` its hollows.
    direction : that is up in the axes in which places are told.
    columns : across the wider side of the block.
    """
    top = float(vertices[:, 2].max())
    hollow = _prisms(recess, top) - _manifold(vertices, triangles)
    return hold_of(*_mesh_of(hollow), direction=direction, columns=columns)


def hold_of(vertices: Floats, triangles: Ints, *, direction: object = (0.0, 0.0, 1.0), columns: int = 192) -> LidHold:
    """The same from the hollows themselves, their mouths up and all at one height.

    Parameters
    ----------
    vertices, triangles : mm, of the hollows, alone.
    direction : that is up in the axes in which places are told.
    columns : across the wider side of the block.
    """
    from manifold3d import Manifold

    low, high = vertices.min(axis=0) - _ROOM_MM, vertices.max(axis=0) + np.array([_ROOM_MM, _ROOM_MM, 0.0])
    block = Manifold.cube(tuple(high - low)).translate(tuple(low))
    mesh = _mesh_of(block - _manifold(vertices, triangles))
    cols = scan(*mesh, columns=columns)
    # Parted under the hollows all of the block is in the lid's way, and it narrows nowhere but in them.
    parting = float(mesh[0][:, 2].min())
    through, moved = burden(cols, parting)
    report = report_of(*mesh, cols, slices=100)
    held = tuple(piece for piece in held_silicone(cols, parting) if piece.half == LID)
    return LidHold(
        undercut_mm3=float(report.u_up_mm3[0]),
        stretch=max((piece.stretch for piece in held), default=1.0),
        through_mm3=through,
        moved_mm4=moved,
        held=tuple(replace(piece, point_mm=_told(piece.point_mm, direction)) for piece in held),
    )


def with_lid(report: PullReport, own: PullReport, hold: LidHold) -> PullReport:
    """The report of a filled part, parted at its face, with what the hollows hold and the part's own sections."""
    up, stretch = report.u_up_mm3.copy(), report.stretch_up.copy()
    up[-1] += hold.undercut_mm3
    stretch[-1] = max(stretch[-1], hold.stretch)
    return replace(
        report, u_up_mm3=up, stretch_up=stretch, area_mm2=own.area_mm2, volume_mm3=own.volume_mm3, gap_mm3=own.gap_mm3
    )


def upright(vertices: Floats, triangles: Ints, direction: object) -> Mesh:
    """The mesh in the frame of a direction, which then points up."""
    return np.ascontiguousarray(vertices @ frame_along(direction).T), triangles


def _told(point: tuple[float, float, float], direction: object) -> tuple[float, float, float]:
    x, y, z = (np.array(point) @ frame_along(direction)).tolist()
    return x, y, z


def _flat_at(vertices: Floats, triangles: Ints, top: float) -> bool:
    """Whether triangles lie in the plane at the top."""
    return bool((np.abs(vertices[triangles][:, :, 2] - top).max(axis=1) < _BESIDE_MM).any())


# ---------------------------------------------------------------- sections


class _Sections:
    """A part cut at heights under its top, and what is open there."""

    def __init__(self, vertices: Floats, triangles: Ints, top: float) -> None:
        from manifold3d import CrossSection

        self._part, self._top = _manifold(vertices, triangles), top
        low, high = vertices[:, :2].min(axis=0) - _ROOM_MM, vertices[:, :2].max(axis=0) + _ROOM_MM
        self._around = CrossSection.square(tuple(high - low)).translate(tuple(low))
        self._cuts: dict[float, Any] = {}
        corners = np.unique(np.round(vertices[:, 2] - top, 6))
        if len(corners) > _MOST_CORNERS:
            corners = corners[:: len(corners) // _MOST_CORNERS + 1]
        beside = np.concatenate((corners - _BESIDE_MM, corners + _BESIDE_MM))
        even = np.linspace(-_JUST_UNDER_MM, float(vertices[:, 2].min()) - top, _LEVELS + 2)[:-1]
        every = np.unique(np.concatenate((beside, even)))
        self.levels = every[every < -_JUST_UNDER_MM - 1e-9][::-1].tolist()

    def solid(self, level: float) -> Any:
        """The section at a height."""
        if level not in self._cuts:
            self._cuts[level] = self._part.slice(self._top + level)
        return self._cuts[level]

    def open(self, level: float) -> list[Any]:
        """The open places at a height; the one round about the part is the one that holds its corner."""
        return list((self._around - self.solid(level)).decompose())

    def is_outside(self, place: Any) -> bool:
        """Whether an open place reaches the surroundings of the part."""
        x0, y0, _, _ = place.bounds()
        left, under, _, _ = self._around.bounds()
        return bool(x0 <= left + 1e-6 and y0 <= under + 1e-6)

    def openings(self, level: float) -> list[Any]:
        """Places that the part encloses."""
        return [one for one in self.open(level) if not self.is_outside(one) and one.area() >= _LEAST_MM2]

    def touched(self, level: float, above: Any) -> list[Any]:
        """The open places under (or over) one at the next height."""
        return [one for one in self.open(level) if (one ^ above).area() > _SAME_MM2]


def _followed(part: _Sections, mouth: Any) -> Recess | None:
    """One hollow from its mouth to its floor; None where it is not blind, not simple, or its wall too thin."""
    places = [(-_JUST_UNDER_MM, mouth)]
    floor = None
    for level in part.levels:
        found = part.touched(level, places[-1][1])
        if not found:
            places += _to_the_floor(part, places[-1], level)
            floor = places[-1][0]
            break
        if any(part.is_outside(one) for one in found):
            return None
        here = _joined(found)
        rising = part.touched(places[-1][0], here)
        if sum(one.area() for one in rising) > places[-1][1].area() + _SAME_MM2:
            return None
        places.append((level, here))
    if floor is None or -floor < _LEAST_DEPTH_MM:
        return None
    for spread in _SPREADS_MM:
        bands = _bands(part, places, floor, spread)
        if bands is not None:
            heights = np.array([level for level, _ in places])
            areas = np.array([place.area() for _, place in places])
            return Recess(
                bands=bands,
                depth_mm=-floor,
                volume_mm3=float(np.trapezoid(areas, -heights)),
                mouth_mm2=float(mouth.area()),
                count=1,
            )
    return None


def _to_the_floor(part: _Sections, last: tuple[float, Any], below: float) -> list[tuple[float, Any]]:
    """The lowest place of a hollow that ends somewhere between two heights; nothing where that is the upper one."""
    found, (high, place) = [], last
    for _ in range(_HALVINGS):
        level = 0.5 * (high + below)
        here = part.touched(level, place)
        if here and not any(part.is_outside(one) for one in here):
            high, place = level, _joined(here)
            found = [(high, place)]
        else:
            below = level
    return found


def _bands(part: _Sections, places: list[tuple[float, Any]], floor: float, spread: float) -> tuple[Band, ...] | None:
    """As few prisms as lie within hollow and part at every height that was looked at; None where none do."""
    found: list[Band] = []
    high, start = 0.0, 0
    while start < len(places):
        taken, end = None, start
        union = places[start][1]
        for k in range(start, len(places)):
            # The next level belongs to it too: the prism ends on the way there.
            span = places[start : min(k + 2, len(places))]
            union = union + span[-1][1]
            grown = _grown(union, spread)
            if grown is None or not all(_within(part, grown, level, place) for level, place in span):
                break
            taken, end = grown, k
        if taken is None:
            return None
        last = end == len(places) - 1
        low = _under(part, taken, floor, spread) if last else 0.5 * (places[end][0] + places[end + 1][0])
        if low is None:
            return None
        [ring] = taken.to_polygons()
        found.append(Band(low_mm=low, high_mm=high, corners_mm=tuple((float(x), float(y)) for x, y in ring)))
        high, start = low, end + 1
    return tuple(found)


def _grown(place: Any, spread: float) -> Any | None:
    """A place a little wider all round, its islands filled; None where it falls apart."""
    from manifold3d import CrossSection, FillRule, JoinType

    grown = place.offset(spread, JoinType.Miter, _MITRE).simplify(0.1 * spread)
    rings = grown.to_polygons()
    return CrossSection([rings[0]], FillRule.Positive) if len(rings) == 1 else None


def _within(part: _Sections, grown: Any, level: float, place: Any) -> bool:
    """Whether a prism meets nothing at a height but the part and the hollow."""
    return bool((grown - part.solid(level) - place).area() <= _SAME_MM2 and (place - grown).area() <= _SAME_MM2)


def _under(part: _Sections, grown: Any, floor: float, spread: float) -> float | None:
    """How far down the lowest prism goes: into the part, under the floor."""
    for deep in (spread, 0.5 * spread, 0.25 * spread):
        if all((grown - part.solid(floor - share * deep)).area() <= _SAME_MM2 for share in (0.1, 0.5, 1.0)):
            return float(floor - 0.75 * deep)
    return None


def _joined(places: Sequence[Any]) -> Any:
    joined = places[0]
    for one in places[1:]:
        joined = joined + one
    return joined


# ---------------------------------------------------------------- solids


def _manifold(vertices: Floats, triangles: Ints) -> Any:
    from manifold3d import Manifold, Mesh64

    return Manifold(
        Mesh64(
            np.ascontiguousarray(vertices, dtype=np.float64),
            np.ascontiguousarray(triangles, dtype=np.uint64),
        )
    )


def _prisms(recess: Recess, top: float) -> Any:
    from manifold3d import Manifold, OpType

    return Manifold.batch_boolean(list(_each(recess, top)), OpType.Add)


def _each(recess: Recess, top: float) -> Iterator[Any]:
    from manifold3d import CrossSection, FillRule, Manifold

    for band in recess.bands:
        outline = CrossSection([np.array(band.corners_mm)], FillRule.Positive)
        yield Manifold.extrude(outline, band.high_mm - band.low_mm).translate((0.0, 0.0, top + band.low_mm))


def _mesh_of(solid: Any) -> Mesh:
    made = solid.to_mesh64()
    return np.asarray(made.vert_properties)[:, :3].copy(), np.asarray(made.tri_verts).astype(np.int64)
