"""Can the halves be pulled off the part at all: does silicone run through it, or grip one place too hard?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.geometry.pulls.held import Held

NAME = "silicone lets go"
NOTHING = 4e-3  # of the part's volume: what the grid cannot tell from nothing
ROUNDING = 1e-3


def judge(facts: KitFacts) -> CheckResult | None:
    """Fails for a bar of silicone through the part, and where one place asks for more stretch than is allowed.

    The stretch allowed is 1 + a third of the elongation at break (from memory).
    """
    if facts.undercut_mm3 is None:
        return None
    blocked = blocked_words(facts.held, volume_mm3=facts.figure("part_volume_mm3"), allowed=facts.stretch_allowed)
    return CheckResult(
        name=NAME,
        ok=not blocked,
        value=round(facts.undercut_mm3, 2),
        unit="mm³ behind one part",
        advice="; ".join(blocked),
    )


def blocked_words(held: tuple[Held, ...], *, volume_mm3: float, allowed: float) -> list[str]:
    """What keeps the halves on the part: which half, how much, where.

    Parameters
    ----------
    held : pieces of silicone that stand behind the part.
    volume_mm3 : of the part.
    allowed : stretch that the silicone stands.
    """
    bars, tight = bars_of(held, volume_mm3), tight_of(held, volume_mm3, allowed)
    found = []
    for half in dict.fromkeys(piece.half for piece in bars):
        of = [piece for piece in bars if piece.half == half]
        count = "a bar" if len(of) == 1 else f"{len(of)} bars"
        found.append(
            f"{count} of the {half}, {sum(piece.volume_mm3 for piece in of):.1f} mm³, would run through the part "
            f"{at_words(of[0])}: only a cut would free it"
        )
    found += [
        f"{piece.volume_mm3:.1f} mm³ of the {piece.half} {at_words(piece)} must stretch {piece.stretch:.2f} times to "
        f"come out, and {allowed:.2f} is allowed"
        for piece in tight
    ]
    return found


def bars_of(held: tuple[Held, ...], volume_mm3: float) -> tuple[Held, ...]:
    """Those that run through the part and are large enough to be more than a fault of the grid."""
    return tuple(piece for piece in held if piece.runs_through and piece.volume_mm3 > NOTHING * volume_mm3)


def tight_of(held: tuple[Held, ...], volume_mm3: float, allowed: float) -> tuple[Held, ...]:
    """Those that can be freed by stretching alone, but by more than is allowed."""
    large = [piece for piece in held if not piece.runs_through and piece.volume_mm3 > NOTHING * volume_mm3]
    return tuple(piece for piece in large if piece.stretch > allowed + ROUNDING)


def at_words(piece: Held) -> str:
    """Where it is, seen from the middle of a cavity."""
    x, y, z = piece.point_mm
    side = "above" if z >= 0 else "below"
    return f"near ({x:.1f}, {y:.1f}) mm from the middle of a cavity, {abs(z):.1f} mm {side} the parting"
