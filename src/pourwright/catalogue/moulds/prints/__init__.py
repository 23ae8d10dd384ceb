"""The printed pieces of a mould: patterns, boards, walls, their joints and stiffening."""
