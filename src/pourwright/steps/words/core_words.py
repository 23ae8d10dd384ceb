"""The hard cores of a kit in words for its bench sheet."""

from __future__ import annotations

from pourwright.basics.quantities import show
from pourwright.catalogue.sheets.core_steps import HardCore
from pourwright.domain.kit import CAP, CORE, CUP, SPINDLE, Kit
from pourwright.steps.words.floating_words import floating_words

_THIN = "\u00a0"


def hard_core_words(kit: Kit) -> HardCore | None:
    """What the steps say of the cores; None for a kit without them."""
    bodies = {body.name: body for body in kit.bodies}
    if CORE not in bodies:
        return None
    spindle = bodies[SPINDLE].print_note if SPINDLE in bodies else ""
    squeeze = show(kit.core_squeeze, "length", "mm", digits=2, space=_THIN) if kit.core_squeeze > 0 else ""
    core = bodies[CORE]
    return HardCore(
        count=core.count,
        spindle=spindle,
        squeeze=squeeze,
        printed=core.printed,
        lift=floating_words(kit).get(CORE, ""),
        cups=CUP in bodies,
        caps=CAP in bodies,
    )
