"""Sessions of work on the project: `nox -s check test docs`, and `slow`, `speed` by hand."""

from __future__ import annotations

import sys

import nox

nox.options.sessions = ["check", "test", "docs"]
PLACES = ("src", "tests", "benchmarks", "examples", "noxfile.py", "bootstrap.py")


def _python(session: nox.Session, *words: str) -> None:
    session.run(sys.executable, "-m", *words, external=True)


@nox.session(venv_backend="none")
def check(session: nox.Session) -> None:
    """Format, lint, types and the picture of the layers."""
    _python(session, "ruff", "format", "--check", *PLACES)
    _python(session, "ruff", "check", *PLACES)
    _python(session, "mypy")


@nox.session(venv_backend="none")
def test(session: nox.Session) -> None:
    """Every test but the long ones; each worker keeps to one end of the list, so that most files make things once."""
    _python(session, "pytest", "-n", "2", "--dist", "worksteal", "-m", "not long", *session.posargs)


@nox.session(venv_backend="none")
def docs(session: nox.Session) -> None:
    """The generated reference pages are those of the shelves."""
    _python(session, "pourwright.app.reference", "--check")


@nox.session(venv_backend="none")
def slow(session: nox.Session) -> None:
    """The long soaks."""
    _python(session, "pytest", "-m", "long")


@nox.session(venv_backend="none")
def speed(session: nox.Session) -> None:
    """Ratios against public peers on the same work in the same run; never pass or fail."""
    _python(session, "benchmarks.run")
