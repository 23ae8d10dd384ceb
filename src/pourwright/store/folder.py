"""Where the files of a shop folder lie, and the line of an error that was found after reading."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from pourwright.basics.errors import CannotRead, InputError, InputErrors
from pourwright.basics.shelf import unknown_name
from pourwright.store.toml_file import TomlFile, dotted, read_toml

SHOP_FILE = "shop.toml"
PROJECT_FILE = "project.toml"


@dataclass(frozen=True, kw_only=True)
class ShopFolder:
    """The folder with shop.toml in it."""

    root: Path

    @property
    def projects(self) -> Path:
        """The folder with one folder for each project."""
        return self.root / "projects"

    def project_file(self, name: str) -> Path:
        """What a person wrote about one part."""
        return self.projects / name / PROJECT_FILE

    def out(self, name: str) -> Path:
        """The folder of everything derived; it may be deleted at any time."""
        return self.projects / name / "out"

    def shown(self, path: Path) -> str:
        """A path of this shop as an error names it: `projects/mount/project.toml`."""
        return path.relative_to(self.root).as_posix() if path.is_relative_to(self.root) else str(path)


def open_shop(path: Path | str | None = None) -> ShopFolder:
    """The shop folder at `path` (None: where the person stands), or the nearest one above it.

    Raises
    ------
    CannotRead
        There is none.
    """
    start = Path(path) if path is not None else Path.cwd()
    here = start.absolute()
    for folder in (here, *here.parents):
        if (folder / SHOP_FILE).is_file():
            return ShopFolder(root=folder)
    raise CannotRead(
        f"there is no shop folder at {start} or above it" if start.exists() else f"there is no folder {start}",
        advice="start one with: pourwright new DIR",
        file=str(start),
    )


def project_names(root: Path | ShopFolder) -> tuple[str, ...]:
    """The names of the projects, in order."""
    folder = as_shop(root).projects
    if not folder.is_dir():
        return ()
    return tuple(sorted(item.parent.name for item in folder.glob(f"*/{PROJECT_FILE}")))


def project_name(shop: ShopFolder, name: str) -> str:
    """The name of a project given by name, or by the path of its folder or file."""
    known = project_names(shop)
    if name in known:
        return name
    path = Path(name)
    folder = path.parent if path.name == PROJECT_FILE else path
    for start in (Path.cwd(), shop.root):
        whole = (start / folder).resolve()
        if whole.parent == shop.projects.resolve() and whole.name in known:
            return whole.name
    if not known:
        raise CannotRead(
            f"there is no project {name!r}; this shop has none yet",
            advice=f"write projects/{path.name or 'NAME'}/{PROJECT_FILE}",
            file=str(shop.root),
        )
    raise unknown_name(name, known, noun="project")


def located(root: Path | ShopFolder, where: Path | str, error: InputError) -> InputErrors:
    """The error with its file and the line of its field, for what is found after reading.

    Parameters
    ----------
    where : the name of a project, or the path of another file that a person wrote, such as a sheet's.
    """
    shop = as_shop(root)
    path = shop.project_file(where) if isinstance(where, str) else where
    file = read_toml(path, shown=shop.shown(path))
    found = error.errors if isinstance(error, InputErrors) else (error,)
    lines = {dotted(path): line for path, line in file.lines.items()}
    return InputErrors([_at_its_line(file, lines, one) for one in found])


def as_shop(root: Path | ShopFolder) -> ShopFolder:
    """A path taken as the root of a shop folder."""
    return root if isinstance(root, ShopFolder) else ShopFolder(root=Path(root))


def _at_its_line(file: TomlFile, lines: Mapping[str, int], error: InputError) -> InputError:
    if error.file is not None or not error.field:
        return error
    field = re.sub(r"\.([0-9]+)(?=\.|$)", r"[\1]", error.field)
    while field and field not in lines:  # a missing key points at its table
        field = field.rpartition(".")[0]
    return type(error)(error.message, **{**error.where(), "file": file.shown, "line": lines.get(field)})
