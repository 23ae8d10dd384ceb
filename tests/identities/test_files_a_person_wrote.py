"""A broken key is told by its own line; a changed value leaves every other byte of the file alone."""

from __future__ import annotations

import hashlib
import re
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pourwright.basics.errors import CannotRead, CannotWrite, InputError, InputErrors
from pourwright.store.new_shop import example_files
from pourwright.store.shop_folder import read_project, read_shop
from pourwright.store.toml_change import change_values, changed_text, key_path
from pourwright.store.toml_file import dotted
from pourwright.store.toml_lines import key_lines
from shop_words import WORDS, shop_with

FILES = example_files("parcel box")
MOUNT = FILES["projects/mount/project.toml"].decode()
SHOP = FILES["shop.toml"].decode()
FREE_KEYS = ("per_kg",)  # tables whose keys are names that the person chooses

SHARED_FOLDER = settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])


def keys_of(text: str) -> list[tuple[str | int, ...]]:
    """The keys that hold a value and stand at the beginning of a line."""
    found = []
    for path, line in key_lines(text).items():
        row = text.split("\n")[line - 1].lstrip()
        if isinstance(path[-1], str) and row.startswith(f"{path[-1]} =") and not set(FREE_KEYS) & set(path):
            found.append(path)
    return found


def with_line(text: str, line: int, change: tuple[str, str]) -> str:
    rows = text.split("\n")
    rows[line - 1] = re.sub(change[0], change[1], rows[line - 1], count=1)
    return "\n".join(rows)


@pytest.fixture
def one_shop(tmp_path):
    return shop_with(tmp_path, project=MOUNT, shop=SHOP)


@SHARED_FOLDER
@given(st.sampled_from(keys_of(MOUNT)), st.sampled_from("qxz"), st.data())
def test_a_key_of_a_project_broken_at_random_is_told_by_its_own_line(one_shop, path, letter, data):
    line = key_lines(MOUNT)[path]
    place = data.draw(st.integers(0, len(path[-1])))
    broken = f"{path[-1][:place]}{letter}{letter}{path[-1][place:]}"
    one_shop.project_file("mount").write_text(with_line(MOUNT, line, (rf"\b{path[-1]}\b", broken)), encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_project(one_shop, "mount", **WORDS)
    told = {(error.line, error.field) for error in caught.value.errors}
    if path not in {("part", "family")}:  # without a family its dimensions cannot be judged
        assert (line, dotted((*path[:-1], broken))) in told
    assert caught.value.file == "projects/mount/project.toml"


@SHARED_FOLDER
@given(st.sampled_from(keys_of(SHOP)), st.sampled_from("qxz"))
def test_a_key_of_the_shop_broken_at_random_is_told_by_its_own_line(one_shop, path, letter):
    line = key_lines(SHOP)[path]
    text = with_line(SHOP, line, (rf"\b{path[-1]}\b", f"{path[-1]}{letter}{letter}"))
    (one_shop.root / "shop.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_shop(one_shop)
    told = {(error.line, error.field) for error in caught.value.errors}
    assert told == {(line, dotted((*path[:-1], f"{path[-1]}{letter}{letter}")))}


@SHARED_FOLDER
@given(st.sampled_from([p for p in keys_of(MOUNT) if p[-1] not in ("title", "family", "wanted")]))
def test_a_value_of_the_wrong_sort_is_told_by_its_own_line_alone(one_shop, path):
    line = key_lines(MOUNT)[path]
    text = with_line(MOUNT, line, (r"= [^#]*", '= ["?"] '))
    one_shop.project_file("mount").write_text(text, encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_project(one_shop, "mount", **WORDS)
    assert {(error.line, error.field) for error in caught.value.errors} == {(line, dotted(path))}


@SHARED_FOLDER
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_as_input(one_shop, content):
    one_shop.project_file("mount").write_bytes(content)
    (one_shop.root / "shop.toml").write_bytes(content)
    with pytest.raises(InputError):
        read_project(one_shop, "mount", **WORDS)
    assert _reads_or_refuses(one_shop)


def _reads_or_refuses(shop) -> bool:
    try:
        read_shop(shop)
    except InputError as error:
        return error.file == "shop.toml"
    return True


# ---------------------------------------------------------------- changing

NEW_VALUES = st.one_of(
    st.text(alphabet=st.characters(codec="utf-8", exclude_characters="\r\n"), max_size=10),
    st.integers(-(10**6), 10**6),
    st.booleans(),
)


@pytest.mark.parametrize("text", [MOUNT, SHOP], ids=["project", "shop"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"], ids=["unix", "windows"])
@settings(max_examples=40)
@given(data=st.data())
def test_a_changed_value_leaves_every_other_line_byte_for_byte(text, ends, data):
    scalars = [p for p in keys_of(text) if p[-1] not in ("bed", "wanted")]
    path, value = data.draw(st.sampled_from(scalars)), data.draw(NEW_VALUES)
    before = text.replace("\n", ends)
    after = changed_text(before, {dotted(path): value})
    line = key_lines(text)[path] - 1
    old, new = before.split(ends), after.split(ends)
    assert [*old[:line], *old[line + 1 :]] == [*new[:line], *new[line + 1 :]]
    assert old[line].partition("#")[1:] == new[line].partition("#")[1:] or "#" in str(value)
    assert _at(tomllib.loads(after), path) == value


@settings(max_examples=40)
@given(st.sampled_from(["part", "mould", "resin", "feel"]), NEW_VALUES)
def test_an_added_key_is_one_further_line_behind_the_last_of_its_table(table, value):
    after = changed_text(MOUNT, {f"{table}.added": value})
    old, new = MOUNT.split("\n"), after.split("\n")
    place = next(number for number, line in enumerate(new) if line.startswith("added = "))
    assert [*new[:place], *new[place + 1 :]] == old
    assert new[place - 1].strip()
    assert tomllib.loads(after)[table]["added"] == value


def test_a_table_that_is_not_there_is_added_at_the_end():
    after = changed_text('# mine\n[part]\nheight = "1 mm"  # h\n', {"mould.cavities": 4})
    assert after.startswith('# mine\n[part]\nheight = "1 mm"  # h\n')
    assert tomllib.loads(after)["mould"] == {"cavities": 4}


def test_a_value_in_an_array_or_an_inline_table_is_changed_in_place():
    assert changed_text("x = [ 1, # one\n 2 ]\n", {"x[1]": 3}) == "x = [ 1, # one\n 3 ]\n"
    assert changed_text('w = [{ d = "2 mm" }] # w\n', {"w[0].d": "3 mm"}) == 'w = [{ d = "3 mm" }] # w\n'


def test_a_byte_order_mark_stays():
    assert changed_text("\ufeffa = 1\n", {"a": 2}) == "\ufeffa = 2\n"


@pytest.mark.parametrize(
    "key", ["bed", "printer", "printer[0].bed", "printer[7].name", "room.temperature.x", "room[0]"]
)
def test_a_key_that_holds_several_values_or_none_is_refused(key):
    with pytest.raises(InputError):
        changed_text('bed = [1]\n[room]\ntemperature = "1 °C"\n[[printer]]\nbed = [1]\n', {key: "2"})


@pytest.mark.parametrize("key", ["", ".a", "a..b", "a b", "a.", "[x]", 'a."', "a[b]"])
def test_what_is_no_dotted_key_is_refused(key):
    with pytest.raises(CannotRead, match="no key"):
        key_path(key)


@given(st.lists(st.text(alphabet=st.characters(codec="utf-8"), min_size=1, max_size=6), min_size=1, max_size=3))
def test_a_dotted_key_is_read_back_as_it_was_written(names):
    assert key_path(dotted(tuple(names))) == tuple(names)


def test_a_file_changed_by_someone_else_meanwhile_is_left_alone(tmp_path):
    file = tmp_path / "project.toml"
    file.write_text(MOUNT, encoding="utf-8")
    read = hashlib.sha256(file.read_bytes()).hexdigest()
    file.write_text(MOUNT + "# theirs\n", encoding="utf-8")
    with pytest.raises(CannotWrite, match="someone else"):
        change_values(file, {"part.height": "30 mm"}, sha256=read)
    assert file.read_text(encoding="utf-8") == MOUNT + "# theirs\n"


def test_changes_can_follow_each_other_by_the_hash_that_each_gives_back(tmp_path):
    file = tmp_path / "project.toml"
    file.write_text(MOUNT, encoding="utf-8")
    first = change_values(file, {"part.height": "30 mm", "mould.cavities": 2})
    assert first == hashlib.sha256(file.read_bytes()).hexdigest()
    change_values(file, {"part.height": "26 mm", "mould.cavities": 4}, sha256=first)
    assert file.read_text(encoding="utf-8") == MOUNT
    assert [item.name for item in tmp_path.iterdir()] == ["project.toml"]


def test_a_change_to_a_file_that_is_no_toml_is_refused(tmp_path):
    file = tmp_path / "project.toml"
    file.write_text("[part\n", encoding="utf-8")
    with pytest.raises(CannotRead):
        change_values(file, {"part.height": "30 mm"})
    assert file.read_text(encoding="utf-8") == "[part\n"


def _at(value, path):
    for part in path:
        value = value[part]
    return value
