"""How slow work tells how far it is, and how it is stopped."""

from __future__ import annotations

from collections.abc import Callable

Report = Callable[[float, str], None]


def silent(fraction: float, words: str) -> None:
    """Report to nobody.

    Parameters
    ----------
    fraction : 0 to 1
    words : what is being done now.
    """


def span(report: Report, start: float, end: float) -> Report:
    """A report for a part of the work that runs from `start` to `end` of the whole.

    A fraction below 0 ("still at it") is handed on as it is.

    Examples
    --------
    >>> said = []
    >>> span(lambda f, w: said.append((f, w)), 0.5, 1.0)(0.5, "cutting")
    >>> said
    [(0.75, 'cutting')]
    """

    def part(fraction: float, words: str) -> None:
        report(fraction if fraction < 0 else start + (end - start) * fraction, words)

    return part
