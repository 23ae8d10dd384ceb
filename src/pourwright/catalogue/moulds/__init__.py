"""One mould style a file."""
