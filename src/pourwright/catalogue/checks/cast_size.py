"""Will every size of the cast be within what is allowed?"""

from __future__ import annotations

from pourwright.basics.quantities import show
from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult
from pourwright.domain.size_forecast import SizeForecast


def judge(facts: KitFacts) -> CheckResult | None:
    """A caution for a size that will more likely be out than in, a note for one that may be."""
    if not facts.sizes:
        return None
    worst = max(facts.sizes, key=_strain)
    bad = [size for size in facts.sizes if size.verdict == "no-go"]
    doubtful = [size for size in facts.sizes if size.verdict == "not sure"]
    return CheckResult(
        name="cast size",
        ok=not bad and not doubtful,
        severity="caution" if bad else "note",
        value=round(max(abs(end - worst.wanted) for end in (worst.estimate.low, worst.estimate.high)) * 1e3, 3),
        limit=round(worst.tolerance * 1e3, 3),
        unit=f"mm off, {worst.name}",
        advice="; ".join(_advice(size) for size in (*bad, *doubtful)),
    )


def _strain(size: SizeForecast) -> float:
    return max(abs(end - size.wanted) for end in (size.estimate.low, size.estimate.high)) / size.tolerance


def _advice(size: SizeForecast) -> str:
    low, best, high = (
        show(end, "length", "mm", digits=4) for end in (size.estimate.low, size.estimate.best, size.estimate.high)
    )
    said = f"{size.name} will be {best} ({low} to {high}) and is wanted {show(size.wanted, 'length', 'mm', digits=4)}"
    if size.verdict == "no-go":
        return f"{said}: correct the pattern before silicone is bought"
    todo = "one more reading narrows it" if size.measured else "measure the first pattern before silicone is bought"
    return f"{said}: most of the doubt is the {size.driver}; {todo}"
