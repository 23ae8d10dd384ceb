"""Rules of the house that a reader relies on: sizes, names with units, docstrings, no hosts."""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "pourwright"
PHYSICS = ("domain", "engines/process")
DRAWING = ("engines/geometry", "catalogue/families", "catalogue/moulds")
UNIT_SUFFIX = re.compile(r"(?<!per)_(mm|mm2|mm3|cm|um|deg|rad|kg|g|ml|kpa|mpa|psi|min|h)$")


def _files(*folders: str) -> list[Path]:
    return [file for folder in folders for file in sorted((SOURCE / folder).rglob("*.py"))]


def _functions(tree: ast.AST) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            yield node


def _is_compiled(function: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    return any("njit" in ast.unparse(item) for item in function.decorator_list)


def _code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    body = function.body[1:] if ast.get_docstring(function) and len(function.body) > 1 else function.body
    return (function.end_lineno or 0) - body[0].lineno + 1


@pytest.mark.parametrize("file", _files("."), ids=lambda file: str(file.relative_to(SOURCE)))
def test_every_file_says_in_its_first_line_what_is_inside(file: Path) -> None:
    words = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8")))
    assert words
    assert len(words.splitlines()[0]) > 15


def test_no_file_is_longer_than_400_lines() -> None:
    long = {str(file.relative_to(SOURCE)): len(file.read_text(encoding="utf-8").splitlines()) for file in _files(".")}
    assert {name: count for name, count in long.items() if count > 400} == {}


def test_no_function_is_longer_than_50_lines_of_code() -> None:
    long = {}
    for file in _files("."):
        for function in _functions(ast.parse(file.read_text(encoding="utf-8"))):
            if _code_lines(function) > 50 and not _is_compiled(function):
                long[f"{file.relative_to(SOURCE)}:{function.name}"] = _code_lines(function)
    assert long == {}


def test_no_name_in_the_physics_world_carries_a_unit() -> None:
    found = []
    for file in _files(*PHYSICS):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        names = {arg.arg for function in _functions(tree) for arg in [*function.args.args, *function.args.kwonlyargs]}
        names |= {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}
        found += [f"{file.relative_to(SOURCE)}: {name}" for name in sorted(names) if UNIT_SUFFIX.search(name)]
    assert found == []


def test_every_public_function_says_what_it_does() -> None:
    silent = []
    for file in _files("."):
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            is_public = isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_")
            if is_public and not ast.get_docstring(node) and not _is_decorated_part(node):
                silent.append(f"{file.relative_to(SOURCE)}: {node.name}")
    assert silent == []


def _is_decorated_part(node: ast.FunctionDef | ast.ClassDef) -> bool:
    return isinstance(node, ast.FunctionDef) and _is_compiled(node)


def test_documented_parameters_are_those_of_the_signature() -> None:
    wrong = []
    for file in _files("."):
        for function in _functions(ast.parse(file.read_text(encoding="utf-8"))):
            documented = _documented(ast.get_docstring(function) or "")
            arguments = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
            taken = {arg.arg for arg in arguments} | {
                item.arg for item in (function.args.vararg, function.args.kwarg) if item
            }
            wrong += [f"{file.relative_to(SOURCE)}:{function.name}: {name}" for name in documented - taken]
    assert wrong == []


def _documented(words: str) -> set[str]:
    section = re.search(r"^Parameters\n-+\n(.*?)(?:\n\n[A-Z]\w+\n-+|\Z)", words, re.S | re.M)
    if not section:
        return set()
    heads = re.findall(r"^(\*{0,2}\w+(?:, \*{0,2}\w+)*) ?:", section.group(1), re.M)
    return {name.strip().lstrip("*") for head in heads for name in head.split(",")}


def _tracked() -> list[Path]:
    names = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    return [ROOT / name for name in names.split("\0") if name and (ROOT / name).is_file()]


def test_no_tracked_file_names_the_host_of_a_registry() -> None:
    hosts = re.compile(r"(pypi|pythonhosted|npmjs|debian)\.(org|com)|files\.python" + "hosted|index-url *=", re.I)
    found = []
    for file in _tracked():
        text = file.read_bytes().decode("utf-8", "ignore")
        if file != Path(__file__).resolve() and hosts.search(text):
            found.append(str(file.relative_to(ROOT)))
    assert found == []


def test_the_lock_of_the_page_libraries_holds_no_download_address() -> None:
    assert '"resolved"' not in (ROOT / "package-lock.json").read_text(encoding="utf-8")


def test_every_locked_package_has_a_hash() -> None:
    for name in ("requirements.lock", "requirements-uv.lock", "requirements-node.lock"):
        text = (ROOT / name).read_text(encoding="utf-8")
        packages = re.findall(r"^[A-Za-z0-9_.\-]+==", text, re.M)
        entries = re.split(r"^(?=[A-Za-z0-9_.\-]+==)", text, flags=re.M)[1:]
        assert packages
        assert all("--hash=sha256:" in entry for entry in entries)
