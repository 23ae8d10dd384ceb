"""From a file's values to checked values: everything that is wrong is found at once, each with its line."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Sequence
from typing import Any

from pydantic import BaseModel, ValidationError

from pourwright.basics.errors import InputError, InputErrors
from pourwright.basics.shelf import nearest
from pourwright.store.field_types import what_stands
from pourwright.store.toml_file import TomlFile
from pourwright.store.toml_lines import Path


def validated(file: TomlFile, model: type[BaseModel], *, more: Sequence[InputError] = ()) -> Any:
    """The file's values as a model.

    Parameters
    ----------
    more : errors that were found elsewhere in the same file; they are told together.

    Raises
    ------
    InputErrors
        All that is wrong, in the order of the lines.
    """
    found = list(more)
    value = None
    try:
        value = model.model_validate(dict(file.data))
    except ValidationError as error:
        told = {one.field for one in found}
        read = [_input_error(file, model, detail) for detail in error.errors(include_url=False)]
        found += [one for one in read if one.field not in told]
    if found:
        raise InputErrors(sorted(_without_echoes(found), key=lambda one: one.line or 0))
    return value


def left_out(model: BaseModel, path: str = "") -> Iterator[str]:
    """The dotted keys that were left out and took a default that is a value (not "none")."""
    for name in type(model).model_fields:
        value, place = getattr(model, name), f"{path}.{name}" if path else name
        if isinstance(value, BaseModel):
            yield from left_out(value, place)
        elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
            for index, item in enumerate(value):
                yield from left_out(item, f"{place}[{index}]")
        elif name not in model.model_fields_set and value not in (None, "", [], {}):
            yield place


def _without_echoes(errors: list[InputError]) -> Iterator[InputError]:
    """A misspelt key and the missing key that it was meant to be are one mistake."""
    misspelt = {
        f"{_parent(one.field)}.{one.advice[13:-1]}"
        for one in errors
        if one.message == "no such key" and one.advice.startswith("did you mean ")
    }
    return (
        one for one in errors if not (one.message == "missing" and f"{_parent(one.field)}.{_last(one)}" in misspelt)
    )


def _parent(field: str | None) -> str:
    return (field or "").rpartition(".")[0]


def _last(error: InputError) -> str:
    return (error.field or "").rpartition(".")[2]


def _input_error(file: TomlFile, model: type[BaseModel], detail: Any) -> InputError:
    path: Path = tuple(detail["loc"])
    message, advice = _words(file, model, detail)
    kept = detail["type"] not in ("missing", "extra_forbidden") and not isinstance(detail["input"], (dict, list))
    return file.error(path, message, advice=advice, value=detail["input"] if kept else None)


def _words(file: TomlFile, model: type[BaseModel], detail: Any) -> tuple[str, str]:
    kind, path, given = detail["type"], tuple(detail["loc"]), detail["input"]
    if kind == "refused":
        return detail["ctx"]["message"], detail["ctx"]["advice"]
    if kind == "extra_forbidden":
        return "no such key", _advice_for_key(model, path)
    if kind == "missing":
        return "missing", _advice_for_missing(model, path)
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        head = f"[{'.'.join(str(part) for part in path)}]"
        if isinstance(given, list):
            return "an array stands where one table is wanted", f"write {head}, and only once"
        return f"{what_stands(given)} stands where a table is wanted", f"write {head} on a line of its own"
    if kind in ("list_type", "tuple_type"):
        return f"{what_stands(given)} stands where several are wanted", _advice_for_list(path, given)
    if kind in ("too_long", "too_short"):
        return f"there are {detail['ctx']['actual_length']} entries here", f"give {_how_many(detail['ctx'])}"
    return detail["msg"].lower(), ""


def _how_many(ctx: Any) -> str:
    if "max_length" in ctx:
        return f"at most {ctx['max_length']}"
    return f"{ctx['min_length']} or more"


def _advice_for_list(path: Path, given: object) -> str:
    name = ".".join(str(part) for part in path if isinstance(part, str))
    if isinstance(given, dict):
        return f"write [[{name}]] with two brackets"
    return "put brackets around the values, with commas between them"


def _advice_for_key(model: type[BaseModel], path: Path) -> str:
    key = str(path[-1])
    table = _model_at(model, path[:-1])
    known = list(table.model_fields) if table else []
    guess = nearest(key, known)
    if guess:
        return f"did you mean {guess}?"
    homes = [name for name, home in _tables(model) if key in home.model_fields and home is not table]
    if homes:
        return f"{key} belongs in [{homes[0]}]"
    return f"known here: {', '.join(known)}"


def _advice_for_missing(model: type[BaseModel], path: Path) -> str:
    last = path[-1]
    if isinstance(last, int):
        return f"give a value number {last + 1}"
    inner = _model_at(model, path)
    if inner is not None:
        first = next((name for name, field in inner.model_fields.items() if field.is_required()), None)
        return f"write [{last}]" + (f' with {first} = "{_example(inner, first)}"' if first else "")
    table = _model_at(model, path[:-1])
    return f'write {last} = "{_example(table, str(last))}"' if table else f"write {last}"


def _example(table: type[BaseModel], key: str) -> str:
    schema = table.model_json_schema()["properties"][key]
    return str(schema.get("const") or (schema.get("examples") or ["…"])[0])


def _tables(model: type[BaseModel]) -> Iterator[tuple[str, type[BaseModel]]]:
    for name in model.model_fields:
        inner = _model_at(model, (name,))
        if inner is not None:
            yield name, inner


def _model_at(model: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """The model of the table at a path, or None where no table of ours is."""
    here: Any = model
    for part in path:
        if isinstance(part, int):
            continue
        if not _is_model(here) or part not in here.model_fields:
            return None
        here = _inner_model(here.model_fields[part].annotation)
    return here if _is_model(here) else None


def _inner_model(annotation: Any) -> Any:
    if _is_model(annotation):
        return annotation
    return next((found for arg in typing.get_args(annotation) if (found := _inner_model(arg)) is not None), None)


def _is_model(thing: Any) -> bool:
    return isinstance(thing, type) and issubclass(thing, BaseModel)
