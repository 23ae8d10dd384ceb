"""Take the long lists of corners and triangles out of a 3MF model, so that its XML is short when it is read.

Only what is written plainly is taken: elements of the expected name with the expected attributes, as every slicer and
design program writes them. Anything else stays where it is, for the XML reader to judge.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

_MOST = 6_000_000  # elements of one list
# With one of these in it a model is not read by halves.
_ODD = (b"<!--", b"<![", b"<!D", b"<!E")
_KINDS = ((b"vertices", b"<vertex"), (b"triangles", b"<triangle"))
_EXACT = 1 << 53  # whole numbers up to here, times or over 10^22, come out rounded as they should be
_POWERS = 10.0 ** np.arange(23)

Numbers = NDArray[np.float64]


def without_lists(text: bytes, *, mark: str) -> tuple[bytes, tuple[Numbers, ...]]:
    """The model with each list replaced by a mark, and the lists: (n, 3), in order.

    Parameters
    ----------
    text : a model member in UTF-8; an unusual one is handed back as it is.
    mark : the attribute that says which list stood there.

    Examples
    --------
    >>> corners = b'<vertex x="1.5" y="-2e-1" z="0"/>'
    >>> short, lists = without_lists(b"<mesh><vertices>" + corners + b"</vertices></mesh>", mark="taken")
    >>> short, lists[0].tolist()
    (b'<mesh><vertices taken="0"/></mesh>', [[1.5, -0.2, 0.0]])
    """
    if any(odd in text for odd in (*_ODD, mark.encode())) or not _is_utf8(text):
        return text, ()
    data = np.frombuffer(text, dtype=np.uint8)
    kept: list[bytes] = []
    lists: list[Numbers] = []
    at = 0
    while (found := _next_list(text, at)) is not None:
        kind, begin, end = found
        name, element = _KINDS[kind]
        numbers = _numbers(text, data, begin, end, kind, element)
        closed = end + len(name) + 3
        if numbers is None:
            kept.append(text[at:closed])
        else:
            kept += (text[at : begin - 1], b' %s="%d"/>' % (mark.encode(), len(lists)))
            lists.append(numbers)
        at = closed
    return (b"".join((*kept, text[at:])), tuple(lists)) if lists else (text, ())


def _is_utf8(text: bytes) -> bool:
    head = text[:200].lower()
    return head[:1] in (b"<", b"\xef") and (b"encoding=" not in head or b"utf-8" in head)


def _next_list(text: bytes, at: int) -> tuple[int, int, int] | None:
    """The next list: its kind, and where what stands between its tags begins and ends."""
    best = None
    for kind, (name, _) in enumerate(_KINDS):
        begin = text.find(b"<" + name + b">", at)
        if begin >= 0 and (best is None or begin < best[1]):
            best = kind, begin
    if best is None:
        return None
    name = _KINDS[best[0]][0]
    begin = best[1] + len(name) + 2
    end = text.find(b"</" + name + b">", begin)
    return None if end < 0 else (best[0], begin, end)


def _numbers(text: bytes, data: Any, begin: int, end: int, kind: int, element: bytes) -> Numbers | None:
    count = text.count(element, begin, end)
    if not 0 < count <= _MOST:
        return None
    out = np.empty((count, 3))
    hard = np.empty((3 * count, 2), dtype=np.int64)
    read, odd = _scan(data, begin, end, kind, np.frombuffer(element, dtype=np.uint8), out, hard, _POWERS)
    if read != count:
        return None
    flat = out.reshape(-1)
    for place, start in hard[:odd].tolist():
        flat[place] = float(text[start : text.index(b'"', start)])
    return out


@njit(cache=True)
def _scan(data, begin, end, kind, element, out, hard, powers):  # type: ignore[no-untyped-def]
    """Fill `out`; the number of elements read, -1 for anything unexpected, and how many numbers are left to do."""
    at, row, odd = begin, 0, 0
    while True:
        while at < end and data[at] <= 32:
            at += 1
        if at == end:
            return row, odd
        for letter in element:
            if at >= end or data[at] != letter:
                return -1, 0
            at += 1
        seen = 0
        while True:
            start = at
            while at < end and data[at] <= 32:
                at += 1
            if at + 1 < end and data[at] == 47 and data[at + 1] == 62:  # />
                at += 2
                break
            if at == start or row >= len(out):
                return -1, 0
            column, at = _attribute(data, at, end, kind)
            if column == -2:
                return -1, 0
            if column == -1:
                while at < end and data[at] != 34:
                    if data[at] == 60 or data[at] == 38:
                        return -1, 0
                    at += 1
            else:
                if seen & (1 << column):
                    return -1, 0
                seen |= 1 << column
                first = at
                value, easy, at = _number(data, at, end, kind, powers)
                if at < 0:
                    return -1, 0
                out[row, column] = value
                if not easy:
                    hard[odd, 0], hard[odd, 1] = 3 * row + column, first
                    odd += 1
            if at >= end or data[at] != 34:
                return -1, 0
            at += 1
        if seen != 7:
            return -1, 0
        row += 1


@njit(cache=True)
def _attribute(data, at, end, kind):  # type: ignore[no-untyped-def]
    """Which column an attribute is (-1: one that says nothing of the shape, -2: unknown), and where its value is."""
    start = at
    while at < end and data[at] != 61:
        at += 1
    length = at - start
    if at + 1 >= end or data[at + 1] != 34:
        return -2, at
    at += 2
    if kind == 0:
        if length == 1 and 120 <= data[start] <= 122:  # x, y, z
            return data[start] - 120, at
        return -2, at
    if length == 2 and data[start] == 118 and 49 <= data[start + 1] <= 51:  # v1, v2, v3
        return data[start + 1] - 49, at
    if length == 2 and data[start] == 112 and 49 <= data[start + 1] <= 51:  # p1, p2, p3
        return -1, at
    if length == 3 and data[start] == 112 and data[start + 1] == 105 and data[start + 2] == 100:  # pid
        return -1, at
    return -2, at


@njit(cache=True)
def _number(data, at, end, kind, powers):  # type: ignore[no-untyped-def]
    """Its value, whether that is exactly rounded, and where it ends; -1 for what is no plain number."""
    negative = False
    if kind == 0 and at < end and (data[at] == 45 or data[at] == 43):
        negative = data[at] == 45
        at += 1
    whole, digits, shift = np.int64(0), 0, 0
    point = False
    while at < end:
        letter = data[at]
        if 48 <= letter <= 57:
            digits += 1
            if whole < 100_000_000_000_000_000:
                whole = whole * 10 + (letter - 48)
                shift -= point
            else:
                whole = np.int64(1 << 60)  # too long to be exact
        elif letter == 46 and not point and kind == 0:
            point = True
        else:
            break
        at += 1
    if digits == 0:
        return 0.0, False, -1
    if kind == 0 and at < end and (data[at] == 101 or data[at] == 69):
        at += 1
        down = False
        if at < end and (data[at] == 45 or data[at] == 43):
            down = data[at] == 45
            at += 1
        power, digits = 0, 0
        while at < end and 48 <= data[at] <= 57:
            power = min(power * 10 + (data[at] - 48), 9999)
            digits += 1
            at += 1
        if digits == 0:
            return 0.0, False, -1
        shift += -power if down else power
    if whole > _EXACT or shift > 22 or shift < -22:
        return 0.0, False, at
    value = whole / powers[-shift] if shift < 0 else whole * powers[shift]
    return (-value if negative else value), True, at
