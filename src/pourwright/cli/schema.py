"""`schema`: write the JSON Schemas of the files a person writes, for editors."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pourwright.cli import frame


def add(app: typer.Typer) -> None:
    """Put the command on the command line."""
    app.command("schema", short_help="Let an editor offer keys and mark mistakes.")(schema)


def schema(
    folder: Annotated[
        Path, typer.Argument(metavar="DIR", help="Where to write shop.schema.json and project.schema.json.")
    ],
    as_json: frame.JsonOption = False,
) -> None:
    """Write JSON Schemas, so that an editor offers keys and marks mistakes while you type."""
    from pourwright.app.shops import write_schemas

    written = write_schemas(folder)
    if as_json:
        frame.show_answer({"files": [str(path) for path in written]})
        return
    for path in written:
        frame.say(f"Wrote {path}")
