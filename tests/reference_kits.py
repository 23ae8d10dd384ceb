"""The two reference moulds with closed-form volumes, written straight from the tree of solids. Millimetres."""

from __future__ import annotations

import math

from pourwright.catalogue.moulds.design import MouldDesign, Piece
from pourwright.engines.geometry.tree import Box, Node, Revolve, cylinder, frustum, polygon, tube, union

PI = math.pi


def cone_mm3(height: float, first: float, second: float) -> float:
    """Volume of a cone frustum."""
    return PI * height * (first**2 + first * second + second**2) / 3


# ---------------------------------------------------------------- open with cover plate, 2 x 2

SHRINK = 1.006
TOP, BOTTOM, HEIGHT, BORE = 12 * SHRINK, 10 * SHRINK, 15 * SHRINK, 4.75 * SHRINK
PITCH = 2 * TOP + 8
HALF_BOX = PITCH / 2 + TOP + 10
FILL_LOW, FILL_HIGH = -HEIGHT - 8, 6.0
RIM = 0.4
RIM_RADIUS = TOP - RIM * 2 / 15
SCREW_RADIUS = (TOP + BORE) / 2
CENTRES = tuple((x * PITCH / 2, y * PITCH / 2) for x in (-1, 1) for y in (-1, 1))

BUSHING_MM3 = cone_mm3(HEIGHT, TOP, BOTTOM) - PI * BORE**2 * HEIGHT
VOIDS_MM3 = 3 * PI * 0.75**2 * 6 + 3 + 360
OPEN_MM3 = {
    "part": BUSHING_MM3,
    "pattern": cone_mm3(HEIGHT - RIM, RIM_RADIUS, BOTTOM) - PI * BORE**2 * (HEIGHT - RIM) - 2 * PI * 1.25**2 * 8,
    "base": 24 * HALF_BOX**2
    + 4 * (cone_mm3(RIM, RIM_RADIUS, TOP) - PI * (RIM_RADIUS - 1) ** 2 * RIM + PI * RIM * ((BORE + 1) ** 2 - BORE**2))
    - 8 * PI * 1.7**2 * 6,
    "I": 4 * HALF_BOX**2 * (FILL_HIGH - FILL_LOW),
    "H": -4 * HALF_BOX**2 * FILL_LOW - 4 * BUSHING_MM3,
    "L": 4 * HALF_BOX**2 * 6 - 4 * VOIDS_MM3,
    "C": 4 * (BUSHING_MM3 + VOIDS_MM3),
}


def bushing() -> Node:
    """The part as drawn, its wide end at the parting."""
    return Revolve(polygon([(4.75, -15), (10, -15), (12, 0), (4.75, 0)]))


def cover_voids(outwards_deg: float) -> Node:
    """Vents, channel and well of one cell; the well lies towards `outwards_deg`."""
    rod = cylinder(radius_mm=0.75, z0_mm=0, z1_mm=6)
    vents = [
        rod.at(SCREW_RADIUS * math.cos(math.radians(a)), SCREW_RADIUS * math.sin(math.radians(a)))
        for a in (90, 210, 330)
    ]
    channel = Box(TOP - 1, -1, 0, TOP + 2, 1, 0.5)
    well = Box(TOP + 2, -6, 0, TOP + 7, 6, 6)
    return union(*vents, union(channel, well).at(turn_deg=outwards_deg))


def _at_cells(solid: Node) -> Node:
    return union(*(solid.at(x, y) for x, y in CENTRES))


def open_kit(*, extra_voids: Node | None = None) -> MouldDesign:
    """Four tapered bushings under a printed cover plate."""
    a = HALF_BOX
    interior_below, interior_above = Box(-a, -a, FILL_LOW, a, a, 0), Box(-a, -a, 0, a, a, FILL_HIGH)
    parts = _at_cells(bushing().scaled(SHRINK))
    cells = [cover_voids(180.0 if x < 0 else 0.0).at(x, y) for x, y in CENTRES]
    voids = union(*cells) if extra_voids is None else union(*cells, extra_voids)
    interior = Box(-a, -a, FILL_LOW, a, a, FILL_HIGH)
    lower = interior_below - parts
    closing = interior_above - parts - voids
    return MouldDesign(
        style="open with cover plate",
        cavities=4,
        scale=SHRINK,
        part=bushing(),
        cell=bushing().scaled(SHRINK),
        interior=interior,
        interior_below=interior_below,
        interior_above=interior_above,
        parts=parts,
        formers_first=None,
        formers_second=voids,
        lower=lower,
        closing=closing,
        cavity=interior - lower - closing,
        closing_is_silicone=False,
        cavity_bodies=4,
        pieces=_open_pieces(closing),
        centres_mm=CENTRES,
        fill_lower_mm=FILL_LOW,
        fill_upper_mm=FILL_HIGH,
        box_inside_mm=(2 * a, 2 * a, FILL_HIGH - FILL_LOW),
        box_outside_mm=(2 * a + 6, 2 * a + 6, FILL_HIGH - FILL_LOW),
        vents=None,
        wells=None,
    )


def _open_pieces(cover: Node) -> tuple[Piece, ...]:
    hole = cylinder(radius_mm=1.25, z0_mm=-RIM - 8, z1_mm=-RIM)
    slope = (TOP - BOTTOM) / HEIGHT
    body = polygon([(BORE, -HEIGHT), (BOTTOM, -HEIGHT), (TOP - RIM * slope, -RIM), (BORE, -RIM)])
    pattern = Revolve(body) - hole.at(SCREW_RADIUS) - hole.at(-SCREW_RADIUS)
    outer = Revolve(polygon([(RIM_RADIUS - 1, -RIM), (RIM_RADIUS, -RIM), (TOP, 0), (RIM_RADIUS - 1, 0)]))
    inner = tube(inner_mm=BORE, outer_mm=BORE + 1, z0_mm=-RIM, z1_mm=0)
    through = cylinder(radius_mm=1.7, z0_mm=0, z1_mm=6)
    plate = Box(-HALF_BOX, -HALF_BOX, 0, HALF_BOX, HALF_BOX, 6)
    base = (plate | _at_cells(outer) | _at_cells(inner)) - _at_cells(
        union(through.at(SCREW_RADIUS), through.at(-SCREW_RADIUS))
    )
    places = tuple((x, y, 0.0, 0.0) for x, y in CENTRES)
    return (
        Piece(name="pattern", role="pattern", solid=pattern, places_mm=places, touches_silicone=(1,)),
        Piece(name="base", role="base", solid=base, touches_silicone=(1,)),
        Piece(name="cover plate", role="cover plate", solid=cover),
    )


# ---------------------------------------------------------------- two-part lidded, one barrel

KEY_MM3 = cone_mm3(4, 2.4, 4)
TONGUE_MM3 = cone_mm3(3, 18, 18.8) - cone_mm3(3, 16, 15.2)
BARREL_MM3 = cone_mm3(10, 8, 12) + cone_mm3(8, 12, 9)
LAP_RADIUS = 12 - 0.4 * 4 / 10
_H = 62400 - 3 * KEY_MM3 - TONGUE_MM3 - cone_mm3(10, 8, 12)
_C = BARREL_MM3 + 3 * PI * 1.5**2 * 4 + 646.5
LIDDED_MM3 = {
    "part": BARREL_MM3,
    "lower pattern": cone_mm3(9.6, 8, LAP_RADIUS) - PI * (1.6**2 * 5 + 1.25**2 * 3),
    "upper pattern": cone_mm3(0.4, LAP_RADIUS, 12) + cone_mm3(8, 12, 9) + PI * 1.5**2 * 4.5 - 3 * PI * 1.6**2 * 5,
    "base": 18720
    + 3 * KEY_MM3
    + TONGUE_MM3
    + cone_mm3(0.4, LAP_RADIUS, 12)
    - PI * (LAP_RADIUS - 1) ** 2 * 0.4
    - PI * 1.7**2 * 6,
    "tongue": TONGUE_MM3,
    "key": KEY_MM3,
    "wells": 646.5,
    "I": 118560.0,
    "H": _H,
    "C": _C,
    "L": 118560 - _H - _C,
}
RELEASE_MM2 = {
    "parting": 3120 - 144 * PI - 48 * PI - PI * (18.8**2 - 15.2**2),
    "keys": 3 * (PI * 6.4 * math.sqrt(4**2 + 1.6**2) + PI * 2.4**2),
    "tongue": PI * (18**2 - 16**2) + PI * 68 * math.sqrt(3**2 + 0.8**2),
}


def barrel() -> Node:
    """A solid barrel, widest at the parting."""
    return Revolve(polygon([(0, -10), (8, -10), (12, 0), (9, 8), (0, 8)]))


def keys(corners: tuple[tuple[float, float], ...] = ((-23, -19), (23, -19), (-23, 19))) -> Node:
    """Frustum keys in the corners that are given."""
    return union(*(frustum(lower_mm=2.4, upper_mm=4, z0_mm=-4, z1_mm=0).at(x, y) for x, y in corners))


def tongue() -> Node:
    """The ring that seals."""
    return Revolve(polygon([(16, -3), (18, -3), (18.8, 0), (15.2, 0)]))


def rod(radius: float, z0: float, z1: float, *, at: tuple[float, float] = (0.0, 0.0)) -> Node:
    """An upright rod."""
    return cylinder(radius_mm=radius, z0_mm=z0, z1_mm=z1).at(*at)


RODS = tuple((6 * math.cos(math.radians(a)), 6 * math.sin(math.radians(a))) for a in (30, 150, 270))


def lidded_kit(*, extra_voids: Node | None = None, wrong_lid: bool = False) -> MouldDesign:
    """One barrel in a mould of two silicone halves; `wrong_lid` makes the lid out of what the lower half leaves."""
    interior_below, interior_above = Box(-30, -26, -20, 30, 26, 0), Box(-30, -26, 0, 30, 26, 18)
    interior = Box(-30, -26, -20, 30, 26, 18)
    wells = union(Box(-9, 1, 12, 9, 5, 18), Box(-4, -8, 12, 4, -4, 18), Box(-1.5, -4, 16.5, 1.5, 1, 18))
    second = union(*(rod(1.5, 3, 12, at=xy) for xy in RODS), wells)
    if extra_voids is not None:
        second = second | extra_voids
    first = keys() | tongue()
    lower = interior_below - first - barrel()
    built = (interior_above | first) - barrel() - second
    closing = interior - lower - barrel() - second if wrong_lid else built
    return MouldDesign(
        style="two-part lidded",
        cavities=1,
        scale=1.0,
        part=barrel(),
        cell=barrel(),
        interior=interior,
        interior_below=interior_below,
        interior_above=interior_above,
        parts=barrel(),
        formers_first=first,
        formers_second=second,
        lower=lower,
        closing=closing,
        cavity=interior - lower - closing,
        closing_is_silicone=True,
        cavity_bodies=1,
        pieces=_lidded_pieces(first),
        centres_mm=((0.0, 0.0),),
        fill_lower_mm=-20.0,
        fill_upper_mm=18.0,
        box_inside_mm=(60.0, 52.0, 38.0),
        box_outside_mm=(66.0, 58.0, 38.0),
        vents=None,
        wells=wells,
        containment=tuple((f"rod {i + 1}", rod(2.5, 3, 8, at=xy), barrel()) for i, xy in enumerate(RODS)),
        release_groups={"parting": interior_above - barrel() - second, "keys": keys(), "tongue": tongue()},
    )


def _lidded_pieces(first: Node) -> tuple[Piece, ...]:
    lap = LAP_RADIUS
    lower = (
        Revolve(polygon([(0, -10), (8, -10), (lap, -0.4), (0, -0.4)])) - rod(1.6, -5.4, -0.4) - rod(1.25, -8.4, -5.4)
    )
    top = Revolve(polygon([(0, -0.4), (lap, -0.4), (12, 0), (9, 8), (0, 8)]))
    upper = (top | rod(1.5, -4.9, -0.4)) - union(*(rod(1.6, 3, 8, at=xy) for xy in RODS))
    rim = Revolve(polygon([(lap - 1, -0.4), (lap, -0.4), (12, 0), (lap - 1, 0)]))
    base = (Box(-30, -26, 0, 30, 26, 6) | first | rim) - rod(1.7, 0, 6)
    return (
        Piece(name="lower pattern", role="pattern", solid=lower, touches_silicone=(1, 2)),
        Piece(name="upper pattern", role="pattern", solid=upper, touches_silicone=(2,)),
        Piece(name="base", role="base", solid=base, touches_silicone=(1,)),
    )
