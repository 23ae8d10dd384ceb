"""The shops that a person can start with, and what editors are told about their files."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from typing import Any

import jsonschema
import pytest

from pourwright.basics.errors import CannotWrite, InputErrors, UnknownName
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.materials import load_material
from pourwright.store.new_shop import FIRST, example_files, example_names, new_shop
from pourwright.store.schemas import project_schema, shop_schema
from pourwright.store.shop_folder import project_names, read_own_sheet, read_project, read_shop, refuse_above_rating
from shop_words import WORDS, example_shop, shop_with

PROJECT_SCHEMA = project_schema(**WORDS)
SHOP_SCHEMA = shop_schema()
PROJECTS = [
    (name, path.split("/")[1], content.decode())
    for name in example_names()
    for path, content in example_files(name).items()
    if path.endswith("/project.toml")
]


def mistakes(schema: dict[str, Any], text: str) -> list[jsonschema.ValidationError]:
    """What an editor would underline."""
    data = json.loads(json.dumps(tomllib.loads(text), default=str))
    return list(jsonschema.Draft202012Validator(schema).iter_errors(data))


# ---------------------------------------------------------------- new shops


@pytest.mark.parametrize("name", example_names())
def test_every_example_is_a_shop_whose_projects_and_sheets_are_read_without_error(tmp_path, name):
    shop = example_shop(tmp_path, name)
    owned = read_shop(shop)
    assert project_names(shop)
    for project_name in project_names(shop):
        project = read_project(shop, project_name, **WORDS)
        refuse_above_rating(shop, project, owned)
        for material in (project.resin, project.silicone):
            load_material(material, own_sheet=read_own_sheet(shop, material))


@pytest.mark.parametrize(("name", "project", "text"), PROJECTS)
def test_every_example_part_can_be_drawn(tmp_path, name, project, text):
    part = read_project(example_shop(tmp_path, name), project, **WORDS).part
    assert FAMILIES[part.family].shape(part, {}).radius_mm > 0


def test_the_first_project_file_of_a_new_shop_has_about_eight_lines():
    text = example_files()["projects/first/project.toml"].decode()
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    assert len(lines) <= 9


def test_a_new_shop_holds_exactly_the_files_of_its_example(tmp_path):
    files = example_files("parcel-box")
    shop = new_shop(tmp_path / "a/b/shop", files)
    written = {path.relative_to(shop.root).as_posix(): path for path in shop.root.rglob("*") if path.is_file()}
    assert {name: path.read_bytes() for name, path in written.items()} == files


def test_an_example_is_found_whatever_joins_its_words():
    assert example_files("Parcel_Box") == example_files("parcel-box") == example_files("parcel box")
    assert FIRST in example_names()


def test_an_example_that_is_not_there_is_refused_with_the_nearest():
    with pytest.raises(UnknownName) as caught:
        example_files("parcel boks")
    assert caught.value.advice == "did you mean 'parcel box'?"


def test_a_folder_with_something_in_it_is_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(CannotWrite, match="is not empty"):
        new_shop(tmp_path, example_files())
    assert [item.name for item in tmp_path.iterdir()] == ["mine.txt"]


def test_a_file_in_the_way_is_left_alone(tmp_path):
    (tmp_path / "shop").write_text("mine", encoding="utf-8")
    with pytest.raises(CannotWrite, match="is a file"):
        new_shop(tmp_path / "shop", example_files())
    assert (tmp_path / "shop").read_text(encoding="utf-8") == "mine"


def test_an_empty_folder_is_filled_and_stays_the_folder_in_which_the_person_stands(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    before = os.stat(".").st_ino
    new_shop(tmp_path, example_files())
    assert os.stat(".").st_ino == before
    assert sorted(os.listdir(".")) == ["projects", "shop.toml"]


def test_a_shop_that_cannot_be_written_leaves_nothing_behind(tmp_path):
    with pytest.raises(CannotWrite):
        new_shop(tmp_path / "shop", {"shop.toml": b"", "../outside.toml": b""})
    with pytest.raises(CannotWrite):
        new_shop(tmp_path, {"shop.toml": b"", "../outside.toml": b""})
    assert list(tmp_path.iterdir()) == []


# ---------------------------------------------------------------- schemas


@pytest.mark.parametrize("schema", [PROJECT_SCHEMA, SHOP_SCHEMA], ids=["project", "shop"])
def test_the_schemas_are_valid_json_schemas_without_null(schema):
    jsonschema.Draft202012Validator.check_schema(schema)
    assert '"null"' not in json.dumps(schema)


@pytest.mark.parametrize(("name", "project", "text"), PROJECTS)
def test_the_schema_accepts_the_project_files_of_the_examples(name, project, text):
    assert mistakes(PROJECT_SCHEMA, text) == []


@pytest.mark.parametrize("name", example_names())
def test_the_schema_accepts_the_shop_files_of_the_examples(name):
    assert mistakes(SHOP_SCHEMA, example_files(name)["shop.toml"].decode()) == []


@pytest.mark.parametrize("family", [name for name in FAMILIES if name != "file"])
def test_the_schema_and_the_reader_accept_the_example_of_every_family(tmp_path, family):
    lines = [f'family = "{family}"', *(f'{key} = "{value}"' for key, value in FAMILIES[family].example.items())]
    corners = [
        "\n".join(["[[part.outline]]", *(f'{key} = "{value}"' for key, value in corner.items())])
        for corner in FAMILIES[family].example_outline
    ]
    materials = '[resin]\nmaterial = "urethane 80A"\n[silicone]\nmaterial = "tin silicone 20A"'
    text = "\n".join(["[part]", *lines, *corners, materials])
    shop = new_shop(tmp_path / "shop", {"shop.toml": b"", "projects/x/project.toml": text.encode()})
    assert mistakes(PROJECT_SCHEMA, text) == []
    assert read_project(shop, "x", **WORDS).part.family == family


MOUNT = next(text for _, project, text in PROJECTS if project == "mount")
SHOP = example_files("parcel box")["shop.toml"].decode()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("belly_diameter", "belly_diametre"),
        ("belly_diameter", "waist_diameter"),
        ("cavities", "cavitys"),
        ("cavities = 4", 'cavities = "4"'),
        ("cavities = 4", "cavities = 4.5"),
        ("cavities = 4", "cavities = 0"),
        ('"45 psi"', '"45 mm"'),
        ('"26 mm"', '"26"'),
        ('"26 mm"', "26"),
        ('"26 mm"', '"2,6 mm"'),
        ('"barrel bushing"', '"barel bushing"'),
        ('"dry"', '"drry"'),
        ("[silicone]", "[silicon]"),
        ("deflection", "deflexion"),
        ("[mould]", '[mould]\nstyle = "three part"'),
    ],
)
def test_the_schema_and_the_reader_refuse_the_same_mistake_in_a_project(tmp_path, old, new):
    assert old in MOUNT
    text = MOUNT.replace(old, new, 1)
    assert mistakes(PROJECT_SCHEMA, text)
    with pytest.raises(InputErrors):
        read_project(shop_with(tmp_path, project=text), "mount", **WORDS)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("humidity", "humidty"),
        ('"260 mm"', '"260"'),
        ('"60 psi"', '"60 inHg"'),
        ("hour = 0.0", 'hour = "0"'),
        ("tuesday", "someday"),
        ('"18:00-21:30"', '"6 pm"'),
        ('"220 mm", "220 mm", ', '"220 mm", '),
    ],
)
def test_the_schema_and_the_reader_refuse_the_same_mistake_in_a_shop(tmp_path, old, new):
    assert old in SHOP
    text = SHOP.replace(old, new, 1)
    assert mistakes(SHOP_SCHEMA, text)
    with pytest.raises(InputErrors):
        read_shop(shop_with(tmp_path, shop=text))


@pytest.mark.parametrize("typed", ["1½ in", "25.4mm", "1 1/2 inch", "5 µm", "2.5 mm "])
def test_an_editor_underlines_no_length_that_is_read(typed):
    assert mistakes(PROJECT_SCHEMA, MOUNT.replace('"26 mm"', f'"{typed}"', 1)) == []


def test_an_editor_is_told_the_unit_and_the_range_of_a_field_in_words():
    assert SHOP_SCHEMA["$defs"]["RoomTable"]["properties"]["temperature"]["description"] == (
        "of the air; a temperature, -10 °C to 50 °C"
    )


def test_the_front_door_of_the_store_loads_neither_pydantic_nor_tomlkit():
    code = (
        "import sys, pourwright.store.shop_folder, pourwright.store.new_shop, pourwright.store.schemas, "
        "pourwright.store.toml_change; print(sorted({'pydantic', 'tomlkit', 'numpy'} & set(sys.modules)))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"
