"""Read a solid from anywhere and say what it is and how it could be moulded: the facts, and the picture of them."""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path

from pourwright.basics.errors import CannotRead, CannotWrite, InputError
from pourwright.basics.progress import Report, silent, span
from pourwright.domain.inspection import Inspection
from pourwright.domain.material import Material

USUAL_SILICONE = "platinum silicone 30A"
_PICTURES = (".svg",)


@dataclass(frozen=True, kw_only=True)
class Inspected:
    """The facts of a file, the seconds they took, and where their picture lies if one was asked for."""

    found: Inspection
    seconds: float
    silicone_assumed: bool
    picture: Path | None = None


def inspect_file(
    file: Path,
    *,
    unit: str | None = None,
    silicone: str | None = None,
    shop: Path | None = None,
    picture: Path | None = None,
    report: Report = silent,
) -> Inspected:
    """The facts of the one solid in a file; nothing is written unless a picture is asked for.

    Parameters
    ----------
    file : STEP, STL or 3MF.
    unit : of a file that says none.
    silicone : a class of mould silicone, or an own sheet of the shop; a usual class if left out.
    shop : a folder with a shop in it or above it; only its own sheets are read.
    picture : an SVG file to write.

    Raises
    ------
    CannotRead
        Missing, broken, too large, or not one closed solid.
    CannotWrite
        The picture's name does not end in .svg, or its folder cannot be written.
    UnknownName
        No such silicone.
    """
    from pourwright.app.reading_job import read_part_file
    from pourwright.steps.inspect_solid import inspect_solid
    from pourwright.steps.planning.kit_scheme import with_kit_scheme
    from pourwright.steps.planning.kit_wish import allowed_stretch

    start = time.perf_counter()
    if picture is not None:
        _refuse_other_pictures(picture)
    material = _silicone(silicone or USUAL_SILICONE, shop)
    reading = read_part_file(file, name=str(file), unit=unit, report=span(report, 0.0, 0.3))
    found = inspect_solid(
        reading,
        file=str(file),
        silicone=material.name,
        allowed_stretch=allowed_stretch(material),
        report=span(report, 0.3, 0.8),
    )
    found = with_kit_scheme(found, reading.solid, report=span(report, 0.8, 0.9))
    if picture is not None:
        from pourwright.steps.pictures.draw_inspection import draw_inspection
        from pourwright.store.writing import write_file

        drawn = draw_inspection(reading.solid, found, report=span(report, 0.9, 1.0))
        write_file(picture, drawn)
    report(1.0, "inspected")
    seconds = time.perf_counter() - start
    return Inspected(found=found, seconds=seconds, silicone_assumed=silicone is None, picture=picture)


def _refuse_other_pictures(picture: Path) -> None:
    if picture.suffix.lower() not in _PICTURES:
        raise CannotWrite(
            f"a picture is drawn as SVG, not as {picture.suffix or 'a file without an ending'}",
            advice=f"write --picture {picture.with_suffix('.svg').name}",
            file=str(picture),
        )


def _silicone(name: str, shop: Path | None) -> Material:
    from pourwright.app.project_files import material_of
    from pourwright.catalogue.materials import load_material, material_names
    from pourwright.store.shop_folder import open_shop

    try:
        folder = open_shop(shop)
    except CannotRead:
        if shop is not None:
            raise
        material = load_material(name)
    else:
        material = material_of(folder, name)
    if not material.is_silicone:
        known = ", ".join(one for one in material_names() if one.endswith("A") and "silicone" in one)
        raise InputError(
            f"{name!r} is no silicone", advice=f"give a mould silicone: {known}", field="--silicone", value=name
        )
    return material
