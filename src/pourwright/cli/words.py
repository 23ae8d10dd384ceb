"""What commands print for a person: the answers first, then what was made, then what to do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pourwright.basics.quantities import show

if TYPE_CHECKING:
    from pourwright.app.workbench import Made
    from pourwright.domain.check_result import CheckResult
    from pourwright.domain.kit import Kit
    from pourwright.domain.pours import Pour, Pours

_SILICONE = "silicone"


def first_answers(kit: Kit, pours: Pours) -> Iterator[str]:
    """What a maker asks first: grams, price, pieces, when."""
    silicone = sum(pour.total for pour in pours.pours if pour.name.startswith(_SILICONE))
    resin = sum(pour.total for pour in pours.pours if not pour.name.startswith(_SILICONE))
    pieces = sum(body.count for body in kit.bodies if body.printed)
    yield f"Silicone to mix     {_grams(silicone)}"
    yield f"Resin for one cast  {_grams(resin)}  ({kit.cavities} {'parts' if kit.cavities > 1 else 'part'})"
    yield f"Price of both       {_price(pours)}"
    yield f"Pieces to print     {pieces}"
    yield f"Parts in hand       {_when(pours)}"


def _grams(mass: float) -> str:
    return f"{1e3 * mass:.0f} g"


def _price(pours: Pours) -> str:
    if pours.cost is None:
        return "unknown: write your prices into shop.toml"
    return f"{pours.cost:.2f} {pours.currency}".rstrip()


def _when(pours: Pours) -> str:
    if pours.time_to_parts is None:
        return "unknown"
    time = pours.time_to_parts
    low, best, high = (value / 3600 for value in (time.low, time.best, time.high))
    return f"about {best:.0f} h after the first pour ({low:.0f} to {high:.0f} h; printing not counted)"


def kit_words(kit: Kit) -> Iterator[str]:
    """The kit in a few lines: style and why, box, pieces."""
    yield f"Mould style: {kit.style} ({kit.style_reason})"
    inside = " × ".join(f"{1e3 * length:.1f}" for length in kit.box_inside)
    cavities = "1 cavity" if kit.cavities == 1 else f"{kit.cavities} cavities"
    yield f"Box inside {inside} mm, {cavities}, patterns scaled {kit.scale:.4f}"
    for body in kit.bodies:
        if body.printed:
            size = " × ".join(f"{1e3 * length:.1f}" for length in body.size)
            yield f"  {body.count} × {body.name:<18} {size} mm"
    for note in kit.notes:
        yield f"  note: {note}"


def pour_words(pours: Pours) -> Iterator[str]:
    """Each pour in two lines: what to weigh and where to stop the scale."""
    for pour in pours.pours:
        yield from _one_pour(pour)


def _one_pour(pour: Pour) -> Iterator[str]:
    placeholder = "  (placeholder ratio: read your sheet before mixing)" if pour.placeholder_ratio else ""
    stops = ", then ".join(show(figure, "mass", "g", digits=6) for figure in pour.stop_scale_at)
    yield f"{pour.name.capitalize()}: {pour.material}{placeholder}"
    yield (
        f"  {_exact(pour.total)} in all: A {_exact(pour.a)}, B {_exact(pour.b)}; stop the scale at {stops} "
        f"(ratio out by {100 * pour.ratio_error:.2f} % at worst)"
    )
    clock = f"{pour.clock / 60:.0f} min on the clock, the work takes {pour.needed / 60:.0f} min"
    yield f"  {clock}; smallest batch for this scale {_exact(pour.smallest_batch)}"


def _exact(mass: float) -> str:
    return f"{1e3 * mass:.1f} g"


def check_words(checks: tuple[CheckResult, ...]) -> Iterator[str]:
    """Checks that are not all well, failures first; then how many are."""
    marks = {"fail": "✕ FAILED", "caution": "! caution", "note": "! note"}
    bad = sorted((c for c in checks if not c.ok), key=lambda c: c.severity != "fail")
    for check in bad:
        yield f"{marks[check.severity]}  {check.name}{_figures(check)}"
        if check.advice:
            yield f"           {check.advice}"
    yield f"✓ {sum(check.ok for check in checks)} of {len(checks)} checks are well"


def _figures(check: CheckResult) -> str:
    if check.value is None:
        return ""
    limit = "" if check.limit is None else f" (limit {_plain(check.limit)})"
    return f": {_plain(check.value)} {check.unit}{limit}"


def _plain(number: float) -> str:
    return f"{number:.4g}" if abs(number) < 1000 else f"{number:.0f}"


def made_words(made: Made) -> Iterator[str]:
    """Where the files are, and what to do next."""
    shown = [name for name in made.files if not name.startswith("pictures/")]
    yield f"Made {len(made.files)} files in {made.out}"
    for name in shown:
        yield f"  {name}"
    if any(name.startswith("pictures/") for name in made.files):
        yield "  pictures/ (each piece, the kit pulled apart, a section; apart.svg moves: open it in a browser)"
    if "pictures/held.svg" in made.files:
        yield "  pictures/held.svg shows on the part where it holds silicone"
    if not made.ok:
        yield "Next: mend what failed, and make it again. Until then this is not to be poured."
        return
    sheet = "; take the bench sheet to the bench" if made.pours is not None else ""
    yield f"Next: print one pattern, measure it, then print the rest{sheet}."
