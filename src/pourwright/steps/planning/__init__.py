"""How a mould is planned: its wish, box, vents, pieces that fit the bed, and what else would do."""
