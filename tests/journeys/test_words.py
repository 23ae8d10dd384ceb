"""The command line itself: help, version, and what is not understood."""

from __future__ import annotations

import subprocess
from importlib.metadata import version

import pytest

from pourwright.cli.words import check_words
from pourwright.domain.check_result import CheckResult
from shop_runs import COMMAND, only_object, run

COMMANDS = ("new", "make", "kit", "pours", "inspect", "schema", "demo")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_its_options(command: str) -> None:
    told = run(command, "--help")
    assert told.code == 0
    assert told.err == ""
    assert told.out.startswith("Usage: pourwright")
    assert "--json" in told.out


def test_help_names_every_command() -> None:
    told = run("--help")
    assert told.code == 0
    for command in COMMANDS:
        assert f"\n  {command} " in told.out
    assert "..." not in told.out.partition("Commands:")[2]  # no line is cut off


def test_version_is_that_of_the_package() -> None:
    told = run("--version")
    assert (told.code, told.out) == (0, f"pourwright {version('pourwright')}\n")


@pytest.mark.parametrize(
    "words", [["moulds"], ["kit", "mount", "--fast"], ["kit"], ["kit", "a", "b"], ["pours", "a", "--poured-a"]]
)
def test_what_is_not_understood_is_exit_2_in_words_and_in_json(words: list[str]) -> None:
    told = run(*words)
    assert told.code == 2
    assert told.out == ""
    assert "Traceback" not in told.err
    assert told.err
    in_json = run(*words, "--json")
    assert in_json.code == 2
    assert in_json.error["message"]
    assert in_json.error.keys() == {"message", "advice", "file", "line", "field", "value"}


def test_the_command_leaves_its_exit_code_to_the_system(tmp_path) -> None:
    done = subprocess.run(
        [*COMMAND, "kit", "part", "--json"], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "no shop folder" in only_object(done.stdout)["error"]["message"]
    assert done.stderr == ""


def test_the_shop_is_found_from_a_folder_inside_it(plain, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(plain.shop.project.parent)
    told = run("pours", "part", "--json", "--quiet")
    assert told.code == 0
    assert told.answer["project"] == "part"
    # A project may be named by its folder or file as well.
    assert run("pours", "project.toml", "--json").answer["project"] == "part"


@pytest.mark.parametrize(
    ("value", "told"), [(1.01321, ": 1.013 % (limit 1)"), (7.0, ": 7 % (limit 1)"), (52718.3, ": 52718 % (limit 1)")]
)
def test_the_figures_of_a_check_are_told_with_four_digits_or_all_before_the_point(value: float, told: str) -> None:
    check = CheckResult(name="some", ok=False, severity="caution", value=value, limit=1.0, unit="%")
    assert next(check_words((check,))) == f"! caution  some{told}"
