"""How far may the rubber stand beside the middle of its hard core?"""

from __future__ import annotations

from dataclasses import dataclass

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.engines.process.overmould import run_out

# Low, best, high, all (judgement): how much wider than its nominal size a bore is, mm; what a printed clearance comes
# out as, as a share of the one drawn; how far silicone alone lets a core wander, mm.
_BORE_WIDER_MM = (0.0, 0.03, 0.1)
_PRINTED = (0.5, 1.0, 1.5)
_IN_SILICONE_MM = (0.2, 0.5, 1.0)
_METAL = "a metal spindle in a reamed bore, and sockets reamed to the rod, run truer"


@dataclass(frozen=True)
class Band:
    """Low, best and high, mm."""

    low: float
    best: float
    high: float


def judge(facts: KitFacts) -> CheckResult | None:
    """Half of all plays plus the lean of the spindle at the core's far end; a caution above what was asked for."""
    if facts.figure("core_end_mm") == 0.0:
        return None
    limit = facts.figure("core_run_out_mm")
    band = run_out_band(facts)
    ok = band.best <= limit
    words = f"{band.low:.2f} to {band.high:.2f} mm (a gauge shows twice that); it rests on {_basis(facts)}"
    advice = words if ok else f"{words}. {_advice(facts)}"
    return CheckResult(
        name="core run-out", ok=ok, severity="caution", value=round(band.best, 3), limit=limit, unit="mm", advice=advice
    )


def run_out_band(facts: KitFacts) -> Band:
    """The offset of the core from the middle of the rubber."""
    if facts.figure("core_cups"):
        play = 2e-3 * facts.figure("fit_mm")  # of the core in its cup, and of the cup in its socket
        far = {"span": 1.0, "height": 0.0}  # both ends are held alike, so that the core does not lean further
        return Band(*(1e3 * run_out(bore_play=play * s, socket_play=play * s, **far) for s in _PRINTED))
    if facts.figure("spindle_radius_mm") == 0.0:
        return Band(*_IN_SILICONE_MM)
    play, printed = facts.figure("spindle_play_mm"), facts.figure("spindle_printed") > 0
    socket, span = 2 * facts.figure("fit_mm"), facts.figure("spindle_span_mm")
    half = (facts.figure("core_high_mm") - facts.figure("core_low_mm")) / 2
    found = [
        1e3
        * run_out(
            bore_play=1e-3 * (play * share if printed else play + wider),
            socket_play=1e-3 * socket * share,
            span=1e-3 * span,
            height=1e-3 * half,
        )
        for wider, share in zip(_BORE_WIDER_MM, _PRINTED, strict=True)
    ]
    return Band(*found)


def _basis(facts: KitFacts) -> str:
    if facts.figure("core_cups"):
        return (
            f"printed cups with {2 * facts.figure('fit_mm'):.2f} mm of play round the core's ends, and as much in "
            "their sockets, as your printer makes them"
        )
    if facts.figure("spindle_radius_mm") == 0.0:
        return "the silicone alone, which is soft (judgement)"
    kind = "printed spindle" if facts.figure("spindle_printed") else "metal spindle"
    return (
        f"a {kind} with {facts.figure('spindle_play_mm'):.2f} mm of play in the bore and "
        f"{2 * facts.figure('fit_mm'):.2f} mm in its sockets, as your printer makes them"
    )


def _advice(facts: KitFacts) -> str:
    if facts.figure("spindle_radius_mm") == 0.0:
        if facts.figure("core_cups"):
            return "What helps: ream cups and sockets to fit, or a bore for a spindle; or ask for less (run_out)"
        return (
            "Let the core stand out 4 mm or more at both ends (core_overhang), and printed cups hold it; or give it a "
            "bore (core_bore) for a spindle; or ask for less (run_out)"
        )
    return f"What helps: {_METAL}; or ask for less (run_out)"
