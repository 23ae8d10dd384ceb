"""A person's own data sheet and test values, laid over the class that fills the gaps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from pourwright.basics.errors import BadQuantity, InputError, InputErrors
from pourwright.basics.quantities import Hardness, parse, show
from pourwright.basics.shelf import unknown_name
from pourwright.catalogue.materials.classes import band, in_si, load_class, material_names
from pourwright.catalogue.materials.fields import NUMBERS, TABLES, WORDS, Field, field_names
from pourwright.catalogue.materials.ratio import resolve_ratio
from pourwright.domain.estimate import Basis, Estimate
from pourwright.domain.material import Fact, Material
from pourwright.engines.process.mixing import mixed_density

# Never a recipe with this carcinogen, whatever a sheet calls it.
REFUSED_CURATIVES = ("moca", "mboca", "101-14-4", "methylenebis(2-chloroaniline)", "methylene bis(2-chloroaniline)")

Sheet = Mapping[str, Any]


def load_material(name: str, *, own_sheet: Sheet | None = None) -> Material:
    """A material by name: a class as it stands, or with a person's own sheet over it.

    Parameters
    ----------
    name : a class, or what the person calls their own material
    own_sheet : keys of `fields.field_names`
        Quantities are text with a unit ("1.08 g/mL"), a pair of such texts (a range), or an `Estimate` in SI.

    Raises
    ------
    UnknownName
        No class, or no line of a sheet, is called so.
    InputError
        A value that cannot be, a ratio by weight that contradicts the one by volume, a refused curative.

    Examples
    --------
    >>> own = {"class": "urethane 80A", "ratio_by_weight": "100:90", "density": "1.08 g/mL"}
    >>> mine = load_material("bench 80", own_sheet=own)
    >>> mine.best("density"), mine.ratio_by_weight.b, mine.facts["density"].status, mine.facts["shrink"].status
    (1080.0, 90.0, 'data sheet', 'from memory')
    """
    if not own_sheet:
        return load_class(name)
    return _lay_over(_class_of(name, own_sheet), own_sheet, name=name)


def _class_of(name: str, own_sheet: Sheet) -> Material:
    class_name = own_sheet.get("class", name)
    if "class" not in own_sheet and name not in material_names():
        raise InputError(
            f"the sheet of {name!r} names no class",
            advice=f'add a line such as class = "urethane 80A"; known: {", ".join(material_names())}',
            field="class",
        )
    if not isinstance(class_name, str):
        raise InputError(f"{class_name!r} is no name of a class", advice="write it as text", field="class")
    return load_class(class_name)


def _lay_over(base: Material, own_sheet: Sheet, *, name: str) -> Material:
    errors: list[InputError] = []
    _refuse_unknown(own_sheet, errors)
    _refuse_curative(own_sheet, errors)
    conditions = _table(own_sheet, "conditions", errors)
    measured = _table(own_sheet, "measured", errors)
    own = _facts(own_sheet, conditions, "data sheet", errors)
    own |= _facts(measured, conditions, "own measurement", errors)
    ratio = resolve_ratio(base, own_sheet, own, errors)
    if errors:
        raise errors[0] if len(errors) == 1 else InputErrors(errors)
    material = replace(
        base,
        name=name,
        facts={**base.facts, **own},
        sheet=" ".join(str(own_sheet[key]) for key in ("sheet", "revision", "date") if own_sheet.get(key)),
        notes=str(own_sheet.get("notes", "")),
        **ratio.as_fields(),
    )
    return replace(
        _with_mixed_density(material),
        doubts=(*ratio.doubts, *_doubts(base, own_sheet, own)),
    )


def _refuse_unknown(own_sheet: Sheet, errors: list[InputError]) -> None:
    for key in own_sheet:
        if key not in field_names():
            error = unknown_name(key, field_names(), noun="line of a material sheet")
            error.field = key
            errors.append(error)


def _refuse_curative(own_sheet: Sheet, errors: list[InputError]) -> None:
    curative = str(own_sheet.get("curative", "")).lower()
    if any(word in curative for word in REFUSED_CURATIVES):
        errors.append(
            InputError(
                "this curative causes cancer and is absorbed through the skin; no pours are worked out with it",
                advice="choose a system without it",
                field="curative",
                value=str(own_sheet["curative"]),
            )
        )


def _table(own_sheet: Sheet, key: str, errors: list[InputError]) -> Sheet:
    table = own_sheet.get(key, {})
    if not isinstance(table, Mapping):
        errors.append(InputError(f"{key} is not a table", advice=f"write [{key}] and lines below it", field=key))
        return {}
    for name in table:
        if name not in NUMBERS:
            error = unknown_name(name, NUMBERS, noun=f"line of [{key}]")
            error.field = f"{key}.{name}"
            errors.append(error)
    return table


def _facts(lines: Sheet, conditions: Sheet, basis: Basis, errors: list[InputError]) -> dict[str, Fact]:
    facts = {}
    for key, value in lines.items():
        if key not in NUMBERS or key in WORDS or key in TABLES:
            continue
        try:
            estimate = _estimate(value, NUMBERS[key], basis)
        except InputError as error:
            errors.append(error)
            continue
        source = "own sheet" if basis == "data sheet" else "own test"
        facts[key] = Fact(estimate=estimate, source=source, status=basis, condition=str(conditions.get(key, "")))
    return facts


def _estimate(value: object, field: Field, basis: Basis) -> Estimate:
    if isinstance(value, Estimate):
        return replace(value, rests_on=basis)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return _range(value, field, basis)
    number = _number(value, field)
    return Estimate(low=number, best=number, high=number, rests_on=basis)


def _range(value: Sequence[object], field: Field, basis: Basis) -> Estimate:
    if len(value) != 2:
        raise InputError(
            f"a range has two ends, and this has {len(value)}", advice="write [lower, upper]", field=field.name
        )
    low, high = (_number(end, field) for end in value)
    if low > high:
        raise InputError(
            f"the range goes down, from {value[0]} to {value[1]}", advice="write [lower, upper]", field=field.name
        )
    return band(low, high, field=field, rests_on=basis)


def _number(value: object, field: Field) -> float:
    low, high = in_si(field.low, field), in_si(field.high, field)
    if field.kind == "count" and isinstance(value, int) and not isinstance(value, bool):
        value = str(value)
    if isinstance(value, Hardness):
        value = show(value, "hardness")
    if not isinstance(value, str):
        example = show_value(_middle_of(field), field)
        raise BadQuantity(
            f"{value!r} is no text with a unit", advice=f'write it like "{example}"', field=field.name, value=str(value)
        )
    if field.kind == "hardness":
        return _shore_a(parse(value, "hardness", field=field.name), field)
    return parse(value, field.kind, field=field.name, low=low, high=high)


def _middle_of(field: Field) -> float:
    return band(in_si(field.low or 1, field), in_si(field.high, field), field=field).best


def _shore_a(hardness: Hardness, field: Field) -> float:
    if hardness.scale != "A":
        raise InputError(
            f"the hardness is on the {hardness.scale} scale, and the classes are on Shore A",
            advice="measure it with an A durometer; one scale is never turned into another",
            field=field.name,
        )
    return hardness.number


def show_value(value: float, field: Field) -> str:
    """An SI value in the field's unit, for a person.

    Examples
    --------
    >>> show_value(1080.0, NUMBERS["density"]), show_value(80.0, NUMBERS["hardness"])
    ('1.08 g/mL', '80A')
    """
    if field.kind == "hardness":
        return show(Hardness("A", value), "hardness")
    return show(value, field.kind, field.unit or None)


def _with_mixed_density(material: Material) -> Material:
    """The density of the mix from its parts, where no density of the rubber was typed."""
    facts, ratio = material.facts, material.ratio_by_weight
    typed = facts["density"].estimate.rests_on != "class default"
    if typed or ratio is None or material.placeholder_ratio or not {"density_a", "density_b"} <= set(facts):
        return material
    density = mixed_density(
        ratio=(ratio.a, ratio.b), density_a=material.best("density_a"), density_b=material.best("density_b")
    )
    fact = Fact(
        estimate=Estimate(low=density, best=density, high=density, rests_on="calculated"),
        source="own sheet",
        status="calculated",
        condition="A and B mixed, their volumes added",
    )
    return replace(material, facts={**facts, "density": fact})


def _doubts(base: Material, own_sheet: Sheet, own: Mapping[str, Fact]) -> tuple[str, ...]:
    doubts = []
    from_sheet = any(fact.status == "data sheet" for fact in own.values())
    if from_sheet and not (own_sheet.get("revision") or own_sheet.get("date")):
        doubts.append("the sheet has no revision or date: nobody can tell later which sheet these values are from")
    for key, fact in own.items():
        usual = base.facts.get(key)
        if usual and not usual.estimate.low * (1 - 1e-9) <= fact.estimate.best <= usual.estimate.high * (1 + 1e-9):
            low, best, high = (
                show_value(value, NUMBERS[key])
                for value in (usual.estimate.low, fact.estimate.best, usual.estimate.high)
            )
            doubts.append(f"{NUMBERS[key].words}: {best} lies outside {low} to {high}, usual for {base.name}")
    return tuple(doubts)
