"""Rubber: how hard, how stiff. SI, with no knowledge of moulds."""
