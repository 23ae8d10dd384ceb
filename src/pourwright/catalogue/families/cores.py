"""What parts cast around a hard core share: the core's dimensions, its locks, how it is drawn, and what cannot be."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from pourwright.catalogue.families.drawing import round_part
from pourwright.catalogue.families.family import Dimension, refusal
from pourwright.catalogue.part_shape import Hub, PartShape
from pourwright.engines.geometry.outline_math import curves, moment_mm3
from pourwright.engines.geometry.tree import Outline, Revolve, polygon

CORE_DIAMETER = Dimension(
    key="core_diameter",
    default=None,
    low="0.5 mm",
    high="600 mm",
    words="outside diameter of the hard core that the rubber is cast around",
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

BOND = "the rubber must hold on to the core: roughen, clean and prime the core before it goes into the mould"
_BEYOND_MM = 10.0  # how far a plug is drawn on beyond the core's ends
Point = tuple[float, float]


@dataclass(frozen=True)
class Groove:
    """A groove round a core: from low_mm to high_mm at the core's surface, its sides at 45 degrees (air leaves it)."""

    low_mm: float
    high_mm: float
    deep_mm: float

    def points(self, core_mm: float) -> list[Point]:
        """From below."""
        floor = core_mm - self.deep_mm
        low, high = self.low_mm, self.high_mm
        return [(core_mm, low), (floor, low + self.deep_mm), (floor, high - self.deep_mm), (core_mm, high)]


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


def seat_of(values: Mapping[str, float], grooves: tuple[Groove, ...] = ()) -> list[Point]:
    """Where rubber meets the core, from the upper end down."""
    core, height = values["core_diameter"] / 2, values["height"]
    walked = [point for groove in grooves for point in groove.points(core)]
    return [(core, height), *reversed(walked), (core, 0.0)]


def cored_part(
    outline: Outline, values: Mapping[str, float], *, grooves: tuple[Groove, ...] = (), cautions: tuple[str, ...] = ()
) -> PartShape:
    """Rubber on a core given by its sizes."""
    core, hole = values["core_diameter"] / 2, values["core_bore"] / 2
    low, high = -values["core_overhang"], values["height"] + values["core_overhang"]
    seat = seat_of(values, grooves)
    hub = Hub(
        filled=_turned(seat, 0.0, low, high),
        plug=_turned(seat, 0.0, low - _BEYOND_MM, high + _BEYOND_MM),
        seat_mm=tuple(seat),
        low_mm=low,
        high_mm=high,
        end_mm=core,
        bore_mm=hole,
        least_mm=min(r for r, _ in seat),
        holds_mm3=_held_mm3(core, grooves),
        mass_g=values.get("core_mass", 0.0) * 1e3,
        run_out_mm=values["run_out"],
    )
    return round_part(outline, core=_turned(seat, hole, low, high), hub=hub, cautions=cautions)


def _turned(seat: list[Point], hole_mm: float, low_mm: float, high_mm: float) -> Revolve:
    """A core whose side is the seat, between its ends."""
    core, side = seat[0][0], list(reversed(seat[1:-1]))
    return Revolve(polygon([(hole_mm, low_mm), (core, low_mm), *side, (core, high_mm), (hole_mm, high_mm)]))


def _held_mm3(core_mm: float, grooves: tuple[Groove, ...]) -> float:
    """Rubber behind the core's own surface: it would have to be sheared off before the rubber slides along."""
    found = 0.0
    for groove in grooves:
        ring = polygon(groove.points(core_mm))
        found += abs(2 * math.pi * math.fsum(moment_mm3(curve) for curve in curves(ring)))
    return found
