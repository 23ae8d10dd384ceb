"""From a kit to what to weigh: silicone for the lower half and the lid, resin for the cast."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from pourwright.basics.errors import InputError
from pourwright.basics.quantities import show
from pourwright.basics.shelf import unknown_name
from pourwright.domain.check_result import CheckResult
from pourwright.domain.kit import Kit
from pourwright.domain.material import Material
from pourwright.domain.part import Project
from pourwright.domain.pours import CAST, LID, LOWER_HALF, MouldVolumes, Pour, Pours
from pourwright.domain.shop import Shop
from pourwright.engines.process import mixing
from pourwright.engines.process.pour_clock import PourClock, pour_clock
from pourwright.steps.check_pours import check_materials, check_pour
from pourwright.steps.words.time_to_parts import time_to_parts

VERSION = 1


@dataclass(frozen=True, kw_only=True)
class Materials:
    """What the mould and the part are made of."""

    resin: Material
    silicone: Material


def make_pours(
    volumes: MouldVolumes,
    project: Project,
    shop: Shop,
    materials: Materials,
    *,
    poured_a: float | Mapping[str, float] | None = None,
) -> Pours:
    """What to weigh for one mould and one cast of it, and what is wrong with that plan.

    Parameters
    ----------
    volumes : m3
    project : for overflow, cup loss, cavities and pressure
    shop : for the scale, the room and prices
    materials : with the person's own sheets laid over their classes
    poured_a : kg of A really poured, of the cast, or by the name of a pour
        B, the total and the figures to stop at then follow from it.

    Raises
    ------
    InputError
        A poured mass that is none, or of a pour that this mould does not have.
    """
    kinds = [(LOWER_HALF, volumes.lower_half, materials.silicone)]
    kinds += [(LID, volumes.lid, materials.silicone)] if volumes.lid > 0 else []
    kinds += [(CAST, volumes.cavity, materials.resin)]
    poured = _poured_by_name(poured_a, [name for name, _, _ in kinds])
    pours: list[Pour] = []
    checks: list[CheckResult] = list(check_materials(materials.resin, materials.silicone, shop.room))
    for name, volume, material in kinds:
        clock = _clock(name, volume, material, shop)
        pour = _pour(name, volume, material, clock, project, shop, poured.get(name))
        pours.append(pour)
        checks += check_pour(pour, material, clock, shop)
    time, basis = time_to_parts(
        resin=materials.resin,
        silicone=materials.silicone,
        has_lid=volumes.lid > 0,
        cavities=project.mould.cavities,
        temperature=shop.room.temperature,
    )
    return Pours(
        project=project.name,
        pours=tuple(pours),
        checks=tuple(checks),
        parts_in_hand=time.best,
        time_to_parts=time,
        time_basis=basis,
        cost=_sum_of_costs(pours),
        currency=shop.prices.currency,
    )


def volumes_of(kit: Kit) -> MouldVolumes:
    """What the mould of a kit takes."""
    return MouldVolumes(lower_half=kit.silicone_lower_volume, lid=kit.silicone_lid_volume, cavity=kit.cavity_volume)


def _poured_by_name(poured_a: float | Mapping[str, float] | None, names: list[str]) -> Mapping[str, float]:
    if poured_a is None:
        return {}
    by_name = poured_a if isinstance(poured_a, Mapping) else {CAST: poured_a}
    for name, mass in by_name.items():
        if name not in names:
            raise unknown_name(name, names, noun="pour of this mould")
        if not (mass > 0 and math.isfinite(mass)):
            raise InputError(
                f"{show(mass, 'mass', 'g') if math.isfinite(mass) else mass} of A cannot have been poured",
                advice="write what the scale showed for A, like 34.9 g",
                field="poured_a",
            )
    return by_name


def _clock(name: str, volume: float, material: Material, shop: Shop) -> PourClock:
    sheet = material.facts.get("pot_life_temperature")
    at = {"sheet_temperature": sheet.estimate.best} if sheet else {}
    return pour_clock(
        pot_life=material.best("pot_life"),
        temperature=shop.room.temperature,
        volume=volume,
        liquid="silicone" if material.is_silicone else "resin",
        closings=1 if name == CAST else 0,
        **at,
    )


def _pour(
    name: str,
    volume: float,
    material: Material,
    clock: PourClock,
    project: Project,
    shop: Shop,
    poured_a: float | None,
) -> Pour:
    ratio = _ratio(material)
    density = material.best("density")
    cup_loss = project.mould.cup_loss
    mix = mixing.batch(volume=volume, density=density, ratio=ratio, overflow=project.mould.overflow, cup_loss=cup_loss)
    a, b = (mix.a, mix.b) if poured_a is None else (poured_a, mixing.correct_b(poured_a, ratio=ratio))
    stays_in_cup = min(mix.spare, mixing.CUP_LOSS if cup_loss is None else cup_loss)
    scale = {"readability": shop.scale.readability, "repeatability": shop.scale.repeatability}
    under_pressure = name == CAST and bool(project.mould.pressure)
    return Pour(
        name=name,
        material=material.name,
        volume=volume,
        density=density,
        total=a + b,
        a=a,
        b=b,
        ratio=ratio,
        ratio_basis=material.ratio_basis,
        placeholder_ratio=material.placeholder_ratio,
        ratio_error=mixing.ratio_error(a, b, **scale),
        ratio_deviation=mixing.ratio_deviation(a, b, **scale),
        smallest_batch=mixing.smallest_batch(ratio=ratio, readability=shop.scale.readability),
        stop_scale_at=mixing.stop_figures(a, b, readability=shop.scale.readability),
        pot_life=clock.pot_life,
        clock=clock.allowed,
        needed=clock.needed,
        too_fast=clock.too_fast,
        in_pot_by=clock.in_pot_by if under_pressure else None,
        cup_loss=stays_in_cup,
        overfill=mix.spare - stays_in_cup,
        poured_a=poured_a,
        cost=_cost(a + b, material, shop),
        notes=_notes(a + b, material, clock),
    )


def _ratio(material: Material) -> tuple[float, float]:
    if material.ratio_by_weight is None:
        raise InputError(
            f"{material.name} has no mix ratio",
            advice='write ratio_by_weight = "A:B" from its sheet into materials/',
            field="ratio_by_weight",
        )
    return material.ratio_by_weight.a, material.ratio_by_weight.b


def _notes(total: float, material: Material, clock: PourClock) -> tuple[str, ...]:
    notes = ["Mix, scrape sides and bottom, tip into a second clean cup and mix again."]
    sheet_mass = material.facts.get("pot_life_mass")
    if sheet_mass and total > sheet_mass.estimate.best * (1 + 1e-9):
        given = show(sheet_mass.estimate.best, "mass", "g", digits=3)
        notes.append(f"Pot life is given for {given}: {show(total, 'mass', 'g', digits=3)} in one cup gels sooner.")
    if not clock.too_fast:
        notes.append(f"{show(clock.spare, 'time', 'min', digits=2)} are left for degassing and mishaps.")
    return tuple(notes)


def _cost(total: float, material: Material, shop: Shop) -> float | None:
    prices = shop.prices.per_kg
    price = prices.get(material.name, prices.get(material.class_name))
    return None if price is None else price * total


def _sum_of_costs(pours: list[Pour]) -> float | None:
    costs = [pour.cost for pour in pours]
    return None if any(cost is None for cost in costs) else sum(cost for cost in costs if cost is not None)
