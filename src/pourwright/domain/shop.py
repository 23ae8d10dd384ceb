"""What the person owns: room, printer, pot, scale, prices. SI units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Room:
    """temperature K, humidity as a share, altitude m."""

    temperature: float = 296.15
    humidity: float = 0.5
    altitude: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Printer:
    """bed m (x, y, z); nozzle and layer m; hole_offset and size_error m, the latter also along the layers' height.

    `size_share` is how far a size may be off beyond size_error, as a share of it.
    """

    name: str = "printer"
    bed: tuple[float, float, float] = (0.22, 0.22, 0.25)
    nozzle: float = 0.4e-3
    layer: float = 0.2e-3
    hole_offset: float = 0.2e-3
    size_error: float = 0.2e-3
    size_error_z: float | None = None
    size_share: float | None = None


@dataclass(frozen=True, kw_only=True)
class Pot:
    """A pressure pot; lengths m, volume m3, pressures Pa gauge as marked on its plate."""

    inside_diameter: float | None = None
    inside_height: float | None = None
    volume: float | None = None
    rated_pressure: float | None = None
    relief_pressure: float | None = None
    inspected_on: str | None = None


@dataclass(frozen=True, kw_only=True)
class Scale:
    """readability, repeatability and capacity in kg."""

    readability: float = 1e-4
    repeatability: float = 1e-4
    capacity: float = 2.0


@dataclass(frozen=True, kw_only=True)
class Prices:
    """Money in `currency`: per kg of a material by name, per hour of work, per hour of printing."""

    currency: str = ""
    per_kg: Mapping[str, float] = field(default_factory=dict)
    hour: float | None = None
    print_hour: float | None = None
    filament_per_kg: float | None = None


@dataclass(frozen=True, kw_only=True)
class Shop:
    """Everything in shop.toml; `assumed` names the keys that were left out and took a default."""

    room: Room = Room()
    printers: tuple[Printer, ...] = (Printer(),)
    pot: Pot | None = None
    scale: Scale = Scale()
    prices: Prices = Prices()
    free_hours: Mapping[str, str] = field(default_factory=dict)
    logbook_address: str | None = None
    assumed: tuple[str, ...] = ()
