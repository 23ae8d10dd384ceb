"""The line locator finds every key of a TOML file, on the line where it stands."""

from __future__ import annotations

import importlib.util
import re
import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from pourwright.store.toml_lines import key_lines, line_of, table_ends

KEYS = st.one_of(
    st.from_regex(r"[A-Za-z0-9_-]{1,6}", fullmatch=True),
    st.text(alphabet=st.characters(codec="utf-8", min_codepoint=32, exclude_characters="\x7f"), min_size=1, max_size=5),
)
TEXTS = st.text(alphabet="ab \"'\\#[]{}=,.\n\té°", max_size=12)
LEAVES = st.one_of(TEXTS, st.integers(-(10**6), 10**6), st.booleans(), st.floats(allow_nan=False, allow_infinity=False))
VALUES = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3), max_leaves=8
)


def every_path(value: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [place for key, item in items for place in [(*path, key), *every_path(item, (*path, key))]]


@settings(max_examples=150)
@given(st.dictionaries(KEYS, VALUES, max_size=4))
def test_every_key_and_element_of_a_generated_file_has_a_line(data):
    text = tomlkit.dumps(data)
    assert set(every_path(tomllib.loads(text))) == set(key_lines(text))


@st.composite
def written_by_hand(draw: st.DrawFn) -> tuple[str, dict[tuple[str | int, ...], int]]:
    """A file put together line by line, with the line of each key noted while it is written."""
    lines: list[str] = []
    where: dict[tuple[str | int, ...], int] = {}
    padding = st.sampled_from([[], [""], ["# note = 1"], ["  ", "# [x]"]])
    values = st.sampled_from(
        ['"a # b"', "'c\\'", "3", '"""one\ntwo = 2\n\\""" """', "'''x\n[y]\n''''", "[ 1, # k = 2\n  2 ]", "{ i = 1 }"]
    )
    for number in range(draw(st.integers(1, 5))):
        lines += draw(padding)
        of_tables = draw(st.booleans())
        lines.append(f"[[ many . t{number} ]] # head" if of_tables else f"[one.t{number}]")
        table = ("many", f"t{number}", 0) if of_tables else ("one", f"t{number}")
        where[table] = len(lines)
        for key in range(draw(st.integers(0, 3))):
            lines += draw(padding)
            where[(*table, f"k{key}", "x")] = len(lines) + 1
            lines += f"k{key} . 'x' = {draw(values)}  # t".split("\n")
    return "\n".join(lines), where


@settings(max_examples=150)
@given(written_by_hand(), st.booleans())
def test_each_key_is_found_on_the_line_on_which_it_was_written(file, with_returns):
    text, where = file
    tomllib.loads(text)
    lines = key_lines(text.replace("\n", "\r\n") if with_returns else text)
    assert {path: lines[path] for path in where} == where


def test_elements_of_nested_arrays_of_tables_are_counted_under_their_own_parent():
    text = "[[a]]\n[[a.b]]\nx = 1\n[[a.b]]\nx = 2\n[[a]]\n[[a.b]]\nx = 3\n[a.c]\ny = 4\n"
    lines = key_lines(text)
    assert lines["a", 0, "b", 0, "x"] == 3
    assert lines["a", 0, "b", 1, "x"] == 5
    assert lines["a", 1, "b", 0, "x"] == 8
    assert lines["a", 1, "c", "y"] == 10


def test_a_missing_key_points_at_the_header_of_its_table():
    lines = key_lines("\n[part]\n\n[resin]\n")
    assert line_of(lines, ("resin", "material")) == 4
    assert line_of(lines, ("mould", "style")) is None


def test_a_further_key_belongs_behind_the_last_key_of_its_table():
    text = '# top\ntitle = "x"\n[a] # c\ny = [ 1,\n 2 ]\n\n# about b\n[b]\n'
    assert table_ends(text) == {(): 2, ("a",): 5, ("b",): 8}


def _files_of_pythons_own_tests() -> list[Path]:
    spec = importlib.util.find_spec("test")
    roots = spec.submodule_search_locations if spec else []
    return [file for root in roots or [] for file in sorted(Path(root).glob("test_tomllib/data/valid/**/*.toml"))]


@pytest.mark.parametrize("file", _files_of_pythons_own_tests() or [None], ids=lambda f: f.stem if f else "none here")
def test_every_key_of_pythons_own_valid_files_is_found(file):
    if file is None:
        pytest.skip("this Python comes without its own tests")
    text = file.read_bytes().decode()
    lines = key_lines(text)
    assert set(every_path(tomllib.loads(text))) == set(lines)
    rows = text.replace("\r\n", "\n").split("\n")
    for path, line in lines.items():
        if isinstance(path[-1], str) and re.fullmatch(r"[A-Za-z0-9_-]+", path[-1]):
            assert path[-1] in rows[line - 1]
