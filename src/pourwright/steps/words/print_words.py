"""Print advice in words and checks: for the print card, the 3MF file and the list of checks."""

from __future__ import annotations

from pourwright.basics.quantities import show
from pourwright.domain.check_result import CheckResult
from pourwright.domain.estimate import Estimate
from pourwright.domain.printing import PrintAdvice, Printing

_THIN = "\u00a0"
_LINES = 2.0  # thinner than so many lines prints badly or not at all (common practice)


def print_checks(printing: Printing) -> tuple[CheckResult, ...]:
    """Thin features, pieces without a face to stand on, fits that may bind."""
    return (_thin(printing), _stands(printing), _fits(printing))


def _thin(printing: Printing) -> CheckResult:
    limit = 1e3 * _LINES * printing.line
    known = [one for one in printing.pieces if one.thinnest is not None]
    worst = min(known, key=lambda one: one.thinnest or 0.0)  # a print without an upright wall does not come here
    value = 1e3 * (worst.thinnest or 0.0)
    thin = [one.name for one in known if 1e3 * (one.thinnest or 0.0) < limit - 1e-6]
    return CheckResult(
        name="thin prints",
        ok=not thin,
        severity="caution",
        value=round(value, 3),
        limit=round(limit, 3),
        unit="mm",
        advice=f"{worst.name}"
        if not thin
        else f"{', '.join(thin)}: thinner than two lines of the nozzle somewhere; take a finer nozzle, or look at it "
        "in the slicer before you print",
    )


def _stands(printing: Printing) -> CheckResult:
    loose = [one.name for one in printing.pieces if one.contact <= 25e-6]
    least = min(one.contact for one in printing.pieces)
    return CheckResult(
        name="face on the bed",
        ok=not loose,
        severity="caution",
        value=round(least * 1e6, 1),
        limit=25.0,
        unit="mm²",
        advice=""
        if not loose
        else f"{', '.join(loose)}: no flat face to stand on; print it with a brim and support, or cut it in two",
    )


def _fits(printing: Printing) -> CheckResult:
    binds = f"they may bind by {-1e3 * printing.play:.2g} mm" if printing.play < 0 else "none binds"
    words = f"made with {1e3 * printing.fit:.2g} mm on each side, at the printer's worst {binds}"
    return CheckResult(
        name="play between prints at worst",
        ok=True,
        severity="note",
        value=round(1e3 * printing.play, 3),
        unit="mm",
        advice=f"{words}: print two fit buttons first, correct hole_offset and size_error, then print the rest",
    )


def piece_words(one: PrintAdvice) -> str:
    """What the print card adds to a piece."""
    parts = []
    if one.support > 0.5e-6:
        parts.append(f"support {show(one.support, 'volume', 'mL', digits=2, space=_THIN)} as it lies")
    if one.better:
        parts.append(f"{one.better} wants less support")
    parts.append(f"seam {one.seam_words} ({1e3 * one.seam[0]:.0f}, {1e3 * one.seam[1]:.0f}{_THIN}mm from the middle)")
    grams = show(one.filament.best, "mass", "g", digits=2, space=_THIN)
    parts.append(f"about {grams}, {_hours(one.time.best)}" + (" each" if one.count > 1 else ""))
    return "; ".join(parts)


def printing_rules(printing: Printing) -> tuple[str, ...]:
    """What the print card says of the whole kit."""
    kilos, metres = printing.filament, printing.filament_length
    cost = "" if printing.cost is None else f", {_range(printing.cost, 1.0, 2)} {printing.currency}".rstrip()
    return (
        f"Print two fit buttons first (fit-button.stl): the tongue of one goes into the slot of the other by hand, a "
        f"3{_THIN}mm rod into the marked hole, an M3 screw through one hole and with bite into the last. "
        f"{_worst(printing)} Correct hole_offset in shop.toml before the rest.",
        f"Filament for all of it about {_range(kilos, 1e3, 0)}{_THIN}g ({metres.best:.0f}{_THIN}m), time "
        f"{_hours(printing.time.best)} ({_hours(printing.time.low)} to {_hours(printing.time.high)}){cost}. An "
        f"estimate: {'; '.join(printing.basis)}.",
    )


def _worst(printing: Printing) -> str:
    play = 1e3 * printing.play
    if play < 0:
        return f"At this printer’s worst prints that meet bind by {-play:.2g}{_THIN}mm: sand or drill them."
    return f"At this printer’s worst {play:.2g}{_THIN}mm of play are left."


def seam_metadata(printing: Printing) -> str:
    """One line for the 3MF file: where each piece's seam should stand, in its own frame.

    Examples
    --------
    >>> seam_metadata(Printing(pieces=(), line=0, layer=0, fit=0, play=0, filament=Estimate(low=0, best=0, high=0),
    ...     filament_length=Estimate(low=0, best=0, high=0), time=Estimate(low=0, best=0, high=0), cost=None,
    ...     currency="", basis=()))
    ''
    """
    return "; ".join(f"{one.name}: x {1e3 * one.seam[0]:.2f} y {1e3 * one.seam[1]:.2f}" for one in printing.pieces)


def _range(value: Estimate, factor: float, decimals: int) -> str:
    return (
        f"{factor * value.best:.{decimals}f} ({factor * value.low:.{decimals}f} to {factor * value.high:.{decimals}f})"
    )


def _hours(seconds: float) -> str:
    return show(seconds, "time", "h" if seconds >= 5400 else "min", digits=2, space=_THIN)
