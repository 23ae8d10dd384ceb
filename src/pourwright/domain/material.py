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

    `source` is a key of the sources file or "own sheet"; `status` is "published", "common practice",
    "from memory", "judgement" or "data sheet"; `condition` says at what mass, temperature or dwell.
    """

    estimate: Estimate
    source: str
    status: str
    condition: str = ""


@dataclass(frozen=True, kw_only=True)
class Ratio:
    """Parts of B to parts of A, e.g. A 100, B 89."""

    a: float
    b: float
    source: str = ""
    status: str = "placeholder"


@dataclass(frozen=True, kw_only=True)
class Material:
    """A class default with the person's own sheet laid over it.

    `facts` maps a property name (density, density_a, density_b, mixed_viscosity, pot_life,
    demould_time, shrink, elongation, hardness, ...) to its value; `placeholder_ratio` is True while
    nobody has typed the ratio from a sheet.
    """

    name: str
    kind: Kind
    facts: Mapping[str, Fact]
    ratio_by_weight: Ratio | None = None
    ratio_by_volume: Ratio | None = None
    placeholder_ratio: bool = True
    cautions: tuple[str, ...] = ()

    def best(self, name: str) -> float:
        """The best value of a property, SI."""
        return self.facts[name].estimate.best
