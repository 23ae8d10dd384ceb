"""A shop folder as one door: where its files lie, and what they say as nouns."""

from pourwright.store.folder import ShopFolder, located, open_shop, project_names
from pourwright.store.measured_file import add_measured, measured_file, read_measured, read_readings
from pourwright.store.own_sheets import own_sheet_file, own_sheet_names, read_own_sheet
from pourwright.store.project_file import read_project, refuse_above_rating
from pourwright.store.shop_file import assumed_in_words, read_shop

__all__ = [
    "ShopFolder",
    "add_measured",
    "assumed_in_words",
    "located",
    "measured_file",
    "open_shop",
    "own_sheet_file",
    "own_sheet_names",
    "project_names",
    "read_measured",
    "read_own_sheet",
    "read_project",
    "read_readings",
    "read_shop",
    "refuse_above_rating",
]
