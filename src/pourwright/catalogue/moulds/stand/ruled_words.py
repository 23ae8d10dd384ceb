"""Which parting a mould gets, flat or following the part, and why."""

from __future__ import annotations

from pourwright.catalogue.moulds.stand.facts import ShapedFacts, SolidFacts
from pourwright.catalogue.moulds.stand.ground import Ground, ruled
from pourwright.catalogue.moulds.stand.setup import Setup


def ground_of(setup: Setup, shaped: ShapedFacts) -> Ground:
    """The parting that follows a solid, scaled."""
    scale = setup.wish.scale
    line = tuple((u * scale, z * scale) for u, z in shaped.line_mm)
    return ruled(line, shaped.axis, half_mm=setup.standing.half_size_mm[shaped.axis], kind=shaped.kind)


def parting_reason(setup: Setup, solid: SolidFacts | None) -> str:
    """Why the parting is flat, or follows the part."""
    if setup.wish.parting is not None:
        return _asked_words(setup, solid)
    if solid is None:
        return "a body of revolution parts flat at its widest place"
    scale, volume = setup.wish.scale**3, f"{100 * solid.undercut_mm3 / solid.volume_mm3:.1f} % of the part"
    shaped = solid.parting(None)
    if shaped is not None:
        return (
            f"parted flat, {scale * solid.undercut_mm3:.0f} mm³ of silicone ({volume}) would stand in the way; "
            f"along this face {scale * shaped.undercut_mm3:.0f} mm³ do"
        )
    if solid.worth_shaping:
        return f"{volume} stand in the way, and no face that follows the part along or across the box leaves less"
    return "little or nothing stands in the way of a flat one"


def _asked_words(setup: Setup, solid: SolidFacts | None) -> str:
    """That it was asked for; beside a flat one what a parting that follows the part would save."""
    better = None if solid is None or not setup.ground.level else solid.parting(None)
    if solid is None or better is None:
        return "asked for"
    scale = setup.wish.scale**3
    return (
        f"asked for, though {scale * solid.undercut_mm3:.0f} mm³ of silicone stand in the way and along a "
        f"{better.kind} one {scale * better.undercut_mm3:.0f} mm³ would"
    )
