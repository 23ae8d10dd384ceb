"""How long it takes before the work begins, against a Python that does nothing."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.timing import Timing, Topic, launched

_HELP = ("-m", "pourwright.cli.main", "--help")
# The launcher runs in the Python that made the environment. Timing it must never set anything up, so every
# command that it would run for that is refused, and the environment stays as it is.
_SYSTEM_PYTHON: str = getattr(sys, "_base_executable", sys.executable)
_ENSURE = """
import sys
import bootstrap

def refused(*words, **options):
    sys.exit("the environment is not as the locks say: run ./start once")

bootstrap._run = refused
bootstrap.ensure()
"""


def topics() -> list[Topic]:
    """The command line's first words, and a second `./start`."""
    nothing = launched("python -c pass", (sys.executable, "-c", "pass"))
    first = Topic(title="First words", ours=launched("--help", (sys.executable, *_HELP)), others=(nothing,))
    again = _second_start()
    return [first] if again is None else [first, _topic(again, nothing)]


def _topic(again: Timing, nothing: Timing) -> Topic:
    return Topic(title="A second ./start, until the work begins", ours=again, others=(nothing,))


def _second_start() -> Timing | None:
    try:
        return launched("everything is as the locks say", (_SYSTEM_PYTHON, "-c", _ENSURE))
    except subprocess.CalledProcessError:
        return None
