"""What the bench sheet's cards say of each pour: what to weigh, where to stop the scale, how long it may take."""

from __future__ import annotations

from pourwright.basics.quantities import show
from pourwright.catalogue.sheets.bench_data import SheetPour
from pourwright.domain.pours import Pour
from pourwright.domain.shop import Shop
from pourwright.steps.words.sheet_numbers import THIN, decimals, full_minutes, minutes, on_scale


def pour_card(pour: Pour, shop: Shop, currency: str) -> SheetPour:
    """The card of one pour."""
    places = decimals(shop.scale.readability)
    a, both = pour.stop_scale_at
    return SheetPour(
        name=pour.name[0].upper() + pour.name[1:],
        material=pour.material,
        volume=show(pour.volume, "volume", "mL", digits=4, space=THIN),
        total=on_scale(pour.total, places),
        a=on_scale(pour.a, places),
        b=on_scale(pour.b, places),
        stop_a=on_scale(a, places),
        stop_ab=on_scale(both, places),
        ratio=f"{pour.ratio[0]:.4g} : {pour.ratio[1]:.4g} by weight"
        + (" (sheet by volume)" if pour.ratio_basis == "volume" else ""),
        b_per_a=f"{pour.ratio[1] / pour.ratio[0]:.4g}",
        ratio_error=f"{100 * pour.ratio_error:.3g} %",
        smallest_batch=on_scale(pour.smallest_batch, places),
        pot_life=minutes(pour.pot_life),
        allowed=f"within {full_minutes(pour.clock)}",
        cup_loss=on_scale(pour.cup_loss, places),
        cost="" if pour.cost is None else f"{pour.cost:.2f}{THIN}{currency}".rstrip(),
        placeholder=pour.placeholder_ratio,
        too_fast=pour.too_fast,
        notes=pour.notes,
    )
