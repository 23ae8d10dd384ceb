"""`make`: everything derived for one project."""

from __future__ import annotations

from typing import Annotated

import typer

from pourwright.cli import frame

ProjectArgument = Annotated[str, typer.Argument(metavar="PROJECT", help="The project's name: its folder in projects/.")]


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("make", short_help="Kit, proof, pours, pictures and bench sheet of a project.")(make)


def make(
    project: ProjectArgument,
    fresh: frame.FreshOption = False,
    shop: frame.ShopOption = None,
    as_json: frame.JsonOption = False,
    quiet: frame.QuietOption = False,
) -> None:
    """Make everything for a project: kit, proof, pours, pictures and the bench sheet, into its out/ folder."""
    from pourwright.app.answer_kit import kit_answer
    from pourwright.app.answer_pours import pours_answer
    from pourwright.app.workbench import Workbench

    made = Workbench(shop, fresh=fresh).make(project, report=frame.progress(quiet=quiet))
    frame.notes(made.loaded.warnings)
    frame.told_of_memory(made)
    if as_json:
        answer = {
            "kit": kit_answer(made.kit, made.seconds),
            "pours": pours_answer(made.pours),
            "forecast": None,
            "out": str(made.out),
            "files": list(made.files),
        }
        frame.show_answer(answer)
    else:
        tell(made)
    frame.leave(0 if made.ok else 1)


def tell(made) -> None:  # type: ignore[no-untyped-def]
    """Print what was made for a person."""
    from pourwright.cli import words
    from pourwright.steps.words.size_words import size_words

    for line in words.first_answers(made.kit, made.pours):
        frame.say(line)
    frame.say()
    for line in (*words.kit_words(made.kit), "", *size_words(made.kit.sizes), "", *words.pour_words(made.pours), ""):
        frame.say(line)
    for line in (*words.check_words((*made.kit.checks, *made.pours.checks)), "", *words.made_words(made)):
        frame.say(line)
