"""Shelves: one file, one entry. Shelves do not know each other."""
