"""The identity of the breathers: in no pour does silicone or a print stand in the air's way out of a hollow pattern."""

from __future__ import annotations

from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.steps.proofs.fit_book import FitBook
from pourwright.steps.proofs.fit_bounds import NOTHING
from pourwright.steps.proofs.prove_pieces import standing_in


def breathers(design: MouldDesign, book: FitBook) -> None:
    """What each way shares with the silicone of its pour, and with what stands in it."""
    for breather in design.breathers:
        bound = NOTHING * book.volume_of(breather.way)
        silicone = book.volume_of(breather.way & design.lower)
        if breather.pour > 1 and design.closing_is_silicone:
            silicone += book.volume_of(breather.way & design.closing)
        name = f"pour {breather.pour}"
        if not book.hold_volume(f"breathers: no silicone of {name} stands in them", silicone, bound):
            book.missing_mm3[f"silicone of {name} in a breather"] = silicone
        shut = {one.name: book.volume_of(breather.way & one.node) for one in standing_in(design, name)}
        for piece, volume in shut.items():
            if volume > bound:
                book.missing_mm3[f"{piece} in a breather of {name}"] = volume
        book.hold_volume(f"breathers: no print of {name} stands in them", sum(shut.values()), bound)
