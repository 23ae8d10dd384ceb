"""From a kit to the sizes of its cast: every dimension with its band, what drives it, and go or no-go."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pourwright.catalogue import cast_sizes as assumed
from pourwright.catalogue.cast_sizes import Feature, box_feature, feature_of, is_cast_size
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.estimate import Basis, Estimate
from pourwright.domain.material import Material
from pourwright.domain.part import Project
from pourwright.domain.shop import Printer, Shop
from pourwright.domain.size_forecast import (
    BOX_SIZES,
    CALIPER_ERROR,
    CALIPER_STEP,
    ROUND_SIZES,
    Measured,
    SizeForecast,
    Verdict,
)
from pourwright.engines.geometry.measure import to_m
from pourwright.engines.geometry.profiles.outlines import end_faces
from pourwright.engines.process.dimension_chain import ChainEnd, Link, run_chain, squeezed_by, warm_mould_gain
from pourwright.engines.process.moulded_tolerance import moulded_tolerance
from pourwright.engines.process.overmould import bonded_shrink, end_shrink, held_share
from pourwright.engines.process.uncertainty import (
    Reading,
    combined,
    effective_freedom,
    repeated,
    standard_uncertainty,
)

VERSION = 2
_ANY_SHRINK = 0.01  # the share that a core leaves is the same for any small one
_THIN_MM = 0.5
REDRAWN = "printer as measured"  # the link of a size that was measured on a pattern drawn otherwise than now
_SAME = 1e-9
_BESIDE_PARTING = 0.05e-3
_SAME_PATTERN = 2e-6  # a pattern drawn this much larger is not another one

Based = tuple[Link, Basis]


@dataclass(frozen=True, kw_only=True)
class SizeFacts:
    """Everything that the chains of one kit share. SI."""

    project: Project
    printer: Printer
    printer_assumed: frozenset[str]
    room: float
    resin: Material
    silicone: Material
    scale: float
    height: float
    parting: float
    thickness: float
    turned: bool = False
    rod: bool = False
    along_axis: bool = False
    free_face: bool = False
    core_radius: float = 0.0
    rubber_length: float = 0.0
    pull: tuple[float, float, float] = (0.0, 0.0, 1.0)

    def feature(self, name: str) -> Feature:
        """How a size meets the chain; those of a file's box by how the part stands."""
        return box_feature(self.pull[BOX_SIZES.index(name)]) if name in BOX_SIZES else feature_of(name)

    @property
    def parted_inside(self) -> bool:
        """The parting runs through the part, not along one of its faces."""
        return _BESIDE_PARTING < self.parting < self.height - _BESIDE_PARTING


def forecast_sizes(
    project: Project, shape: PartShape, design: MouldDesign, shop: Shop, *, resin: Material, silicone: Material
) -> tuple[SizeForecast, ...]:
    """The forecast of every size of the cast, in the order of the family's form.

    Parameters
    ----------
    project : with the tolerance wanted, what is done to the patterns, and what was measured on one.
    shape : the part as the pattern is drawn.
    design : its mould.
    shop : printer and room.
    resin, silicone : material records.
    """
    facts = size_facts(project, shape, design, shop, resin=resin, silicone=silicone)
    readings = {one.name: one for one in project.measured}
    return tuple(
        forecast_size(name, wanted, facts, measured=readings.get(name))
        for name, wanted in wanted_sizes(project, shape).items()
    )


def wanted_sizes(project: Project, shape: PartShape) -> dict[str, float]:
    """Every length of the part that the cast has, m, by name; those that are nothing (no bore) left out."""
    family = FAMILIES[project.part.family]
    lengths = {one.key for one in family.dimensions if one.kind == "length" and is_cast_size(one.key)}
    if lengths:
        values = family.values(project.part)
        found = {key: to_m(value) for key, value in values.items() if key in lengths}
    elif shape.outline is not None:
        drawn = (2 * shape.radius_mm, shape.size_mm[2], 2 * shape.bore_mm)
        found = dict(zip(ROUND_SIZES, map(to_m, drawn), strict=True))
    else:
        found = dict(zip(BOX_SIZES, map(to_m, shape.file_size_mm or shape.size_mm), strict=True))
    return {key: value for key, value in found.items() if value > 0.0}


def size_facts(
    project: Project, shape: PartShape, design: MouldDesign, shop: Shop, *, resin: Material, silicone: Material
) -> SizeFacts:
    """What the chains of one kit share."""
    prefix = "printer[0]."
    return SizeFacts(
        project=project,
        printer=shop.printers[0],
        printer_assumed=frozenset(key.removeprefix(prefix) for key in shop.assumed if key.startswith(prefix)),
        room=shop.room.temperature,
        resin=resin,
        silicone=silicone,
        scale=design.scale,
        height=to_m(shape.size_mm[2]),
        parting=to_m(design.figures.get("part_depth_mm", 0.0)) / design.scale,
        thickness=to_m(design.box_inside_mm[2]),
        turned=_stands_turned(shape, design),
        rod=bool(design.figures.get("bore_is_rod", 0.0)),
        along_axis=bool(design.figures.get("parted_along_axis", 0.0)),
        free_face=design.figures.get("free_face_mm2", 0.0) > 0.0,
        core_radius=to_m(design.figures.get("core_end_mm", 0.0)),
        rubber_length=to_m(design.figures.get("core_seat_mm", 0.0)),
        pull=shape.pull,
    )


def _stands_turned(shape: PartShape, design: MouldDesign) -> bool:
    """Whether the part stands on its upper face in the mould; seen by the width of its lower face."""
    if shape.outline is None or design.cell_outline is None:
        return False
    lower, upper = (face.rim_mm for face in end_faces(shape.outline))
    stands_on = end_faces(design.cell_outline)[0].rim_mm / design.scale
    return abs(stands_on - upper) < abs(stands_on - lower) - _SAME


# ---------------------------------------------------------------- one size


def forecast_size(name: str, wanted: float, facts: SizeFacts, *, measured: Measured | None = None) -> SizeForecast:
    """The forecast of one size.

    Parameters
    ----------
    name : of the dimension.
    wanted : m
    facts : of the kit.
    measured : what calipers found on the finished pattern; it takes the place of print and coat.
    """
    feature, closure = facts.feature(name), is_closure(name, wanted, facts)
    rod = facts.rod and name == "bore"
    reading = None if measured is None or rod else reading_of(measured)
    before = _rod_links(facts) if rod else pattern_links(name, wanted, feature, facts)
    drawn = drawn_size(name, wanted, facts)
    now = measured is None or measured.drawn == 0.0 or abs(measured.drawn - drawn) < _SAME_PATTERN
    if reading is not None and measured is not None:
        before = (_measured_link(wanted, facts, reading, 0.0 if now else drawn - measured.drawn),)
    after = mould_links(wanted, facts, closure=closure, rod=rod, held=held_by_core(name, wanted, facts))
    end = run_chain(wanted, [link for link, _ in (*before, *after)])
    tolerance, whose = _tolerance(name, wanted, facts, closure=closure)
    bases = {link.name: basis for link, basis in (*before, *after)}
    driver = max(end.shares, key=lambda link: end.shares[link])
    rests_on: Basis = bases[driver] if end.deviation > 0.0 else "calculated"
    pattern, room = _pattern_wanted(wanted, after, tolerance)
    return SizeForecast(
        name=name,
        wanted=wanted,
        estimate=Estimate(
            low=end.best - end.half_band, best=end.best, high=end.best + end.half_band, rests_on=rests_on
        ),
        tolerance=tolerance,
        tolerance_from=whose,
        closure=closure,
        verdict=verdict_of(wanted, end, tolerance),
        shifts=end.shifts,
        shares=end.shares,
        pattern=pattern,
        pattern_room=room,
        measured=reading.best if reading is not None and now else None,
        drawn=drawn,
        offset=facts.project.pattern.offsets.get(name, 0.0) + (wanted - end.best) / end.gain,
    )


def verdict_of(wanted: float, end: ChainEnd, tolerance: float) -> Verdict:
    """Go when the whole band is within the tolerance, no-go when even the best value is not."""
    miss = abs(end.best - wanted)
    if miss > tolerance + _SAME:
        return "no-go"
    return "go" if miss + end.half_band <= tolerance + _SAME else "not sure"


def _tolerance(name: str, wanted: float, facts: SizeFacts, *, closure: bool) -> tuple[float, str]:
    wish = facts.project.tolerance
    if name in wish.own:
        return wish.own[name], "own"
    kind = "closure" if closure else "fixed"
    return moulded_tolerance(size=wanted, grade=wish.grade, closure=closure), f"ISO 3302-1 {wish.grade}, {kind}"


def is_closure(name: str, wanted: float, facts: SizeFacts) -> bool:
    """Whether a size runs across the parting, so that it changes with how the mould closes."""
    feature = facts.feature(name)
    along = feature.run == "along"
    if facts.along_axis or not along:
        return facts.along_axis and not along
    if not feature.step:
        return True
    # Both faces of a step look the same way: up in the part as drawn. What looks up is shaped by the upper half.
    if facts.turned:
        return (facts.parting < -_SAME) != (facts.parting < wanted - _SAME)
    ends = (facts.height, facts.height - wanted)
    return (ends[0] >= facts.parting - _SAME) != (ends[1] >= facts.parting - _SAME)


def reading_of(measured: Measured) -> Reading:
    """Best value of the readings, with what the calipers can be off."""
    return repeated(
        measured.readings,
        resolution=measured.resolution,
        instrument=measured.instrument,
        lone_spread=assumed.HAND_SPREAD,
    )


def _pattern_wanted(wanted: float, after: Sequence[Based], tolerance: float) -> tuple[float, float]:
    """The pattern whose cast is as wanted, and how far it may be off for a clear go, read by an ordinary caliper."""
    usual = Measured(name="", readings=(0.0,), resolution=CALIPER_STEP, instrument=CALIPER_ERROR)
    read = Link(name="reading", offset_spread=reading_of(usual).deviation, shape="normal")
    end = run_chain(wanted, [read, *(link for link, _ in after)])
    return wanted + (wanted - end.best) / end.gain, max(0.0, tolerance - end.half_band) / end.gain


# ---------------------------------------------------------------- links


def drawn_size(name: str, wanted: float, facts: SizeFacts) -> float:
    """The size that the pattern is drawn with, m: corrected and scaled."""
    return (wanted + facts.project.pattern.offsets.get(name, 0.0)) * facts.scale


def _measured_link(wanted: float, facts: SizeFacts, reading: Reading, redrawn: float) -> Based:
    """The pattern as measured; or, `redrawn` since, the new one by a printer that errs as it did."""
    again = standard_uncertainty(assumed.REPRINT_MISS) if redrawn else 0.0
    parts = [reading.deviation, again]
    link = Link(
        name=REDRAWN if redrawn else "pattern as measured",
        gain=facts.scale,
        offset=reading.best + redrawn - facts.scale * wanted,
        offset_spread=combined(parts),
        shape="normal",
        freedom=effective_freedom(parts, [reading.freedom, math.inf]),
    )
    return link, "own measurement"


def pattern_links(name: str, wanted: float, feature: Feature, facts: SizeFacts) -> tuple[Based, ...]:
    """From the size wanted to the finished pattern: scale, print, coat."""
    wish = facts.project.pattern
    own = wish.offsets.get(name, 0.0)
    found: list[Based] = [(Link(name="pattern scale", gain=facts.scale, offset=own * facts.scale), "calculated")]
    found += _print_links(feature, facts)
    if wish.coat != 0.0 and feature.faces != 0.0:
        faces = 2.0 if feature.run == "along" and facts.parted_inside else feature.faces
        thick = faces * wish.coat
        found.append((Link(name="coat", offset=thick, offset_spread=abs(thick) * assumed.COAT_MISS), "own measurement"))
    return tuple(found)


def _print_links(feature: Feature, facts: SizeFacts) -> list[Based]:
    printer = facts.printer
    across = feature.run == "across"
    off = printer.size_error if across or printer.size_error_z is None else printer.size_error_z
    basis: Basis = "class default" if "size_error" in facts.printer_assumed else "own measurement"
    found: list[Based] = [
        (Link(name="printer", offset_spread=off, gain_spread=printer.size_share or 0.0), basis),
    ]
    if feature.hole:
        hole: Basis = "class default" if "hole_offset" in facts.printer_assumed else "own measurement"
        link = Link(
            name="printed holes",
            offset=-printer.hole_offset,
            offset_spread=assumed.HOLE_MISS * abs(printer.hole_offset),
        )
        found.append((link, hole))
    return found


def _rod_links(facts: SizeFacts) -> tuple[Based, ...]:
    return (
        (Link(name="pattern scale", gain=facts.scale), "calculated"),
        (Link(name="core rod", offset_spread=assumed.ROD_MISS), "class default"),
    )


def held_by_core(name: str, wanted: float, facts: SizeFacts) -> tuple[float, float] | None:
    """Least and most share of its free shrink that a size of rubber on a hard core has left; None for a free size."""
    feature, radius, core = facts.feature(name), wanted / 2, facts.core_radius
    if core == 0.0 or facts.rubber_length == 0.0:
        return None
    if feature.run == "along":
        thickness = max(to_m(_THIN_MM), _outside_radius(facts) - core)
        low, high = end_shrink(shrink=1.0, length=wanted, thickness=thickness)
        return low / wanted, high / wanted
    if not name.endswith("diameter") or radius <= core:
        return None
    disc, roller = bonded_shrink(shrink=_ANY_SHRINK, outside_radius=radius, core_radius=core)
    return disc / (_ANY_SHRINK * radius), roller / (_ANY_SHRINK * radius)


def _outside_radius(facts: SizeFacts) -> float:
    return facts.project.part.dimensions.get("outer_diameter", 0.0) / 2


def mould_links(
    wanted: float,
    facts: SizeFacts,
    *,
    closure: bool,
    rod: bool = False,
    held: tuple[float, float] | None = None,
) -> tuple[Based, ...]:
    """From the finished pattern to the cast: silicone, closing, temperature, resin, and what a hard core holds."""
    shrunk = _shrink_link("silicone shrink", facts.silicone, assumed.LEAST_MOULD_SHRINK_MISS)
    closing = ((_closing_link(wanted, facts), _DEFAULT),) if closure else ()
    resin = _shrink_link("resin shrink", facts.resin, assumed.LEAST_SHRINK_MISS)
    shrinking = (resin,) if held is None else _held_links(wanted, facts, resin, held)
    return (*(() if rod else (shrunk,)), *closing, (_warm_link(facts, rod=rod), _DEFAULT), *shrinking)


def _held_links(wanted: float, facts: SizeFacts, free: Based, held: tuple[float, float]) -> tuple[Based, ...]:
    """The resin's shrink on a core, and how far it may be off for not knowing how much the core holds."""
    link, basis = free
    share, low, high = _best_share(wanted, facts, held), *held
    shrink = 1.0 - link.gain
    on_core = Link(name=link.name, gain=1.0 - share * shrink, gain_spread=share * link.gain_spread)
    doubt = max(share - low, high - share) * abs(shrink)
    return ((on_core, basis), (Link(name="held by the core", gain_spread=doubt), _DEFAULT))


def _best_share(wanted: float, facts: SizeFacts, held: tuple[float, float]) -> float:
    """Between its limits by how long the rubber is for its thickness; the middle for a size along the axis."""
    low, high = held
    if low == 0.0:
        return (low + high) / 2
    part = held_share(length=facts.rubber_length, thickness=max(to_m(_THIN_MM), wanted / 2 - facts.core_radius))
    return low + part * (high - low)


_DEFAULT: Basis = "class default"


def _shrink_link(name: str, material: Material, least: Mapping[str, float]) -> Based:
    estimate = material.facts["shrink"].estimate
    miss = max(estimate.high - estimate.best, estimate.best - estimate.low, least.get(estimate.rests_on, 0.0))
    return Link(name=name, gain=1.0 - estimate.best, gain_spread=miss), estimate.rests_on


def _closing_link(wanted: float, facts: SizeFacts) -> Link:
    if facts.free_face:
        return Link(name="free face", offset_spread=assumed.FREE_FACE_MISS)
    thickness = max(facts.thickness, wanted)
    squeezed = squeezed_by(squeeze=assumed.PRESS_SQUEEZE, size=wanted, thickness=thickness)
    low, high = assumed.FLASH
    return Link(name="closing", offset=(low + high) / 2 - squeezed, offset_spread=(high - low) / 2 + squeezed)


def _warm_link(facts: SizeFacts, *, rod: bool) -> Link:
    """Mould and part against the room: what their temperature does, and how far it may be off."""
    at = facts.project.pattern.mould_temperature
    warm = 0.0 if at is None else at - facts.room
    measured = assumed.REFERENCE_TEMPERATURE - facts.room
    mould = facts.silicone.facts["expansion"].estimate
    part = facts.resin.facts["expansion"].estimate
    of_mould = 0.0 if rod else mould.best
    gain = warm_mould_gain(
        mould_expansion=of_mould, part_expansion=part.best, mould_warmth=warm, measured_warmth=measured
    )
    doubt = abs(of_mould - part.best) * assumed.WARMTH_MISS
    doubt += (0.0 if rod else (mould.high - mould.low) / 2) * abs(warm)
    doubt += (part.high - part.low) / 2 * abs(warm - measured)
    return Link(name="temperature", gain=gain, gain_spread=doubt)
