"""What a solid from a file is, and how it could be moulded. SI units."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float, float]

_KNIFE = 5e-5  # m, judgement


@dataclass(frozen=True, kw_only=True)
class PullChoice:
    """One way to pull a part out of its mould, with the best flat parting found along it.

    Parameters
    ----------
    direction : unit vector, in the file's own axes; the part leaves the lower half along it.
    parting_height : m, above the lowest point of the part along `direction`.
    height : m, of the part along `direction`.
    undercut_lower, undercut_upper : m3 of silicone of the lower half, and of the lid, that blocks the pull.
    stretch_lower, stretch_upper : 1 or more, how far a ring of the lower half, or of the lid, must stretch.
    unavoidable_undercut : m3, what no parting along this pull can avoid, flat or not.
    runs_through : m3 of silicone that would run through the part as a bar, which no stretching frees.
    allowed : whether the silicone stands the larger stretch.
    flat_top : share of the shadow that the face at the top covers, 0 to 1.
    lid_fills : m3, blind hollows of the face at the top that the lid's silicone runs into; 0 without.
    why : what speaks against it, in words; empty for the best.
    """

    direction: Point
    parting_height: float
    height: float
    undercut_lower: float
    undercut_upper: float
    stretch_lower: float
    stretch_upper: float
    unavoidable_undercut: float
    runs_through: float
    allowed: bool
    flat_top: float
    lid_fills: float = 0.0
    why: str = ""

    @property
    def undercut(self) -> float:
        """Of both halves together, m3."""
        return self.undercut_lower + self.undercut_upper

    @property
    def stretch(self) -> float:
        """The worse of the two halves."""
        return max(self.stretch_lower, self.stretch_upper)


@dataclass(frozen=True, kw_only=True)
class HeldSilicone:
    """One piece of silicone behind the part, as it is pulled.

    Parameters
    ----------
    half : "lower half" or "lid".
    volume : m3
    depth : m, from its mouth to its deepest place.
    runs_through : whether it has two mouths or more: a bar through the part.
    stretch : 1 or more, of a ring round this place alone.
    place : m, its deepest place, in the file's own coordinates.
    """

    half: str
    volume: float
    depth: float
    runs_through: bool
    stretch: float
    place: Point


@dataclass(frozen=True, kw_only=True)
class AirTrap:
    """One pocket of air: volume (m3), depth (m), and its highest place (m) in the file's own coordinates."""

    volume: float
    depth: float
    place: Point


@dataclass(frozen=True, kw_only=True)
class WayUp:
    """Air in the part's room as it fills, with this direction up and a vent at each of its highest places.

    Parameters
    ----------
    up : unit vector, in the file's own axes.
    trapped : m3, standing level.
    traps : the pockets standing level, largest first.
    worst_tilt : rad, of all tilts tried the one that traps most; `worst_azimuth` (rad) towards where.
    worst_trapped : m3, there.
    worst_traps : the pockets there, largest first.
    best_tilt : rad, the tilt that traps least, 0 where tilting does not help; `best_azimuth` (rad) towards where.
    best_trapped : m3, there.
    lean : unit vector that points up at the best tilt, in the file's own axes.
    vents : m, the highest places, in the file's own coordinates.
    """

    up: Point
    trapped: float
    traps: tuple[AirTrap, ...]
    worst_tilt: float
    worst_azimuth: float
    worst_trapped: float
    worst_traps: tuple[AirTrap, ...]
    best_tilt: float
    best_azimuth: float
    best_trapped: float
    lean: Point
    vents: tuple[Point, ...]


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """Whether a two-part mould would do.

    Parameters
    ----------
    opens : whether some two-part scheme would do.
    scheme : its name, or of the least bad one where none would do.
    direction : unit vector of its pull, in the file's own axes.
    reasons : why, in plain words, the most important first.
    advice : what to try, in plain words.
    kit : whether a kit can be made so: a part that silicone would let go may yet have no room for vents.
    """

    opens: bool
    scheme: str
    direction: Point
    reasons: tuple[str, ...]
    advice: tuple[str, ...] = ()
    kit: bool = True


@dataclass(frozen=True, kw_only=True)
class Inspection:
    """The facts of one solid.

    Parameters
    ----------
    file : name as given.
    unit : of the file, by name.
    exact : whether the file holds exact surfaces (STEP); a mesh otherwise.
    triangles : count; for an exact solid, of the mesh laid over it.
    watertight : closed, every edge between two triangles.
    volume : m3
    area : m2
    bounds : m, lowest and highest corner, in the file's own coordinates.
    pull : the best way to pull it.
    runners_up : the next best ways that are truly others, best first.
    held : silicone that blocks the best pull, piece by piece, largest first.
    silicone : the mould silicone by name, and `stretch_allowed` what it stands each time.
    air : the way up that traps less, of the two along the pull; `air_other` the other one.
    thinnest : m, thinnest wall found; `thinnest_at` its place (m) in the file's own coordinates.
    verdict : whether and how it could be moulded.
    warnings : plain words.
    """

    file: str
    unit: str
    exact: bool
    triangles: int
    watertight: bool
    volume: float
    area: float
    bounds: tuple[Point, Point]
    pull: PullChoice
    runners_up: tuple[PullChoice, ...]
    held: tuple[HeldSilicone, ...]
    silicone: str
    stretch_allowed: float
    air: WayUp
    air_other: WayUp
    thinnest: float
    thinnest_at: Point
    verdict: Verdict
    warnings: tuple[str, ...] = ()

    @property
    def knife_edge(self) -> bool:
        """Whether the thinnest place is where two faces close at an angle, rather than a wall."""
        return self.thinnest < _KNIFE

    @property
    def size(self) -> Point:
        """Box of the solid, m."""
        low, high = self.bounds
        return (high[0] - low[0], high[1] - low[1], high[2] - low[2])
