"""What wants to rise in a pour, how hard, and what holds it down. SI units."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Floating:
    """One kind of piece in one liquid, when the pour is full.

    Parameters
    ----------
    piece, count : its name, and how many there are.
    liquid : "silicone" or "resin".
    lift : N of one; below zero it sinks.
    must_hold : N that what holds it should bear; 0 when it sinks.
    held_by : what holds it.
    rigid : whether that is a screw, a bar, a rod, a plate or a board, and not tape or the seal of its foot.
    rests_on : what the mass was reckoned from.
    """

    piece: str
    count: int
    liquid: str
    lift: float
    must_hold: float
    held_by: str
    rigid: bool
    rests_on: str
