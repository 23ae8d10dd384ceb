"""The pours as the plain object that `--json` prints: keys carry their unit."""

from __future__ import annotations

from pourwright.app.answer_kit import check_answer
from pourwright.domain.estimate import Estimate
from pourwright.domain.pours import Pour, Pours

_GRAM = 1e3
_ML = 1e6


def pours_answer(pours: Pours) -> dict[str, object]:
    """Everything the contract promises about pours; more keys may follow, none is taken away."""
    return {
        "project": pours.project,
        "pours": [_pour(pour) for pour in pours.pours],
        "checks": [check_answer(check) for check in pours.checks],
        "parts_in_hand_h": None if pours.time_to_parts is None else _hours(pours.time_to_parts),
        "parts_in_hand_basis": pours.time_basis,
        "cost": pours.cost,
        "currency": pours.currency,
        "ok": pours.ok,
    }


def _pour(pour: Pour) -> dict[str, object]:
    return {
        "name": pour.name,
        "material": pour.material,
        "volume_ml": pour.volume * _ML,
        "density_g_per_ml": pour.density / 1e3,
        "total_g": pour.total * _GRAM,
        "a_g": pour.a * _GRAM,
        "b_g": pour.b * _GRAM,
        "ratio": list(pour.ratio),
        "ratio_basis": pour.ratio_basis,
        "ratio_is_placeholder": pour.placeholder_ratio,
        "ratio_error_percent": 100 * pour.ratio_error,
        "ratio_deviation_percent": 100 * pour.ratio_deviation,
        "smallest_batch_g": pour.smallest_batch * _GRAM,
        # A scale shows decimals; nine of them take away only what binary fractions add.
        "stop_scale_at_g": [round(figure * _GRAM, 9) for figure in pour.stop_scale_at],
        "clock_min": pour.clock / 60,
        "needed_min": pour.needed / 60,
        "in_pot_by_min": None if pour.in_pot_by is None else pour.in_pot_by / 60,
        "pot_life_min": pour.pot_life / 60,
        "too_fast": pour.too_fast,
        "cup_loss_g": pour.cup_loss * _GRAM,
        "overfill_g": pour.overfill * _GRAM,
        "poured_a_g": None if pour.poured_a is None else pour.poured_a * _GRAM,
        "cost": pour.cost,
        "notes": list(pour.notes),
    }


def _hours(time: Estimate) -> dict[str, object]:
    return {
        "low": time.low / 3600,
        "best": time.best / 3600,
        "high": time.high / 3600,
        "rests_on": time.rests_on,
    }
