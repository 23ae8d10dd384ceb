"""Every source is complete, and every source that is cited is on the list."""

import ast
import re
from pathlib import Path

import pytest

from pourwright.basics.errors import UnknownName
from pourwright.basics.sources import STATUSES, source, sources

SOURCE_FOLDER = Path(__file__).resolve().parents[2] / "src" / "pourwright"
REFERENCES = re.compile(r"^References\n-+\n(.*?)(?:\n\n|\Z)", re.S | re.M)


@pytest.mark.parametrize("key", sorted(sources()))
def test_a_source_says_what_it_is_and_how_far_it_can_be_trusted(key):
    work = source(key)
    assert len(work.text) > 15
    assert work.status in STATUSES
    assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9-]*", key)
    if work.status in {"standard", "handbook", "paper", "authority"}:
        assert work.doi or work.number
    if work.doi:
        assert re.fullmatch(r"10\.\d{4,9}/\S+", work.doi)


def _cited(file: Path) -> set[str]:
    keys = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)):
            for section in REFERENCES.findall(ast.get_docstring(node) or ""):
                keys |= {key.strip(" .") for key in re.split(r"[,\n]", section) if key.strip(" .")}
    return keys


@pytest.mark.parametrize(
    "file", sorted(SOURCE_FOLDER.rglob("*.py")), ids=lambda file: str(file.relative_to(SOURCE_FOLDER))
)
def test_every_work_cited_in_a_docstring_is_a_listed_source(file):
    assert _cited(file) - set(sources()) == set()


def test_the_reader_of_citations_finds_those_of_the_mixing_formulas():
    assert {"GUM2008", "trade-scale-rule"} <= _cited(SOURCE_FOLDER / "engines" / "process" / "mixing.py")


def test_an_unknown_source_is_refused_with_the_nearest_one():
    with pytest.raises(UnknownName) as caught:
        source("GUM2009")
    assert "GUM2008" in caught.value.advice
