"""The record that the mould fit check writes while it goes: volumes, areas, bodies, identities, causes."""

from __future__ import annotations

from dataclasses import dataclass, field

from pourwright.basics.progress import Report, silent
from pourwright.domain.kit import Identity, Proof
from pourwright.engines.geometry.evaluate import Evaluator
from pourwright.engines.geometry.measure import to_m, to_m2, to_m3
from pourwright.engines.geometry.tree import Node


@dataclass
class FitBook:
    """Figures in millimetres as they are found; `proof` hands them over in SI."""

    evaluator: Evaluator
    report: Report = silent
    volumes_mm3: dict[str, float] = field(default_factory=dict)
    areas_mm2: dict[str, float] = field(default_factory=dict)
    bodies: dict[str, int] = field(default_factory=dict)
    identities: list[Identity] = field(default_factory=list)
    missing_mm3: dict[str, float] = field(default_factory=dict)

    def volume(self, name: str, node: Node | None) -> float:
        """Measure a volume once and note it under a name, mm3; nothing has none."""
        if name not in self.volumes_mm3:
            self.volumes_mm3[name] = self.volume_of(node)
        return self.volumes_mm3[name]

    def volume_of(self, node: Node | None) -> float:
        """A volume that only serves a check, mm3."""
        return 0.0 if node is None else self.evaluator.volume(node, report=self.report)

    def area(self, name: str, node: Node) -> float:
        """Measure a surface and note it under a name, mm2."""
        if name not in self.areas_mm2:
            self.areas_mm2[name] = self.evaluator.area(node, report=self.report)
        return self.areas_mm2[name]

    def count(self, name: str, node: Node) -> int:
        """Count separate bodies and note them under a name."""
        if name not in self.bodies:
            self.bodies[name] = self.evaluator.bodies(node, report=self.report)
        return self.bodies[name]

    def hold_volume(self, name: str, miss_mm3: float, bound_mm3: float) -> bool:
        """Judge a volume that should be nothing."""
        return self._hold(name, to_m3(miss_mm3), to_m3(bound_mm3), "m3")

    def hold_area(self, name: str, miss_mm2: float, bound_mm2: float) -> bool:
        """Judge an area that should be nothing."""
        return self._hold(name, to_m2(miss_mm2), to_m2(bound_mm2), "m2")

    def hold_count(self, name: str, found: int, wanted: int) -> bool:
        """Judge a number of bodies."""
        return self._hold(name, float(found - wanted), 0.0, "bodies")

    def _hold(self, name: str, value: float, bound: float, unit: str) -> bool:
        ok = abs(value) <= bound
        self.identities.append(Identity(name=name, value=value, bound=bound, ok=ok, unit=unit))
        return ok

    def proof(self) -> Proof:
        """The record as the noun that the kit keeps, SI."""
        return Proof(
            kernel=self.evaluator.kernel.name,
            fuzzy=to_m(self.evaluator.kernel.fuzzy_mm),
            volumes={name: to_m3(value) for name, value in self.volumes_mm3.items()},
            areas={name: to_m2(value) for name, value in self.areas_mm2.items()},
            bodies=dict(self.bodies),
            identities=tuple(self.identities),
            missing={name: to_m3(value) for name, value in self.missing_mm3.items()},
        )
