"""`pours`: what to weigh, or what B to add to the A really poured."""

from __future__ import annotations

from typing import Annotated

import typer

from pourwright.cli import frame
from pourwright.cli.make import ProjectArgument


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("pours", short_help="What to weigh; how much B, when A came out different.")(pours)


def pours(
    project: ProjectArgument,
    poured_a: Annotated[
        str | None, typer.Option("--poured-a", metavar="MASS", help='The A of the cast really poured, like "51.3 g".')
    ] = None,
    fresh: frame.FreshOption = False,
    shop: frame.ShopOption = None,
    as_json: frame.JsonOption = False,
    quiet: frame.QuietOption = False,
) -> None:
    """Say what to weigh for a project; with --poured-a, how much B goes to it and where to stop the scale."""
    from pourwright.app.answer_pours import pours_answer
    from pourwright.app.workbench import Workbench
    from pourwright.basics.quantities import parse
    from pourwright.cli import words

    mass = None if poured_a is None else parse(poured_a, "mass", field="--poured-a")
    _, found = Workbench(shop, fresh=fresh).pours(project, poured_a=mass, report=frame.progress(quiet=quiet))
    if as_json:
        frame.show_answer(pours_answer(found))
    else:
        for line in (*words.pour_words(found), "", *words.check_words(found.checks)):
            frame.say(line)
    frame.leave(0 if found.ok else 1)
