"""Numbers and shapes, with no knowledge of casting and none of each other."""
