"""Put a kit's volumes right that was proven with a twin of its part: the part itself has a little more or less."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pourwright.domain.kit import Body, Kit
from pourwright.engines.geometry.imported import Library
from pourwright.engines.geometry.measure import to_m3
from pourwright.engines.geometry.repeats.closed_twin import TWIN_MM, points_in_place, volume_below_mm3
from pourwright.steps.make_kit import KitDraft


@dataclass(frozen=True)
class _Lack:
    """What the twin of one cell lacks below and above the parting, mm3, and in the part as drawn."""

    below_mm3: float
    above_mm3: float
    drawn_mm3: float


def with_full_volumes(draft: KitDraft, twins: Library, library: Library) -> KitDraft:
    """The same kit, with the volumes that the part has with all its triangles.

    Parameters
    ----------
    draft : proven with the solids of `twins`.
    twins, library : solids by digest; the draft is handed back as it is when they are the same.

    Notes
    -----
    Halves, cavity and patterns differ from those of the twin by just what the twin lacks of the part on their side
    of the parting, as I3 and I4 of the mould fit check say.
    """
    if twins is library:
        return draft
    lack = _lack(draft, twins, library)
    if lack is None:
        return draft
    kit, count = draft.kit, draft.design.cavities
    below, above = to_m3(lack.below_mm3), to_m3(lack.above_mm3)
    words = f"proven with a twin of the part within {TWIN_MM:g} mm of it; measured and printed with all its triangles"
    whole = replace(
        kit,
        part_volume=kit.part_volume + to_m3(lack.drawn_mm3),
        cavity_volume=kit.cavity_volume + count * (below + above),
        silicone_lower_volume=kit.silicone_lower_volume - count * below,
        silicone_lid_volume=kit.silicone_lid_volume - (count * above if draft.design.closing_is_silicone else 0.0),
        bodies=tuple(_body(body, _gains(kit, count, below, above)) for body in kit.bodies),
        notes=(*kit.notes, words),
    )
    return replace(draft, kit=whole)


def _lack(draft: KitDraft, twins: Library, library: Library) -> _Lack | None:
    design = draft.design
    cell = design.cell if design.cell is not None else design.part
    full, twin = points_in_place(cell, library), points_in_place(cell, twins)
    if full is None or twin is None:
        return None
    full, twin = design.ground.levelled_mesh(*full), design.ground.levelled_mesh(*twin)
    below, whole = (volume_below_mm3(*full, z_mm) - volume_below_mm3(*twin, z_mm) for z_mm in (0.0, math.inf))
    return _Lack(below_mm3=below, above_mm3=whole - below, drawn_mm3=whole / design.scale**3)


def _gains(kit: Kit, count: int, below: float, above: float) -> Mapping[str, float]:
    return {
        "lower half": -count * below,
        "lid": -count * above,
        "cavity": count * (below + above),
        "pattern": below + above,
        "lower pattern": below,
        "upper pattern": above,
    }


def _body(body: Body, gains: Mapping[str, float]) -> Body:
    return replace(body, volume=body.volume + gains.get(body.name, 0.0))
