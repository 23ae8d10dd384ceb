"""`kit`: print files and the mould fit check."""

from __future__ import annotations

from typing import Annotated

import typer

from pourwright.cli import frame
from pourwright.cli.make import ProjectArgument


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("kit", short_help="Print files of a project and the proof of its mould only.")(kit)


def kit(
    project: ProjectArgument,
    no_step: Annotated[bool, typer.Option("--no-step", help="Mesh kernel only: faster, no STEP files.")] = False,
    fresh: frame.FreshOption = False,
    shop: frame.ShopOption = None,
    as_json: frame.JsonOption = False,
    quiet: frame.QuietOption = False,
) -> None:
    """Make the print files of a project and prove the mould, into its out/ folder."""
    from pourwright.app.answer_kit import kit_answer
    from pourwright.app.workbench import Workbench
    from pourwright.cli import words
    from pourwright.steps.words.size_words import size_words

    made = Workbench(shop, fresh=fresh).kit(project, step=not no_step, report=frame.progress(quiet=quiet))
    frame.notes(made.loaded.warnings)
    frame.told_of_memory(made)
    if as_json:
        frame.show_answer(kit_answer(made.kit, made.seconds))
    else:
        lines = (
            *words.kit_words(made.kit),
            "",
            *size_words(made.kit.sizes),
            "",
            *words.check_words(made.kit.checks),
            "",
            *words.made_words(made),
        )
        for line in lines:
            frame.say(line)
    frame.leave(0 if made.kit.ok else 1)
