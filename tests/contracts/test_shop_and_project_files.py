"""What shop.toml and project.toml may say, and how everything that is wrong is told at once with its line."""

from __future__ import annotations

import dataclasses
import re

import pytest

from pourwright.basics.errors import CannotRead, InputError, InputErrors, UnknownName
from pourwright.basics.quantities import parse
from pourwright.domain.part import MouldWish
from pourwright.domain.shop import Printer, Room, Scale
from pourwright.store.shop_folder import (
    assumed_in_words,
    located,
    open_shop,
    own_sheet_file,
    own_sheet_names,
    project_names,
    read_own_sheet,
    read_project,
    read_shop,
    refuse_above_rating,
)
from shop_words import WORDS, example_shop, shop_with

EIGHT_LINES = """\
[part]
family = "straight bushing"
outer_diameter = "28 mm"
height = "1 in"
[resin]
material = "urethane 80A"
[silicone]
material = "platinum silicone 30A"
"""
CONTRACT = """\
title = "Parcel-box mount"

[part]
family = "barrel bushing"
outer_diameter = "28 mm"
belly_diameter = "34 mm"
height = "26 mm"
bore = "10 mm"
edge_radius = "1.5 mm"

[resin]
material = "urethane 80A"

[silicone]
material = "platinum silicone 30A"

[mould]
style = "two-part lidded"
cavities = 4
pressure = "45 psi"

[feel]
ends = "dry"
friction = 0.3
wanted = [{ deflection = "2 mm", force = "400 N" }]
"""


def told(caught: pytest.ExceptionInfo[InputErrors]) -> list[tuple[int | None, str | None, str]]:
    return [(error.line, error.field, error.message) for error in caught.value.errors]


def test_eight_lines_are_a_project(tmp_path):
    project = read_project(shop_with(tmp_path, project=EIGHT_LINES).root, "mount", **WORDS)
    assert project.part.dimensions == {"outer_diameter": 0.028, "height": 0.0254}
    assert (project.title, project.resin, project.silicone) == ("Mount", "urethane 80A", "platinum silicone 30A")
    assert project.mould == MouldWish()
    assert {"title", "part.bore", "part.edge_radius", "mould.cavities"} <= set(project.assumed)


def test_the_project_of_the_contract_is_read_in_si(tmp_path):
    project = read_project(shop_with(tmp_path, project=CONTRACT).root, "mount", **WORDS)
    assert project.title == "Parcel-box mount"
    assert project.part.family == "barrel bushing"
    assert project.part.dimensions["belly_diameter"] == 0.034
    assert project.mould == MouldWish(style="two-part lidded", cavities=4, pressure=parse("45 psi", "pressure"))
    assert isinstance(project.mould.cavities, int)
    assert (project.feel.ends, project.feel.friction, project.feel.wanted) == ("dry", 0.3, ((0.002, 400.0),))
    assert not {key for key in project.assumed if key.startswith("part")}


def test_an_empty_shop_file_is_all_assumed_and_has_no_pot(tmp_path):
    shop = read_shop(shop_with(tmp_path).root)
    assert (shop.room, shop.printers, shop.scale, shop.pot) == (Room(), (Printer(),), Scale(), None)
    assert set(assumed_in_words(shop)) >= {
        "room.temperature 23 °C",
        "room.humidity 50 %",
        "room.altitude 0 m",
        "printer[0].bed 220 mm × 220 mm × 250 mm",
        "scale.readability 0.1 g",
        "scale.repeatability 0.1 g",
        "scale.capacity 2000 g",
    }
    assert len(assumed_in_words(shop)) == len(shop.assumed)


def test_what_the_shop_file_says_is_not_assumed(tmp_path):
    shop = read_shop(example_shop(tmp_path).root)
    assert shop.assumed == ()
    assert shop.room.temperature == 294.15
    assert shop.printers[0].bed == (0.22, 0.22, 0.25)
    assert shop.pot is not None
    assert shop.pot.rated_pressure == parse("60 psi", "pressure")
    assert shop.pot.inspected_on == "2026-01-17"
    assert shop.prices.per_kg["urethane 80A"] == 23.5


def test_the_tables_of_a_mould_and_a_shop_have_the_keys_of_their_nouns():
    from pourwright.store import definitions

    pairs = [
        (definitions.MouldTable, MouldWish),
        (definitions.RoomTable, Room),
        (definitions.PrinterTable, Printer),
        (definitions.ScaleTable, Scale),
    ]
    for table, noun in pairs:
        assert set(table.model_fields) == {field.name for field in dataclasses.fields(noun)}


def test_everything_wrong_in_a_project_is_told_at_once_with_its_line(tmp_path):
    text = CONTRACT.replace("height", "hieght").replace('"10 mm"', '"10"').replace("dry", "drry")
    text = text.replace("urethane 80A", "urethan 80A").replace("two-part", "two part").replace("= 4", "= 4.5")
    text = text.replace("45 psi", "45 mm").replace('"400 N"', '"400 kg"').replace("0.3", "true")
    with pytest.raises(InputErrors) as caught:
        read_project(shop_with(tmp_path, project=text).root, "mount", **WORDS)
    assert [(line, field) for line, field, _ in told(caught)] == [
        (7, "part.hieght"),
        (8, "part.bore"),
        (12, "resin.material"),
        (18, "mould.style"),
        (19, "mould.cavities"),
        (20, "mould.pressure"),
        (23, "feel.ends"),
        (24, "feel.friction"),
        (25, "feel.wanted[0].force"),
    ]
    assert {error.file for error in caught.value.errors} == {"projects/mount/project.toml"}
    first, *_ = caught.value.sentence().splitlines()
    assert first == "projects/mount/project.toml:7: part.hieght: no such key; did you mean height?"
    assert caught.value.exit_code == 2


def test_everything_wrong_in_the_shop_file_is_told_at_once_with_its_line(tmp_path):
    text = """[room]
temperature = "73"
humidty = "50 %"
[[printer]]
bed = ["220 mm", "220 mm"]
[[printer]]
nozzle = 0.4
[pot]
rated_pressure = "60 psi"
inspected_on = "last May"
[scale]
capacity = "2 L"
[prices]
per_kg = { "urethane 80A" = "21" }
[hours]
monday = "21:00-18:00"
someday = "18:00-21:00"
"""
    with pytest.raises(InputErrors) as caught:
        read_shop(shop_with(tmp_path, shop=text).root)
    assert [(line, field) for line, field, _ in told(caught)] == [
        (2, "room.temperature"),
        (3, "room.humidty"),
        (5, "printer[0].bed[2]"),
        (7, "printer[1].nozzle"),
        (10, "pot.inspected_on"),
        (12, "scale.capacity"),
        (14, 'prices.per_kg."urethane 80A"'),
        (16, "hours.monday"),
        (17, "hours.someday"),
    ]
    assert {error.file for error in caught.value.errors} == {"shop.toml"}


@pytest.mark.parametrize(
    ("old", "new", "line", "field", "advice"),
    [
        ('family = "barrel bushing"', 'family = "barel bushing"', 4, "part.family", "did you mean 'barrel bushing'?"),
        ('family = "barrel bushing"\n', "", 3, "part.family", 'write family = "'),
        ('family = "barrel bushing"', "family = 3", 4, "part.family", "write it in quotes"),
        ('family = "barrel bushing"', 'family = "ring"\nfile = "x.stl"', 5, "part.file", "leave out family, or file"),
        (
            'family = "barrel bushing"',
            'file = "x.stl"',
            5,
            "part.outer_diameter",
            "known here: job, family, file, unit",
        ),
        ('height = "26 mm"\n', "", 3, "part.height", 'write height = "'),
        ('height = "26 mm"', "height = 26", 7, "part.height", "write 26 mm or 1 in, in quotes"),
        ('height = "26 mm"', "height = { a = 1 }", 7, "part.height", 'write "2.5 mm"'),
        ('height = "26 mm"', 'height = ["26 mm"]', 7, "part.height", 'write "2.5 mm"'),
        ('height = "26 mm"', 'height = "-26 mm"', 7, "part.height", "write something from"),
        ('height = "26 mm"', 'height = "2,6 mm"', 7, "part.height", "write 2.6 mm"),
        ('bore = "10 mm"', 'bore = "10 mm"\ncavities = 4', 9, "part.cavities", "cavities belongs in [mould]"),
        ('material = "urethane 80A"', 'material = ""', 12, "resin.material", "write something"),
        ('material = "urethane 80A"', 'material = "tin silicone 20A"', 12, "resin.material", "known: urethane"),
        ('[resin]\nmaterial = "urethane 80A"\n', "", None, "resin", 'write [resin] with material = "'),
        ("cavities = 4", 'cavities = "4"', 19, "mould.cavities", "write 4 without quotes"),
        ("cavities = 4", "cavities = 0", 19, "mould.cavities", "from 1 to 64"),
        ("cavities = 4", "cavities = 4\nbreathers = 1", 20, "mould.breathers", "true or false"),
        ("cavities = 4", "cavities = 1e300", 19, "mould.cavities", ""),
        ("cavities = 4", 'cavities = 4\npull = "up"', 20, "mould.pull", "'as drawn'"),
        ("cavities = 4", "cavities = 4\npull = [0, 0, 0]", 20, "mould.pull", "[0, 1, 1]"),
        ("cavities = 4", "cavities = 4\npull = [1, true, 0]", 20, "mould.pull", "[0, 1, 1]"),
        ("cavities = 4", "cavities = 4\npull = [1, 2]", 20, "mould.pull", "[0, 1, 1]"),
        ("cavities = 4", "cavities = 4\npull = 3", 20, "mould.pull", "three numbers"),
        ("friction = 0.3", "friction = nan", 24, "feel.friction", ""),
        ("wanted = [{", "wanted = { list = [{", None, None, ""),
        ('wanted = [{ deflection = "2 mm", force = "400 N" }]', "wanted = 3", 25, "feel.wanted", "brackets"),
        ('wanted = [{ deflection = "2 mm", force = "400 N" }]', "[feel.wanted]", 25, "feel.wanted", "[[feel.wanted]]"),
        ('title = "Parcel-box mount"', 'titel = "x"', 1, "titel", "did you mean title?"),
    ],
)
def test_one_mistake_is_told_as_one_with_its_line_and_what_to_write(tmp_path, old, new, line, field, advice):
    assert old in CONTRACT
    with pytest.raises(InputError) as caught:
        read_project(shop_with(tmp_path, project=CONTRACT.replace(old, new)).root, "mount", **WORDS)
    errors = getattr(caught.value, "errors", (caught.value,))
    if field is not None:
        assert (errors[0].line, errors[0].field) == (line, field)
        assert advice in errors[0].advice
        assert len(errors) == 1 or field == "part.outer_diameter"
    else:
        assert isinstance(caught.value, CannotRead)


@pytest.mark.parametrize(
    ("content", "line", "says", "advice"),
    [
        (b"[part]\nheight = 26 mm\n", 2, "no TOML", 'put the value in quotes: height = "26 mm"'),
        (b'[part]\nheight = "26 mm\n', 2, "no TOML", "a quote is missing"),
        (b"[part]\nheight\n", 2, "no TOML", 'a line is: key = "value"'),
        (b"[part]\na = 1\na = 2\n", 3, "no TOML", "stands twice"),
        (b"[part]\n[part]\n", 2, "no TOML", "stands twice"),
        (b"[part\n", 1, "no TOML", ""),
        (b"x = [1,\n\n", 3, "no TOML", ""),
        (b'a = 1\nb = "\xe9"\n', 2, "no UTF-8", "save the file as UTF-8"),
        ("a = 1\n".encode("utf-16"), 1, "UTF-16", "save it as UTF-8"),
        (b"a = \x00\n", 1, "no TOML", ""),
        (b"x = " + b"[" * 33 + b"]" * 33, None, "nested deeper than 32", "flatter"),
        (b"x = " + b"[" * 200000, None, "", ""),
        (b"[" + b".".join(b"a" for _ in range(33)) + b"]\n", None, "nested deeper than 32", "flatter"),
        (b"a." * 400000 + b"a = 1", None, "nested deeper than 32", "flatter"),
        (b"#" * 1_000_001, None, "larger than 1 MB", ""),
        (b"x = " + b"9" * 5000, None, "", ""),
    ],
    ids=lambda value: repr(value)[:24],
)
def test_a_file_that_is_no_toml_is_refused_with_the_line_where_there_is_one(tmp_path, content, line, says, advice):
    shop = shop_with(tmp_path, project="")
    shop.project_file("mount").write_bytes(content)
    with pytest.raises(CannotRead) as caught:
        read_project(shop, "mount", **WORDS)
    assert caught.value.file == "projects/mount/project.toml"
    assert says in caught.value.message
    assert advice in caught.value.advice
    assert caught.value.line == line or not says


def test_a_byte_order_mark_and_windows_line_ends_change_nothing(tmp_path):
    shop = shop_with(tmp_path, project=CONTRACT)
    plain = read_project(shop, "mount", **WORDS)
    shop.project_file("mount").write_bytes(b"\xef\xbb\xbf" + CONTRACT.replace("\n", "\r\n").encode())
    assert read_project(shop, "mount", **WORDS) == plain


def test_a_free_outline_is_read_corner_by_corner(tmp_path):
    text = EIGHT_LINES.replace(
        'family = "straight bushing"\nouter_diameter = "28 mm"\nheight = "1 in"\n',
        'family = "profile"\noutline = [\n  { r = "5 mm", z = "0 mm" },\n  { r = "14 mm", z = "0 mm", arc = "1 mm" },\n'
        '  { r = "5 mm", z = "20 mm" },\n]\n',
    )
    project = read_project(shop_with(tmp_path, project=text).root, "mount", **WORDS)
    assert project.part.outline[1] == {"r": 0.014, "z": 0.0, "arc": 0.001}
    broken = text.replace('z = "20 mm"', 'z = "20"').replace("arc", "ark")
    (tmp_path / "shop/projects/mount/project.toml").write_text(broken, encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_project(tmp_path / "shop", "mount", **WORDS)
    assert [(line, field) for line, field, _ in told(caught)] == [(5, "part.outline[1].ark"), (6, "part.outline[2].z")]


def test_an_outline_is_refused_in_a_family_that_takes_none(tmp_path):
    text = EIGHT_LINES.replace("height", "outline = []\nheight")
    with pytest.raises(InputErrors) as caught:
        read_project(shop_with(tmp_path, project=text).root, "mount", **WORDS)
    assert told(caught) == [(4, "part.outline", "no such key")]


def test_fields_may_be_named_with_their_kind_alone(tmp_path):
    words = {"part_fields": {"straight bushing": {"outer_diameter": "length", "height": "length"}}}
    project = read_project(shop_with(tmp_path, project=EIGHT_LINES).root, "mount", **words)
    assert project.part.dimensions == {"outer_diameter": 0.028, "height": 0.0254}


def test_a_part_from_a_file_needs_no_family(tmp_path):
    text = '[part]\nfile = "clip.stl"\nunit = "in"\n' + EIGHT_LINES[EIGHT_LINES.index("[resin]") :]
    project = read_project(shop_with(tmp_path, project=text).root, "mount", **WORDS)
    assert (project.part.family, project.part.file, project.part.unit) == ("file", "clip.stl", "in")


@pytest.mark.parametrize(
    ("text", "line", "field", "advice"),
    [
        ("\nscale = 3", 2, "scale", "write [scale] on a line of its own"),
        ("[[scale]]", 1, "scale", "write [scale], and only once"),
        ('[printer]\nname = "x"', 1, "printer", "write [[printer]] with two brackets"),
        ("printer = []", 1, "printer", "give 1 or more"),
        ('[[printer]]\nbed = "220 mm"', 2, "printer[0].bed", "put brackets around the values"),
        ('[[printer]]\nbed = ["1 m", "1 m", "1 m", "1 m"]', 2, "printer[0].bed", "give at most 3"),
        ("[hours]\nmonday = 18:00:00", 2, "hours.monday", 'write it like "18:00-21:30"'),
        ("[pot]\nrated_pressure = true", 2, "pot.rated_pressure", 'write "45 psi"'),
        ('[pot]\nrated_pressure = "60 inHg"', 2, "pot.rated_pressure", "vacuum gauge"),
    ],
)
def test_one_mistake_in_the_shop_file_is_told_as_one(tmp_path, text, line, field, advice):
    with pytest.raises(InputErrors) as caught:
        read_shop(shop_with(tmp_path, shop=text))
    assert [(error.line, error.field) for error in caught.value.errors] == [(line, field)]
    assert advice in caught.value.advice


# ---------------------------------------------------------------- pressure


@pytest.mark.parametrize(
    ("pot", "wish", "refused"),
    [
        ("", None, None),
        ("", "0 psi", None),
        ("", "45 psi", None),
        ('[pot]\ninside_diameter = "200 mm"', "45 psi", None),
        ('[pot]\nrated_pressure = "60 psi"', "45 psi", None),
        ('[pot]\nrated_pressure = "60 psi"', "60 psi", None),
        ('[pot]\nrated_pressure = "60 psi"', "5 bar", "rated for 60 psi"),
    ],
)
def test_a_pressure_above_what_the_pot_is_rated_for_is_refused_with_both(tmp_path, pot, wish, refused):
    text = CONTRACT.replace('pressure = "45 psi"', f'pressure = "{wish}"' if wish else "")
    shop = shop_with(tmp_path, project=text, shop=pot)
    project, owned = read_project(shop, "mount", **WORDS), read_shop(shop)
    if refused is None:
        refuse_above_rating(shop, project, owned)
        return
    with pytest.raises(InputErrors) as caught:
        refuse_above_rating(shop, project, owned)
    assert (caught.value.line, caught.value.field, caught.value.value) == (20, "mould.pressure", wish)
    assert refused in caught.value.message
    assert wish in caught.value.message
    assert caught.value.exit_code == 2


# ---------------------------------------------------------------- folders and names


def test_a_shop_is_found_from_any_folder_inside_it(tmp_path, monkeypatch):
    shop = example_shop(tmp_path)
    assert open_shop(shop.root) == shop
    assert open_shop(shop.projects / "mount") == shop
    monkeypatch.chdir(shop.projects)
    assert open_shop() == shop


def test_where_no_shop_is_the_command_that_makes_one_is_named(tmp_path):
    with pytest.raises(CannotRead, match="no shop folder") as caught:
        open_shop(tmp_path)
    assert "pourwright new" in caught.value.advice
    with pytest.raises(CannotRead, match="there is no folder"):
        open_shop(tmp_path / "nowhere")


def test_a_project_is_known_by_its_name_its_folder_or_its_file(tmp_path, monkeypatch):
    shop = example_shop(tmp_path)
    assert project_names(shop) == ("door-roller", "door-stop", "mount")
    monkeypatch.chdir(shop.root)
    found = read_project(shop, "mount", **WORDS)
    for name in ("projects/mount", "projects/mount/", "projects/mount/project.toml", str(shop.projects / "mount")):
        assert read_project(shop, name, **WORDS) == found


@pytest.mark.parametrize("name", ["mont", "../mount", "..", "", "/etc/passwd", "mount/../../..", "a" * 300])
def test_a_project_that_is_not_there_is_refused(tmp_path, name):
    with pytest.raises(UnknownName, match="no project is called"):
        read_project(example_shop(tmp_path), name, **WORDS)


def test_a_shop_without_projects_says_so(tmp_path):
    with pytest.raises(CannotRead, match="this shop has none yet"):
        read_project(shop_with(tmp_path), "mount", **WORDS)


def test_a_sheet_of_the_shop_is_found_by_the_name_of_the_material(tmp_path):
    shop = example_shop(tmp_path)
    assert own_sheet_names(shop) == ("urethane 80A",)
    sheet = read_own_sheet(shop, "urethane 80A")
    assert sheet is not None
    assert sheet["ratio_by_weight"] == "100:85"
    assert own_sheet_file(shop, "urethane 80A") == shop.root / "materials/urethane-80A.toml"
    assert read_own_sheet(shop, "urethane 90A") is None


def test_a_material_of_the_shops_own_may_stand_in_a_project(tmp_path):
    shop = shop_with(tmp_path, project=EIGHT_LINES.replace("urethane 80A", "Bench red"))
    with pytest.raises(InputErrors, match="no resin is called 'Bench red'"):
        read_project(shop, "mount", **WORDS)
    (shop.root / "materials").mkdir()
    (shop.root / "materials/x.toml").write_text('name = "Bench red"\nclass = "urethane 80A"\n', encoding="utf-8")
    assert read_project(shop, "mount", **WORDS).resin == "Bench red"
    assert read_own_sheet(shop, "bench red") == {"class": "urethane 80A"}


def test_an_error_found_after_reading_gets_its_file_and_line(tmp_path):
    shop = shop_with(tmp_path, project=CONTRACT)
    late = [
        InputError("the bore is too wide", field="part.bore", advice="make it smaller"),
        InputError("missing", field="part.job"),
        InputError("elsewhere", field="x", file="other.toml", line=3),
    ]
    found = located(shop, "mount", InputErrors(late)).errors
    assert [(error.file, error.line) for error in found] == [
        ("projects/mount/project.toml", 8),
        ("projects/mount/project.toml", 3),
        ("other.toml", 3),
    ]
    assert found[0].advice == "make it smaller"


def test_a_number_in_dots_or_in_brackets_names_the_same_corner(tmp_path):
    shop = shop_with(tmp_path, project='[[part.outline]]\nr = "1 mm"\n[[part.outline]]\nr = "2 mm"\n')
    path = shop.project_file("mount")
    for field in ("part.outline.1.r", "part.outline[1].r"):
        assert located(shop, path, InputError("x", field=field)).errors[0].line == 4


def test_no_advice_says_the_same_as_its_message(tmp_path):
    with pytest.raises(InputErrors) as caught:
        read_project(shop_with(tmp_path, project=re.sub(r'"[^"]*"', '"?"', CONTRACT)).root, "mount", **WORDS)
    assert all(error.message and error.advice and error.message != error.advice for error in caught.value.errors)
