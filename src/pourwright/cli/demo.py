"""`demo`: make the demo project in a fresh shop folder; this is what `./start` runs by itself."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pourwright.cli import frame
from pourwright.cli.make import tell


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("demo", short_help="Start the demo's shop, and make its first project.")(demo)


def demo(
    into: Annotated[Path, typer.Option("--into", metavar="DIR", help="Where to put the folder demo-shop.")] = Path(),
    as_json: frame.JsonOption = False,
    quiet: frame.QuietOption = False,
) -> None:
    """Make the demo: a new shop folder, and everything for its first project."""
    from pourwright.app.answer_kit import kit_answer
    from pourwright.app.answer_pours import pours_answer
    from pourwright.app.shops import DEMO, demo_folder, start_shop
    from pourwright.app.workbench import Workbench

    folder = demo_folder(into)
    started = start_shop(folder, DEMO)
    first = started.projects[0]
    made = Workbench(folder).make(first, report=frame.progress(quiet=quiet))
    if as_json:
        frame.show_answer({"folder": str(folder), "project": first, "kit": kit_answer(made.kit, made.seconds),
                           "pours": pours_answer(made.pours), "files": list(made.files)})  # fmt: skip
    else:
        frame.say(f"{made.loaded.project.title}: {made.kit.cavities} parts from one mould")
        frame.say()
        tell(made)
        frame.say()
        frame.say(f"Look at   {made.out / 'bench-sheet-a4.pdf'}")
        frame.say(f"Change    {folder / 'projects' / first / 'project.toml'}")
        frame.say(f"Again     ./start make {first} --shop {folder.name}")
        others = ", ".join(name for name in started.projects if name != first)
        frame.say(f"Others    {others}" if others else "Your own  ./start new my-shop")
    frame.leave(0 if made.ok else 1)
