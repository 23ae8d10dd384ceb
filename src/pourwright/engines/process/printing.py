"""What a print takes: plastic by a model of shells and infill, and time by the flow of the nozzle. SI units."""

from __future__ import annotations

import math

from pourwright.engines.process.mould_physics import above_zero

FILAMENT_DIAMETER = 1.75e-3  # m (common practice)
LINE_OVER_NOZZLE = 1.0  # width of a line over the nozzle's bore (common practice: 1.0 to 1.2)


def printed_plastic(*, volume: float, area: float, shell: float, infill: float) -> float:
    """Plastic in a print whose skin is solid and whose inside is filled in part.

    Parameters
    ----------
    volume : m3
        Of the piece.
    area : m2
        Of its surface.
    shell : m
        Thickness of the skin: walls, floor and roof alike.
    infill : share of plastic inside the skin, 0 to 1.

    Returns
    -------
    m3

    Raises
    ------
    InputError
        A volume or area that is not above zero.

    Notes
    -----
    The skin is the surface times its thickness, at most the whole piece. That counts edges twice, so that small
    pieces read a little high.

    References
    ----------
    print-estimate

    Examples
    --------
    >>> round(printed_plastic(volume=8e-6, area=2.4e-3, shell=0.8e-3, infill=0.15) * 1e6, 3)
    2.832
    """
    above_zero(volume=volume, area=area)
    skin = min(volume, area * shell)
    return skin + infill * (volume - skin)


def filament_length(*, plastic: float, diameter: float = FILAMENT_DIAMETER) -> float:
    """Length of filament that holds a volume of plastic.

    Parameters
    ----------
    plastic : m3
    diameter : m
        Of the filament.

    Returns
    -------
    m

    References
    ----------
    print-estimate

    Examples
    --------
    >>> round(filament_length(plastic=1e-6), 4)
    0.4158
    """
    above_zero(diameter=diameter)
    return plastic / (math.pi * diameter**2 / 4)


def print_time(*, plastic: float, height: float, line: float, layer: float, speed: float, pause: float) -> float:
    """Time to lay down a volume of plastic: its length as lines, and a pause for every layer.

    Parameters
    ----------
    plastic : m3
        Laid down, support and all.
    height : m
        Of the piece as it stands on the bed.
    line : m
        Width of a line.
    layer : m
        Height of a layer.
    speed : m/s
        Of the nozzle while it prints, corners and all.
    pause : s
        For each layer: travel, retraction, lift.

    Returns
    -------
    s

    Raises
    ------
    InputError
        A line, layer or speed that is not above zero.

    References
    ----------
    print-estimate

    Examples
    --------
    >>> round(print_time(plastic=8e-6, height=0.02, line=0.4e-3, layer=0.2e-3, speed=0.05, pause=4.0))
    2400
    """
    above_zero(line=line, layer=layer, speed=speed)
    return plastic / (line * layer * speed) + pause * height / layer
