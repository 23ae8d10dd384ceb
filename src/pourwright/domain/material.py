"""A casting material: every number with its band, its source and how far it can be trusted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from pourwright.domain.estimate import Estimate

Kind = Literal["urethane", "platinum silicone", "tin silicone"]


@dataclass(frozen=True, kw_only=True)
class Fact:
    """One value of a material record, SI, with where it comes from.

    `source` is a key of the sources file, "own sheet" or "own test"; `status` is one of those of the
    sources file ("common practice", "from memory", "judgement", ...), "data sheet" or "own measurement";
    `condition` says at what mass, temperature or dwell.
    """

    estimate: Estimate
    source: str
    status: str
    condition: str = ""


@dataclass(frozen=True, kw_only=True)
class Ratio:
    """Parts of A to parts of B, e.g. A 100, B 89.

    `status` is "placeholder" (a class default), "data sheet", "calculated" (from a ratio by volume and
    both densities) or "densities missing" (from a ratio by volume as if A and B were equally heavy).
    """

    a: float
    b: float
    source: str = ""
    status: str = "placeholder"


@dataclass(frozen=True, kw_only=True)
class Material:
    """A class default with the person's own sheet laid over it.

    `facts` maps a property name (density, density_a, density_b, mixed_viscosity, pot_life,
    demould_time, shrink, elongation, hardness, ...) to its value. `ratio_by_weight` is what is weighed;
    `ratio_basis` is "weight" or "volume", as the sheet has it. `placeholder_ratio` is True while
    no ratio that can be weighed has been typed from a sheet. `class_name` is the class that fills the gaps,
    `sheet` the title, revision and date of the person's own sheet, `doubts` what looks wrong in it.
    """

    name: str
    kind: Kind
    facts: Mapping[str, Fact]
    ratio_by_weight: Ratio | None = None
    ratio_by_volume: Ratio | None = None
    placeholder_ratio: bool = True
    cautions: tuple[str, ...] = ()
    ratio_basis: Literal["weight", "volume"] = "weight"
    class_name: str = ""
    sheet: str = ""
    notes: str = ""
    doubts: tuple[str, ...] = ()

    def best(self, name: str) -> float:
        """The best value of a property, SI."""
        return self.facts[name].estimate.best

    @property
    def is_silicone(self) -> bool:
        """Platinum-cured or tin-cured silicone."""
        return self.kind.endswith("silicone")
