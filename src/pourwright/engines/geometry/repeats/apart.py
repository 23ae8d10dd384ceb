"""Divide a solid that repeats itself into windows that can be made apart, so that like ones are made once.

A mould is a block with the same few things cut out of it at every cell. What stands in one place knows nothing of
what stands in another, so the block is divided by upright planes that meet nothing but flat blocks. The pieces share
faces, and nothing else: their volumes add up to the whole, and with those faces left out so do their surfaces.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pourwright.engines.geometry.repeats.blocks import Block, any_block, block_of
from pourwright.engines.geometry.repeats.enclosing import Corners
from pourwright.engines.geometry.repeats.rods import stepped
from pourwright.engines.geometry.repeats.windows import AXES, Spans, Window, spans_of
from pourwright.engines.geometry.tree import Node, Op, Placed, union

Bounds = Callable[[Node], Corners]

_MARGINS_MM = (0.2, 0.17, 0.13)  # from what stands in a window to its sides
_BEYOND_MM = 1.0  # how far tools reach beyond the window that they cut in
_SAME_MM = 1e-6
_ALIKE = 11  # decimals of a millimetre to which two cells may stand alike
_FAR = math.inf
_PAYS = 0.7  # different pieces in all of them, at most
# Where between two levels a window is divided: at no round share, where a face of something inside might lie.
_BETWEEN = 0.381966


@dataclass(frozen=True)
class Share:
    """A piece of a solid, and the places (x, y), mm, where it stands; its sides on those of `seams` are not seen."""

    node: Node
    places_mm: tuple[tuple[float, float], ...]
    seams: tuple[Window, ...]


def apart(node: Node, bounds: Bounds) -> tuple[Share, ...] | None:
    """The solid as pieces of which some stand in several places; None when nothing repeats.

    Parameters
    ----------
    node : a cut out of blocks, or a union, with things that repeat.
    bounds : lowest and highest corner of a solid, mm.

    Examples
    --------
    >>> from pourwright.engines.geometry.tree import Box, cylinder
    >>> hole = cylinder(radius_mm=1, z0_mm=-1, z1_mm=2)
    >>> plate = Box(0, 0, 0, 20, 10, 1) - (hole.at(5, 5) | hole.at(15, 5))
    >>> from pourwright.engines.geometry.repeats.enclosing import enclosing
    >>> shares = apart(plate, enclosing)
    >>> [share.places_mm for share in shares]
    [((5.0, 5.0), (15.0, 5.0)), ((0.0, 0.0),)]
    """
    form = _form_of(node, bounds)
    if form is None:
        return None
    for margin in _MARGINS_MM:
        cells = _cells(form, margin)
        if cells is not None:
            return _shares(form, cells)
    return None


# ---------------------------------------------------------------- what a solid is made of


@dataclass(frozen=True)
class _Item:
    """Something that is no upright block, with its corners."""

    node: Node
    spans: Spans
    low_mm: float
    high_mm: float
    is_tool: bool


@dataclass(frozen=True)
class _Form:
    """(blocks and items together) less (blocks and items): what every cut and union here comes down to."""

    blocks: tuple[Block, ...]
    tools: tuple[Block, ...]
    items: tuple[_Item, ...]

    @property
    def z_mm(self) -> tuple[float, float]:
        """Lowest and highest of what there is before anything is cut away."""
        lows = [block.z_mm[0] for block in self.blocks] + [item.low_mm for item in self.items if not item.is_tool]
        highs = [block.z_mm[1] for block in self.blocks] + [item.high_mm for item in self.items if not item.is_tool]
        return min(lows), max(highs)


def _form_of(node: Node, bounds: Bounds) -> _Form | None:
    if not isinstance(node, Op) or node.kind == "common":
        return None
    first: Sequence[Node] = (node,)
    away: list[Node] = []
    wide = _half_width(bounds(node))
    while len(first) == 1 and isinstance(first[0], Op) and first[0].kind == "cut":
        if block_of(first[0], wide_mm=wide) is not None:
            break
        away = [*first[0].solids[1:], *away]
        first = _flat(first[0].solids[:1])
    wholes, tools = _flat(first), _flat(away)
    split = [
        [(one, block_of(one, wide_mm=wide) or _wide_one(one, bounds, wide)) for one in some] for some in (wholes, tools)
    ]
    items = [
        _item(one, bounds, is_tool=is_tool)
        for some, is_tool in zip(split, (False, True), strict=True)
        for one, block in some
        if block is None
    ]
    if len(items) < 2:
        return None
    blocks, block_tools = (tuple(block for _, block in some if block is not None) for some in split)
    return _Form(blocks, block_tools, tuple(items))


def _wide_one(node: Node, bounds: Bounds, wide: float) -> Block | None:
    """Something wide of any shape, of which each window gets its own part."""
    (x0, y0, z0), (x1, y1, z1) = bounds(node)
    return any_block(node, (z0, z1)) if min(x1 - x0, y1 - y0) > wide else None


def _half_width(corners: Corners) -> float:
    """What is wider than this is a block for what is cut into it."""
    (x0, y0, _), (x1, y1, _) = corners
    return min(x1 - x0, y1 - y0) / 2


def _flat(solids: Iterable[Node]) -> list[Node]:
    flat: list[Node] = []
    for solid in solids:
        flat.extend(_flat(solid.solids) if isinstance(solid, Op) and solid.kind == "union" else (solid,))
    return flat


def _item(node: Node, bounds: Bounds, *, is_tool: bool) -> _Item:
    low, high = bounds(node)
    return _Item(node, spans_of(node, bounds), low[2], high[2], is_tool)


# ---------------------------------------------------------------- windows


@dataclass(frozen=True)
class _Cell:
    """One window: the items that stand in it, seen from the place of the first, and its sides."""

    place_mm: tuple[float, float]
    items: tuple[_Item, ...]
    window: Window

    @property
    def likeness(self) -> tuple[object, ...]:
        """Equal for windows with the same items in the same places."""
        return (*((item.node.key, item.is_tool) for item in self.items), self.window.key)


def _cells(form: _Form, margin: float) -> list[_Cell] | None:
    """Items that stand close together share a window; None when a side would lie on a block's face."""
    low, high = form.z_mm
    found = []
    for group in _groups(form.items, margin):
        x, y = _place(group[0].node)
        seen = tuple(replace(item, node=_from(item.node, x, y)) for item in group)
        spans = tuple(
            (
                round(min(item.spans[k][0] for item in group) - margin - x * a - y * b, _ALIKE - 3),
                round(max(item.spans[k][1] for item in group) + margin - x * a - y * b, _ALIKE - 3),
            )
            for k, (a, b) in enumerate(AXES)
        )
        found.append(_Cell((x, y), seen, Window(spans, low - _BEYOND_MM, high + _BEYOND_MM)))
    return None if _on_a_face(form, found) else found


def _groups(items: Sequence[_Item], margin: float) -> list[list[_Item]]:
    """Items whose windows would meet, together; in their order."""
    groups: list[list[_Item]] = []
    for item in items:
        met = [group for group in groups if _meets(item, group, 2 * margin)]
        groups = [group for group in groups if not any(group is other for other in met)]
        groups.append([*itertools.chain.from_iterable(met), item])
    while True:
        pair = next(((a, b) for a, b in itertools.combinations(groups, 2) if _meets_all(a, b, 2 * margin)), None)
        if pair is None:
            order = {id(item): number for number, item in enumerate(items)}
            return [sorted(group, key=lambda item: order[id(item)]) for group in groups]
        groups = [group for group in groups if group is not pair[0] and group is not pair[1]]
        groups.append([*pair[0], *pair[1]])


def _meets(item: _Item, group: Sequence[_Item], room: float) -> bool:
    return _meets_all([item], group, room)


def _meets_all(one: Sequence[_Item], other: Sequence[_Item], room: float) -> bool:
    return all(
        min(item.spans[k][0] for item in one) - room < max(item.spans[k][1] for item in other)
        and min(item.spans[k][0] for item in other) - room < max(item.spans[k][1] for item in one)
        for k in range(len(AXES))
    )


def _place(node: Node) -> tuple[float, float]:
    return (node.x_mm, node.y_mm) if isinstance(node, Placed) else (0.0, 0.0)


def _from(node: Node, x: float, y: float) -> Node:
    """The node seen from a place."""
    if isinstance(node, Placed):
        there = round(node.x_mm - x, _ALIKE), round(node.y_mm - y, _ALIKE)
        return node.solid.at(*there, node.z_mm, turn_deg=node.turn_deg)
    return node.at(round(-x, _ALIKE), round(-y, _ALIKE))


def _on_a_face(form: _Form, cells: Sequence[_Cell]) -> bool:
    blocks = (*form.blocks, *form.tools)
    windows = [cell.window.moved(*cell.place_mm) for cell in cells]
    for k in range(2):
        faces = np.array([side for block in blocks for side in block.sides_mm[k]])
        sides = np.array([side for window in windows for side in window.spans[k]])
        if np.any(np.abs(sides[:, None] - faces) < _SAME_MM):
            return True
    return False


# ---------------------------------------------------------------- pieces


class _Pieces:
    """Pieces found so far, like ones together."""

    def __init__(self) -> None:
        self._found: dict[str, Share] = {}

    def add(self, node: Node | None, place: tuple[float, float], seams: tuple[Window, ...]) -> None:
        """Note that a piece stands in a place."""
        if node is not None:
            known = self._found.get(node.key, Share(node, (), seams))
            self._found[node.key] = replace(known, places_mm=(*known.places_mm, place))

    def shares(self) -> tuple[Share, ...] | None:
        """All of them; None when so few are alike that making the whole takes no longer."""
        shares = tuple(self._found.values())
        return shares if len(shares) <= _PAYS * sum(len(share.places_mm) for share in shares) else None


def _shares(form: _Form, cells: Sequence[_Cell]) -> tuple[Share, ...] | None:
    pieces = _Pieces()
    _divide(form, cells, (), pieces)
    return pieces.shares()


def _divide(form: _Form, cells: Sequence[_Cell], around: tuple[Window, ...], pieces: _Pieces) -> None:
    """The windows of a solid, or of a floor of a window, and the blocks between them."""
    alike: dict[tuple[object, ...], list[_Cell]] = {}
    for cell in cells:
        alike.setdefault(cell.likeness, []).append(cell)
    for group in alike.values():
        floors = _floors(form, group, group[0].window)
        for cell, window in itertools.product(group, floors):
            inner = _inner(form, cell, window) if len(floors) > 1 else None
            if inner is None:
                pieces.add(_content(form, cell, window), cell.place_mm, (window,))
            else:
                _divide(*inner, (window.moved(*cell.place_mm),), pieces)
    windows = tuple(cell.window.moved(*cell.place_mm) for cell in cells)
    rest = _cut(
        [block.node for block in form.blocks],
        [*(one.between(one.z0_mm, one.z1_mm) for one in windows), *(tool.node for tool in form.tools)],
    )
    pieces.add(rest, (0.0, 0.0), (*windows, *around))


def _inner(form: _Form, cell: _Cell, window: Window) -> tuple[_Form, list[_Cell]] | None:
    """What stands in a floor of a window, as smaller windows; None when it all stands together."""
    at, there = cell.place_mm, window.moved(*cell.place_mm)
    here = [item for item in cell.items if item.low_mm < window.z1_mm and item.high_mm > window.z0_mm]
    items = tuple(replace(item, node=item.node.at(*at)) for item in here)
    blocks = tuple(part for block in form.blocks if (part := block.within(there, 0.0)) is not None)
    tools = tuple(part for block in form.tools if (part := block.within(there, _BEYOND_MM)) is not None)
    if not blocks or len(items) < 2:
        return None
    inner = _Form(blocks, tools, items)
    for margin in _MARGINS_MM:
        cells = _cells(inner, margin / 2)
        if cells is not None and len(cells) > 1:
            kept = [replace(one, window=replace(one.window, z0_mm=window.z0_mm, z1_mm=window.z1_mm)) for one in cells]
            return inner, kept
    return None


def _content(form: _Form, cell: _Cell, window: Window) -> Node | None:
    """What lies in a window, seen from the cell's place."""
    x, y = cell.place_mm
    here = [item for item in cell.items if item.low_mm < window.z1_mm and item.high_mm > window.z0_mm]
    wholes = [part for block in form.blocks if (part := block.clipped(x, y, window, 0.0)) is not None]
    wholes += [item.node for item in here if not item.is_tool]
    tools = [part for block in form.tools if (part := block.clipped(x, y, window, _BEYOND_MM)) is not None]
    tools += [item.node for item in here if item.is_tool]
    return _cut(wholes, tools)


def _cut(wholes: Sequence[Node], tools: Sequence[Node]) -> Node | None:
    if not wholes:
        return None
    return Op("cut", (union(*wholes), *stepped(_flat(tools)))) if tools else union(*wholes)


# ---------------------------------------------------------------- floors of a window


def _floors(form: _Form, group: Sequence[_Cell], window: Window) -> list[Window]:
    """A window cut level where blocks that lie differently in like windows begin and end."""
    odd = _odd_blocks(form, group)
    if not odd:
        return [window]
    levels = _levels(form, group[0])
    planes = set()
    for low, high in _merged(odd):
        below = max((level for level in levels if level < low - _SAME_MM), default=-_FAR)
        above = min((level for level in levels if level > high + _SAME_MM), default=_FAR)
        planes |= {low - _BETWEEN * (low - below), high + _BETWEEN * (above - high)}
    wholes = [item for item in group[0].items if not item.is_tool]
    good = [
        plane
        for plane in sorted(planes)
        if window.z0_mm + _BEYOND_MM < plane < window.z1_mm - _BEYOND_MM
        and not any(item.low_mm < plane < item.high_mm for item in wholes)
    ]
    edges = [window.z0_mm, *good, window.z1_mm]
    return [replace(window, z0_mm=low, z1_mm=high) for low, high in itertools.pairwise(edges)]


def _odd_blocks(form: _Form, group: Sequence[_Cell]) -> list[tuple[float, float]]:
    """Heights between which blocks lie in some windows of a group but not in all."""
    counted: Counter[tuple[str, float, float]] = Counter()
    for cell in group:
        found = {
            (part.key, *block.z_mm)
            for block in (*form.blocks, *form.tools)
            if (part := block.clipped(*cell.place_mm, cell.window, 0.0)) is not None
        }
        counted.update(found)
    return [(low, high) for (_, low, high), times in counted.items() if times < len(group)]


def _levels(form: _Form, cell: _Cell) -> list[float]:
    found = [level for block in (*form.blocks, *form.tools) for level in block.z_mm]
    return sorted([*found, *(level for item in cell.items for level in (item.low_mm, item.high_mm))])


def _merged(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    merged: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return merged
