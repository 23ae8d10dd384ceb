"""What keeps resin or air a way through the silicone: bores, cores, keys, vents, wells, runners, breathers."""
