"""One check a file: what can be wrong with a kit or its pours."""
