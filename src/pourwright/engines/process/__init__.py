"""Formulas of mixing, curing and air, SI, with no knowledge of moulds."""
