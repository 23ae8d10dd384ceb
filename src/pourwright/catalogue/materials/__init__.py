"""One material class a TOML: every number with unit, range, source and status."""
