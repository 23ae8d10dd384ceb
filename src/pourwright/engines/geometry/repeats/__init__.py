"""The quick way to a solid that repeats itself, and smaller twins of large ones."""
