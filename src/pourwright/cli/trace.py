"""`trace`: a new project from caliper readings of an existing part."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pourwright.cli import frame


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("trace", short_help="Draw an old part from caliper readings as a new project.")(trace)


def trace(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the new project.")],
    readings: Annotated[
        Path, typer.Argument(metavar="READINGS", help='A TOML file: [sizes] height = ["26.1 mm", "26.0 mm"], …')
    ],
    family: Annotated[
        str | None,
        typer.Option("--family", metavar="FAMILY", help="Family of the part; left out: the simplest that fits."),
    ] = None,
    shop: frame.ShopOption = None,
    as_json: frame.JsonOption = False,
) -> None:
    """Draw an existing part from caliper readings: a new project, with the band of each size and what to read again."""
    from pourwright.app.tracing import trace as draw
    from pourwright.app.tracing import traced_answer
    from pourwright.steps.words.trace_words import traced_words

    new = draw(shop, name, readings, family=family)
    if as_json:
        frame.show_answer(traced_answer(new))
        return
    for line in traced_words(new.traced):
        frame.say(line)
    frame.say()
    for warning in new.warnings:
        frame.say(f"! {warning}")
    frame.say(f"Wrote {new.file}")
    there = "" if shop is None else f" --shop {shop}"
    frame.say(f"Next: look it over, then: pourwright make {name}{there}")
