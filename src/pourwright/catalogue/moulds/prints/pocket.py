"""Base pocket: the base holds all of a pattern that is above the parting, so that one piece serves both pours.

Seen by the silicone there is no pocket: the pattern in it is a part of the base. Nothing above the parting may reach
wider than below it, for a rigid pocket does not stretch.
"""

from __future__ import annotations

import math
from itertools import pairwise

from pourwright.basics.errors import CannotBuild
from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Fastener, Piece
from pourwright.catalogue.moulds.prints.patterns import SCREWS, Holding, screw_bodies
from pourwright.catalogue.moulds.prints.pieces import Centres, at_cells, rod_clearance, rod_holes
from pourwright.catalogue.moulds.stand.facts import SolidFacts, Standing
from pourwright.catalogue.moulds.stand.frame import Frame, base_plate, cut, repeated
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.engines.geometry.tree import Box, Node, cylinder, tube, union

SPLIT, POCKET, WHOLE = "split", "pocket", "whole"

_LIP_MM = 1.0  # depth over which the pocket's gap is as narrow as prints can be
_WIDE_MM = 0.35  # gap deeper in (judgement)
_UNDER_FACE_MM = 0.5  # how far the tool that cuts a pocket begins under the base's face
_FLOOR_MM = 3.0  # plastic over the deepest place of a pocket (judgement)
_PAD_MM = 1.5  # radius of a pad
_PADS = 3
_BESIDE_MM = 3.0  # plastic round the pocket in the plate's hollows
_UNDER_HEAD_MM = 4.0  # plastic between a screw's head and the pattern
_OVER_SCREW_MM = 1.5
_DEPTHS_MM = (8.0, 6.0, 5.0, 4.0)
_THIN_UPPER_MM = 3.0  # a piece of a split pattern that is thinner bends and shifts (judgement)
_NOTHING = 4e-3  # of the part's volume: no undercut at all
_MOST_TRIANGLES = 60_000
_AROUND = 8  # copies of a solid, moved aside, that make it wider
_FAR_MM = 1.0


def pattern_scheme(setup: Setup, solid: SolidFacts | None) -> tuple[str, str]:
    """How the pattern is made when the parting lies below its top, and why.

    Raises
    ------
    CannotBuild
        A pocket is asked for that would hold the pattern.
    """
    asked = setup.wish.pattern
    if setup.whole:
        return WHOLE, "nothing of the part rises above the parting"
    if asked == SPLIT:
        return SPLIT, "asked for"
    held = _held_words(setup, solid)
    if asked == POCKET:
        if held:
            raise CannotBuild(
                f"no rigid pocket of the base can hold this pattern: {held}",
                advice='write pattern = "split", or leave it out',
                field="pattern",
                value=asked,
            )
        return POCKET, "asked for"
    high = setup.standing.high_mm
    if solid is not None and not held and high < _THIN_UPPER_MM:
        return POCKET, f"the piece above the parting would be only {high:.1f} mm thick, too thin to stay in place"
    return SPLIT, f"in a pocket it could not be: {held}" if held else "a cut at the parting is crisp to print on"


def _held_words(setup: Setup, solid: SolidFacts | None) -> str:
    """Why a pocket would not do; empty where it would."""
    if not setup.ground.level:
        return "its base follows the part"
    if setup.hold is not None:
        return "a hard core stands through it"
    if setup.wish.breathers:
        return "its sparse inside has to breathe through the base"
    if setup.plugged:
        return "metal rods stand in its bores"
    if setup.standing.outline is not None:
        return "it grows wider above the parting, or its bore narrower" if _widens(setup.standing) else ""
    if setup.shape.triangles > _MOST_TRIANGLES:
        return f"its mesh of {setup.shape.triangles} triangles is too fine to cut pockets along it"
    if solid is None or len(solid.pads_mm) < _PADS:
        return "its top has no room for three pads to rest on"
    grows = solid.undercut_upper_mm3 > _NOTHING * solid.volume_mm3
    return f"{solid.undercut_upper_mm3:.1f} mm³ of it reach wider above the parting" if grows else ""


def _widens(standing: Standing) -> bool:
    """Whether a body of revolution reaches further out, or in, at any height above the parting."""
    heights = [standing.high_mm * k / 200 for k in range(1, 200)]
    spans = [standing.widths.between(z, z) for z in heights]
    return any(after[1] > before[1] + 1e-3 or after[0] < before[0] - 1e-3 for before, after in pairwise(spans))


# ---------------------------------------------------------------- what holds the pattern


def sunk_holding(setup: Setup, solid: SolidFacts | None) -> Holding:
    """Screws through the pocket's floor into the top of the pattern; tape where none has room."""
    standing = setup.standing
    if standing.outline is None:
        if solid is None or not solid.sunk_screws_mm:
            return Holding(screw=None, points_mm=(), depth_mm=0.0)
        scale, low = setup.wish.scale, standing.low_mm
        points = [(x * scale, y * scale, z * scale + low) for x, y, z in solid.sunk_screws_mm]
        return Holding(
            screw=SCREWS[0],
            points_mm=tuple((x, y) for x, y, _ in points),
            depth_mm=solid.sunk_depth_mm,
            tops_mm=tuple(z for _, _, z in points),
        )
    room = standing.high_mm - standing.low_mm - _OVER_SCREW_MM
    for screw in SCREWS:
        for depth in (depth for depth in _DEPTHS_MM if depth <= room):
            spots = _on_top(standing, screw.core_mm + sizes.COVER_MM, depth)
            if spots:
                tops = tuple(standing.high_mm for _ in spots)
                return Holding(screw=screw, points_mm=spots, depth_mm=depth, tops_mm=tops)
    return Holding(screw=None, points_mm=(), depth_mm=0.0)


def _on_top(standing: Standing, radius: float, depth: float) -> tuple[tuple[float, float], ...]:
    """On the axis, or beside a bore, where the top is flat and the part deep enough."""
    high = standing.high_mm
    inner, outer = standing.widths.between(high - depth, high - 1e-3)
    if inner == 0.0:
        return ((0.0, 0.0),) if outer >= radius else ()
    middle = (inner + outer) / 2
    return ((middle, 0.0), (-middle, 0.0)) if outer - inner >= 2 * radius else ()


POCKET_NOTE = (
    "each pattern stands head down on the pads of its pocket in the base and stays in the silicone for the lid: "
    "seal the gap round it with wax, flush with the base"
)


# ---------------------------------------------------------------- pieces


def pocket_pattern(setup: Setup, centres: Centres, holding: Holding, seats: list[Node]) -> Piece:
    """The pattern in one piece; it stands in the base's pocket, and stays for the second pour."""
    high = setup.standing.high_mm
    return Piece(
        name="pattern",
        role="pattern",
        solid=cut(setup.standing.cell, *holding.holes(high), *seats, *rod_clearance(setup)),
        places_mm=at_cells(centres),
        touches_silicone=(1, 2),
        held_by=holding.words if holding.screw is not None else "thin double-sided tape on the pads",
        print_note="in one piece",
        rests_on=("base",),
    )


def pocket_base(setup: Setup, frame: Frame, centres: Centres, holding: Holding, raised: list[Node]) -> Piece:
    """The base with a pocket for each pattern; keys and the like stand on it."""
    if frame.cuts:
        raise CannotBuild(
            "a base that is printed in parts has no room for pockets",
            advice='write pattern = "split", or ask for fewer cavities',
            field="pattern",
            value=POCKET,
        )
    end = frame.high_mm + sizes.FLANGE_MM
    through = rod_holes(setup, frame, centres)
    plate = base_plate(
        frame,
        raised=[],
        holes=through,
        screws_mm=(),
        access_mm=0.0,
        rods_mm=[(cx + x, cy + y, r + setup.wish.fit_mm) for cx, cy in centres for x, y, r in setup.rods_mm],
    )
    sleeves, holes = _screw_holes(holding, centres, end)
    whole = union(plate, *_bosses(setup, frame, centres), *sleeves)
    return Piece(
        name="base",
        role="base",
        solid=union(cut(whole, *_voids(setup, centres), *holes, *through), *raised),
        touches_silicone=(1,),
        held_by="the walls stand on its flange; four M4 jack screws lift it",
        print_note="flange down; the pockets bridge without support",
        print_turn="x 180",
    )


def pocket_fasteners(centres: Centres, holding: Holding) -> tuple[Fastener, ...]:
    """The screws, their heads in the sleeves of the base; one entry for each height of the pattern's top."""
    found: list[Fastener] = []
    for top in sorted(set(holding.tops_mm)):
        points = [point for point, here in zip(holding.points_mm, holding.tops_mm, strict=True) if here == top]
        found += screw_bodies(holding.screw, points, centres, tip_mm=top - holding.depth_mm, head_mm=_head_mm(top))
    return tuple(found)


def _head_mm(top: float) -> float:
    """Where a screw's head lies, with plastic between it and the pattern."""
    return max(top + _UNDER_HEAD_MM, sizes.PLATE_MM)


def _bosses(setup: Setup, frame: Frame, centres: Centres) -> list[Node]:
    """Plastic round each pocket, in the hollows of the plate."""
    high, low = setup.standing.high_mm + _FLOOR_MM, sizes.PLATE_MM - _FAR_MM
    if high <= sizes.PLATE_MM:
        return []
    x, y = setup.standing.half_size_mm
    if setup.standing.outline is not None:
        x = y = setup.standing.radius_mm
    boss = Box(-x - _BESIDE_MM, -y - _BESIDE_MM, low, x + _BESIDE_MM, y + _BESIDE_MM, high)
    return [repeated(boss, centres) & frame.block(low - _FAR_MM, high + _FAR_MM, grow_mm=-sizes.BODY_GAP_MM)]


def _screw_holes(holding: Holding, centres: Centres, end_mm: float) -> tuple[list[Node], list[Node]]:
    """A sleeve up to the flange round every screw, and the stepped hole in it."""
    screw = holding.screw
    if screw is None:
        return [], []
    sleeves: list[Node] = []
    holes: list[Node] = []
    for (x, y), top in zip(holding.points_mm, holding.tops_mm, strict=True):
        head = _head_mm(top)
        sleeve = cylinder(radius_mm=screw.head_mm + sizes.BOSS_MM, z0_mm=sizes.PLATE_MM - _FAR_MM, z1_mm=end_mm)
        clear = cylinder(radius_mm=screw.clear_mm, z0_mm=top - _FAR_MM, z1_mm=head + _FAR_MM)
        access = cylinder(radius_mm=screw.head_mm, z0_mm=head, z1_mm=end_mm + _FAR_MM)
        sleeves += [sleeve.at(cx + x, cy + y) for cx, cy in centres]
        holes += [hole.at(cx + x, cy + y) for cx, cy in centres for hole in (clear, access)]
    return sleeves, holes


# ---------------------------------------------------------------- pockets


def _voids(setup: Setup, centres: Centres) -> list[Node]:
    """The pockets: the pattern grown sideways and upwards, narrow at the mouth, less the pads that it rests on."""
    grown = _straight(setup) if setup.standing.outline is not None else _around(setup)
    pads = _pads(setup)
    return [cut(grown, *pads).at(x, y) for x, y in centres]


def _straight(setup: Setup) -> Node:
    """Of a round pattern, a straight pocket as wide as its mouth, and a straight pin in its bore."""
    inner, outer = setup.standing.widths.between(1e-3, 1e-3)
    narrow, wide, high = _gaps(setup)

    def ring(gap: float, low: float, top: float) -> Node:
        if inner - gap <= _PAD_MM / 2:
            return cylinder(radius_mm=outer + gap, z0_mm=low, z1_mm=top)
        return tube(inner_mm=inner - gap, outer_mm=outer + gap, z0_mm=low, z1_mm=top)

    return ring(narrow, -_UNDER_FACE_MM, _LIP_MM) | ring(wide, min(_LIP_MM, high / 2), high + wide)


def _around(setup: Setup) -> Node:
    """Of any other pattern, copies of what is above the parting, moved aside all round."""
    narrow, wide, high = _gaps(setup)
    far = sizes.FAR_MM
    upper = setup.standing.cell & Box(-far, -far, -_UNDER_FACE_MM, far, far, far)
    mouth = union(upper, *_moved(upper, narrow))
    deep = union(*_moved(upper, wide), upper.at(0.0, 0.0, wide))
    return mouth | (deep & Box(-far, -far, min(_LIP_MM, high / 2), far, far, far))


def _moved(solid: Node, by_mm: float) -> list[Node]:
    angles = (2 * math.pi * k / _AROUND for k in range(_AROUND))
    # A slanted side between two ways of moving is farther by less: made up for.
    reach = by_mm / math.cos(math.pi / _AROUND)
    return [solid.at(reach * math.cos(angle), reach * math.sin(angle)) for angle in angles]


def _gaps(setup: Setup) -> tuple[float, float, float]:
    fit = setup.wish.fit_mm
    return fit, max(_WIDE_MM, 1.5 * fit), setup.standing.high_mm


def _pads(setup: Setup) -> list[Node]:
    """Three pads that set the height of the pattern."""
    standing, over = setup.standing, _gaps(setup)[1]
    top = standing.high_mm + over + _FAR_MM
    pad = cylinder(radius_mm=_PAD_MM, z0_mm=min(_LIP_MM, standing.high_mm / 2), z1_mm=top)
    return [cut(pad.at(x, y), standing.cell) for x, y in _pad_places(setup)]


def _pad_places(setup: Setup) -> list[tuple[float, float]]:
    standing = setup.standing
    if standing.outline is None:
        return list(setup.pads_mm)
    low = min(_LIP_MM, standing.high_mm / 2)
    inner, outer = standing.widths.between(low, low)
    ring = (inner + outer) / 2 if inner > 0 else 0.7 * outer
    angles = (math.radians(degrees) for degrees in (30.0, 150.0, 270.0))
    return [(ring * math.cos(angle), ring * math.sin(angle)) for angle in angles]
