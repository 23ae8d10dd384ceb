"""Verbs: pure functions, one file for each arrow of the chain."""
