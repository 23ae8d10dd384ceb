"""What the steps at the bench depend on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pourwright.catalogue.sheets.bench_data import SheetPour
from pourwright.catalogue.sheets.core_steps import HardCore


@dataclass(frozen=True, kw_only=True)
class BenchFacts:
    """What the steps of one kit depend on; times and pressures are written out.

    `slanted` says that the parting rises and falls, `in_pocket` that the base holds the tops of patterns in one piece.
    `core` is "silicone", "rod" or "" (no bore); `pressure` is "" without a pot; `silicone_pours` in pouring order.
    `lean` says how the closed mould leans while its air leaves, "" where it stands level.
    `level_within` says how closely a block that stands on its end is levelled, "" where a few degrees do no harm.
    `gives_way` says which half grips behind the part, where one does.
    `ledges` and `bores` say by number of the pour what to do about air and bores before it.
    `joined` lists what is printed in parts, with how many, and `joined_walls` whether walls are among it.
    `floats` says of each piece that wants to rise with how many grams it does.
    `breathers` says how hollow patterns breathe (see breather_steps.py), "" where they are solid or need not.
    `apart` says for each stage in which proven order everything is taken away.
    `lid_fills` says how much silicone of the lid runs into the hollow of one pattern, "" where there is none.
    """

    style: str
    cavities: int
    platinum: bool
    urethane: bool
    silicone_pours: tuple[SheetPour, ...]
    cast: SheetPour
    core: str = ""
    lean: str = ""
    level_within: str = ""
    pressure: str = ""
    in_pot_by: str = ""
    silicone_demould: str = ""
    resin_demould: str = ""
    resin_full_cure: str = ""
    pattern_size: str = ""
    gives_way: str = ""
    ledges: Mapping[int, str] = field(default_factory=dict)
    bores: Mapping[int, str] = field(default_factory=dict)
    hard_core: HardCore | None = None
    joined: str = ""
    joined_walls: bool = False
    breathers: str = ""
    floats: Mapping[str, str] = field(default_factory=dict)
    apart: Mapping[str, str] = field(default_factory=dict)
    slanted: bool = False
    in_pocket: bool = False
    lid_fills: str = ""
