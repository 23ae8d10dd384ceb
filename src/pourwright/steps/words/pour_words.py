"""What the bench does about ledges that hold air and bores that silicone bridges, pour by pour, as words."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from pourwright.basics.quantities import show
from pourwright.domain.kit import Kit
from pourwright.domain.silicone_pour import BoreToFill, Pocket, PourAir

_SPACE = "\u00a0"
_BRUSHED = 3e-3  # m: a brush reaches into a ledge so deep (judgement)
_NEEDLE_SHARE = 0.5  # of the bore: air must get out beside the needle (judgement)
_SHORT = 0.5e-3  # m: a shallower hole is no bore


def ledge_words(kit: Kit) -> Mapping[int, str]:
    """For each pour of silicone with air under ledges, what to do before it."""
    return {one.pour: _ledges(one) for one in kit.pour_air}


def bore_words(kit: Kit) -> Mapping[int, str]:
    """For each pour of silicone that has to fill bores, which, how deep the needle goes and how much they take."""
    pours = sorted({bore.pour for bore in kit.bores if bore.depth > _SHORT})
    return {pour: _bores([b for b in kit.bores if b.pour == pour and b.depth > _SHORT]) for pour in pours}


def _ledges(air: PourAir) -> str:
    where = "; ".join(_pocket(pocket, air) for pocket in air.pockets[:3])
    deepest = max(pocket.depth for pocket in air.pockets)
    words = (
        f"Ledges of the pattern hold air in this pour ({_mm3(air.worst)} a cavity at worst: {where}), and each bubble "
        "would be a bump on every part. Brush a thin print coat of the mixed silicone on them first, into every "
        "corner, and wait until its bubbles have burst."
    )
    if deepest > _BRUSHED:
        words += " Where no brush reaches, fill by syringe from the innermost corner outwards."
    if air.lean is not None:
        tilt, side = math.degrees(air.lean[0]), side_words(math.degrees(air.lean[1]))
        words += (
            f" Then pour with the {side} side raised by {tilt:.0f}° until the ledges are covered, and set it level "
            "to fill it up."
        )
    return words


def side_words(towards: float) -> str:
    """A side of the box by its axis in the plan, from degrees."""
    quarter, rest = divmod(round(towards, 3) % 360.0, 90.0)
    return ("+x", "+y", "−x", "−y")[int(quarter)] if rest == 0.0 else f"{towards:.0f}° from x towards y"


def _pocket(pocket: Pocket, air: PourAir) -> str:
    x, y, z = pocket.at
    side = "below" if z < 0 else "above"
    across = (
        f"{_mm(math.hypot(x, y))} from the axis" if air.round_about else f"at x {_mm(x)}, y {_mm(y)} from the middle"
    )
    return f"{_mm3(pocket.volume)}, {_mm(pocket.depth)} deep, {_mm(abs(z))} {side} the parting, {across}"


def _bores(bores: Sequence[BoreToFill]) -> str:
    return (
        "Fill bores first, by syringe: needle at the bottom, drawing back as it rises. Silicone poured over a bore "
        "traps air in it. " + " ".join(_bore(bore, alone=len(bores) == 1) for bore in bores)
    )


def _bore(bore: BoreToFill, *, alone: bool) -> str:
    place = "" if alone else f" at x {_mm(bore.at[0])}, y {_mm(bore.at[1])} from the middle"
    each = f"{_ml(bore.volume)} each, {_ml(bore.volume * bore.count)} in all" if bore.count > 1 else _ml(bore.volume)
    needle = (
        f"{bore.count} × ⌀{_SPACE}{_mm(bore.diameter)}{place}: a needle that reaches {_mm(bore.depth)} and is at most "
        f"{_mm(_NEEDLE_SHARE * bore.diameter)} thick, {each}"
    )
    if bore.fills_itself:
        return f"{needle}."
    return f"{needle}; poured over, {never_words(bore)}."


def never_words(bore: BoreToFill) -> str:
    """How long a bridged bore takes by itself, against what it may take."""
    limit = show(bore.limit, "time", "min", digits=2, space=_SPACE)
    if math.isinf(bore.time):
        return "its air would never come up"
    return f"it would take {show(bore.time, 'time', 'min', digits=2, space=_SPACE)}, and has {limit}"


def _mm(length: float) -> str:
    return show(length, "length", "mm", digits=2, space=_SPACE)


def _mm3(volume: float) -> str:
    return f"{volume * 1e9:.0f}{_SPACE}mm³"


def _ml(volume: float) -> str:
    return show(volume, "volume", "mL", digits=2, space=_SPACE)
