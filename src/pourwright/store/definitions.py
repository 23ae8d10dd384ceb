"""Every key of shop.toml and project.toml, with its kind and range: what is read, and what editors are told.

Imported only when a file is read: pydantic is not needed for `--help`.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Annotated, Any, Literal, Protocol, Union

from pydantic import BaseModel, BeforeValidator, Field, WithJsonSchema, create_model

from pourwright.domain.old_part import OLD_MATERIALS, Original
from pourwright.domain.part import MouldWish
from pourwright.domain.shop import Printer, Room, Scale
from pourwright.domain.size_forecast import BOX_SIZES, ROUND_SIZES, ToleranceWish
from pourwright.store.field_types import (
    Table,
    choice,
    day,
    direction,
    quantity,
    read_quantity,
    refuse,
    spans_of_day,
    text,
    what_stands,
    yes_or_no,
)

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
FILE_FAMILY = "file"
TEXT = "text"  # the kind of a part's key that holds words


class PartField(Protocol):
    """What a family says about one of its dimensions; low, high and default as typed, with their units.

    A default of None means that it must be given.
    """

    kind: str
    default: str | None
    low: str
    high: str
    words: str


PartFields = Mapping[str, str | PartField]

# ---------------------------------------------------------------- shop.toml


class RoomTable(Table):
    """[room]: where the casting is done."""

    temperature: quantity("temperature", "-10 °C", "50 °C", words="of the air") = Room.temperature
    humidity: quantity("share", "0 %", "100 %", words="relative humidity") = Room.humidity
    altitude: quantity("length", "-500 m", "6000 m", words="above the sea") = Room.altitude


class PrinterTable(Table):
    """[[printer]]: one for each printer."""

    name: text("what you call it") = Printer.name
    bed: tuple[
        quantity("length", "20 mm", "2 m", words="x"),
        quantity("length", "20 mm", "2 m", words="y"),
        quantity("length", "20 mm", "2 m", words="z"),
    ] = Printer.bed
    nozzle: quantity("length", "0.1 mm", "2 mm", words="diameter of the nozzle") = Printer.nozzle
    layer: quantity("length", "0.02 mm", "1 mm", words="height of a layer") = Printer.layer
    hole_offset: quantity("length", "-1 mm", "1 mm", words="how much smaller a hole comes out, in diameter") = (
        Printer.hole_offset
    )
    size_error: quantity("length", "0 mm", "2 mm", words="how far a size can be off") = Printer.size_error
    size_error_z: quantity("length", "0 mm", "2 mm", words="the same for heights; left out, as size_error") | None = (
        None
    )
    size_share: quantity("share", "0 %", "5 %", words="how far a size can be off beyond that") | None = None


class PotTable(Table):
    """[pot]: the pressure pot, as its plate says. Leave out what you do not know."""

    inside_diameter: quantity("length", "20 mm", "2 m") | None = None
    inside_height: quantity("length", "20 mm", "3 m", words="free height inside") | None = None
    volume: quantity("volume", "0.1 L", "2000 L") | None = None
    rated_pressure: quantity("pressure", "0 psi", "300 psi", words="gauge, as marked on the vessel") | None = None
    relief_pressure: quantity("pressure", "0 psi", "300 psi", words="gauge, of the relief valve") | None = None
    inspected_on: day("of the last inspection") | None = None


class ScaleTable(Table):
    """[scale]: the scale that mixes are weighed on."""

    readability: quantity("mass", "0.1e-3 g", "100 g", words="smallest step shown") = Scale.readability
    repeatability: quantity("mass", "0 g", "100 g", words="as its sheet says") = Scale.repeatability
    capacity: quantity("mass", "10 g", "500 kg") = Scale.capacity


_MONEY = quantity("number", "0", "1e6", words="in your currency")


class PricesTable(Table):
    """[prices]: bare numbers in your currency."""

    currency: text("how it is written after a price", longest=12, example="EUR") = ""
    per_kg: dict[str, _MONEY] = Field(default_factory=dict)
    hour: _MONEY | None = None
    print_hour: _MONEY | None = None
    filament_per_kg: _MONEY | None = None


HoursTable = create_model(
    "HoursTable",
    __base__=Table,
    __doc__="[hours]: when you are free in an ordinary week.",
    **{name: (spans_of_day() | None, None) for name in DAYS},
)


class LogbookTable(Table):
    """[logbook]: where records are kept."""

    address: text("address of a shared database; left out, a file in this folder") | None = None


class ShopFile(Table):
    """shop.toml: what you own."""

    room: RoomTable = RoomTable()
    printer: list[PrinterTable] = Field(default_factory=lambda: [PrinterTable()], min_length=1, max_length=50)
    pot: PotTable | None = None
    scale: ScaleTable = ScaleTable()
    prices: PricesTable = PricesTable()
    hours: HoursTable = HoursTable()  # type: ignore[valid-type]
    logbook: LogbookTable = LogbookTable()


# ---------------------------------------------------------------- project.toml


class MouldTable(Table):
    """[mould]: wishes; what is left out the program chooses."""

    style: text("how the mould is made") | None = None
    cavities: quantity("count", "1", "64", words="parts in one cast") = MouldWish.cavities
    pressure: quantity("pressure", "0 psi", "300 psi", words="gauge, in the pot") | None = None
    wall: quantity("length", "1 mm", "200 mm", words="silicone around the parts") | None = None
    between: quantity("length", "1 mm", "200 mm", words="silicone between the parts") | None = None
    bore_core: choice("silicone", "rod", words="what fills the bore") | None = None
    mouth: choice("as drawn", "tangent", "sharp", words="where the parting meets the edge radius") | None = None
    infill: quantity("share", "5 %", "100 %", words="of the printed patterns") = MouldWish.infill
    breathers: yes_or_no("holes that let the air out of hollow prints") = MouldWish.breathers
    overflow: quantity("share", "0 %", "200 %", words="resin above the parts' own volume") | None = None
    cup_loss: quantity("mass", "0 g", "1 kg", words="what stays in the cup") | None = None
    flat_face: yes_or_no("whether a flat face may carry the trim line") = MouldWish.flat_face
    free_face: yes_or_no("whether the flat face may stay as it sets, open to the air") = MouldWish.free_face
    box: choice("round", "square", "rectangle", "form-fitting", words="outline of the box round the parts") | None = (
        None
    )
    layout: text("how the parts stand", example="2 × 2") | None = None
    longest_piece: (
        quantity("length", "60 mm", "2 m", words="of base, walls and boards, made in parts if longer") | None
    ) = None
    pull: direction("as drawn", words="along which the halves leave a part from a file") | None = None
    lean: quantity("angle", "1 deg", "15 deg", words="of the closed mould while its air leaves: fewer vents") | None = (
        None
    )
    lean_towards: quantity("angle", "0 deg", "360 deg", words="the side that is raised, from x towards y") | None = None
    pattern: choice("split", "pocket", words="of a part that rises above the parting") | None = None
    parting: choice("flat", "ruled", "stepped", words="face along which the halves of a file's part meet") | None = None
    trapped_limit: quantity("share", "0.01 %", "5 %", words="of the part, air that may stay at a small tilt") | None = (
        None
    )


class OriginalTable(Table):
    """[original]: that the project copies an existing part."""

    material: choice(*OLD_MATERIALS, words="what the existing part is made of") = Original.material
    as_pattern: yes_or_no("whether silicone is poured on the existing part itself") = Original.as_pattern


class WantedTable(Table):
    """One wish for the feel: this force at this deflection."""

    deflection: quantity("length", "0 mm", "1 m")
    force: quantity("force", "0 N", "1000 kN")


class FeelTable(Table):
    """[feel]: how the part sits, and the force that is wanted."""

    ends: choice("glued", "greased", "dry") | None = None
    friction: quantity("number", "0", "2", words="coefficient of friction of dry ends") | None = None
    wanted: list[WantedTable] = Field(default_factory=list, max_length=100)
    preload: quantity("force", "0 N", "1000 kN", words="force at rest") | None = None


_GRADES = ("M1", "M2", "M3", "M4")


def _size_names(fields: PartFields, corner: PartFields) -> tuple[str, ...]:
    """The sizes of a family: its lengths, or those of what has no dimensions of its own."""
    lengths = tuple(key for key, one in fields.items() if (one if isinstance(one, str) else one.kind) == "length")
    return lengths or (ROUND_SIZES if corner or "outline" in fields else BOX_SIZES)


def _size_tables(names: Collection[str] | None) -> dict[str, Any]:
    """[tolerance] and [pattern]; unread where the part's sizes are not known."""
    if names is None:
        return {"tolerance": (dict[str, Any], {}), "pattern": (dict[str, Any], {})}
    tolerances, patterns = tolerance_model(names), pattern_model(names)
    return {"tolerance": (tolerances, tolerances()), "pattern": (patterns, patterns())}


def tolerance_model(names: Collection[str]) -> type[BaseModel]:
    """[tolerance] for a part with these sizes."""
    miss = quantity("length", "0.001 mm", "50 mm", words="how far this size of the cast may be off, to either side")
    members: dict[str, Any] = dict.fromkeys(names, (miss | None, None))
    grade = choice(*_GRADES, words="class of ISO 3302-1 for the sizes not named here")
    return create_model(
        "ToleranceTable",
        __base__=Table,
        __doc__="[tolerance]: how far the sizes of the cast may be off.",
        **{"class": (grade, ToleranceWish.grade), **members},
    )


def pattern_model(names: Collection[str]) -> type[BaseModel]:
    """[pattern] for a part with these sizes."""
    more = quantity("length", "-5 mm", "5 mm", words="added to this size of the pattern, against the printer's error")
    offsets = create_model(
        "OffsetsTable",
        __base__=Table,
        __doc__="[pattern.offsets]: corrections of single sizes.",
        **dict.fromkeys(names, (more | None, None)),  # type: ignore[call-overload]
    )
    coat = quantity("length", "-0.5 mm", "1 mm", words="what sanding and coats add to each face, together")
    scale = quantity("number", "0.95", "1.05", words="correction of all sizes, beyond the shrink")
    warm = quantity("temperature", "5 °C", "90 °C", words="of the mould when the resin sets in it")
    return create_model(
        "PatternTable",
        __base__=Table,
        __doc__="[pattern]: what is done to the printed patterns so that the cast comes out right.",
        coat=(coat | None, None),
        scale=(scale | None, None),
        mould_temperature=(warm | None, None),
        offsets=(offsets, offsets()),
    )


def project_model(
    family: str | None,
    fields: PartFields,
    corner: PartFields,
    *,
    resins: Collection[str] = (),
    silicones: Collection[str] = (),
) -> type[BaseModel]:
    """The model of a project file whose part is of this family; None leaves the part unread."""
    part = part_model(family, fields, corner) if family is not None else dict[str, Any]
    return _project(part, None if family is None else _size_names(fields, corner), resins, silicones)


def any_project_model(
    part_fields: Mapping[str, PartFields],
    corner_fields: Mapping[str, PartFields],
    *,
    resins: Collection[str] = (),
    silicones: Collection[str] = (),
) -> type[BaseModel]:
    """The model of a project file of any family, for editors."""
    names = [name for name in part_fields if name != FILE_FAMILY]
    parts = [part_model(name, part_fields[name], corner_fields.get(name, {})) for name in names]
    every = [*parts, part_model(FILE_FAMILY, part_fields.get(FILE_FAMILY, {}), {})]
    sizes = {key: None for name in part_fields for key in _size_names(part_fields[name], corner_fields.get(name, {}))}
    return _project(Union[tuple(every)], tuple(sizes), resins, silicones)  # noqa: UP007  (built from a list)


def _project(
    part: Any, sizes: Collection[str] | None, resins: Collection[str], silicones: Collection[str]
) -> type[BaseModel]:
    return create_model(
        "ProjectFile",
        __base__=Table,
        __doc__="project.toml: one part with its mould and materials.",
        title=(text("what the part is called on paper", example="Parcel-box mount") | None, None),
        part=(part, ...),
        resin=(_material_table("ResinTable", "[resin]: what the part is cast of.", resins), ...),
        silicone=(_material_table("SiliconeTable", "[silicone]: what the mould is made of.", silicones), ...),
        mould=(MouldTable, MouldTable()),
        feel=(FeelTable, FeelTable()),
        original=(OriginalTable | None, None),
        **_size_tables(sizes),
    )


def _material_table(name: str, words: str, known: Collection[str]) -> type[BaseModel]:
    kind = text("a class of material, or the name of your own sheet", known=known, example="urethane 80A")
    return create_model(name, __base__=Table, __doc__=words, material=(kind, ...))


def part_model(family: str, fields: PartFields, corner: PartFields) -> type[BaseModel]:
    """The model of [part] for one family: its dimensions, and an outline where it takes one."""
    members: dict[str, Any] = {key: _part_member(field) for key, field in fields.items() if key != "outline"}
    members["job"] = (text("what the part does") | None, None)
    if family == FILE_FAMILY:
        members["family"] = (Literal["file"], "file")
        members["file"] = (text("a STEP, STL or 3MF file beside project.toml", example="clip.step"), ...)
        members["unit"] = (choice("um", "mm", "cm", "m", "in", "ft", words="of a file that has none") | None, None)
    else:
        members["family"] = (Literal[family], ...)
    if corner or "outline" in fields:
        members["outline"] = (list[_corner(corner)], Field(max_length=1000))  # type: ignore[misc]
    name = "".join(word.capitalize() for word in family.split()) + "Part"
    return create_model(name, __base__=Table, __doc__=f"[part]: a {family}.", **members)


def _part_member(field: str | PartField) -> tuple[Any, Any]:
    if isinstance(field, str):
        return (quantity(field) | None, None)
    if field.kind == TEXT:
        options = getattr(field, "options", ())
        written = choice(*options, words=field.words) if options else text(field.words, example=field.example)
        return (written | None, None)
    kind = quantity(field.kind, field.low, field.high, words=field.words)
    needed = field.default is None and not getattr(field, "unless", "")
    return (kind, ...) if needed else (kind | None, None)


def _corner(fields: PartFields) -> Any:
    if fields:
        members: dict[str, Any] = {key: _part_member(field) for key, field in fields.items()}
        return create_model("Corner", __base__=Table, __doc__="One corner of the outline.", **members)
    schema = {"type": "object", "additionalProperties": {"type": ["string", "number"]}}
    return Annotated[dict[str, float], BeforeValidator(_read_corner), WithJsonSchema(schema)]


def _read_corner(value: object) -> dict[str, float]:
    if not isinstance(value, dict):
        raise refuse(
            f"{what_stands(value)} stands where a corner is wanted", 'write it like { r = "5 mm", z = "0 mm" }'
        )
    return {key: read_quantity(item, "length" if isinstance(item, str) else "number") for key, item in value.items()}
