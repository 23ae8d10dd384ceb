"""Jobs for the tests of the worker process."""

from __future__ import annotations

import os
import time

from pourwright.basics.errors import CannotBuild
from pourwright.basics.progress import Report


def double(*, value: float, report: Report) -> float:
    """Twice the value, with progress."""
    report(0.5, "halfway")
    return 2 * value


def refuse(*, report: Report) -> None:
    """An error of ours."""
    raise CannotBuild("the bore (30 mm) is wider than the part (28 mm)", advice="make it smaller", field="part.bore")


def stumble(*, report: Report) -> None:
    """An error of nobody's making."""
    raise ZeroDivisionError("oops")


def die(*, report: Report) -> None:
    """End the whole process, as a crash of a library would."""
    os._exit(7)


def dawdle(*, report: Report) -> None:
    """Go on for ever, never listening."""
    while True:
        time.sleep(0.01)


def tell_process(*, report: Report) -> int:
    """The number of the process that runs the job."""
    return os.getpid()
