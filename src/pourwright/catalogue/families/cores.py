"""What parts cast around a hard core share: the core's dimensions, its locks, how it is drawn, and what cannot be."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pourwright.catalogue.families.core_file import AXES, FileCore, core_from_file, hub_of
from pourwright.catalogue.families.core_locks import LOCKS, Groove, Locks
from pourwright.catalogue.families.drawing import round_part
from pourwright.catalogue.families.family import Dimension, Text, nothing_more, refusal
from pourwright.catalogue.part_shape import Hub, PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.imported import Library
from pourwright.engines.geometry.profiles.cored_outlines import drawn_through, outer_side
from pourwright.engines.geometry.profiles.outline_math import curves, moment_mm3
from pourwright.engines.geometry.tree import Node, Op, Outline, Revolve, polygon

CORE_DIAMETER = Dimension(
    key="core_diameter",
    default=None,
    low="0.5 mm",
    high="600 mm",
    unless="core_file",
    words="outside diameter of the hard core that the rubber is cast around; left out when core_file names its solid",
)
CORE_BORE = Dimension(
    key="core_bore",
    default="0 mm",
    low="0 mm",
    high="300 mm",
    words="diameter of the hole through the core, by which a spindle centres it; 0 for none",
)
CORE_OVERHANG = Dimension(
    key="core_overhang",
    default="0 mm",
    low="0 mm",
    high="100 mm",
    words="how far the core stands out of the rubber at each end",
)
CORE_MASS = Dimension(
    key="core_mass",
    default="0 g",
    low="0 g",
    high="50 kg",
    kind="mass",
    words="of one core on the scale, to tell whether it floats; 0: reckoned as a solid print",
)
RUN_OUT = Dimension(
    key="run_out",
    default="0.4 mm",
    low="0.01 mm",
    high="10 mm",
    words="how far the middle of the rubber may stand beside the middle of the core",
)
CORE_SHIFT = Dimension(
    key="core_shift",
    default="0 mm",
    low="-300 mm",
    high="300 mm",
    words="how much higher the middle of a core from a file stands than the middle of the rubber",
)
CORE_SIZES = (CORE_DIAMETER, CORE_BORE, CORE_OVERHANG)
CORE_STAND = (CORE_SHIFT, CORE_MASS, RUN_OUT)  # how the core stands in its rubber
MESH_ONLY = "the core's file holds triangles, not exact faces: the kit comes without STEP files"
PRINTED = "printed"
FILE_TEXT = Text(
    key="core_file",
    words="a STEP, STL or 3MF file beside the project: the real core, used as it is and never scaled",
    example="hub.step",
)
AXIS_TEXT = Text(
    key="core_axis", words="which axis of that file is the core's; left out, it is found by its bore", options=AXES
)
UNIT_TEXT = Text(key="core_unit", words="of a file that names none", options=("um", "mm", "cm", "m", "in", "ft"))
LOCK_TEXT = Text(
    key="locks",
    words="what is drawn into a core given by its sizes, so that not the bond alone holds the rubber",
    options=LOCKS,
)
MADE_TEXT = Text(
    key="core_made", words="whether the core's print file belongs to the kit, or you have it", options=(PRINTED, "own")
)

CORE_TEXTS = (LOCK_TEXT, MADE_TEXT, FILE_TEXT, AXIS_TEXT, UNIT_TEXT)
BOND = "the rubber must hold on to the core: roughen, clean and prime the core before it goes into the mould"
_BEYOND_MM = 10.0  # how far a plug is drawn on beyond the core's ends
Point = tuple[float, float]


_SIZES = tuple(size.key for size in CORE_SIZES)


@dataclass(frozen=True, kw_only=True)
class CoreWish:
    """What a person says of a core in words: its locks, whether it is printed, and its solid from a file."""

    locks: str = ""
    printed: bool = False
    file: FileCore | None = None


NO_WISH = CoreWish()


def core_wish(part: Part, library: Library) -> tuple[CoreWish]:
    """The words of a part on a core; an outline or a file of the whole part is refused."""
    nothing_more(part, library)
    locks, printed = part.texts.get("locks", ""), part.texts.get("core_made") == PRINTED
    name = part.texts.get("core_file")
    if name is None:
        return (CoreWish(locks=locks, printed=printed),)
    given = [key for key in (*_SIZES, "locks", "groove_width") if key in part.dimensions or key in part.texts]
    if given:
        raise refusal(
            given[0], None, f"the core comes from {name}, and {given[0]} is given too", f"leave out {given[0]}"
        )
    if part.core_digest is None or part.core_digest not in library:
        raise refusal("core_file", None, f"{name} has not been read", "read the file before the part is drawn")
    core = core_from_file(library[part.core_digest], part.texts.get("core_axis", ""))
    return (CoreWish(printed=printed, file=core),)


def with_core(values: Mapping[str, float], wish: CoreWish) -> Mapping[str, float]:
    """The values with the core's diameter, which a file may say in their stead."""
    if wish.file is not None:
        return {**values, "core_diameter": 2 * wish.file.radius_mm}
    return values


def check_core(values: Mapping[str, float], *, least_rubber_mm: float) -> None:
    """A core must have a wall, and rubber around it at the narrowest place of the outside (diameters)."""
    core, bore = values["core_diameter"], values["core_bore"]
    if core >= least_rubber_mm:
        raise refusal(
            "core_diameter",
            core,
            f"the core ({core:.9g} mm) is not narrower than the rubber around it ({least_rubber_mm:.9g} mm)",
            f"make the core smaller than {least_rubber_mm:.9g} mm, or the part wider",
        )
    if bore >= core:
        raise refusal(
            "core_bore",
            bore,
            f"the bore of the core ({bore:.9g} mm) is not narrower than the core ({core:.9g} mm)",
            f"make it smaller than {core:.9g} mm",
        )


def _seat(values: Mapping[str, float], grooves: tuple[Groove, ...]) -> list[Point]:
    """Where rubber meets the core, from the upper end down."""
    core, height = values["core_diameter"] / 2, values["height"]
    walked = [point for groove in grooves for point in groove.points(core)]
    return [(core, height), *reversed(walked), (core, 0.0)]


def cored_part(
    outline: Outline,
    values: Mapping[str, float],
    wish: CoreWish,
    *,
    locks: Locks,
    cautions: tuple[str, ...] = (),
) -> PartShape:
    """Rubber on a core given by its sizes; `outline` is drawn on a smooth core, its locks are drawn into it here."""
    if wish.file is not None:
        return _on_file(outline, values, wish, wish.file, cautions)
    core, hole = values["core_diameter"] / 2, values["core_bore"] / 2
    low, high = -values["core_overhang"], values["height"] + values["core_overhang"]
    seat = _seat(values, locks.grooves)
    least = min(r for r, _ in seat)
    smooth = seat if not locks.cuts else [seat[0], seat[-1]]
    hub = Hub(
        filled=_locked(_turned(seat, 0.0, low, high), locks),
        plug=_locked(_turned(seat, 0.0, low - _BEYOND_MM, high + _BEYOND_MM), locks),
        seat_mm=tuple(smooth),
        low_mm=low,
        high_mm=high,
        end_mm=core,
        bore_mm=hole,
        least_mm=least if locks.least_mm is None else min(least, locks.least_mm),
        holds_mm3=_held_mm3(core, locks.grooves),
        mass_g=values["core_mass"] * 1e3,
        run_out_mm=values["run_out"],
        printed=wish.printed,
    )
    if values["core_shift"] != 0.0:
        cautions = (
            *cautions,
            "core_shift moves a core from a file only: the core given by its sizes stands in the middle",
        )
    outside = outer_side(outline, seat[-1], seat[0])
    outline = drawn_through(seat[-1], outside, smooth[1:-1])
    return round_part(outline, core=_locked(_turned(seat, hole, low, high), locks), hub=hub, cautions=cautions)


def _on_file(
    outline: Outline, values: Mapping[str, float], wish: CoreWish, core: FileCore, cautions: tuple[str, ...]
) -> PartShape:
    """Rubber on a core as its file has it."""
    node, hub = hub_of(core, values, printed=wish.printed)
    notes = cautions if core.exact else (*cautions, MESH_ONLY)
    return replace(round_part(outline, core=node, hub=hub, cautions=notes), exact=core.exact)


def _locked(core: Node, locks: Locks) -> Node:
    return Op("cut", (core, *locks.cuts)) if locks.cuts else core


def _turned(seat: list[Point], hole_mm: float, low_mm: float, high_mm: float) -> Revolve:
    """A core whose side is the seat, between its ends."""
    core, side = seat[0][0], list(reversed(seat[1:-1]))
    return Revolve(polygon([(hole_mm, low_mm), (core, low_mm), *side, (core, high_mm), (hole_mm, high_mm)]))


def _held_mm3(core_mm: float, grooves: tuple[Groove, ...]) -> float:
    """Rubber behind the core's own surface: it would have to be sheared off before the rubber slides along."""
    rings = [polygon(groove.points(core_mm)) for groove in grooves]
    return sum(abs(2 * math.pi * math.fsum(moment_mm3(curve) for curve in curves(ring))) for ring in rings)
