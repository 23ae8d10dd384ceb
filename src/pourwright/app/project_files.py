"""Load one project of a shop with all that it leans on: shop, materials, the part's shape, imported solids."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from pourwright.app.large_part import LargePart
from pourwright.basics.errors import CannotBuild, InputError
from pourwright.basics.progress import Report, silent, span
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.materials import load_material, material_names
from pourwright.catalogue.moulds.style import STYLES
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.check_result import CheckResult
from pourwright.domain.material import Material
from pourwright.domain.part import AS_DRAWN, Project
from pourwright.domain.shop import Shop
from pourwright.engines.geometry.imported import ImportedSolid
from pourwright.steps.make_pours import Materials
from pourwright.steps.planning.kit_wish import allowed_stretch
from pourwright.steps.planning.pattern_part import pattern_part
from pourwright.steps.words.check_copy import copy_checks
from pourwright.store.shop_folder import (
    ShopFolder,
    located,
    own_sheet_file,
    own_sheet_names,
    read_measured,
    read_own_sheet,
    read_project,
    read_shop,
    refuse_above_rating,
)

_RESIN = "urethane"


@dataclass(frozen=True, kw_only=True)
class Loaded:
    """A project, read and understood: everything the steps need.

    `drawn` is the solid of the part's file as it was drawn; the library holds it as it stands in the mould, `twins`
    the same for proofs, with fewer triangles where there are very many.
    """

    folder: ShopFolder
    shop: Shop
    project: Project
    materials: Materials
    shape: PartShape
    library: Mapping[str, ImportedSolid]
    drawn: ImportedSolid | None = None
    twins: Mapping[str, ImportedSolid] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()
    cautions: tuple[CheckResult, ...] = ()


def part_fields() -> dict[str, Mapping[str, Any]]:
    """For each family, its keys as the store reads them."""
    return {name: {one.key: one for one in (*family.dimensions, *family.texts)} for name, family in FAMILIES.items()}


def corner_fields() -> dict[str, Mapping[str, Any]]:
    """For each family with a free outline, the keys of a corner."""
    return {name: {one.key: one for one in family.corner} for name, family in FAMILIES.items() if family.corner}


def load(folder: ShopFolder, name: str, *, large: LargePart | None = None, report: Report = silent) -> Loaded:
    """Read one project; nothing is written.

    Parameters
    ----------
    folder, name : the shop, and which of its projects.
    large : a second process, for a part of very many triangles.
    report : told the progress.

    Raises
    ------
    InputError
        With file, line and field of whatever is wrong.
    """
    report(0.0, "reading the project")
    shop = read_shop(folder)
    known = (*material_names(), *own_sheet_names(folder))
    project = read_project(
        folder,
        name,
        part_fields=part_fields(),
        corner_fields=corner_fields(),
        resins=_of_kind(known, resin=True),
        silicones=_of_kind(known, resin=False),
        styles=tuple(STYLES),
    )
    refuse_above_rating(folder, project, shop)
    project, cautions = _without_unmarked_pot(project, shop)
    project = replace(project, measured=read_measured(folder, project.name))
    materials = Materials(resin=material_of(folder, project.resin), silicone=material_of(folder, project.silicone))
    try:
        project, library, warnings, drawn, twins = _with_file(folder, project, materials, large or LargePart(), report)
        shape = shape_of(pattern_part(project), library)
    except InputError as error:
        raise located(folder, name, error) from error
    return Loaded(
        folder=folder,
        shop=shop,
        project=project,
        materials=materials,
        shape=shape,
        library=library,
        drawn=drawn,
        twins=twins,
        warnings=warnings,
        cautions=(*cautions, *copy_checks(project.original, materials.silicone)),
    )


def _twins(library: Mapping[str, ImportedSolid]) -> Mapping[str, ImportedSolid]:
    if not library:
        return library
    from pourwright.engines.geometry.repeats.closed_twin import with_twins

    return with_twins(library)


def _without_unmarked_pot(project: Project, shop: Shop) -> tuple[Project, tuple[CheckResult, ...]]:
    """A pressure is planned only for a pot whose marking is known; a wish without one is told, not followed."""
    wished = project.mould.pressure or 0.0
    if wished <= 0 or (shop.pot is not None and shop.pot.rated_pressure is not None):
        return project, ()
    caution = CheckResult(
        name="mould pressure",
        ok=False,
        severity="caution",
        value=0.0,
        limit=round(wished / 1e5, 3),
        unit="bar gauge",
        advice="planned without pressure: write rated_pressure from the pot's plate under [pot] of shop.toml; "
        "without a marking no vessel may be used",
    )
    return replace(project, mould=replace(project.mould, pressure=0.0)), (caution,)


def _of_kind(known: tuple[str, ...], *, resin: bool) -> tuple[str, ...]:
    """Classes of one kind, and every own sheet (whose kind is judged when it is read)."""
    classes = set(material_names())
    return tuple(name for name in known if name not in classes or name.startswith(_RESIN) == resin)


def material_of(folder: ShopFolder, name: str) -> Material:
    """A material by name, with the shop's own sheet over its class."""
    sheet = own_sheet_file(folder, name)
    try:
        return load_material(name, own_sheet=read_own_sheet(folder, name))
    except InputError as error:
        raise (error if sheet is None else located(folder, sheet, error)) from error


_Solids = Mapping[str, ImportedSolid]
_FromFile = tuple[Project, _Solids, tuple[str, ...], ImportedSolid | None, _Solids]


def _with_file(
    folder: ShopFolder, project: Project, materials: Materials, large: LargePart, report: Report
) -> _FromFile:
    if project.part.file is None:
        _refuse_pull(project)
        return _with_core(folder, project, report)
    from pourwright.app.reading_job import read_part_file
    from pourwright.engines.geometry.repeats.closed_twin import needs_twin, twin_corners, with_corners

    path = folder.project_file(project.name).parent / Path(project.part.file)
    large.expect(path)
    reading = read_part_file(path, name=project.part.file, unit=project.part.unit, report=span(report, 0.0, 0.5))
    twin = needs_twin(reading.solid)
    if twin:
        large.begin_twin(reading.solid)
    project, library = standing(project, reading.solid, materials, report=span(report, 0.5, 0.9))
    if not twin:
        return project, library, reading.warnings, reading.solid, library
    # The twin of the solid as drawn, turned with it: it is ready when the pull is found.
    corners = large.twin_corners(span(report, 0.9, 1.0)) or twin_corners(reading.solid)
    twins = {digest: with_corners(solid, *corners) for digest, solid in library.items()}
    return project, library, reading.warnings, reading.solid, twins


def _with_core(folder: ShopFolder, project: Project, report: Report) -> _FromFile:
    """The hard core that a family is cast around, where it comes from a file; it stands as it was drawn."""
    name, unit = project.part.texts.get("core_file"), project.part.texts.get("core_unit")
    if name is None:
        return project, {}, (), None, {}
    from pourwright.app.reading_job import read_part_file

    reading = read_part_file(folder.project_file(project.name).parent / Path(name), name=name, unit=unit, report=report)
    part = replace(project.part, core_digest=reading.solid.digest)
    library = {reading.solid.digest: reading.solid}
    return replace(project, part=part), library, reading.warnings, None, _twins(library)


def standing(
    project: Project, drawn: ImportedSolid, materials: Materials, *, report: Report = silent
) -> tuple[Project, Mapping[str, ImportedSolid]]:
    """The project with its part's solid turned along the pull, and the library that holds that solid."""
    from pourwright.steps.studies.turn_solid import turn_solid

    allowed = allowed_stretch(materials.silicone)
    solid = turn_solid(drawn, project.mould.pull, allowed_stretch=allowed, report=report)
    return replace(project, part=replace(project.part, digest=solid.digest)), {solid.digest: solid}


def _refuse_pull(project: Project) -> None:
    if project.mould.pull not in (None, AS_DRAWN):
        raise CannotBuild(
            f"a {project.part.family} always leaves its mould along its axis",
            advice="leave pull out; it is for a part from a file",
            field="mould.pull",
        )
