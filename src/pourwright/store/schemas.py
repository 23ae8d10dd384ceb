"""JSON Schemas of shop.toml and project.toml, from which editors offer keys and underline mistakes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pourwright.store.definitions import PartFields

_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def shop_schema() -> dict[str, Any]:
    """The schema of shop.toml."""
    from pourwright.store.definitions import ShopFile

    return _for_editors(ShopFile.model_json_schema())


def project_schema(
    *,
    part_fields: Mapping[str, PartFields],
    corner_fields: Mapping[str, PartFields] | None = None,
    resins: Collection[str] = (),
    silicones: Collection[str] = (),
    styles: Collection[str] = (),
) -> dict[str, Any]:
    """The schema of project.toml; parameters as in `read_project`.

    Names of materials are offered, not demanded: a shop may have sheets of its own.
    """
    from pourwright.store.definitions import any_project_model

    model = any_project_model(part_fields, corner_fields or {}, resins=resins, silicones=silicones)
    schema = _for_editors(model.model_json_schema())
    schema["properties"]["part"] = _by_family(schema["properties"]["part"]["anyOf"], list(part_fields))
    if styles:
        schema["$defs"]["MouldTable"]["properties"]["style"]["enum"] = list(styles)
    return schema


def _by_family(parts: list[dict[str, Any]], families: list[str]) -> dict[str, Any]:
    """One rule a family, so that an editor names the wrong key and not every family that does not fit."""
    names = [name for name in families if name != "file"]
    rules = [
        {"if": {"properties": {"family": {"const": name}}, "required": ["family"]}, "then": part}
        for name, part in zip(names, parts, strict=False)
    ]
    rules.append({"if": {"not": {"required": ["family"]}}, "then": parts[-1]})
    rules.append({"if": {"properties": {"family": {"const": "file"}}, "required": ["family"]}, "then": parts[-1]})
    return {"type": "object", "properties": {"family": {"enum": [*names, "file"]}}, "allOf": rules}


def _for_editors(schema: dict[str, Any]) -> dict[str, Any]:
    """Without what TOML cannot write (null) and what would mislead: defaults in SI, titles made from names."""
    cleaned = _cleaned(schema)
    return {"$schema": _DRAFT, **cleaned}


def _cleaned(node: Any) -> Any:
    if isinstance(node, list):
        return [_cleaned(item) for item in node]
    if not isinstance(node, dict):
        return node
    choices = [choice for choice in node.get("anyOf", []) if choice != {"type": "null"}]
    if len(choices) == 1:
        node = {**{key: value for key, value in node.items() if key != "anyOf"}, **choices[0]}
    return {
        key: _cleaned_members(value) if key in ("properties", "$defs") else _cleaned(value)
        for key, value in node.items()
        if key not in ("title", "default")
    }


def _cleaned_members(members: dict[str, Any]) -> dict[str, Any]:
    return {name: _cleaned(member) for name, member in members.items()}
