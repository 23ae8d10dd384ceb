"""Solids of upright shapes measured and drawn layer by layer, almost without booleans."""
