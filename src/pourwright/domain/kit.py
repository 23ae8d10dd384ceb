"""What to print, and the proof that the mould made with it leaves the part. SI units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from pourwright.domain.assembly import AssemblyProof
from pourwright.domain.check_result import CheckResult
from pourwright.domain.floating import Floating
from pourwright.domain.opening import Opening
from pourwright.domain.printing import Printing
from pourwright.domain.silicone_pour import BoreToFill, PourAir
from pourwright.domain.size_forecast import SizeForecast

Role = Literal[
    "pattern",
    "base",
    "wall",
    "bridge",
    "well former",
    "vent rod",
    "cover plate",
    "press board",
    "levelling board",
    "core rod",
    "lower half",
    "lid",
    "cavity",
]

CUP, CAP = "core cup", "core cap"  # what holds the ends of a core without a bore
CORE, SPINDLE = "core", "spindle"  # the pieces of role "core rod" that belong to a hard core


@dataclass(frozen=True, kw_only=True)
class Body:
    """One piece: `count` copies of the solid under `shape_key`; `printed` False for silicone, resin, metal.

    `print_turn` says which face lies on the printer's bed.
    """

    name: str
    role: Role
    count: int
    shape_key: str
    volume: float
    size: tuple[float, float, float]
    printed: bool
    watertight: bool
    bodies: int = 1
    print_note: str = ""
    print_turn: str = ""
    held_by: str = ""
    files: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Identity:
    """One identity of the mould fit check: residual against its bound, in `unit` (m3, m2 or bodies)."""

    name: str
    value: float
    bound: float
    ok: bool
    unit: str = "m3"

    @property
    def close(self) -> bool:
        """It holds, but took more than a tenth of what it may miss: worth a look."""
        return self.ok and abs(self.value) > self.bound / 10


@dataclass(frozen=True, kw_only=True)
class Proof:
    """The mould fit check in one kernel: the volumes (m3), areas (m2), identities and missing causes."""

    kernel: str
    fuzzy: float
    volumes: Mapping[str, float]
    areas: Mapping[str, float]
    bodies: Mapping[str, int]
    identities: tuple[Identity, ...]
    missing: Mapping[str, float] = field(default_factory=dict)

    @property
    def ok(self) -> bool:
        """Every identity holds."""
        return all(identity.ok for identity in self.identities)


@dataclass(frozen=True, kw_only=True)
class Purchase:
    """A thing to buy: round metal `diameter` x `length`, m, so many."""

    what: str
    diameter: float
    length: float
    count: int


@dataclass(frozen=True, kw_only=True)
class Offer:
    """Another way to make the same mould, proven like the kit itself, where the kit as asked for fails.

    `answers` is the check that fails; `change` is what to write in project.toml; `silicone` kg in both pours with
    this change, `silicone_now` as asked for; `failed` are the checks that still fail. An offer that cannot be made
    says why in `words`, and is not ok.
    """

    answers: str
    words: str
    change: Mapping[str, str]
    ok: bool
    failed: tuple[str, ...] = ()
    identities: int = 0
    silicone: float | None = None
    silicone_now: float | None = None
    buy: tuple[Purchase, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Parting:
    """The face along which the halves of a part from a file meet, and why.

    Parameters
    ----------
    kind : "flat", "ruled" (it follows the part along one way) or "stepped" (level stretches, and steps drafted by
        5 deg or more).
    reason : in words.
    along : "x" or "y" of the box, the way along which it rises and falls; empty for a flat one.
    steepest : rad, from level.
    line : m, (way, height) of its corners about the middle of one part, highest at 0.
    flat_undercut : m3, silicone of all parts that would stand in the way of a flat one.
    """

    kind: str
    reason: str
    along: str = ""
    steepest: float = 0.0
    line: tuple[tuple[float, float], ...] = ()
    flat_undercut: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Kit:
    """All that one mould needs, for the whole mould with its cavities except `part_volume` and `bodies`.

    `box` is the outline of the box ("round"), `arrangement` how the parts stand in it ("2 × 2"), `box_volume` what it
    holds between the fill lines, `pot_circle` the diameter of the circle round the closed mould,
    `per_pot` how many closed moulds the pot takes at once (None without a pot).
    `pour_air` and `bores` are what each pour of silicone has to mind.
    `joined` are the pieces that do not fit the bed, with the number of parts that each is printed in.
    `pull` is the direction, in the axes of the part's file or drawing, that points up out of the lower half.
    `parting` is None for a body of revolution.
    """

    project: str
    style: str
    style_reason: str
    cavities: int
    kernel: str
    scale: float
    part_volume: float
    cavity_volume: float
    vents_volume: float
    wells_volume: float
    silicone_lower_volume: float
    silicone_lid_volume: float
    box_inside: tuple[float, float, float]
    box_outside: tuple[float, float, float]
    bodies: tuple[Body, ...]
    stretch: Mapping[str, float | None]
    undercut_volume: float | None
    thinnest_lip: float | None
    release_area: float
    release_groups: Mapping[str, float]
    air: Mapping[str, object]
    checks: tuple[CheckResult, ...]
    proofs: tuple[Proof, ...]
    layout: tuple[tuple[float, float], ...]
    box: str = "rectangle"
    arrangement: str = ""
    box_volume: float = 0.0
    pot_circle: float = 0.0
    per_pot: Mapping[str, object] | None = None
    alternatives: tuple[Mapping[str, object], ...] = ()
    joined: Mapping[str, int] = field(default_factory=dict)
    core_squeeze: float = 0.0
    floats: tuple[Floating, ...] = ()
    notes: tuple[str, ...] = ()
    offers: tuple[Offer, ...] = ()
    other_styles: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    assembly: AssemblyProof | None = None
    printing: Printing | None = None
    sizes: tuple[SizeForecast, ...] = ()
    pour_air: tuple[PourAir, ...] = ()
    bores: tuple[BoreToFill, ...] = ()
    pull: tuple[float, float, float] = (0.0, 0.0, 1.0)
    pull_reason: str = ""
    opening: Opening = field(default_factory=Opening)
    parting: Parting | None = None

    @property
    def ok(self) -> bool:
        """Every proof holds and no check failed."""
        return all(proof.ok for proof in self.proofs) and not any(check.failed for check in self.checks)
