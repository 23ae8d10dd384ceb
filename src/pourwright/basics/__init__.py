"""What every other package may lean on: units, errors, progress, shelves, keys, sources."""
