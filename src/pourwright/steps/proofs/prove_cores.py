"""The identities of hard cores: the resin fills what they leave, and only their lands touch the silicone."""

from __future__ import annotations

from pourwright.catalogue.moulds.design import Cored, MouldDesign
from pourwright.steps.proofs.fit_book import FitBook
from pourwright.steps.proofs.fit_bounds import CAVITY, NOTHING, RESIN, RUBBER, sum_bound_mm3


def cores(design: MouldDesign, book: FitBook) -> None:
    """What resin fills beside hard cores, and whether only the lands touch them."""
    cored = design.cored
    if cored is None:
        return
    cavity = book.volume(CAVITY, design.cavity)
    resin = book.volume(RESIN, design.resin)
    book.volume(RUBBER, cored.rubber)
    bound = max(NOTHING * cavity, sum_bound_mm3(design, book.evaluator))
    kept_out = book.volume_of(cored.held & design.cavity)
    book.hold_volume("K1: the resin is the cavity less cores and spindles", cavity - kept_out - resin, bound)
    pressed = book.volume_of(cored.cores - design.cavity)
    planned = cored.squeezed_mm3 if cored.pressed is None else book.volume_of(cored.pressed)
    book.hold_volume("K2: only the lands press on the cores", pressed - planned, bound)
    if not book.evaluator.kernel.exact:
        book.hold_volume("K3: the resin lies in the cavity", book.volume_of(design.resin - design.cavity), bound)
        book.hold_volume("K3: the resin lies beside the cores", _beside(design, cored, book), bound)
        found = book.count(RESIN, design.resin)
        book.hold_count("K3: the resin has as many bodies as planned", found, design.cavity_bodies)


def _beside(design: MouldDesign, cored: Cored, book: FitBook) -> float:
    """Resin inside the cores; rubber and voids one by one, for their union may move a corner by a rounding of its own.

    Rubber on a core from a file is its envelope less that very core: to cut the two again would tell of the rounding
    of a thousand coinciding triangles, so that it is counted by inclusion and exclusion instead.
    """
    voids = 0.0 if design.formers_second is None else book.volume_of(design.formers_second & cored.held)
    if cored.envelope is None:
        return voids + book.volume_of(cored.rubber & cored.held)
    within = book.volume_of(cored.envelope & cored.one_filled)
    miss = book.volume_of(cored.envelope) - within - book.volume_of(cored.one_rubber)
    return voids + design.cavities * abs(miss)
