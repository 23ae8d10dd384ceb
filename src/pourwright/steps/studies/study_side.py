"""Can a solid from a file be laid on its side: which way its halves would pull, where feed, vent and pins fit."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pourwright.basics.need import need
from pourwright.catalogue.moulds.stand.facts import SideFacts
from pourwright.engines.geometry.air.dexels import Columns, Floats, Ints, scan
from pourwright.engines.geometry.probes.seats import Room

_WAYS = 12  # azimuths tried over half a turn
_FEW_WAYS = 4  # of a mesh with many triangles
_TRIED = 3  # of them, looked at closely
_LEVEL = 1e-3  # of a normal's z: a face that is upright
_MANY = 200_000
_COLUMNS, _SLICES = 160, 160
_GAP_SHARE = 2e-3  # of the volume: more is blocked whichever way the halves are parted (judgement)
_SAME_MM = 1e-6
_LEVEL_MM = 0.05
_RADII_MM = (3.0, 2.5, 2.0, 1.5, 1.0, 0.75)
_VENT_MM, _WEB_MM = 1.5, 1.0
_PINS_MM = ((1.5, 2.6), (1.0, 2.1))  # pin, and the radius that must be material round it
_PIN_DEEP_MM = 5.2
_APART_MM = 4.5
_SCREW_ROOM_MM, _SCREW_DEPTHS_MM, _SPARE_MM = 2.25, (8.6, 6.6, 5.6, 4.6), 0.6
_HEIGHTS = 4  # of the best partings, looked at closely
_HANGS_MM = 0.5  # a bridge between two parts of a pattern's half that is thinner than this holds nothing
_SAME_STRETCH = 1e-3

Spot = tuple[float, float, float]


@dataclass(frozen=True)
class _Edge:
    """Upper edge of the section in the parting: for each place across it, how high the part reaches there."""

    places_mm: Floats
    tops_mm: Floats

    def low(self, low_mm: float, high_mm: float) -> float:
        """Least height between two places; -inf where the section does not reach."""
        near = (self.places_mm >= low_mm) & (self.places_mm <= high_mm)
        return float(self.tops_mm[near].min()) if near.any() else -math.inf


def study_side(vertices: Floats, triangles: Ints, *, volume_mm3: float, allowed_stretch: float) -> SideFacts | None:
    """How a solid is laid on its side and parted by an upright plane; None where no such mould can be made.

    Parameters
    ----------
    vertices : mm, (n, 3), as drawn, the lower face on z = 0.
    triangles : (m, 3), outward
    volume_mm3 : mm3
    allowed_stretch : what the silicone stands.
    """
    parted = None
    for turn in _turns(vertices, triangles, volume_mm3):
        laid = _laid(vertices, turn)
        found = _parted(laid, triangles, allowed_stretch)
        if found is not None and (parted is None or found[2]):
            parted = (turn, laid, *found)
        if found is not None and found[2]:
            break
    if parted is None:
        return None
    turn, laid, parting, stretch, lips = parted
    edge = _upper_edge(laid, triangles, parting)
    spots = _feed_and_vent(edge)
    if spots is None:
        return None
    feed, vent = spots
    low, high = laid.min(axis=0), laid.max(axis=0)
    middle = float(low[1] + high[1]) / 2
    pin, pins, depth, screws = _holes(laid, triangles, parting)
    return SideFacts(
        turn_deg=turn,
        parting_mm=-parting,
        middle_mm=middle,
        below_mm=parting - float(low[2]),
        above_mm=float(high[2]) - parting,
        half_y_mm=float(high[1] - low[1]) / 2,
        feed_mm=(feed[0] - middle, feed[1], feed[2]),
        vent_mm=(vent[0] - middle, vent[1], vent[2]),
        stretch=stretch,
        lips_pass=lips,
        trapped_mm3=_trapped(laid, triangles, parting, (vent, feed)),
        screw="M3" if screws else "",
        screw_depth_mm=depth,
        screws_mm=tuple((x, y - middle) for x, y in screws),
        pin_mm=pin,
        pins_mm=tuple((x, y - middle) for x, y in pins),
    )


# ---------------------------------------------------------------- which way


def _turns(vertices: Floats, triangles: Ints, volume: float) -> list[float]:
    """Turns about z after which the halves pull along x, deg: square to large faces first, then least blocked."""
    from pourwright.engines.geometry.pulls.pull_ways import flat_normals

    ways = _FEW_WAYS if len(triangles) > _MANY else _WAYS
    level = [way for way in flat_normals(vertices, triangles) if abs(way[2]) < _LEVEL]
    azimuths = [math.atan2(way[1], way[0]) for way in level] + [math.pi * k / ways for k in range(ways)]
    blocked = []
    for azimuth in azimuths:
        columns = scan(vertices, triangles, direction=(math.cos(azimuth), math.sin(azimuth), 0.0), columns=64)
        blocked.append(round(_gaps(columns) / volume, 4))
    order = np.argsort(np.array(blocked), kind="stable")[:_TRIED]
    return [-math.degrees(azimuths[k]) for k in order if blocked[k] <= _GAP_SHARE]


def _gaps(columns: object) -> float:
    from pourwright.engines.geometry.pulls.pull import gap_volume

    return gap_volume(columns)  # type: ignore[arg-type]


def _laid(vertices: Floats, turn_deg: float) -> Floats:
    """Turned about z, then laid down as a side-parted mould does it: x from z, z from -x."""
    angle = math.radians(turn_deg)
    c, s = math.cos(angle), math.sin(angle)
    x = c * vertices[:, 0] - s * vertices[:, 1]
    y = s * vertices[:, 0] + c * vertices[:, 1]
    return np.column_stack((vertices[:, 2], y, -x)) + 0.0


def _parted(laid: Floats, triangles: Ints, allowed: float) -> tuple[float, float, bool] | None:
    """Height of the parting in the laid solid, the stretch there, whether the lips hold.

    Both halves of the pattern must hang together, or they could not be printed as one piece each.
    """
    from pourwright.engines.geometry.partings.mesh_lips import mesh_lips
    from pourwright.engines.geometry.pulls.pull import best_parting, pull_report, sharp_edges

    report = pull_report(laid, triangles, columns=_COLUMNS, slices=_SLICES)
    sharp = sharp_edges(laid, triangles, report)
    best = best_parting(report, sharp, allowed_stretch=allowed, count=_HEIGHTS)
    if not best:
        return None
    columns = scan(laid, triangles, columns=_COLUMNS)
    middle = float(report.z_mm[0] + report.z_mm[-1]) / 2
    least, least_stretch = report.u_mm3.min(), report.stretch.min()
    fair = report.u_mm3[report.at(middle)] <= least + _GAP_SHARE * report.volume_mm3
    fair = fair and report.stretch[report.at(middle)] <= least_stretch + _SAME_STRETCH
    heights = [_at_a_corner(laid, one) for one in (*(one.z_mm for one in best), *([middle] if fair else []))]
    whole = [height for height in heights if _whole(columns, height)]
    if not whole:
        return None
    good = next((height for height in whole if all(lip.ok for lip in mesh_lips(laid, triangles, height))), None)
    height = whole[0] if good is None else good
    return height, float(report.stretch[report.at(height)]), good is not None


def _whole(columns: Columns, height: float) -> bool:
    """Whether what lies below a height hangs together, and what lies above it."""
    ndimage = need("scipy.ndimage")
    n_u, n_v = columns.counts
    column = np.repeat(np.arange(n_u * n_v), np.diff(columns.starts))
    for reaches in (columns.bottom_mm < height - _HANGS_MM, columns.top_mm > height + _HANGS_MM):
        mask = np.zeros(n_u * n_v, dtype=bool)
        mask[column[reaches]] = True
        if ndimage.label(mask.reshape(n_v, n_u))[1] != 1:
            return False
    return True


def _at_a_corner(laid: Floats, height: float) -> float:
    near = laid[np.abs(laid[:, 2] - height) <= _SAME_MM, 2]
    return float(np.sort(near)[len(near) // 2]) if len(near) else height


# ---------------------------------------------------------------- feed, vent, pins


def _upper_edge(laid: Floats, triangles: Ints, parting: float) -> _Edge:
    """Scanned along the block's x, so that heights are exact: the row of columns nearest to the parting."""
    columns = scan(laid, triangles, direction=(1.0, 0.0, 0.0), columns=2 * _COLUMNS)
    n_y, n_z = columns.counts
    row = int(np.clip(round((parting - columns.origin_mm[1]) / columns.cell_mm[1]), 0, n_z - 1))
    places, tops = [], []
    for column in range(row * n_y, (row + 1) * n_y):
        begin, end = columns.starts[column : column + 2]
        if end > begin:
            places.append(columns.origin_mm[0] + columns.cell_mm[0] * (column - row * n_y))
            tops.append(columns.top_mm[end - 1])
    return _Edge(np.array(places), np.array(tops))


def _feed_and_vent(edge: _Edge) -> tuple[Spot, Spot] | None:
    """(place across, radius, height) of both: beside each other on the highest part, or the feed a little lower."""
    if not len(edge.tops_mm):
        return None
    plateau = edge.places_mm[edge.tops_mm >= edge.tops_mm.max() - _LEVEL_MM]
    left, right = float(plateau.min()), float(plateau.max())
    whole = edge.low(left, right) >= edge.tops_mm.max() - _LEVEL_MM
    for radius in _RADII_MM:
        vent = min(radius, _VENT_MM)
        if whole and right - left >= 2 * radius + 2 * vent + _WEB_MM:
            top = edge.low(left, right)
            return (right - radius, radius, top), (left + vent, vent, top)
    for radius in _RADII_MM:
        vent = min(radius, _VENT_MM)
        peak = (left + right) / 2
        for side in (1.0, -1.0):
            place = peak + side * (vent + radius + 2 * _WEB_MM)
            low = edge.low(place - radius, place + radius)
            if low > edge.tops_mm.max() - 6 * radius and edge.low(peak - vent, peak + vent) > 0:
                return (place, radius, low), (peak, vent, edge.low(peak - vent, peak + vent))
    return None


def _holes(
    laid: Floats, triangles: Ints, parting: float
) -> tuple[float, tuple[tuple[float, float], ...], float, tuple[tuple[float, float], ...]]:
    """Pin radius and places, screw depth and places."""
    room = Room(laid, triangles, columns=_COLUMNS)
    pin: float = 0.0
    pins: tuple[tuple[float, float], ...] = ()
    for radius, around in _PINS_MM:
        found = room.spread(face_mm=parting + _PIN_DEEP_MM, depth_mm=2 * _PIN_DEEP_MM, around_mm=around, most=2)
        if len(found) == 2:
            pin, pins = radius, found
            break
    for depth in _SCREW_DEPTHS_MM:
        screws = room.spread(
            face_mm=parting, depth_mm=depth, around_mm=_SCREW_ROOM_MM, most=2, clear_of=pins, clear_mm=_APART_MM
        )
        if screws:
            return pin, pins, depth - _SPARE_MM, screws
    return pin, pins, 0.0, ()


def _trapped(laid: Floats, triangles: Ints, parting: float, spots: tuple[Spot, Spot]) -> float:
    """Air left with feed and vent when the block stands on its end, level, mm3; inf where a vent misses the part."""
    from pourwright.basics.errors import CannotBuild
    from pourwright.engines.geometry.air.air_paths import trapped

    vents = [(top, place, parting) for place, _, top in spots]
    try:
        return trapped(laid, triangles, up=(1.0, 0.0, 0.0), vents=vents, columns=128, tilts_deg=(0.0,)).level_mm3
    except CannotBuild:
        return math.inf
