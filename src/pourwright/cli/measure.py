"""`measure`: what calipers found on the first pattern, and go or no-go for the silicone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pourwright.basics.errors import InputError
from pourwright.cli import frame
from pourwright.cli.make import ProjectArgument

if TYPE_CHECKING:
    from pourwright.app.measuring import Judged
    from pourwright.domain.size_forecast import Measured


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("measure", short_help="Keep readings of a pattern, and say go or no-go.")(measure)


def measure(
    project: ProjectArgument,
    pattern: Annotated[
        list[str] | None,
        typer.Option(
            "--pattern",
            metavar="SIZE=READING,…",
            help="Readings of one size of the finished pattern, like outer_diameter=27.6mm,27.62mm,27.58mm; "
            "may be given for several sizes.",
        ),
    ] = None,
    file: Annotated[
        Path | None, typer.Option("--file", help='Readings in a TOML file: outer_diameter = ["27.6 mm", "27.62 mm"].')
    ] = None,
    resolution: Annotated[
        str, typer.Option("--resolution", metavar="LENGTH", help="Smallest step that the calipers show.")
    ] = "0.01 mm",
    instrument: Annotated[
        str, typer.Option("--instrument", metavar="LENGTH", help="Largest error of the calipers, as their sheet says.")
    ] = "0.03 mm",
    shop: frame.ShopOption = None,
    as_json: frame.JsonOption = False,
    quiet: frame.QuietOption = False,
) -> None:
    """Keep what calipers found on a pattern, forecast the cast anew, and say go or no-go."""
    from pourwright.app.measuring import judged_answer
    from pourwright.app.measuring import measure as judge
    from pourwright.basics.quantities import parse

    step = parse(resolution, "length", field="--resolution", low=1e-6, high=1e-3)
    error = parse(instrument, "length", field="--instrument", low=0.0, high=1e-3)
    found = [_reading(words, step, error) for words in pattern or ()]
    judged = judge(shop, project, found, file=file, report=frame.progress(quiet=quiet))
    if as_json:
        frame.show_answer(judged_answer(judged))
    else:
        _tell(judged)
    frame.leave(1 if judged.verdict == "no-go" else 0)


def _reading(words: str, step: float, error: float) -> Measured:
    from pourwright.basics.quantities import parse
    from pourwright.domain.size_forecast import Measured

    name, equals, values = words.partition("=")
    readings = [value.strip() for value in values.split(",") if value.strip()]
    if not (equals and name.strip() and readings):
        raise InputError(
            f"{words!r} is no size with readings",
            advice="write it like outer_diameter=27.6mm,27.62mm,27.58mm",
            field="--pattern",
            value=words,
        )
    lengths = tuple(parse(value, "length", field="--pattern", low=1e-5, high=1.0) for value in readings)
    return Measured(name=name.strip(), readings=lengths, resolution=step, instrument=error)


def _tell(judged: Judged) -> None:
    from pourwright.steps.words.size_words import size_words, verdict_words

    if judged.saved is not None:
        frame.say(f"Kept in {judged.saved}")
    for line in (*size_words(judged.sizes, offers=False), "", *verdict_words(judged.sizes, judged.reprint)):
        frame.say(line)
