"""Where air stays in a cavity, and the vents that let it out."""
