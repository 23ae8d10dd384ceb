"""What a mould style promises, and how one is chosen for a part."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pourwright.basics.shelf import Shelf
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.facts import SolidFacts
from pourwright.catalogue.moulds.wish import StyleWish
from pourwright.catalogue.part_shape import PartShape


@dataclass(frozen=True, kw_only=True)
class MouldStyle:
    """A way of making a mould.

    Parameters
    ----------
    name : as written in `[mould] style`.
    words : one sentence for a person.
    allowed : what speaks against it for a part; empty when nothing does.
    build : the whole mould. It refuses (CannotBuild) only what cannot be made at all; a person may ask for a
        style that `allowed` speaks against, and the checks then say what is wrong with it.
    """

    name: str
    words: str
    allowed: Callable[[PartShape, StyleWish, SolidFacts | None], tuple[str, ...]]
    build: Callable[[PartShape, StyleWish, SolidFacts | None], MouldDesign]


STYLES: Shelf[MouldStyle] = Shelf("pourwright.catalogue.moulds", attribute="STYLE", noun="mould style")

OPEN = "open with cover plate"
LIDDED = "two-part lidded"


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The style taken, why, and for every other style what speaks against it (or that it costs more)."""

    style: str
    reason: str
    against: dict[str, tuple[str, ...]]


def choose_style(
    shape: PartShape, wish: StyleWish, *, asked: str | None = None, solid: SolidFacts | None = None
) -> Choice:
    """The style for a part: open with cover plate wherever nothing speaks against it, else two-part lidded.

    Parameters
    ----------
    asked : the style a person asked for; taken even when something speaks against it.
    solid : what was found out about a solid that has no outline.

    Raises
    ------
    UnknownName
        No such style.
    """
    against = {name: STYLES[name].allowed(shape, wish, solid) for name in STYLES}
    if asked is not None:
        warned = against[STYLES[asked].name]
        reason = "asked for" if not warned else f"asked for, though {warned[0]}"
        return Choice(style=asked, reason=reason, against=_others(against, asked))
    if not against[OPEN]:
        reason = "one flat face as wide as the part can carry the trim line: one pour, fewer pieces"
        return Choice(style=OPEN, reason=reason, against=_others(against, OPEN))
    return Choice(style=LIDDED, reason=against[OPEN][0], against=_others(against, LIDDED))


def _others(against: dict[str, tuple[str, ...]], taken: str) -> dict[str, tuple[str, ...]]:
    return {name: reasons for name, reasons in against.items() if name != taken}
