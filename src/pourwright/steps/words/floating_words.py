"""What wants to rise in a pour, in words for the bench sheet."""

from __future__ import annotations

from pourwright.domain.kit import Kit
from pourwright.engines.process.mould_physics import GRAVITY
from pourwright.steps.words.sheet_numbers import THIN

_LEAST = 1e-4  # kg; less is not worth a word


def floating_words(kit: Kit) -> dict[str, str]:
    """For each piece that rises, the mass whose weight equals its lift."""
    masses = {one.piece: one.lift / GRAVITY for one in kit.floats}
    return {piece: f"{1e3 * mass:.1f}{THIN}g" for piece, mass in masses.items() if mass >= _LEAST}
