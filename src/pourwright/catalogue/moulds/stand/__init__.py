"""How parts stand in their mould: facts of the part, layout, box, the parting face they meet."""
