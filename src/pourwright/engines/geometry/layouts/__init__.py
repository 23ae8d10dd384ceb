"""Equal things side by side: in a circle, a square, a rectangle, a pot."""
