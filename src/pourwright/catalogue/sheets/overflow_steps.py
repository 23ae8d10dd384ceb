"""What is done with the cured overflow on top of a mould."""

from __future__ import annotations

from pourwright.catalogue.sheets.bench_facts import BenchFacts


def peel_the_overflow(facts: BenchFacts) -> str:
    """Where there are wells, before the mould is opened; nothing in a style without them."""
    if facts.style not in ("open with cover plate", "two-part lidded"):
        return ""
    return (
        "take the press board off and peel the overflow from the top: channels join the wells, it comes as one "
        "piece unless a core rod stands between them; then "
    )
