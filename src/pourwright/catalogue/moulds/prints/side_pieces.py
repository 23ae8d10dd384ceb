"""Pieces of a side-parted mould: half patterns with their channels, pins, the base, walls and two side boards."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pourwright.catalogue.moulds import sizes
from pourwright.catalogue.moulds.design import Fastener, Piece
from pourwright.catalogue.moulds.hollows.breathers import breathing
from pourwright.catalogue.moulds.hollows.keys import Keys
from pourwright.catalogue.moulds.hollows.side_breathers import SideAiring
from pourwright.catalogue.moulds.hollows.side_runners import Runners
from pourwright.catalogue.moulds.prints.patterns import above, below, screw_bodies
from pourwright.catalogue.moulds.prints.pieces import Centres, at_cells, levelling_board_piece, wall_pieces
from pourwright.catalogue.moulds.stand.frame import Frame, base_plate, cut
from pourwright.catalogue.moulds.stand.setup import Setup
from pourwright.catalogue.moulds.stand.side_lain import PIN_DEEP_MM, Pins
from pourwright.engines.geometry.tree import Node, cylinder, union

_PIN_HALF_MM = 4.5
_PIN_IN_BASE_MM = 4.7
_FAR_MM = 1.0


@dataclass(frozen=True, kw_only=True)
class SidePieces:
    """All that is printed or owned for one side-parted block; places of `pins` are heights above the part's foot."""

    setup: Setup
    frame: Frame
    centres: Centres
    keys: Keys
    pins: Pins
    runners: Runners
    rod: Node | None
    airing: SideAiring | None = None

    def all(self) -> tuple[Piece, ...]:
        """Every piece."""
        holes = [] if self.airing is None else [self.airing.wall_tool().at(x, y) for x, y in self.centres]
        drawn = wall_pieces(self.frame, holes=holes)
        walls = [replace(wall, touches_silicone=(1, 2), stands=("pour 1", "pour 2")) for wall in drawn]
        found = [self._lower(), self._upper(), self._base(), *walls, levelling_board_piece(self.frame)]
        return (*found, self._side_boards(), *self._pin_pieces(), *self._rods())

    def states(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """What stands together at each stage."""
        pins = ("dowel",) if self.pins.pins_mm else ()
        rods = ("core rod",) if self.rod is not None else ()
        walls = ("wall",) if self.airing is None else ("west wall", "east wall")
        return (
            ("pour 1", ("lower pattern", "base", *walls, *pins)),
            ("pour 2", ("lower pattern", "upper pattern", *walls, "levelling board", *pins)),
            ("cast closed", ("side board", *rods)),
        )

    def containment(self) -> tuple[tuple[str, Node, Node], ...]:
        """The room that screws and pins need in the pattern."""
        body = self._body()
        screws = [
            cylinder(radius_mm=self.pins.screw.core_mm + sizes.COVER_MM, z0_mm=-self.pins.depth_mm, z1_mm=-0.01).at(
                x, y
            )
            for x, y in self._at(self.pins.screws_mm)
            if self.pins.screw is not None
        ]
        room = self.pins.hole_mm + sizes.COVER_MM
        pins = [
            cylinder(radius_mm=room, z0_mm=-PIN_DEEP_MM, z1_mm=PIN_DEEP_MM).at(x, y)
            for x, y in self._at(self.pins.pins_mm)
        ]
        found = (("screw", screws), ("dowel", pins))
        return tuple((name, union(*probes), body) for name, probes in found if probes)

    # ------------------------------------------------------------ patterns

    def _body(self) -> Node:
        """Part and rod of one cell: the pattern copies both."""
        cell = self.setup.standing.cell
        return cell if self.rod is None else cell | self.rod

    def _pattern(self) -> Node:
        """Part, rod, channels and basin, short of the walls at both ends by a fit."""
        whole = union(self._body(), self.runners.channels(), self.runners.well())
        return whole & self.frame.block(self.frame.fill_lower_mm, self.frame.fill_upper_mm, grow_mm=-sizes.EDGE_GAP_MM)

    def _pin_holes(self, low_mm: float, high_mm: float) -> list[Node]:
        if not self.pins.pins_mm:
            return []
        hole = cylinder(radius_mm=self.pins.hole_mm, z0_mm=low_mm, z1_mm=high_mm)
        return [hole.at(x, y) for x, y in self._at(self.pins.pins_mm)]

    def _at(self, places: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
        return [(self.runners.foot_mm + x, y) for x, y in places]

    def _lower(self) -> Piece:
        pins, screw = self.pins, self.pins.screw
        holes = self._pin_holes(-PIN_DEEP_MM, _FAR_MM)
        held = "thin double-sided tape on its flat face"
        if screw is not None:
            deep = cylinder(radius_mm=screw.core_mm, z0_mm=-pins.depth_mm, z1_mm=_FAR_MM)
            holes += [deep.at(x, y) for x, y in self._at(pins.screws_mm)]
            held = f"{len(pins.screws_mm)} screw{'s' if len(pins.screws_mm) > 1 else ''} {screw.name} from below"
        if self.airing is not None:
            holes += self.airing.lower_tools()
        piece = Piece(
            name="lower pattern",
            role="pattern",
            solid=cut(below(self._pattern(), 0.0, self._reach()), *holes),
            places_mm=at_cells(self.centres),
            touches_silicone=(1,),
            held_by=held,
            print_note="flat face down; seam line on the flat face's edge",
            print_turn="x 180",
            stands=("pour 1", "pour 2"),
        )
        return breathing(piece, self.airing is not None, self.setup.wish.breathers)

    def _upper(self) -> Piece:
        held = "dowels in its flat face, and thin double-sided tape" if self.pins.pins_mm else "thin double-sided tape"
        holes = self._pin_holes(-_FAR_MM, PIN_DEEP_MM)
        if self.airing is not None:
            holes += self.airing.upper_tools()
        piece = Piece(
            name="upper pattern",
            role="pattern",
            solid=cut(above(self._pattern(), 0.0, self._reach()), *holes),
            places_mm=at_cells(self.centres),
            touches_silicone=(2,),
            held_by=held,
            print_note="flat face down; seam line on the flat face's edge",
        )
        return breathing(piece, self.airing is not None, self.setup.wish.breathers)

    def _reach(self) -> float:
        return 2 * (self.frame.outer_mm[0] + self.frame.outer_mm[1])

    def _pin_pieces(self) -> tuple[Piece, ...]:
        if not self.pins.pins_mm:
            return ()
        pin = cylinder(radius_mm=self.pins.pin_mm, z0_mm=-_PIN_HALF_MM, z1_mm=_PIN_HALF_MM)
        places = tuple((cx + x, cy + y, 0.0, 0.0) for cx, cy in self.centres for x, y in self._at(self.pins.pins_mm))
        return (
            Piece(
                name="dowel",
                role="vent rod",
                solid=pin,
                places_mm=places,
                printed=False,
                held_by="the holes in base and patterns",
                print_note=f"{2 * self.pins.pin_mm:g} mm rod, {2 * _PIN_HALF_MM:g} mm long",
                stands=("pour 1", "pour 2"),
            ),
        )

    def fasteners(self) -> tuple[Fastener, ...]:
        """The screws that hold the lower halves to the base."""
        points = self._at(self.pins.screws_mm)
        return screw_bodies(self.pins.screw, points, self.centres, tip_mm=-self.pins.depth_mm)

    # ------------------------------------------------------------ base, boards, rods

    def _base(self) -> Piece:
        screw = self.pins.screw
        holes: list[Node] = []
        screws = [(cx + x, cy + y) for cx, cy in self.centres for x, y in self._at(self.pins.screws_mm)]
        if screw is not None:
            clear = cylinder(radius_mm=screw.clear_mm, z0_mm=-_FAR_MM, z1_mm=sizes.PLATE_MM + _FAR_MM)
            holes += [clear.at(x, y) for x, y in screws]
        holes += [hole.at(cx, cy) for cx, cy in self.centres for hole in self._pin_holes(-_FAR_MM, _PIN_IN_BASE_MM)]
        head = 0.0 if screw is None else screw.head_mm
        raised = [self.keys.solid()]
        return Piece(
            name="base",
            role="base",
            solid=base_plate(self.frame, raised=raised, holes=holes, screws_mm=screws, access_mm=head),
            touches_silicone=(1,),
            held_by="the walls stand on its flange; four M4 jack screws lift it",
            print_note="flange down; the pockets bridge without support",
            print_turn="x 180",
        )

    def _side_boards(self) -> Piece:
        """Two plates as large as the block, one on each side, when it stands on its end."""
        frame = self.frame
        board = frame.block(frame.fill_upper_mm, frame.fill_upper_mm + sizes.BOARD_MM)
        over = frame.fill_lower_mm - frame.fill_upper_mm - sizes.BOARD_MM
        return Piece(
            name="side board",
            role="press board",
            solid=board,
            places_mm=((0.0, 0.0, 0.0, 0.0), (0.0, 0.0, over, 0.0)),
            held_by="straps round block and boards, near both ends",
            print_note="flat; stiff, so solid",
            stands=("use",),
            leaves=((0.0, 0.0, 1.0), (0.0, 0.0, -1.0)),
        )

    def _rods(self) -> tuple[Piece, ...]:
        if self.rod is None:
            return ()
        return (
            Piece(
                name="core rod",
                role="core rod",
                solid=self.rod,
                places_mm=at_cells(self.centres),
                printed=False,
                held_by="its seats in both halves, from end to end of the block",
                stands=("use",),
                leaves=((1.0, 0.0, 0.0),),
            ),
        )
