"""`inspect`: what a solid from anywhere is and how it could be moulded."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pourwright.cli import frame


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("inspect", short_help="Whether and how a solid from anywhere could be moulded.")(inspect)


def inspect(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A STEP, STL or 3MF file.")],
    unit: Annotated[
        str | None, typer.Option("--unit", help="Unit of a file that says none (STL): mm if left out.")
    ] = None,
    silicone: Annotated[
        str | None,
        typer.Option(
            "--silicone", help="The mould silicone, a class or an own sheet: platinum silicone 30A if left out."
        ),
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option("--picture", help="Draw what holds and where air stays, as SVG; nothing is written if left out."),
    ] = None,
    shop: frame.ShopOption = None,
    as_json: frame.JsonOption = False,
    quiet: frame.QuietOption = False,
) -> None:
    """Say what a solid is: closed or not, how large, which way to pull it, where to part it, where air stays."""
    from pourwright.app.answer_inspection import inspection_answer, inspection_words
    from pourwright.app.inspecting import inspect_file

    found = inspect_file(
        file, unit=unit, silicone=silicone, shop=shop, picture=picture, report=frame.progress(quiet=quiet)
    )
    if as_json:
        frame.show_answer(inspection_answer(found))
        return
    for line in inspection_words(found):
        frame.say(line)
