"""project.toml as a noun: the part by its family, the materials by name, the wishes for the mould."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pourwright.basics.errors import InputError, InputErrors
from pourwright.basics.quantities import show
from pourwright.basics.shelf import unknown_name
from pourwright.domain.old_part import Original
from pourwright.domain.part import Feel, MouldWish, Part, Project
from pourwright.domain.shop import Shop
from pourwright.domain.size_forecast import PatternWish, ToleranceWish
from pourwright.store.folder import SHOP_FILE, ShopFolder, as_shop, project_name
from pourwright.store.own_sheets import own_sheet_names
from pourwright.store.toml_file import TomlFile, read_toml

if TYPE_CHECKING:
    from pourwright.store.definitions import PartFields


def read_project(
    root: Path | ShopFolder,
    name: str,
    *,
    part_fields: Mapping[str, PartFields],
    corner_fields: Mapping[str, PartFields] | None = None,
    resins: Collection[str] | None = None,
    silicones: Collection[str] | None = None,
    styles: Collection[str] | None = None,
) -> Project:
    """What a project's file says, with the keys that were left out in `assumed`.

    Parameters
    ----------
    name : of the project, or the path of its folder or file.
    part_fields : for each family its keys; for each key its kind, or an object with `kind`, `low`, `high`,
        `default` and `words` as a family's dimension has them (a default of None: must be given).
    corner_fields : the same for one corner of the outline, for the families that take one.
    resins, silicones, styles : the names that are known; None leaves them unchecked. The shop's own
        sheets in `materials/` are known besides.

    Raises
    ------
    UnknownName, CannotRead, InputErrors
        With the line of each thing that is wrong.
    """
    from pourwright.store.definitions import project_model
    from pourwright.store.reading import validated

    shop = as_shop(root)
    name = project_name(shop, name)
    path = shop.project_file(name)
    file = read_toml(path, shown=shop.shown(path))
    corners = corner_fields or {}
    family, faults = _family(file, part_fields)
    own = own_sheet_names(shop) if resins is not None or silicones is not None else ()
    faults += _unknown_materials(file, resins, silicones, own)
    faults += _unknown_style(file, styles)
    fields = part_fields.get(family or "", {})
    model = project_model(family, fields, corners.get(family or "", {}), resins=resins or (), silicones=silicones or ())
    return _project(name, validated(file, model, more=faults), fields)


def refuse_above_rating(root: Path | ShopFolder, project: Project, shop: Shop) -> None:
    """Refuse a mould pressure above what is marked on the pot.

    Without a rating nothing is refused here: the pressure is then planned as none.

    Raises
    ------
    InputErrors
        At the line of the wish, with both pressures.
    """
    wish = project.mould.pressure or 0.0
    rated = shop.pot.rated_pressure if shop.pot else None
    if rated is None or wish <= rated:
        return
    folder = as_shop(root)
    path = folder.project_file(project.name)
    file = read_toml(path, shown=folder.shown(path))
    wished = file.data.get("mould", {}).get("pressure", show(wish, "pressure"))
    message = f"the mould asks for {wished}, and the pot is rated for {show(rated, 'pressure')}"
    advice = f"ask for {show(rated, 'pressure')} or less; never raise the rating in {SHOP_FILE} above the plate"
    raise InputErrors([file.error(("mould", "pressure"), message, advice=advice, value=wished)])


def _family(file: TomlFile, part_fields: Mapping[str, PartFields]) -> tuple[str | None, list[InputError]]:
    """The family by which [part] is read; None when it cannot be told, with the error."""
    part = file.data.get("part")
    if not isinstance(part, dict):
        return None, []  # the model says that the table is missing
    family = part.get("family")
    if family is None and "file" in part:
        return "file", []
    known = list(dict.fromkeys([*part_fields, "file"]))
    if family is None:
        message, advice = "missing", f'write family = "{known[0]}", or file = "part.step"; known: {", ".join(known)}'
        return None, [file.error(("part", "family"), message, advice=advice)]
    if not isinstance(family, str):
        return None, [file.error(("part", "family"), "the family is no text", advice="write it in quotes")]
    if family not in known:
        fault = unknown_name(family, known, noun="part family")
        return None, [file.error(("part", "family"), fault.message, advice=fault.advice, value=family)]
    if family != "file" and "file" in part:
        message, advice = f"a {family} is drawn from its dimensions, not from a file", "leave out family, or file"
        return None, [file.error(("part", "file"), message, advice=advice, value=part["file"])]
    return family, []


def _unknown_materials(
    file: TomlFile, resins: Collection[str] | None, silicones: Collection[str] | None, own: Collection[str]
) -> list[InputError]:
    faults = []
    for table, known, others in (("resin", resins, silicones or ()), ("silicone", silicones, resins or ())):
        name = _text_at(file, table, "material")
        if known is None or name is None or name in known or (name in own and name not in others):
            continue
        path = (table, "material")
        if name in others:
            wrong = f"{name!r} is a {'silicone' if table == 'resin' else 'resin'}, and stands as the {table}"
            faults.append(file.error(path, wrong, advice=f"known: {', '.join(known)}", value=name))
        else:
            fault = unknown_name(name, [*known, *(n for n in own if n not in others)], noun=table)
            faults.append(file.error(path, fault.message, advice=fault.advice, value=name))
    return faults


def _unknown_style(file: TomlFile, styles: Collection[str] | None) -> list[InputError]:
    style = _text_at(file, "mould", "style")
    if styles is None or style is None or style in styles:
        return []
    fault = unknown_name(style, styles, noun="mould style")
    return [file.error(("mould", "style"), fault.message, advice=fault.advice, value=style)]


def _text_at(file: TomlFile, table: str, key: str) -> str | None:
    holder = file.data.get(table)
    value = holder.get(key) if isinstance(holder, dict) else None
    return value if isinstance(value, str) and value.strip() else None


def _tolerance(said: Any) -> ToleranceWish:
    own = said.tolerance.model_dump(exclude_none=True)
    return ToleranceWish(grade=own.pop("class"), own=own)


def _project(name: str, said: Any, fields: PartFields) -> Project:
    from pourwright.store.reading import left_out

    part = said.part.model_dump(exclude_none=True)
    outline = part.pop("outline", [])
    others = {key: part.pop(key, None) for key in ("family", "file", "unit", "job")}
    texts = {
        key: part.pop(key) for key, field in fields.items() if getattr(field, "kind", "") == "text" and key in part
    }
    defaults = [key for key, field in fields.items() if getattr(field, "default", None) and key not in part]
    assumed = [key for key in left_out(said) if not key.startswith("part.")]
    wanted = tuple((wish.deflection, wish.force) for wish in said.feel.wanted)
    mould = said.mould.model_dump()
    return Project(
        name=name,
        title=said.title or name.replace("-", " ").replace("_", " ").capitalize(),
        part=Part(
            family=others["family"],
            dimensions=part,
            outline=tuple(outline),
            file=others["file"],
            unit=others["unit"],
            job=others["job"] or "",
            texts=texts,
        ),
        resin=said.resin.material,
        silicone=said.silicone.material,
        mould=MouldWish(**{**mould, "cavities": int(mould["cavities"])}),
        feel=Feel(**{**said.feel.model_dump(), "wanted": wanted}),
        original=None if said.original is None else Original(**said.original.model_dump()),
        tolerance=_tolerance(said),
        pattern=PatternWish(**said.pattern.model_dump(exclude_none=True)),
        assumed=(*(() if said.title else ("title",)), *(f"part.{key}" for key in defaults), *assumed),
    )
