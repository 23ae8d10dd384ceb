"""What is printed on paper: one sheet a file."""

from pourwright.basics.shelf import Shelf

SHEETS: Shelf[object] = Shelf("pourwright.catalogue.sheets", attribute="SHEET", noun="sheet")
