"""What is printed on paper: one sheet a file."""

from collections.abc import Callable

from pourwright.basics.shelf import Shelf

SHEETS: Shelf[Callable[..., bytes]] = Shelf("pourwright.catalogue.sheets", attribute="SHEET", noun="sheet")
