"""`new`: start a shop folder."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pourwright.cli import frame


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("new", short_help="Start a shop folder: what you own, and a first project.")(new)


def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="The folder to make; it must be new or empty.")],
    example: Annotated[str | None, typer.Option("--example", metavar="NAME", help="Start from an example.")] = None,
    as_json: frame.JsonOption = False,
) -> None:
    """Start a shop folder: what you own, and a first project to change."""
    from pourwright.app.shops import start_shop

    made = start_shop(folder, example)
    if as_json:
        frame.show_answer({"folder": str(folder), "projects": list(made.projects), "files": list(made.files)})
        return
    frame.say(f"Made the shop folder {folder}")
    for name in made.files:
        frame.say(f"  {name}")
    frame.say("Next: write what you own into shop.toml, your part into a project.toml, then")
    frame.say(f"  pourwright make {made.projects[0]} --shop {folder}")
