"""Solids from files and into files: read, checked that they are closed, written with the same bytes."""
