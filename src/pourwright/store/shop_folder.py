"""A shop folder: where its files lie, and what they say as nouns."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pourwright.basics.errors import CannotRead, InputError, InputErrors
from pourwright.basics.quantities import show
from pourwright.basics.shelf import unknown_name
from pourwright.domain.part import Feel, MouldWish, Part, Project
from pourwright.domain.shop import Pot, Prices, Printer, Room, Scale, Shop
from pourwright.store.toml_file import TomlFile, dotted, read_toml

if TYPE_CHECKING:
    from pourwright.store.definitions import PartFields

SHOP_FILE = "shop.toml"
PROJECT_FILE = "project.toml"


@dataclass(frozen=True, kw_only=True)
class ShopFolder:
    """The folder with shop.toml in it."""

    root: Path

    @property
    def projects(self) -> Path:
        """The folder with one folder for each project."""
        return self.root / "projects"

    def project_file(self, name: str) -> Path:
        """What a person wrote about one part."""
        return self.projects / name / PROJECT_FILE

    def out(self, name: str) -> Path:
        """The folder of everything derived; it may be deleted at any time."""
        return self.projects / name / "out"

    def shown(self, path: Path) -> str:
        """A path of this shop as an error names it: `projects/mount/project.toml`."""
        return path.relative_to(self.root).as_posix() if path.is_relative_to(self.root) else str(path)


def open_shop(path: Path | str | None = None) -> ShopFolder:
    """The shop folder at `path` (None: where the person stands), or the nearest one above it.

    Raises
    ------
    CannotRead
        There is none.
    """
    start = Path(path) if path is not None else Path.cwd()
    here = start.absolute()
    for folder in (here, *here.parents):
        if (folder / SHOP_FILE).is_file():
            return ShopFolder(root=folder)
    raise CannotRead(
        f"there is no shop folder at {start} or above it" if start.exists() else f"there is no folder {start}",
        advice="start one with: pourwright new DIR",
        file=str(start),
    )


def project_names(root: Path | ShopFolder) -> tuple[str, ...]:
    """The names of the projects, in order."""
    folder = _shop(root).projects
    if not folder.is_dir():
        return ()
    return tuple(sorted(item.parent.name for item in folder.glob(f"*/{PROJECT_FILE}")))


def read_shop(root: Path | ShopFolder) -> Shop:
    """What shop.toml says, with the keys that were left out in `assumed`.

    Raises
    ------
    CannotRead, InputErrors
        With the line of each thing that is wrong.
    """
    from pourwright.store.definitions import ShopFile
    from pourwright.store.reading import left_out, validated

    shop = _shop(root)
    file = read_toml(shop.root / SHOP_FILE, shown=SHOP_FILE)
    said = validated(file, ShopFile)
    return Shop(
        room=Room(**said.room.model_dump()),
        printers=tuple(Printer(**printer.model_dump()) for printer in said.printer),
        pot=None if said.pot is None else Pot(**said.pot.model_dump()),
        scale=Scale(**said.scale.model_dump()),
        prices=Prices(**said.prices.model_dump()),
        free_hours=said.hours.model_dump(exclude_none=True),
        logbook_address=said.logbook.address,
        assumed=tuple(left_out(said)),
    )


def assumed_in_words(shop: Shop) -> tuple[str, ...]:
    """What was assumed because shop.toml is silent, for a person: "room.temperature 23 °C"."""
    tables: dict[str, object] = {"room": shop.room, "scale": shop.scale}
    tables |= {f"printer[{index}]": printer for index, printer in enumerate(shop.printers)}
    kinds = {"temperature": "temperature", "humidity": "share", "altitude": "length"}
    kinds |= dict.fromkeys(("readability", "repeatability", "capacity"), "mass")
    words = []
    for key in shop.assumed:
        table, _, name = key.partition(".")
        value = getattr(tables.get(table), name, None)
        if isinstance(value, tuple):
            words.append(f"{key} {' × '.join(show(side, 'length') for side in value)}")
        elif isinstance(value, float):
            unit = "m" if name == "altitude" else None
            words.append(f"{key} {show(value, kinds.get(name, 'length'), unit)}")
    return tuple(words)


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

    shop = _shop(root)
    name = _project_name(shop, name)
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
    """Refuse a mould pressure above what the pot is rated for; a pot without a rating is rated for none.

    Raises
    ------
    InputErrors
        At the line of the wish, with both pressures.
    """
    wish = project.mould.pressure or 0.0
    rated = shop.pot.rated_pressure if shop.pot else None
    if wish <= (rated or 0.0):
        return
    folder = _shop(root)
    path = folder.project_file(project.name)
    file = read_toml(path, shown=folder.shown(path))
    wished = file.data.get("mould", {}).get("pressure", show(wish, "pressure"))
    if rated is None:
        message = f"the mould asks for {wished}, and {SHOP_FILE} gives no rated_pressure for the pot"
        advice = f"write rated_pressure from the pot's plate in [pot] of {SHOP_FILE}, or leave pressure out"
    else:
        message = f"the mould asks for {wished}, and the pot is rated for {show(rated, 'pressure')}"
        advice = f"ask for {show(rated, 'pressure')} or less; never raise the rating in {SHOP_FILE} above the plate"
    raise InputErrors([file.error(("mould", "pressure"), message, advice=advice, value=wished)])


def located(root: Path | ShopFolder, name: str, error: InputError) -> InputErrors:
    """The error with the project's file and the line of its field, for what is found after reading."""
    shop = _shop(root)
    path = shop.project_file(name)
    file = read_toml(path, shown=shop.shown(path))
    found = error.errors if isinstance(error, InputErrors) else (error,)
    lines = {dotted(path): line for path, line in file.lines.items()}
    return InputErrors([_at_its_line(file, lines, one) for one in found])


def own_sheet_names(root: Path | ShopFolder) -> tuple[str, ...]:
    """The names of the materials for which the shop has a sheet of its own."""
    return tuple(_sheet_name(file) for file in _sheets(_shop(root)))


def read_own_sheet(root: Path | ShopFolder, material: str) -> Mapping[str, Any] | None:
    """The values of the shop's own sheet for a material, as written; None when there is none.

    The sheet is the file in `materials/` whose `name` is the material's, or that is called like it.

    Raises
    ------
    CannotRead
        A sheet is no TOML.
    """
    found = next((file for file in _sheets(_shop(root)) if _folded(_sheet_name(file)) == _folded(material)), None)
    return None if found is None else found.data


def _shop(root: Path | ShopFolder) -> ShopFolder:
    return root if isinstance(root, ShopFolder) else ShopFolder(root=Path(root))


def _sheets(shop: ShopFolder) -> list[TomlFile]:
    folder = shop.root / "materials"
    paths = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return [read_toml(path, shown=shop.shown(path)) for path in paths]


def _sheet_name(file: TomlFile) -> str:
    name = file.data.get("name")
    return name if isinstance(name, str) else re.sub(r"[-_]", " ", file.path.stem)


def _folded(name: str) -> str:
    return re.sub(r"[\s_-]+", " ", name).strip().casefold()


def _project_name(shop: ShopFolder, name: str) -> str:
    known = project_names(shop)
    if name in known:
        return name
    path = Path(name)
    folder = path.parent if path.name == PROJECT_FILE else path
    for start in (Path.cwd(), shop.root):
        whole = (start / folder).resolve()
        if whole.parent == shop.projects.resolve() and whole.name in known:
            return whole.name
    if not known:
        raise CannotRead(
            f"there is no project {name!r}; this shop has none yet",
            advice=f"write projects/{path.name or 'NAME'}/{PROJECT_FILE}",
            file=str(shop.root),
        )
    raise unknown_name(name, known, noun="project")


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
        return family, [file.error(("part", "file"), message, advice=advice, value=part["file"])]
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


def _project(name: str, said: Any, fields: PartFields) -> Project:
    from pourwright.store.reading import left_out

    part = said.part.model_dump(exclude_none=True)
    outline = part.pop("outline", [])
    others = {key: part.pop(key, None) for key in ("family", "file", "unit", "job")}
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
        ),
        resin=said.resin.material,
        silicone=said.silicone.material,
        mould=MouldWish(**{**mould, "cavities": int(mould["cavities"])}),
        feel=Feel(**{**said.feel.model_dump(), "wanted": wanted}),
        assumed=(*(() if said.title else ("title",)), *(f"part.{key}" for key in defaults), *assumed),
    )


def _at_its_line(file: TomlFile, lines: Mapping[str, int], error: InputError) -> InputError:
    if error.file is not None or not error.field:
        return error
    field = error.field
    while field and field not in lines:  # a missing key points at its table
        field = field.rpartition(".")[0]
    return type(error)(error.message, **{**error.where(), "file": file.shown, "line": lines.get(field)})
