"""Import a heavy package at the moment it is used, so that `--help` stays light."""

from __future__ import annotations

import importlib
from types import ModuleType

from pourwright.basics.errors import PourwrightError


def need(name: str) -> ModuleType:
    """Import `name`, or say how to get it.

    Raises
    ------
    PourwrightError
        The package is not installed.

    Examples
    --------
    >>> need("math").floor(2.5)
    2
    """
    try:
        return importlib.import_module(name)
    except ImportError as error:
        raise PourwrightError(
            f"the package {name!r} is missing ({error})", advice="run ./start once; it installs everything"
        ) from error
