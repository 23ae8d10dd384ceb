"""Long tables of numbers as text, row by row, with the very digits that `%.9g` and `%d` give. Compiled."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numba import njit
from numpy.typing import NDArray

_DIGITS = 9
_POWERS = 10.0 ** np.arange(13)
_LARGEST = 999_999_999.0
_SMALLEST = 1e-4
# So near to the middle between two last digits a product's own rounding could choose the wrong one.
_NEAR_HALF = 1e-5
_LONGEST = 20  # letters of one number


def rows_of_text(parts: Sequence[str], table: NDArray[np.float64] | NDArray[np.int64]) -> bytes:
    """Each row of a table written between the given words.

    Parameters
    ----------
    parts : what stands before the first number, between two numbers, and after the last one; plain ASCII.
    table : (n, len(parts) - 1), float64 (nine significant digits, never -0) or int64 (not negative).

    Examples
    --------
    >>> rows_of_text(("<", " ", ">"), np.array([[0.1, -2.0], [1e-7, 3.0]]))
    b'<0.1 -2><1e-07 3>'
    >>> rows_of_text(("", ";"), np.array([[120], [0]]))
    b'120;0;'
    """
    words = [np.frombuffer(part.encode("ascii"), dtype=np.uint8) for part in parts]
    starts = np.cumsum([0, *(len(word) for word in words)])
    letters = np.concatenate(words)
    whole = np.issubdtype(table.dtype, np.integer)
    out = np.empty(len(table) * (len(letters) + _LONGEST * table.shape[1]), dtype=np.uint8)
    if whole:
        end = _whole_rows(np.ascontiguousarray(table, dtype=np.int64), letters, starts, out)
        return out[:end].tobytes()
    plain = np.ascontiguousarray(table, dtype=np.float64) + 0.0
    hard = np.empty((len(plain), 2), dtype=np.int64)
    end, odd = _rows(plain, letters, starts, out, hard, _POWERS)
    return _spliced(out[:end], hard[:odd], plain, parts)


def _spliced(
    out: NDArray[np.uint8], hard: NDArray[np.int64], table: NDArray[np.float64], parts: Sequence[str]
) -> bytes:
    """The text with the rows put in that were left to be written one by one."""
    if not len(hard):
        return out.tobytes()
    pattern = "%.9g".join(part.replace("%", "%%") for part in parts)
    pieces, at = [], 0
    for row, place in hard.tolist():
        pieces += (out[at:place].tobytes(), (pattern % tuple(table[row].tolist())).encode())
        at = place
    return b"".join((*pieces, out[at:].tobytes()))


@njit(cache=True)
def _whole_rows(table, letters, starts, out):
    at = 0
    digits = np.empty(_LONGEST, dtype=np.uint8)
    for row in range(table.shape[0]):
        for column in range(table.shape[1] + 1):
            for k in range(starts[column], starts[column + 1]):
                out[at] = letters[k]
                at += 1
            if column == table.shape[1]:
                break
            left, count = table[row, column], 0
            while left > 0 or count == 0:
                digits[count] = 48 + left % 10
                left //= 10
                count += 1
            for k in range(count - 1, -1, -1):
                out[at] = digits[k]
                at += 1
    return at


@njit(cache=True)
def _rows(table, letters, starts, out, hard, powers):
    """Fill `out`; where it ends, and how many rows (their number and place in `hard`) are left to do."""
    at, odd = 0, 0
    for row in range(table.shape[0]):
        begin = at
        for column in range(table.shape[1] + 1):
            for k in range(starts[column], starts[column + 1]):
                out[at] = letters[k]
                at += 1
            if column == table.shape[1]:
                break
            at = _number(table[row, column], out, at, powers)
            if at < 0:
                break
        if at < 0:
            at = begin
            hard[odd, 0], hard[odd, 1] = row, begin
            odd += 1
    return at, odd


@njit(cache=True)
def _number(value, out, at, powers):
    """Write a number; where it ends, or -1 for one that is left to do."""
    if value == 0.0:
        out[at] = 48
        return at + 1
    size = abs(value)
    if not _SMALLEST <= size < _LARGEST:
        return -1
    order = 0  # of the first digit
    while order < _DIGITS - 1 and size >= powers[order + 1]:
        order += 1
    while order > -4 and size * powers[_DIGITS - 1 - order] < powers[_DIGITS - 1]:
        order -= 1
    scaled = size * powers[_DIGITS - 1 - order]
    digits = np.int64(scaled)
    rest = scaled - digits
    if abs(rest - 0.5) < _NEAR_HALF:
        return -1
    digits += rest > 0.5
    if digits >= 1_000_000_000:
        digits //= 10
        order += 1
    if digits < 100_000_000 or order >= _DIGITS:
        return -1
    count = _DIGITS
    while digits % 10 == 0:
        digits //= 10
        count -= 1
    if value < 0:
        out[at] = 45
        at += 1
    return _fixed(digits, count, order, out, at)


@njit(cache=True)
def _fixed(digits, count, order, out, at):
    """Write `count` digits, the first of them of this order, with a point where it belongs."""
    if order < 0:
        out[at], out[at + 1] = 48, 46
        at += 2
        for _ in range(-order - 1):
            out[at] = 48
            at += 1
        for k in range(count - 1, -1, -1):
            out[at + k] = 48 + digits % 10
            digits //= 10
        return at + count
    whole = order + 1
    end = at + max(count, whole) + (count > whole)
    place = end - 1
    for _ in range(whole - count):
        out[place] = 48
        place -= 1
    for k in range(count, 0, -1):
        out[place] = 48 + digits % 10
        digits //= 10
        place -= 1
        if k == whole + 1:
            out[place] = 46
            place -= 1
    return end
