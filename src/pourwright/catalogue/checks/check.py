"""What a check of a kit is, and the shelf of all of them."""

from __future__ import annotations

from collections.abc import Callable

from pourwright.basics.shelf import Shelf
from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult

Judge = Callable[[KitFacts], CheckResult | None]

CHECKS: Shelf[Judge] = Shelf("pourwright.catalogue.checks", attribute="judge", noun="check")


def judge_all(facts: KitFacts) -> tuple[CheckResult, ...]:
    """Every check that has something to say about a kit, failures first, then cautions."""
    found = [result for check in CHECKS.values() if (result := check(facts)) is not None]
    order = {"fail": 0, "caution": 1, "note": 2}
    return tuple(sorted(found, key=lambda result: (result.ok, order[result.severity], result.name)))
