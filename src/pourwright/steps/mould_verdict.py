"""Judge whether a two-part mould would let a part go, by which scheme, or why not and what is least bad."""

from __future__ import annotations

from collections.abc import Sequence

from pourwright.basics.quantities import show_fixed
from pourwright.domain.inspection import HeldSilicone, Point, PullChoice, Verdict

OPEN = "open with cover plate"
LIDDED = "two-part lidded"
POCKET = "two-part lidded, patterns in a base pocket"
NOT_FLAT = "two-part lidded, stepped or ruled parting"

NOTHING = 4e-3  # of the part's volume: what the grid cannot tell from nothing
_FLAT = 0.98  # of the shadow that a face must cover to lie under a cover plate (judgement)
_AT_THE_TOP = 0.005  # of the height: nearer to the top than a slice or two is the top
_BETTER_NOT_FLAT = (
    0.02  # of the volume: a flat parting that blocks more is worth a parting that is not flat (judgement)
)
_ROUNDING = 1e-3


def judge(
    pull: PullChoice, others: Sequence[PullChoice], held: Sequence[HeldSilicone], *, volume: float, allowed: float
) -> Verdict:
    """The scheme that would do, or an honest no.

    Parameters
    ----------
    pull : the best way, with a flat parting.
    others : the runners-up.
    held : silicone that blocks the best way.
    volume : m3, of the part.
    allowed : stretch that the silicone stands.
    """
    blocked = _blocked(pull, held, volume, allowed)
    if not blocked and (pull.undercut <= _BETTER_NOT_FLAT * volume or pull.unavoidable_undercut > _clean(volume)):
        return _flat(pull, held, volume, allowed)
    clean = next((way for way in (pull, *others) if way.unavoidable_undercut <= _clean(volume)), None)
    if clean is not None and (blocked or clean is pull):
        return _not_flat(clean, pull, blocked, allowed)
    if not blocked:
        return _flat(pull, held, volume, allowed)
    return _none(pull, blocked, volume=volume, too_stiff=_worst(pull, held, volume) > allowed + _ROUNDING)


def against(way: PullChoice, best: PullChoice, *, volume: float, allowed: float) -> str:
    """Why a way comes after the best one, in a few words."""
    if way.runs_through > NOTHING * volume:
        return f"a bar of {_mm3(way.runs_through)} of silicone would run through the part"
    if way.stretch > allowed + _ROUNDING:
        return f"a ring of silicone must stretch {way.stretch:.2f} times, and {allowed:.2f} is allowed"
    if way.undercut > best.undercut + NOTHING * volume:
        return f"{_mm3(way.undercut)} of silicone is in the way, against {_mm3(best.undercut)}"
    if way.stretch > best.stretch + 0.01:
        return f"the silicone must stretch {way.stretch:.2f} times, against {best.stretch:.2f}"
    if way.undercut + NOTHING * volume < best.undercut:
        return "less silicone is in the way, but it sits deeper or the line runs askew over the part"
    if way.flat_top + 0.05 < best.flat_top:
        return "as free, but with less of a flat face across the pull"
    return "as good by every figure"


def _clean(volume: float) -> float:
    return 0.25 * NOTHING * volume


def _worst(pull: PullChoice, held: Sequence[HeldSilicone], volume: float) -> float:
    """Of rings round the whole part, and round each place that holds more than next to nothing."""
    return max([pull.stretch, *(piece.stretch for piece in held if piece.volume > NOTHING * volume)])


def _blocked(pull: PullChoice, held: Sequence[HeldSilicone], volume: float, allowed: float) -> list[str]:
    reasons = []
    if pull.runs_through > NOTHING * volume:
        bars = [piece for piece in held if piece.runs_through]
        where = f", the largest near {_at(bars[0].place)}" if bars else ""
        count = f"{len(bars)} bars" if len(bars) > 1 else "a bar"
        reasons.append(
            f"{count} of silicone, {_mm3(pull.runs_through)}, would run through the part{where}: "
            "part and silicone hang together like links of a chain, and only a cut would free them"
        )
    worst = _worst(pull, held, volume)
    if worst > allowed + _ROUNDING:
        where = next((f", near {_at(piece.place)}" for piece in held if piece.stretch >= worst), "")
        reasons.append(f"the silicone must stretch {worst:.2f} times{where}; {allowed:.2f} is allowed each time")
    return reasons


def _flat(pull: PullChoice, held: Sequence[HeldSilicone], volume: float, allowed: float) -> Verdict:
    reasons = []
    if pull.undercut <= NOTHING * volume:
        reasons.append("nothing holds the part: it leaves both halves freely")
    else:
        worst = _worst(pull, held, volume)
        reasons.append(
            f"{_mm3(pull.undercut)} of silicone must give way: it stretches {worst:.2f} times of {allowed:.2f} allowed"
        )
        reasons += [_deep(piece) for piece in held[:3] if piece.volume > NOTHING * volume]
    scheme, why = _scheme(pull, volume)
    return Verdict(opens=True, scheme=scheme, direction=pull.direction, reasons=(*reasons, why))


def _scheme(pull: PullChoice, volume: float) -> tuple[str, str]:
    if pull.lid_fills > 0:
        hangs = f"{_mm3(pull.lid_fills)} of silicone that hang from the lid"
        return LIDDED, f"it parts at its top, and the hollow that opens there is filled by {hangs}"
    if pull.parting_height >= (1 - _AT_THE_TOP) * pull.height:
        if pull.flat_top >= _FLAT:
            return OPEN, "one flat face covers the part across the pull: it can lie under a cover plate"
        return LIDDED, "it parts at its top, which is no single flat face: a lid of silicone closes it"
    if pull.undercut_upper <= _clean(volume):
        return POCKET, "it parts below its top, and what stands above tapers: a pocket in the base can hold the pattern"
    return LIDDED, "it parts below its top: the pattern is split at the parting, and a lid of silicone closes it"


def _not_flat(way: PullChoice, pull: PullChoice, blocked: Sequence[str], allowed: float) -> Verdict:
    flat = f"a flat parting would not do: {blocked[0]}" if blocked else _flat_would(pull, allowed)
    clean = "along this pull no silicone lies between two walls of the part: a parting that follows it opens cleanly"
    return Verdict(
        opens=True,
        scheme=NOT_FLAT,
        direction=way.direction,
        reasons=(clean, flat),
        advice=(
            "the kit looks by itself for a face that follows the part along the box or across it, and parts it flat "
            'where none does better; parting = "ruled" or "stepped" under [mould] asks for one',
        ),
    )


def _flat_would(pull: PullChoice, allowed: float) -> str:
    return (
        f"a flat parting would leave {_mm3(pull.undercut)} in the way, stretching {pull.stretch:.2f} of {allowed:.2f}"
    )


def _none(pull: PullChoice, blocked: Sequence[str], *, volume: float, too_stiff: bool) -> Verdict:
    least = (
        f"least bad: parted {_mm(pull.parting_height)} up, with {_mm3(pull.undercut_lower)} held in the lower "
        f"half and {_mm3(pull.undercut_upper)} in the lid, stretching {pull.stretch_lower:.2f} and "
        f"{pull.stretch_upper:.2f} times"
    )
    advice = []
    if pull.runs_through > NOTHING * volume:
        advice.append("put a loose core or a rod through each opening, drawn out sideways before the mould is opened")
    if too_stiff:
        advice.append("take a softer silicone that stretches more (--silicone NAME), or ease the undercut")
    advice.append("or split the part and join two casts, or add a third mould part for what is held")
    return Verdict(
        opens=False,
        scheme=LIDDED,
        direction=pull.direction,
        reasons=(*blocked, f"no way that was tried does better; {least}"),
        advice=tuple(advice),
    )


def _deep(piece: HeldSilicone) -> str:
    return (
        f"the {piece.half} holds {_mm3(piece.volume)} near {_at(piece.place)}: it must move {_mm(piece.depth)} "
        "aside to come out"
    )


def _mm3(volume: float) -> str:
    return f"{volume * 1e9:.4g} mm³"


def _mm(length: float) -> str:
    return show_fixed(length, "length", "mm", decimals=1)


def _at(place: Point) -> str:
    return "({:.1f}, {:.1f}, {:.1f}) mm".format(*(length * 1e3 for length in place))
