"""What to write instead, for each way in which a typed quantity goes wrong."""

from __future__ import annotations

import re
from fractions import Fraction

from pourwright.basics.units import KINDS, SPELT_OUT, Kind

# Units that belong to another kind, where the likely meaning is known. {n} is the number as typed.
_LIKELY = {
    ("temperature", "°"): "write {n} °C or {n} °F",
    ("difference", "°"): "write {n} K or {n} °F",
    ("time", "m"): "m is metres; write {n} min",
    ("time", "M"): "write {n} min",
    ("volume", "oz"): "fl oz for volume, oz for mass: write {n} fl oz",
    ("volume", "g"): "a volume is wanted: divide the grams by the density and write mL",
    ("mass", "fl oz"): "fl oz for volume, oz for mass: write {n} oz",
    ("mass", "lbf"): "write {n} lb",
    ("mass", "mL"): "a mass is wanted: multiply the mL by the density and write g",
    ("force", "lb"): "lb is a mass, lbf a force: write {n} lbf",
    ("force", "kg"): "kg is a mass; the weight of {n} kg is {weight} N",
    ("pressure", "inHg"): "inHg is read on a vacuum gauge; a pressure is written in psi, bar or kPa",
    ("vacuum", "psi"): "a vacuum gauge is read in inHg, mbar or kPa",
    ("vacuum", "bar"): "a vacuum gauge is read in inHg, mbar or kPa: 1 bar is 1000 mbar",
    ("length", '"'): "write {n} in",
    ("length", "'"): "write {n} ft",
    ("stress", "bar"): "a stress is written in MPa: 10 bar is 1 MPa",
    ("share", "A"): "a share is wanted, not a hardness",
}


_MOST_DECIMALS = 12  # as many as can be read back


def plain(number: Fraction | float, *, digits: int = 6) -> str:
    """A number without needless zeros, in a form that can be read back; `digits` are significant.

    Examples
    --------
    >>> plain(2.50), plain(1e-7), plain(123456.0)
    ('2.5', '1e-07', '123456')
    """
    value = float(number)
    if abs(value) < 1e-99:
        return "0"
    mantissa, _, exponent = f"{value:.{digits - 1}e}".partition("e")
    if 1e-4 <= abs(value) < 1e9:
        fixed = _without_zeros(f"{float(f'{mantissa}e{exponent}'):.{max(0, digits - 1 - int(exponent))}f}")
        if len(fixed.partition(".")[2]) <= _MOST_DECIMALS:
            return fixed
    return f"{_without_zeros(mantissa)}e{exponent}"


def _without_zeros(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text


def comma(text: str) -> str:
    """Advice for a comma, which is a decimal to some and a thousand to others."""
    decimal = text.replace(",", ".", 1)
    if text.count(",") > 1 or re.search(r",[0-9]{3}(?![0-9])", text):
        whole = text.replace(",", "")
        if text.count(",") > 1 or "." in text:
            return f"a comma can mean a decimal or a thousand; write {whole}"
        return f"a comma can mean a decimal or a thousand; write {whole} or {decimal}"
    return f"a comma can mean a decimal or a thousand; write {decimal}"


def no_unit(number: Fraction, kind: Kind) -> str:
    """Advice for a bare number: the same size in two units."""
    shown, other = kind.units[kind.shown], kind.units[kind.other]
    turned = other.from_si(shown.to_si(number))
    return f"write {plain(number)} {shown.name} or {plain(turned, digits=2)} {other.name}"


def marks(text: str) -> str:
    """Advice for feet and inches written with marks: the same length in one unit."""
    found = re.fullmatch(r"""([0-9./ -]+?) ?(["'])(?: ?([0-9.]+) ?")?""", text)
    if not found:
        return "write inches as in and feet as ft, for example 1.5 in"
    number, mark, inches = found.groups()
    if inches and mark == "'" and re.fullmatch(r"[0-9]+(\.[0-9]+)?", number) and re.fullmatch(r"[0-9.]+", inches):
        try:
            return f"write {plain(12 * Fraction(number) + Fraction(inches))} in"
        except ValueError:
            return "write inches as in and feet as ft, for example 1.5 in"
    return f"write {number} {'in' if mark == chr(34) else 'ft'}"


def wrong_unit(written: str, number: Fraction, kind: Kind) -> tuple[str, str]:
    """Message and advice for a unit that the kind does not have."""
    n = plain(number)
    if (kind.name, written) in _LIKELY:
        weight = plain(float(number) * 9.80665, digits=4)
        return f"{written!r} is no unit of {kind.noun}", _LIKELY[kind.name, written].format(n=n, weight=weight)
    if written.replace(" ", "") in kind.units:
        return f"a blank stands inside {written!r}", f"write {n} {written.replace(' ', '')}"
    same = _same_but_for_case(written, kind)
    if same:
        return f"{written!r} is no unit of {kind.noun}", f"did you mean {same}?"
    if not kind.units:
        return f"{kind.noun} is wanted, and {written!r} follows it", f"write {n}"
    owner = next((other for other in KINDS.values() if written in other.units), None)
    if owner is not None:
        return f"{n} {written} is {owner.noun}; {kind.noun} is wanted here", f"write it like {kind.example}"
    spelt = SPELT_OUT.get(written.lower().rstrip("."))
    if spelt in kind.units:
        return f"{written!r} is no unit of {kind.noun}", f"write {n} {spelt}"
    return f"{written!r} is no unit of {kind.noun}", f"units of {kind.noun}: {', '.join(kind.units)}"


def _same_but_for_case(written: str, kind: Kind) -> str | None:
    fits = [unit for unit in kind.units.values() if unit.name.lower() == written.lower()]
    sizes = {(unit.factor, unit.offset) for unit in fits}
    return fits[0].name if len(sizes) == 1 else None
