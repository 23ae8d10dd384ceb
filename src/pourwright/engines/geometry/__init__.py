"""Solids in millimetres: description, kernels, measures, files."""
