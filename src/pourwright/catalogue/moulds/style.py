"""What a mould style promises, and how one is chosen for a part."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from pourwright.basics.errors import CannotBuild
from pourwright.basics.shelf import Shelf
from pourwright.catalogue.moulds.design import MouldDesign
from pourwright.catalogue.moulds.stand.facts import SolidFacts
from pourwright.catalogue.moulds.stand.ground import FLAT
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
    effort : order in which styles are tried, the least work first: pours, then pieces, then what may go wrong.
    why : why it is taken when nothing speaks against it; empty: because of what speaks against the one before.
    last_resort : whether it is taken when something speaks against every style.
    build : the whole mould. It refuses (CannotBuild) only what cannot be made at all; a person may ask for a
        style that `allowed` speaks against, and the checks then say what is wrong with it.
    """

    name: str
    words: str
    allowed: Callable[[PartShape, StyleWish, SolidFacts | None], tuple[str, ...]]
    build: Callable[[PartShape, StyleWish, SolidFacts | None], MouldDesign]
    effort: int
    why: str = ""
    last_resort: bool = False


STYLES: Shelf[MouldStyle] = Shelf("pourwright.catalogue.moulds", attribute="STYLE", noun="mould style")

ONE_PART = "one-part open"
OPEN = "open with cover plate"
LIDDED = "two-part lidded"
SIDE = "two-part side-parted"


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The style taken, why, and for every other style what speaks against it (or that it costs more)."""

    style: str
    reason: str
    against: Mapping[str, tuple[str, ...]]


def choose_style(
    shape: PartShape, wish: StyleWish, *, asked: str | None = None, solid: SolidFacts | None = None
) -> Choice:
    """The style for a part: of those that nothing speaks against, the one with the least work.

    Parameters
    ----------
    asked : the style a person asked for; taken even when something speaks against it.
    solid : what was found out about a solid that has no outline.

    Raises
    ------
    UnknownName
        No such style.
    CannotBuild
        A parting that follows the part is asked for, and part or style can only be parted flat.
    """
    only: tuple[str, ...] = ()
    if wish.parting not in (None, FLAT):
        _refuse_flat_only(shape, wish, asked)
        only = (f"a {wish.parting} parting is asked for, and only the style {LIDDED} has one",)

    def look(name: str) -> tuple[str, ...]:
        return only if only and name != LIDDED else STYLES[name].allowed(shape, wish, solid)

    against = _Reasons(look, tuple(STYLES))
    if asked is not None:
        warned = against[STYLES[asked].name]
        reason = "asked for" if not warned else f"asked for, though {warned[0]}"
        return Choice(style=asked, reason=reason, against=against.without(asked))
    tried = sorted(STYLES, key=lambda name: STYLES[name].effort)
    free = next((name for name in tried if not against[name]), None)
    taken = free or next(name for name in tried if STYLES[name].last_resort)
    return Choice(style=taken, reason=_reason(taken, tried, against), against=against.without(taken))


def _refuse_flat_only(shape: PartShape, wish: StyleWish, asked: str | None) -> None:
    what = "a body of revolution" if shape.outline is not None else f"the style {asked}"
    if shape.outline is not None or (asked is not None and STYLES[asked].name != LIDDED):
        raise CannotBuild(
            f"{what} is parted flat",
            advice=f'leave parting out, or ask for the style "{LIDDED}" for a part from a file',
            field="parting",
            value=wish.parting,
        )


class _Reasons(Mapping[str, tuple[str, ...]]):
    """What speaks against each style, looked into when it is asked for: a kit tells it, a preview does not."""

    def __init__(self, look: Callable[[str], tuple[str, ...]], names: tuple[str, ...]) -> None:
        self._look = cache(look)
        self._names = names

    def __getitem__(self, name: str) -> tuple[str, ...]:
        if name not in self._names:
            raise KeyError(name)
        return self._look(name)

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def without(self, one: str) -> _Reasons:
        """The others, with what was found already."""
        return _Reasons(self._look, tuple(name for name in self._names if name != one))


def _reason(taken: str, tried: list[str], against: Mapping[str, tuple[str, ...]]) -> str:
    """Why a style is taken: its own words, or else what speaks against the one tried just before it."""
    place = tried.index(taken)
    return STYLES[taken].why or (against[tried[place - 1]][0] if place else "nothing else can be made")
