"""Does every piece fit on the printer's bed?"""

from __future__ import annotations

from pourwright.catalogue.kit_facts import KitFacts
from pourwright.domain.check_result import CheckResult


def judge(facts: KitFacts) -> CheckResult | None:
    """Fails for the piece that sticks out most; turned by 90° counts as fitting."""
    bed = (facts.figure("bed_x_mm"), facts.figure("bed_y_mm"), facts.figure("bed_z_mm"))
    if min(bed) <= 0 or not facts.pieces:
        return None
    worst = max(facts.pieces, key=lambda piece: _over(piece.size_mm, bed))
    over = _over(worst.size_mm, bed)
    x, y, z = worst.size_mm
    size = f"{worst.name}: {x:.0f} × {y:.0f} × {z:.0f} mm"
    return CheckResult(
        name="printer bed", ok=over <= 0, value=round(max(over, 0.0), 2), limit=0.0, unit="mm too large",
        advice=size if over <= 0 else f"{size}; ask for fewer cavities, or less silicone beside them",
    )  # fmt: skip


def _over(size: tuple[float, float, float], bed: tuple[float, float, float]) -> float:
    flat, plate = sorted(size[:2]), sorted(bed[:2])
    return max(flat[0] - plate[0], flat[1] - plate[1], size[2] - bed[2])
