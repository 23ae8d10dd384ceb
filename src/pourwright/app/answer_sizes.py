"""Sizes of the cast as plain objects for `--json`: keys carry their unit."""

from __future__ import annotations

from pourwright.domain.size_forecast import SizeForecast

_MM = 1e3


def size_answer(size: SizeForecast) -> dict[str, object]:
    """One size: wanted, forecast with its band, tolerance, verdict, and what each link of the chain does."""
    estimate = size.estimate
    return {
        "name": size.name,
        "wanted_mm": _mm(size.wanted),
        "low_mm": _mm(estimate.low),
        "best_mm": _mm(estimate.best),
        "high_mm": _mm(estimate.high),
        "tolerance_mm": _mm(size.tolerance),
        "tolerance_from": size.tolerance_from,
        "closure": size.closure,
        "verdict": size.verdict,
        "rests_on": estimate.rests_on,
        "driver": size.driver,
        "shares": {name: round(share, 6) for name, share in size.shares.items()},
        "shifts_mm": {name: _mm(shift) for name, shift in size.shifts.items()},
        "pattern_mm": _mm(size.pattern),
        "pattern_room_mm": _mm(size.pattern_room),
        "measured_mm": None if size.measured is None else _mm(size.measured),
        "drawn_mm": _mm(size.drawn),
        "offset_mm": _mm(size.offset),
    }


def _mm(length: float) -> float:
    return round(length * _MM, 6)
