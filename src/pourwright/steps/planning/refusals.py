"""A refused mould style: what speaks against each of the others, and which of them may be asked for all the same."""

from __future__ import annotations

from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.style import STYLES, Choice
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape


def refused(
    fault: CannotBuild, choice: Choice, shape: PartShape, wish: StyleWish, solid: SolidFacts | None
) -> CannotBuild:
    """The same refusal; its advice has one line more for each other style, the least work first.

    Parameters
    ----------
    fault : why the style taken cannot be made.
    choice : that style, and what speaks against the others.
    shape, wish, solid : what the mould is for.
    """
    may, may_not = other_styles(choice, shape, wish, solid)
    taken = f'the style "{choice.style}" was taken: {choice.reason}'
    where = fault.where() | {"advice": "\n".join((fault.advice, taken, *may, *may_not))}
    return CannotBuild(fault.message, **where)  # type: ignore[arg-type]


def other_styles(
    choice: Choice, shape: PartShape, wish: StyleWish, solid: SolidFacts | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """One line for each style that was not taken: those that a person may ask for, and those that cannot be made."""
    may, may_not = [], []
    for name in sorted(choice.against, key=lambda name: STYLES[name].effort):
        against = "; ".join(choice.against[name])
        try:
            STYLES[name].build(shape, wish, solid)
        except (CannotBuild, DoesNotFit) as fault:
            may_not.append(f'not "{name}": {against or fault}')
        else:
            though = f", though {against}" if against else ""
            may.append(f'style = "{name}" under [mould] can be made{though}')
    return tuple(may), tuple(may_not)
