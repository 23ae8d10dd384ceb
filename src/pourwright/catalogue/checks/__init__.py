"""One check a file: what can be wrong with a kit or its pours, its limit, and what to do about it."""
