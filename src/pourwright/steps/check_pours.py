"""What can go wrong with a pour before it is made: ratio, scale, clock, and a sheet nobody has read yet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pourwright.basics.quantities import show
from pourwright.domain.check_result import CheckResult, Severity
from pourwright.domain.material import Material
from pourwright.domain.pours import Pour
from pourwright.domain.shop import Room, Shop
from pourwright.engines.process import mixing
from pourwright.engines.process.pour_clock import PourClock, mixes_to_keep_up, temperature_to_keep_up

GOOD_RATIO = 0.01  # a mix ratio within this share is good ...
WORST_RATIO = 0.02  # ... and beyond this one the rubber suffers
# Worst case of the smallest honest batch (the smaller part 100 counts) on a scale that repeats to one count;
# beyond it the mix is refused, below it a person is warned, since the worst case is rare.
REFUSED_RATIO = 0.05
EMPTY_CUP = 0.030  # kg, stands on the scale with the mix
A_AS_PLANNED = 0.05  # share by which the A poured may miss the plan before a slip is suspected
COLDEST = 288.15  # K; in a room colder than this resins thicken and cure poorly
DRY_ENOUGH = 0.50  # relative humidity up to which urethane is poured
SCALES = (1e-3, 5e-4, 1e-4, 5e-5, 1e-5, 1e-6)  # kg, readabilities to buy

PLACEHOLDER = "placeholder: read your sheet before mixing"


def check_pour(pour: Pour, material: Material, clock: PourClock, shop: Shop) -> Iterator[CheckResult]:
    """Every check of one pour.

    Parameters
    ----------
    pour : as planned, or as corrected to the A really poured
    material : what it is mixed from
    clock : its minutes
    shop : for the scale

    References
    ----------
    trade-ratio-tolerance, trade-scale-rule, trade-in-pot
    """
    yield _ratio_error(pour, shop)
    yield _smallest_batch(pour, shop)
    yield _scale_capacity(pour, shop)
    yield _fast_enough(pour, material, clock, shop.room)
    if pour.in_pot_by is not None:
        yield _in_the_pot(pour, material)
    if pour.poured_a is not None:
        yield from _poured(pour)


def check_materials(resin: Material, silicone: Material, room: Room) -> Iterator[CheckResult]:
    """What is wrong with the materials themselves, with the two together, and with the room.

    Parameters
    ----------
    resin, silicone : as loaded
    room : where they are mixed

    References
    ----------
    trade-room, trade-silicone-poison
    """
    for material in {material.name: material for material in (silicone, resin)}.values():
        yield from _ratio_known(material)
        yield from (
            CheckResult(name=f"{material.name}: own sheet", ok=False, severity="caution", advice=doubt)
            for doubt in material.doubts
        )
    yield _get_along(resin, silicone)
    yield CheckResult(
        name="room temperature",
        ok=room.temperature >= COLDEST,
        severity="caution",
        value=room.temperature - 273.15,
        limit=COLDEST - 273.15,
        unit="°C",
        advice="" if room.temperature >= COLDEST else "warm room and material to 20 to 25 °C before mixing",
    )
    if "urethane" in (resin.kind, silicone.kind):
        dry = room.humidity <= DRY_ENOUGH + 1e-9
        yield CheckResult(
            name="room humidity",
            ok=dry,
            severity="caution",
            value=100 * room.humidity,
            limit=100 * DRY_ENOUGH,
            unit="%",
            advice="" if dry else "dry the room, or wait: urethane foams with the water it takes up",
        )


def _ratio_error(pour: Pour, shop: Shop) -> CheckResult:
    error = pour.ratio_error / (1 + 1e-9)
    passed = [limit for limit in (GOOD_RATIO, WORST_RATIO, REFUSED_RATIO) if error > limit]
    limit = passed[-1] if passed else GOOD_RATIO
    enough = mixing.batch_for_error(
        min(limit, WORST_RATIO),
        ratio=pour.ratio,
        readability=shop.scale.readability,
        repeatability=shop.scale.repeatability,
    )
    finer = _scale_for(pour, shop, limit=GOOD_RATIO)
    ways = [f"mix {_grams_up(enough)} or more in one cup"]
    ways += [f"weigh on a scale that reads {_grams(finer)} and repeats as well"] if finer else []
    return CheckResult(
        name=f"{pour.name}: ratio error",
        ok=not passed,
        severity="fail" if error > REFUSED_RATIO else "caution",
        value=100 * pour.ratio_error,
        limit=100 * limit,
        unit="%",
        advice=", or ".join(ways) if passed else "",
    )


def _scale_for(pour: Pour, shop: Shop, *, limit: float) -> float | None:
    """The coarsest scale to buy that keeps within the limit, its repeatability in step with this one's."""
    step = shop.scale.repeatability / shop.scale.readability
    good = (r for r in SCALES if mixing.ratio_error(pour.a, pour.b, readability=r, repeatability=step * r) <= limit)
    return next(good, None)


def _smallest_batch(pour: Pour, shop: Shop) -> CheckResult:
    ok = pour.total >= pour.smallest_batch * (1 - 1e-9)
    smaller = min(pour.a, pour.b)
    finer = next((r for r in SCALES if r <= smaller / mixing.COUNTS_AT_LEAST), None)
    return CheckResult(
        name=f"{pour.name}: smallest batch",
        ok=ok,
        value=1e3 * pour.total,
        limit=1e3 * pour.smallest_batch,
        unit="g",
        advice=""
        if ok
        else f"the smaller part is {smaller / shop.scale.readability:.0f} counts of this scale, and 100 are wanted: "
        f"mix {_grams_up(pour.smallest_batch)}" + (f", or use a scale that reads {_grams(finer)}" if finer else ""),
    )


def _scale_capacity(pour: Pour, shop: Shop) -> CheckResult:
    load = pour.total + EMPTY_CUP
    ok = load <= shop.scale.capacity
    room = shop.scale.capacity - EMPTY_CUP
    way = "the scale does not even carry the cup"
    if room > 0:
        mixes = math.ceil(pour.total / room - 1e-9)
        way = f"weigh it in {mixes} mixes of {_grams(pour.total / mixes)}"
    return CheckResult(
        name=f"{pour.name}: scale capacity",
        ok=ok,
        value=1e3 * load,
        limit=1e3 * shop.scale.capacity,
        unit="g",
        advice="" if ok else way,
    )


def _fast_enough(pour: Pour, material: Material, clock: PourClock, room: Room) -> CheckResult:
    pot_life = material.facts["pot_life"].estimate
    known = pot_life.rests_on != "class default"
    shortest = clock.allowed * pot_life.low / pot_life.best
    advice = ""
    severity: Severity = "fail" if known else "caution"
    if clock.too_fast:
        advice = _how_to_keep_up(pour, material, clock, room)
    elif clock.needed > shortest:
        severity = "note"
        advice = f"may be too fast: pot life in this room can be {_minutes(shortest * clock.pot_life / clock.allowed)}"
        advice += "; read your sheet" if not known else ""
    return CheckResult(
        name=f"{pour.name}: in time",
        ok=not advice,
        severity=severity,
        value=clock.needed / 60,
        limit=clock.allowed / 60,
        unit="min",
        advice=advice,
    )


def _how_to_keep_up(pour: Pour, material: Material, clock: PourClock, room: Room) -> str:
    lead = f"the work takes {_minutes(clock.needed)}, and {_minutes(clock.allowed)} are usable: "
    mixes = mixes_to_keep_up(clock, volume=pour.volume, liquid="silicone" if material.is_silicone else "resin")
    ways = [f"split it into {mixes} mixes of {_grams(pour.total / mixes)}"] if mixes else []
    ways += ["take a slower material"]
    cool = temperature_to_keep_up(clock, temperature=room.temperature)
    ways += [f"work at {math.floor(cool - 273.15)} °C"] if cool >= COLDEST + 1.0 else []
    return lead + ", or ".join(ways)


def _in_the_pot(pour: Pour, material: Material) -> CheckResult:
    by = pour.in_pot_by or 0.0
    known = material.facts["pot_life"].estimate.rests_on != "class default"
    ok = pour.needed <= by
    return CheckResult(
        name=f"{pour.name}: in the pot",
        ok=ok,
        severity="caution" if known else "note",
        value=pour.needed / 60,
        limit=by / 60,
        unit="min",
        advice=""
        if ok
        else f"a third of pot life is over after {_minutes(by)}: under pressure later than that, bubbles may stay",
    )


def _poured(pour: Pour) -> Iterator[CheckResult]:
    takes = pour.volume * pour.density
    enough = pour.total >= takes
    planned = (takes + pour.cup_loss + pour.overfill) * pour.ratio[0] / sum(pour.ratio)
    yield CheckResult(
        name=f"{pour.name}: enough in the cup",
        ok=enough,
        value=1e3 * pour.total,
        limit=1e3 * takes,
        unit="g",
        advice="" if enough else f"pour {_grams_up(planned - pour.a)} more of A before B, or the mould will not fill",
    )
    gap = pour.a / planned - 1
    near = abs(gap) <= A_AS_PLANNED
    yield CheckResult(
        name=f"{pour.name}: A as planned",
        ok=near,
        severity="caution",
        value=100 * gap,
        limit=100 * A_AS_PLANNED,
        unit="%",
        advice=""
        if near
        else f"{_grams(pour.a)} of A instead of {_grams(planned)}: is the figure right, cup tared off?",
    )


def _ratio_known(material: Material) -> Iterator[CheckResult]:
    ratio = material.ratio_by_weight
    advice = ""
    if material.placeholder_ratio:
        advice = f"{PLACEHOLDER}; then write ratio_by_weight into materials/"
        if ratio and ratio.status == "densities missing":
            advice = (
                "the sheet's ratio is by volume, and without the densities of A and B nobody can weigh it: "
                "write density_a and density_b too"
            )
    yield CheckResult(name=f"{material.name}: ratio", ok=not advice, severity="caution", advice=advice)
    if material.ratio_basis == "volume" and not material.placeholder_ratio:
        yield _volume_weighed(material)


def _volume_weighed(material: Material) -> CheckResult:
    weight, volume = material.ratio_by_weight, material.ratio_by_volume
    if weight is None or volume is None:
        return CheckResult(name=f"{material.name}: by volume", ok=True)
    gap = abs(mixing.ratio_gap((volume.a, volume.b), wanted=(weight.a, weight.b)))
    ok = gap <= GOOD_RATIO
    return CheckResult(
        name=f"{material.name}: by volume",
        ok=ok,
        severity="caution",
        value=100 * gap,
        limit=100 * GOOD_RATIO,
        unit="%",
        advice=""
        if ok
        else f"the sheet's {volume.a:.4g}:{volume.b:.4g} is by volume; weigh {weight.a:.4g}:{weight.b:.3g}. "
        f"Weighing {volume.a:.4g}:{volume.b:.4g} would be {100 * gap:.1f} % off",
    )


def _get_along(resin: Material, silicone: Material) -> CheckResult:
    kinds = {resin.kind, silicone.kind}
    stop = kinds == {"platinum silicone", "tin silicone"}
    stick = not stop and resin.is_silicone
    advice = "platinum-cured and tin-cured silicone stop each other's cure: take another of the two" if stop else ""
    advice = "silicone sticks to the silicone mould: the cavity needs release before each cast" if stick else advice
    return CheckResult(name="materials together", ok=not advice, severity="fail" if stop else "caution", advice=advice)


def _grams(mass: float) -> str:
    return show(mass, "mass", "g", digits=3 if mass < 1.0 else 4)


def _grams_up(mass: float) -> str:
    """Three digits, never rounded down."""
    step = 10.0 ** (math.floor(math.log10(mass)) - 2)
    return _grams(math.ceil(mass / step - 1e-9) * step)


def _minutes(seconds: float) -> str:
    return show(seconds, "time", "min", digits=2)
