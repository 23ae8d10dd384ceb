"""How many pieces have to be printed for this mould."""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """A figure to know, not a limit."""
    count = sum(piece.count for piece in facts.pieces)
    kinds = len(facts.pieces)
    return CheckResult(
        name="pieces to print", ok=True, severity="note", value=float(count), unit="pieces",
        advice=f"{kinds} kinds; print one of each kind that is needed twice, measure it, then the rest",
    )  # fmt: skip
