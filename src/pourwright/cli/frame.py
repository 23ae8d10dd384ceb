"""What all commands share: the list of commands, exit codes, answers, progress and errors."""

from __future__ import annotations

import contextlib
import signal
import sys
import threading
import time
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer

from pourwright.basics.errors import Cancelled, InputErrors, PourwrightError
from pourwright.basics.progress import Report

ShopOption = Annotated[
    Path | None, typer.Option("--shop", help="The shop folder (default: this folder, or the nearest above).")
]
JsonOption = Annotated[bool, typer.Option("--json", help="One JSON object on standard output, nothing else there.")]
QuietOption = Annotated[bool, typer.Option("--quiet", help="No progress on standard error.")]

FreshOption = Annotated[bool, typer.Option("--fresh", help="Make everything anew, whatever is remembered of before.")]


def build() -> typer.Typer:
    """The whole command line."""
    from pourwright.cli import demo, inspect, kit, make, measure, new, pours, schema, trace

    app = typer.Typer(
        rich_markup_mode=None, pretty_exceptions_enable=False, add_completion=False, no_args_is_help=True,
        help="From one small rubber part to a mould kit that prints, the pours to weigh and a bench sheet.",
    )  # fmt: skip
    for command in (new, make, kit, measure, pours, inspect, trace, schema, demo):
        command.add(app)
    return app


def guarded(words: list[str]) -> int:
    """Run the command line; every error becomes words and an exit code."""
    with _stoppable():
        return _guarded(words)


def _guarded(words: list[str]) -> int:
    wants_json = "--json" in words
    try:
        outcome = typer.main.get_command(build()).main(words, prog_name="pourwright", standalone_mode=False)
    except PourwrightError as error:
        return _told(error, wants_json=wants_json)
    except (KeyboardInterrupt, typer.Abort):
        return _told(Cancelled(_STOPPED), wants_json=wants_json)
    except Exception as error:  # the border to the person: nothing may end as a traceback
        if hasattr(error, "exit_code") and hasattr(error, "show"):
            return _usage(error, wants_json=wants_json)
        return _our_fault(error, words, wants_json=wants_json)
    if outcome == 130:
        return _told(Cancelled(_STOPPED), wants_json=wants_json)
    return outcome if isinstance(outcome, int) else 0


_STOPPED = "stopped; no file is left half written"
_stop_asked = threading.Event()


@contextlib.contextmanager
def _stoppable() -> Iterator[None]:
    """Ctrl-C and an end asked from outside stop the work the same way."""
    _stop_asked.clear()
    if threading.current_thread() is not threading.main_thread():  # only the main one hears signals
        yield
        return
    before = {number: signal.signal(number, _stop) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _stop(*_: object) -> NoReturn:
    # An interrupt that falls into clean-up code is lost there; the next word of progress remembers it.
    _stop_asked.set()
    raise KeyboardInterrupt


def _told(error: PourwrightError, *, wants_json: bool) -> int:
    import json

    if wants_json:
        answer: dict[str, Any] = {"error": error.as_answer()}
        if isinstance(error, InputErrors):
            answer["errors"] = [one.as_answer() for one in error.errors]
        print(json.dumps(answer, ensure_ascii=False))
    else:
        print(error.sentence(), file=sys.stderr)
    return error.exit_code


def _usage(error: Any, *, wants_json: bool) -> int:
    import json

    if wants_json:
        advice = "see pourwright --help"
        wrong = PourwrightError(error.format_message(), advice=advice)
        print(json.dumps({"error": wrong.as_answer()}, ensure_ascii=False))
    else:
        error.show()
    return 2


def _our_fault(error: Exception, words: list[str], *, wants_json: bool) -> int:
    import tempfile
    import traceback

    text = f"pourwright {' '.join(words)}\n\n{traceback.format_exc()}"
    with tempfile.NamedTemporaryFile("w", suffix=".txt", prefix="pourwright-fault-", delete=False) as file:
        file.write(text)
    fault = PourwrightError(
        f"a fault of ours: {type(error).__name__}: {error}", advice=f"the details are in {file.name}"
    )
    return _told(fault, wants_json=wants_json)


def show_answer(answer: Mapping[str, object]) -> None:
    """Print the one JSON object of `--json`."""
    import json

    print(json.dumps(answer, ensure_ascii=False, allow_nan=False))


def leave(code: int) -> None:
    """End the command with this exit code."""
    if code:
        raise typer.Exit(code)


def say(words: str = "") -> None:
    """A line of the answer, on standard output."""
    print(words)


def aside(words: str) -> None:
    """A line beside the answer, on standard error."""
    print(words, file=sys.stderr, flush=True)


def notes(warnings: Iterable[str]) -> None:
    """What a person should know beside the answer, on standard error."""
    for warning in warnings:
        aside(f"note: {warning}")


def told_of_memory(made: Any) -> None:
    """Say that nothing was made again because nothing has changed."""
    if made.remembered:
        aside("nothing that goes in has changed: taken as it was made before (--fresh makes it anew)")


def progress(*, quiet: bool) -> Report:
    """Progress on standard error: a bar on a terminal, a line at each tenth elsewhere."""
    shown = _Bar().report if sys.stderr.isatty() else _Lines().report

    def report(fraction: float, words: str) -> None:
        if _stop_asked.is_set():
            raise Cancelled(_STOPPED)
        if not quiet:
            shown(fraction, words)

    return report


class _Bar:
    """A bar that redraws itself at most ten times a second."""

    _WIDTH = 28

    def __init__(self) -> None:
        self._last = 0.0

    def report(self, fraction: float, words: str) -> None:
        now = time.monotonic()
        if fraction < 0 or (now - self._last < 0.1 and fraction < 1):
            return
        self._last = now
        full = round(self._WIDTH * min(fraction, 1.0))
        bar = "█" * full + "·" * (self._WIDTH - full)
        end = "\n" if fraction >= 1 else ""
        print(f"\r{bar} {100 * fraction:3.0f} %  {words:<44.44}", end=end, file=sys.stderr, flush=True)


class _Lines:
    """A plain line at each tenth, for logs."""

    def __init__(self) -> None:
        self._tenth = -1

    def report(self, fraction: float, words: str) -> None:
        tenth = int(10 * fraction)
        if fraction < 0 or tenth <= self._tenth:
            return
        self._tenth = tenth
        print(f"{100 * fraction:3.0f} %  {words}", file=sys.stderr, flush=True)
